"""A recipe worked out as a brew sheet: what to weigh, heat, collect and expect, each line with its working.

Every figure comes from a sum of the registry; this file only asks them in turn. Total: a line that cannot be worked
says why, and so does each that waits for it.
"""

from vesselside.core.ground import numbers
from vesselside.core.ground.errors import CoreError
from vesselside.core.sums import calculations

from . import recipes, sheetlines, sitefigures

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from vesselside.core.shapes import Addition, Sheet, SheetLine, Working


class _Sheet:
    def __init__(self, recipe: "dict[str, Any]", settings: dict[str, str]) -> None:
        self.recipe = recipe
        self.settings = settings
        self.rows = sheetlines.lines(recipe)
        self.by_id = {row["id"]: row for row in self.rows}
        self.made: dict[str, SheetLine] = {}
        self.workings: dict[str, Working] = {}

    def line(self, key: str) -> "SheetLine":
        """A worked line, worked once."""
        if key not in self.made:
            self.made[key] = self._made(self.by_id[key])
        return self.made[key]

    def _made(self, row: "dict[str, Any]") -> "SheetLine":
        line: SheetLine = {
            "id": row["id"],
            "stage": row["stage"],
            "label": row["label"],
            "unit": row["unit"],
            "per": row["per"],
            "value": None,
            "working": None,
            "fault": None,
        }
        if "minutes" in row:
            line["minutes"] = row["minutes"]
        if "quiet" in row:
            line["quiet"] = row["quiet"]
        try:
            if "calculation" in row:
                working = self._work(row)
                line["working"], line["value"] = working, _result(working, row["result"])
            else:
                line["value"] = str(self.figure(row["value"], row["label"]))
        except CoreError as error:
            line["fault"] = error.text
        return line

    def _work(self, row: "dict[str, Any]") -> "Working":
        given: dict[str, object] = {}
        for name in sorted(row["inputs"]):
            given[name] = self.figure(row["inputs"][name], row["label"])
        # lines that share a sum share its working
        key = row["calculation"] + repr(sorted([(name, repr(given[name])) for name in given]))
        if key not in self.workings:
            self.workings[key] = calculations.work(row["calculation"], given)
        return self.workings[key]

    def figure(self, source: object, label: str) -> object:
        """What a line's input stands for; CoreError `waits` when it is not known."""
        if isinstance(source, str):
            if not source:
                raise CoreError("waits", "Not all of the recipe is given yet: " + label)
            return source
        if not isinstance(source, dict):
            raise CoreError("waits", "Not all of the recipe is given yet: " + label)
        if "rows" in source:
            return [[self.figure(cell, label) for cell in row] for row in source["rows"]]
        if "degrees" in source:
            return numbers.text(numbers.value(self._of_line(source["degrees"])) * 1000.0, 1)
        if "line" in source:
            return self._of_line(source["line"])
        if "recipe" in source and source["recipe"] in self.recipe:
            return self.recipe[source["recipe"]]
        text = sitefigures.figure(self.settings, source["site"]) if "site" in source else None
        if text is None:
            raise CoreError("waits", "Not all of the recipe is given yet: " + label)
        return text

    def _of_line(self, key: str) -> str:
        if key not in self.by_id:
            # no late hops, or none boiled: they give nothing
            return "0"
        line = self.line(key)
        if line["value"] is None:
            raise CoreError("waits", "Waits for: " + line["label"])
        return str(line["value"])


def _result(working: "Working", wanted: str) -> str:
    for row in working["results"]:
        if row["id"] == wanted:
            return str(row["value"])
    raise CoreError("bad-sheet", "The sum has no result called " + wanted)


def _additions(rows: "list[SheetLine]") -> "list[Addition]":
    """What goes in, by time: boil by minutes left, then whirlpool, then fermenter."""
    found: list[Addition] = []
    for line in rows:
        key = line["id"]
        for use in recipes.USES:
            start = use + "-hop-"
            if key[: len(start)] == start and key[len(start) :].isdigit():
                found.append(
                    {"use": use, "minutes": line.get("minutes", ""), "line": key, "label": line["label"]}
                )
    return found


def brew_sheet(recipe: object, settings: dict[str, str]) -> "Sheet":
    """The sheet of a recipe with the site's settings `{name: text}`.

    `per` says whether a line holds for
    one brew or for the whole gyle. A recipe with faults gives the lines that can be worked all the same. Never raises.
    Example: 1200 L of 1.042 with 40 L left behind at 75 %, malt of 79 %: 228.9 kg of malt.
    """
    shaped, faults = recipes.read(recipe)
    sheet = _Sheet(shaped, settings)
    rows = [sheet.line(row["id"]) for row in sheet.rows]
    return {
        "recipe": shaped.get("id"),
        "version": shaped.get("version"),
        "name": shaped.get("name", ""),
        "brews": shaped.get("brews", "1"),
        "stages": [(key, title) for key, title in sheetlines.STAGES],
        "lines": rows,
        "additions": _additions(rows),
        "faults": faults,
    }


def targets(sheet: "Sheet") -> dict[str, str]:
    """The sheet's figures by line, for what is asked on opening a run: `{line: text}`."""
    return {line["id"]: line["value"] for line in sheet["lines"] if line["value"] is not None}
