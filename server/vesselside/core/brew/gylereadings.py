"""What was read of a gyle, by measure and brew, and how far that is from the sheet.

Readings are the live entries of the gyle's runs whose procedures say what they measure. The runs come in the order they
were opened; the nth run that measures a thing measures the nth brew of it.
"""

from vesselside.core.ground import numbers
from vesselside.core.ground.errors import CoreError

from . import measures


def minus(first: str, second: str) -> str:
    """The exact difference of two decimal texts. Example: `1.0415` less `1.0420` is `-0.0005`."""
    return numbers.plus(first, second[1:] if second[:1] == "-" else "-" + second)


def _live(field: dict) -> list:
    return [row for row in field["all"] if row["state"] == "live"]


def _of_run(row: dict) -> list:
    """The readings of one run: `[{measure, value, unit, time, person, run, step, field, series}]`."""
    found = []
    view = row["run"]
    for step in (row.get("procedure") or {}).get("steps", []):
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
                    }
                )  # fmt: skip
    return found


def _measured(procedure: dict | None) -> set:
    found = set()
    for step in (procedure or {}).get("steps", []):
        for entry in step.get("entries", []):
            if "measures" in entry:
                found.add(entry["measures"])
    return found


def readings(runs: list, brews: int) -> list:
    """All readings of a gyle's runs `[{run: view, procedure}]`, each with its `brew`, 1 to `brews`, in their order.

    A run that was given up counts only where it holds a reading.
    """
    seen: dict = {}
    found = []
    for row in runs:
        mine = _of_run(row)
        read = set([reading["measure"] for reading in mine])
        counted = read if row["run"]["status"] == "abandoned" else read | _measured(row.get("procedure"))
        for measure in sorted(counted):
            seen[measure] = seen.get(measure, 0) + 1
        for reading in mine:
            reading["brew"] = min(brews, seen[reading["measure"]])
            found.append(reading)
    return found


def latest(found: list) -> dict:
    """The reading that counts, by `(measure, brew)`: the last made; of a series, too."""
    held: dict = {}
    for reading in found:
        key = (reading["measure"], reading["brew"])
        before = held.get(key)
        if before is None or (before["time"], before["run"]) <= (reading["time"], reading["run"]):
            held[key] = reading
    return held


def _total(parts: list) -> str:
    total = "0"
    for reading in parts:
        total = numbers.plus(total, reading["value"])
    return total


def actuals(found: list) -> dict:
    """What counts as read, by measure and brew: `{(measure, brew): reading}`; weights keyed one by one are added up."""
    held = latest(found)
    for key in held:
        parts = [row for row in found if row["series"] and (row["measure"], row["brew"]) == key]
        if len(parts) > 1 and measures.unit(key[0]) == "kg":
            whole = dict(held[key])
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


def rows(sheet: dict, held: dict, brews: int) -> list:
    """Planned against actual: `[{id, stage, label, unit, per, planned, actual: [{brew, value, difference, …}]}]`.

    Lines of the sheet come first, then what was read that no sheet plans; what changes by the day is left to the curve.
    """
    found = []
    planned = set()
    for line in sheet["lines"]:
        planned.add(line["id"])
        found.append(_row(line, line["value"], held, brews))
    for measure, stage, label, unit in measures.MEASURED:
        if measure not in planned and measure[-4:] != "-now":
            line = {"id": measure, "stage": stage, "label": label, "unit": unit, "per": "brew"}
            row = _row(line, None, held, brews)
            if row["actual"]:
                found.append(row)
    return found


def _row(line: dict, planned: str | None, held: dict, brews: int) -> dict:
    actual = []
    for brew in range(1, brews + 1):
        reading = held.get((line["id"], brew))
        if reading is not None:
            made = {
                name: reading[name] for name in ("brew", "value", "time", "person", "run", "step", "field")
            }
            made["difference"] = _difference(reading["value"], planned)
            actual.append(made)
    row = {name: line[name] for name in ("id", "stage", "label", "unit", "per")}
    row["planned"] = planned
    row["actual"] = actual
    return row
