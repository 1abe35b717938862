"""What a procedure refers to must be there and fit: steps, cautions, settings, entries, sums, units, limits.

Judged on the shaped data, so a procedure written in the browser is judged as one written in a file.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from decimal import Decimal
from typing import Any

from vesselside.core.brew import measures
from vesselside.core.sums import calculations, sources

from .faults import Path, suggestion
from .shapes import DECIMAL

Note = Callable[[Path, str], None]
_NUMBERS = ("reading", "count")
# Meters of dissolved oxygen say ppb: a milligram in a tonne of beer, which is a cubic metre but for 1 %.
_SAME = {"ppb": "µg/L"}
_SOURCE_ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)+")


def judge(procedure: dict[str, Any], cautions: Iterable[str], note: Note) -> None:
    """Call `note(path, text)` for every reference of `procedure` that is missing or does not fit."""
    _Judge(procedure, set(cautions), note).all()


class _Judge:
    def __init__(self, procedure: dict[str, Any], cautions: set[str], note: Note) -> None:
        self.procedure = procedure
        self.cautions = cautions
        self.note = note
        self.rows = {row["name"]: row for row in calculations.listing()}
        self.settings = {row["id"]: row for row in procedure.get("settings", [])}
        self.inputs = {row["id"]: row for row in procedure.get("inputs", [])}
        self.steps = [step["id"] for step in procedure["steps"]]
        self.entries: dict[str, dict[str, Any]] = {}
        self.used: set[str] = set()

    def all(self) -> None:
        self._unique(("settings",), self.procedure.get("settings", []))
        self._unique(("inputs",), self.procedure.get("inputs", []))
        self._unique(("steps",), self.procedure["steps"])
        if self.procedure["kind"] == "trouble" and "leaves" in self.procedure:
            self.note(("leaves",), "a run of trouble leaves its vessel as it is")
        for at, row in enumerate(self.procedure.get("inputs", [])):
            kind, _, line = row.get("from", "").partition(".")
            if kind == "sheet":
                self._measure(("inputs", at, "from"), line, row.get("unit", ""))
        for at, row in enumerate(self.procedure.get("settings", [])):
            self._source(("settings", at, "source"), row["source"])
        for at, step in enumerate(self.procedure["steps"]):
            self._step(("steps", at), at, step)
        self._dosing()
        for at, step in enumerate(self.procedure["steps"]):
            self._move(("steps", at, "draws"), step.get("draws", {}))
        for at, row in enumerate(self.procedure.get("settings", [])):
            if row["id"] not in self.used:
                self.note(("settings", at, "id"), f"no step uses the setting {row['id']}")

    def _unique(self, path: Path, rows: list[dict[str, Any]]) -> None:
        seen: set[str] = set()
        for at, row in enumerate(rows):
            if row["id"] in seen:
                self.note((*path, at, "id"), f"{row['id']} is there twice")
            seen.add(row["id"])

    def _source(self, path: Path, text: str) -> None:
        if _SOURCE_ID.fullmatch(text) and text not in sources.SOURCES:
            self.note(path, f"unknown source {text}" + suggestion(text, sources.SOURCES))

    def _dosing(self) -> None:
        """The first chemical of a clean goes into the vessel only after asking whether that is empty."""
        for at, step in enumerate(self.procedure["steps"]):
            if step.get("chemical") == "in" and self.procedure["vessel_kinds"]:
                stops = {ask["interlock"] for ask in step.get("asks", []) if not ask.get("warns")}
                if "empty" not in stops:
                    self.note(
                        ("steps", at, "chemical"), "the first step that puts chemical in must ask empty"
                    )
                return

    def _step(self, path: Path, at: int, step: dict[str, Any]) -> None:
        for where, need in enumerate(step.get("needs", [])):
            self._need((*path, "needs", where), at, need)
        for where, caution in enumerate(step.get("cautions", [])):
            self._caution((*path, "cautions", where), caution)
        entries = step.get("entries", [])
        self._unique((*path, "entries"), entries)
        for entry in entries:
            self.entries[f"{step['id']}.{entry['id']}"] = entry
        for where, entry in enumerate(entries):
            self._entry((*path, "entries", where), entry)
        self._asks(path, step)
        if "draws" in step:
            self._draws((*path, "draws"), step["draws"])
        if "hold" in step:
            self._bound((*path, "hold", "seconds"), step["hold"]["seconds"], "s")

    def _asks(self, path: Path, step: dict[str, Any]) -> None:
        asks = step.get("asks", [])
        for where, ask in enumerate(asks):
            self._ask((*path, "asks", where), step, ask)
        stops = {ask["interlock"] for ask in asks if not ask.get("warns")}
        if step.get("fills") and not stops & {"fill", "add"}:
            self.note((*path, "fills"), "a step that fills the vessel must ask fill or add")
        if step.get("never_locked") and (not step.get("anytime") or step.get("needs")):
            self.note((*path, "never_locked"), "what is never locked is anytime and needs no step")

    def _ask(self, path: Path, step: dict[str, Any], ask: dict[str, Any]) -> None:
        of = ask.get("of")
        if of is not None and of != "gyle" and self.entries.get(of, {}).get("kind") != "text":
            self.note((*path, "of"), f"{of} is neither gyle nor a text of this step or one before")
        if of is not None and not ask.get("warns"):
            self.note((*path, "of"), "only a warning can be about another vessel than the run's own")
        if ask["interlock"] == "contact" and not (
            "hold" in step and any(row.get("series") and "limits" in row for row in step.get("entries", []))
        ):
            self.note((*path, "interlock"), "contact time needs a hold and a series with limits")

    def _draws(self, path: Path, draws: dict[str, Any]) -> None:
        """What names the vessel or the gyle must be a text, and what says that it is empty a choice, asked by then."""
        for field in ("named", "gyle"):
            if field in draws and self.entries.get(draws[field], {}).get("kind") != "text":
                self.note((*path, field), f"{draws[field]} is no text of this step or one before")
            if field in draws and "from" not in draws:
                self.note((*path, field), "only a draw from another vessel names it")
        if "when" in draws:
            asked = self.entries.get(draws["when"]["entry"], {})
            options = [option["id"] for option in asked.get("options", [])]
            for at, wanted in enumerate(draws["when"]["is"]):
                if wanted not in options:
                    self.note((*path, "when", "is", at), f"no answer is called {wanted}")

    def _move(self, path: Path, draws: dict[str, Any]) -> None:
        """A move's volumes are readings in litres of this procedure, wherever in it they are asked."""
        out = draws.get("out", {})
        volumes: list[tuple[Path, str]] = [
            (("out", key), out[key]) for key in ("entry", "held", "left") if key in out
        ]
        volumes += [((key,), draws[key]) for key in ("in", "total") if key in draws]
        for where, name in volumes:
            entry = self.entries.get(name, {})
            if entry.get("kind") != "reading" or entry.get("unit") != "L" or entry.get("series"):
                self.note((*path, *where), f"{name} is no reading in litres of this procedure")
            if "move" not in draws:
                self.note((*path, *where), "only a move has volumes")
        if "measure" in out:
            self._measure((*path, "out", "measure"), out["measure"], "L")

    def _need(self, path: Path, at: int, need: str) -> None:
        if need not in self.steps:
            self.note(path, f"unknown step {need}" + suggestion(need, self.steps))
        elif self.steps.index(need) >= at:
            self.note(path, f"{need} does not come before this step")

    def _caution(self, path: Path, caution: str) -> None:
        if caution not in self.cautions:
            self.note(path, f"unknown caution {caution}" + suggestion(caution, self.cautions))

    def _entry(self, path: Path, entry: dict[str, Any]) -> None:
        kind = entry["kind"]
        for field in ("unit", "places"):
            if kind == "reading" and field not in entry:
                self.note(path, f"a reading needs {field}")
        for field in ("limits", "raises", "works", "instrument", "measures"):
            if field in entry and kind not in _NUMBERS:
                self.note((*path, field), f"only a reading or a count has {field}")
        if "least" in entry and not entry.get("series"):
            self.note((*path, "least"), "only a series has a least number")
        if entry.get("verifies") and not (
            entry.get("series") and "instrument" in entry and "limits" in entry
        ):
            self.note((*path, "verifies"), "a check of instruments is a series, with instrument and limits")
        if (kind == "choice") != ("options" in entry):
            self.note(path, "a choice, and only a choice, has options")
        if "measures" in entry:
            self._measure((*path, "measures"), entry["measures"], entry.get("unit", ""))
        self._options(path, entry.get("options", []), entry.get("renews", []))
        unit = entry.get("unit", "")
        if "limits" in entry:
            self._limits((*path, "limits"), entry["limits"], unit)
        for where, row in enumerate(entry.get("raises", [])):
            self._raise((*path, "raises", where), row, unit)
        if "works" in entry:
            self._calculation((*path, "works"), entry["works"], unit, whole=False)

    def _measure(self, path: Path, name: str, unit: str) -> None:
        """A line of the sheet, or a measure only runs give, must be there and in the same unit."""
        wanted = measures.unit(name)
        if wanted is None:
            self.note(path, f"unknown measure {name}" + suggestion(name, measures.names()))
        else:
            self._unit(path, unit, wanted)

    def _options(self, path: Path, options: list[dict[str, Any]], renews: list[str]) -> None:
        self._unique((*path, "options"), options)
        for at, wanted in enumerate(renews):
            if wanted not in [option["id"] for option in options]:
                self.note((*path, "renews", at), f"no answer is called {wanted}")
        for at, option in enumerate(options):
            if option["verdict"] != "target" and "advice" not in option:
                self.note((*path, "options", at), f"an answer judged {option['verdict']} needs advice")
        if options and all(option["verdict"] != "target" for option in options):
            self.note((*path, "options"), "no answer is on target")

    def _raise(self, path: Path, row: dict[str, Any], unit: str) -> None:
        if ("above" in row) == ("below" in row):
            self.note(path, "needs one of above and below")
        for side in ("above", "below"):
            if side in row:
                self._bound((*path, side), row[side], unit)
        self._caution((*path, "caution"), row["caution"])

    def _limits(self, path: Path, limits: dict[str, Any], unit: str) -> None:
        self._source((*path, "source"), limits["source"])
        for band in ("target", "stop"):
            for at, bound in enumerate(limits.get(band, [])):
                if bound is not None:
                    self._bound((*path, band, at), bound, unit)
        low, high = limits["target"]
        bottom, top = limits.get("stop", [None, None])
        for needed, field in ((low, "low"), (high, "high"), (limits.get("stop"), "halt")):
            if needed is not None and field not in limits:
                self.note(path, f"{field} must say what to do")
        known = [value for value in map(self._now, (bottom, low, high, top)) if value is not None]
        if known != sorted(known):
            self.note(path, "limits are out of order: stop low, target low, target high, stop high")

    def _now(self, bound: Any) -> Decimal | None:
        if isinstance(bound, Mapping):
            row = self.settings.get(bound.get("setting", "")) or {}
            bound = row.get("default")
        return Decimal(bound) if isinstance(bound, str) and DECIMAL.fullmatch(bound) else None

    def _bound(self, path: Path, bound: Any, unit: str | None) -> None:
        for text, found in self._faults_of(bound):
            self.note(path, text)
            if not found:
                return
        if isinstance(bound, Mapping):
            if "calculation" in bound:
                self._calculation(path, bound, unit, whole=True)
            else:
                self._unit(path, self._unit_of(bound), unit)

    def _faults_of(self, bound: Any) -> Iterator[tuple[str, bool]]:
        """Faults of a reference, and whether the thing referred to is there at all."""
        if not isinstance(bound, Mapping) or "calculation" in bound:
            return
        kind = next(kind for kind in ("setting", "input", "entry") if kind in bound)
        known: Mapping[str, dict[str, Any]] = {
            "setting": self.settings,
            "input": self.inputs,
            "entry": self.entries,
        }[kind]
        name = bound[kind]
        if name not in known:
            yield f"unknown {kind} {name}" + suggestion(name, known), False
            return
        if kind == "setting":
            self.used.add(name)
            if not DECIMAL.fullmatch(known[name]["default"]):
                yield f"the setting {name} is not a number", True
        elif known[name]["kind"] not in _NUMBERS:
            yield f"the {kind} {name} is not a number", True

    def _given(self, path: Path, bound: Any, wanted: Mapping[str, Any]) -> None:
        """What an input of a calculation is given must be of its kind."""
        kind = wanted.get("kind", "number")
        if kind == "choice":
            self._chosen(path, bound, [option[0] for option in wanted["options"]])
        elif kind == "series":
            self._table(path, bound, wanted["columns"])
        elif kind != "number":
            self.note(path, f"a {kind} is asked of the person, not bound")
        elif isinstance(bound, str) and not DECIMAL.fullmatch(bound):
            self.note(path, f"{bound!r} is not a decimal number")
        elif isinstance(bound, Mapping) and "series" in bound:
            self.note(path, "takes one number, not a series")
        else:
            self._bound(path, bound, wanted["unit"])

    def _chosen(self, path: Path, bound: Any, options: list[str]) -> None:
        if isinstance(bound, Mapping) and bound.get("setting") in self.settings:
            self.used.add(bound["setting"])
            bound = self.settings[bound["setting"]]["default"]
        if bound not in options:
            self.note(path, "must be one of " + ", ".join(options))

    def _table(self, path: Path, bound: Any, columns: list[dict[str, Any]]) -> None:
        given = bound.get("series") if isinstance(bound, Mapping) else None
        names = given if isinstance(given, list) else [given]
        entries = [self.entries.get(name or "", {}) for name in names]
        if any(not entry.get("series") or entry["kind"] not in _NUMBERS for entry in entries):
            self.note(path, "must be a series of readings that comes before")
        elif len(columns) != len(entries):
            self.note(path, f"needs a series for each of {len(columns)} columns, not {len(entries)}")
        else:
            for entry, column in zip(entries, columns, strict=True):
                self._unit(path, str(entry.get("unit", "")), column["unit"])

    def _unit_of(self, bound: Mapping[str, Any]) -> str:
        if "setting" in bound:
            return str(self.settings[bound["setting"]].get("unit", ""))
        if "input" in bound:
            return str(self.inputs[bound["input"]].get("unit", ""))
        return str(self.entries[bound["entry"]].get("unit", ""))

    def _unit(self, path: Path, given: str, wanted: str | None) -> None:
        if wanted is not None and _SAME.get(given, given) != _SAME.get(wanted, wanted):
            self.note(path, f"is in {given or 'no unit'}, wanted in {wanted or 'no unit'}")

    def _calculation(self, path: Path, use: Mapping[str, Any], unit: str | None, *, whole: bool) -> None:
        row = self.rows.get(use["calculation"])
        if row is None:
            name = use["calculation"]
            self.note((*path, "calculation"), f"unknown calculation {name}" + suggestion(name, self.rows))
            return
        wanted = {item["id"]: item for item in row["inputs"]}
        for name, bound in use["inputs"].items():
            if name not in wanted:
                self.note((*path, "inputs", name), f"unknown input {name}" + suggestion(name, wanted))
            else:
                self._given((*path, "inputs", name), bound, wanted[name])
        left_open = [item for name, item in wanted.items() if name not in use["inputs"]]
        missing = [item["id"] for item in left_open if "default" not in item and not item.get("optional")]
        if whole and missing:
            self.note((*path, "inputs"), f"{use['calculation']} also needs " + ", ".join(missing))
        results = {item[0]: item[2] for item in row["results"]}
        result = use.get("result", row["results"][0][0])
        if result not in results:
            self.note((*path, "result"), f"unknown result {result}" + suggestion(result, results))
        else:
            self._unit((*path, "result"), results[result], unit)
