"""What was read of a gyle, by measure and brew, and how far that is from the sheet.

Readings are the live entries of the gyle's runs whose procedures say what they measure. The runs come in the order they
were opened; the nth run that measures a thing measures the nth brew of it.
"""

from vesselside.core.ground import numbers
from vesselside.core.ground.errors import CoreError

from . import measures

TYPE_CHECKING = False
if TYPE_CHECKING:
    from vesselside.core.shapes import (
        Actual,
        ByBrew,
        EntryRecord,
        FieldView,
        GyleReading,
        OpenedRun,
        Planned,
        Procedure,
        SheetLine,
    )


def minus(first: str, second: str) -> str:
    """The exact difference of two decimal texts. Example: `1.0415` less `1.0420` is `-0.0005`."""
    return numbers.plus(first, second[1:] if second[:1] == "-" else "-" + second)


def _live(field: "FieldView") -> "list[EntryRecord]":
    return [row for row in field["all"] if row["state"] == "live"]


def _of_run(row: "OpenedRun") -> "list[GyleReading]":
    """The readings of one run, as if it were the first brew."""
    found: list[GyleReading] = []
    view = row["run"]
    procedure = row["procedure"]
    for step in procedure["steps"] if procedure else []:
        held = view["steps"].get(step["id"])
        if held is None:
            continue
        for entry in step.get("entries", []):
            if "measures" not in entry or entry["id"] not in held["entries"]:
                continue
            for made in _live(held["entries"][entry["id"]]):
                found.append(
                    {
                        "measure": entry["measures"], "value": made["value"], "unit": entry.get("unit", ""),
                        "time": made["time"], "person": made["person"], "run": view["id"], "step": step["id"],
                        "field": entry["id"], "series": bool(entry.get("series")),
                        "brew": 1,
                    }
                )  # fmt: skip
    return found


def _measured(procedure: "Procedure | None") -> set[str]:
    found: set[str] = set()
    for step in procedure["steps"] if procedure else []:
        for entry in step.get("entries", []):
            if "measures" in entry:
                found.add(entry["measures"])
    return found


def readings(runs: "list[OpenedRun]", brews: int) -> "list[GyleReading]":
    """All readings of a gyle's runs `[{run: view, procedure}]`, each with its `brew`, 1 to `brews`, in their order.

    A run that was given up counts only where it holds a reading.
    """
    seen: dict[str, int] = {}
    found: list[GyleReading] = []
    for row in runs:
        mine = _of_run(row)
        read = set([reading["measure"] for reading in mine])
        counted = read if row["run"]["status"] == "abandoned" else read | _measured(row["procedure"])
        for measure in sorted(counted):
            seen[measure] = seen.get(measure, 0) + 1
        for reading in mine:
            reading["brew"] = min(brews, seen[reading["measure"]])
            found.append(reading)
    return found


def latest(found: "list[GyleReading]") -> "ByBrew":
    """The reading that counts, by `(measure, brew)`: the last made; of a series, too."""
    held: ByBrew = {}
    for reading in found:
        key = (reading["measure"], reading["brew"])
        before = held.get(key)
        if before is None or (before["time"], before["run"]) <= (reading["time"], reading["run"]):
            held[key] = reading
    return held


def _total(parts: "list[GyleReading]") -> str:
    total = "0"
    for reading in parts:
        total = numbers.plus(total, reading["value"])
    return total


def actuals(found: "list[GyleReading]") -> "ByBrew":
    """What counts as read, by measure and brew: `{(measure, brew): reading}`; weights keyed one by one are added up."""
    held = latest(found)
    for key in held:
        parts = [row for row in found if row["series"] and (row["measure"], row["brew"]) == key]
        if len(parts) > 1 and measures.unit(key[0]) == "kg":
            whole = held[key].copy()
            whole["value"] = _total(parts)
            held[key] = whole
    return held


def _difference(value: str, planned: str | None) -> str | None:
    if planned is None:
        return None
    try:
        return minus(value, planned)
    except CoreError:
        # an entry that is no number is shown beside the plan as it is
        return None


def rows(lines: "list[SheetLine]", held: "ByBrew", brews: int) -> "list[Planned]":
    """Planned against actual.

    Lines of the sheet come first, then what was read that no sheet plans; what changes by the day is left to the curve.
    """
    found: list[Planned] = []
    planned: set[str] = set()
    for line in lines:
        planned.add(line["id"])
        row: Planned = {
            "id": line["id"],
            "stage": line["stage"],
            "label": line["label"],
            "unit": line["unit"],
            "per": line["per"],
            "planned": line["value"],
            "actual": _actual(line["id"], line["value"], held, brews),
        }
        found.append(row)
    for measure, stage, label, unit in measures.MEASURED:
        if measure not in planned and measure[-4:] != "-now":
            row = {
                "id": measure, "stage": stage, "label": label, "unit": unit, "per": "brew", "planned": None,
                "actual": _actual(measure, None, held, brews),
            }  # fmt: skip
            if row["actual"]:
                found.append(row)
    return found


def _actual(line: str, planned: str | None, held: "ByBrew", brews: int) -> "list[Actual]":
    actual: list[Actual] = []
    for brew in range(1, brews + 1):
        reading = held.get((line, brew))
        if reading is not None:
            made: Actual = {
                "brew": reading["brew"],
                "value": reading["value"],
                "time": reading["time"],
                "person": reading["person"],
                "run": reading["run"],
                "step": reading["step"],
                "field": reading["field"],
                "difference": _difference(reading["value"], planned),
            }
            actual.append(made)
    return actual
