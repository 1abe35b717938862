"""The registry of calculations, and the one way to work any of them out with its working shown.

Functions live in their subject's file with a row in its `ROWS`; this file gathers the rows.
"""

from . import cleaning, gravity, liquor, mash, numbers, packaging
from .errors import CoreError
from .sources import cited

ROUNDING = "Worked in full, rounded once when shown, halves away from zero."


def _gather() -> dict:
    rows: dict = {}
    for subject in (liquor, mash, gravity, cleaning, packaging):
        for row in subject.ROWS:
            rows[row["name"]] = row
    return rows


_ROWS = _gather()
_NAMES = sorted(_ROWS)


def listing() -> list[dict]:
    """Every calculation without its function, ordered by name; safe for JSON."""
    rows = []
    for name in _NAMES:
        row = {}
        for key in _ROWS[name]:
            if key != "function":
                row[key] = _ROWS[name][key]
        rows.append(row)
    return rows


def find(name: str) -> dict:
    """The row of a calculation; CoreError `unknown-calculation` otherwise."""
    row = _ROWS.get(name)
    if row is None:
        raise CoreError("unknown-calculation", "There is no sum called " + str(name)[:40])
    return row


def _given(field: dict, inputs: dict) -> str:
    text = inputs.get(field["id"])
    if text is None or text == "":
        text = field.get("default")
    if text is None:
        raise CoreError("needed", "Enter: " + field["label"], field=field["id"])
    value = numbers.parse(text)
    if numbers.compare(value, field["min"]) < 0 or numbers.compare(value, field["max"]) > 0:
        unit = " " + field["unit"] if field["unit"] else ""
        text = field["label"] + " is " + value + unit + "; this sum holds from "
        raise CoreError(
            "out-of-range", text + field["min"] + " to " + field["max"] + unit + ".", field=field["id"]
        )
    return value


def _line(key: str, label: str, value: str, unit: str) -> dict:
    return {"id": key, "label": label, "value": value, "unit": unit}


def _lines(rows: list, found: dict) -> list[dict]:
    return [_line(key, label, numbers.text(found[key], places), unit) for key, label, unit, places in rows]


def work(name: str, inputs: dict) -> dict:
    """Work `name` out from decimal texts by input id, and show how.

    Returns `{calculation, title, inputs, formula, steps, results, rounding, sources, assumptions, marks}`; values are
    decimal texts, lines are `{id, label, value, unit}`, the first result is the main one. CoreError `needed`,
    `not-a-number` or `out-of-range` names the input at fault and the range that holds.
    """
    row = find(name)
    shown = []
    arguments = {}
    for field in row["inputs"]:
        text = _given(field, inputs)
        arguments[field["id"]] = numbers.value(text)
        shown.append(_line(field["id"], field["label"], text, field["unit"]))
    found = row["function"](**arguments)
    if not isinstance(found, dict):
        found = {row["results"][0][0]: found}
    return {
        "calculation": name,
        "title": row["title"],
        "inputs": shown,
        "formula": row["formula"],
        "steps": _lines(row["steps"], found),
        "results": _lines(row["results"], found),
        "rounding": ROUNDING,
        "sources": cited(row["sources"]),
        "assumptions": list(row["assumptions"]),
        "marks": list(found.get("marks", [])),
    }
