"""The registry of calculations, and the one way to work any of them out with its working shown.

Functions live in their subject's file with a row in its `ROWS`; this file gathers the rows.
"""

from vesselside.core.ground import numbers
from vesselside.core.ground.errors import CoreError

from . import inputs
from .brewhouse import (
    bitterness,
    chlorine,
    colour,
    copper,
    extract,
    gravity,
    isomerisation,
    liquor,
    mash,
    mash_ph,
    planning,
    runoff,
    salts,
    wort,
)
from .cellar import alcohol, carbonation, doors, fermentation, forecast, hops, yeast
from .cleaning import (
    caustic,
    caustic_gas,
    caustic_heat,
    circuit,
    contact,
    effluent,
    footprint,
    peracetic,
    rinse,
)
from .office import duty, losses, units
from .packaging import control, dating, fills, oxygen, quantity, seams
from .sources import cited

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Mapping
    from typing import Any

    from vesselside.core.shapes import Figure, GivenFigure, SumFault, Working

ROUNDING = "Worked in full, rounded once when shown, halves away from zero."

SUBJECTS = (
    planning, liquor, salts, chlorine, colour, mash, mash_ph, runoff, gravity, extract, wort, copper, bitterness,
    isomerisation, hops, yeast, alcohol, fermentation, forecast, carbonation, doors, caustic, caustic_heat, caustic_gas,
    contact, rinse, circuit, peracetic, effluent, footprint, seams, fills, quantity, control, oxygen, dating, duty,
    losses, units,
)  # fmt: skip
"""The subject files, in the order of a brew."""


def _gather() -> "dict[str, dict[str, Any]]":
    rows: dict[str, dict[str, Any]] = {}
    for subject in SUBJECTS:
        for row in subject.ROWS:
            rows[row["name"]] = row
    return rows


_ROWS = _gather()
_NAMES = sorted(_ROWS)


def listing() -> "list[dict[str, Any]]":
    """Every calculation without its function, ordered by name; safe for JSON."""
    rows = []
    for name in _NAMES:
        row = {}
        for key in _ROWS[name]:
            if key != "function":
                row[key] = _ROWS[name][key]
        rows.append(row)
    return rows


def find(name: str) -> "dict[str, Any]":
    """The row of a calculation; CoreError `unknown-calculation` otherwise."""
    row = _ROWS.get(name)
    if row is None:
        raise CoreError("unknown-calculation", "There is no sum called " + str(name)[:40])
    return row


def _lines(rows: "list[Any]", found: "dict[str, Any]") -> "list[Figure]":
    lines: list[Figure] = []
    for key, label, unit, places in rows:
        value = found[key] if places is None else numbers.text(found[key], places)
        lines.append({"id": key, "label": label, "value": value, "unit": unit})
    return lines


def faults(name: str, given: "Mapping[str, object]") -> "list[SumFault]":
    """Everything wrong with the inputs given to a calculation, `{code, text, field}` in the order they are asked for.

    Each input is judged alone; one that has not been given yet is no fault.
    """
    found: list[SumFault] = []
    for field in find(name)["inputs"]:
        try:
            inputs.read(field, given.get(field["id"]))
        except CoreError as error:
            if error.code != "needed":
                found.append({"code": error.code, "text": error.text, "field": field["id"]})
    return found


def work(name: str, given: "Mapping[str, object]") -> "Working":
    """Work `name` out from what is given by input id, as text or rows of text, and show how.

    Returns `{calculation, title, inputs, formula, steps, results, rounding, sources, assumptions, marks}`; lines are
    `{id, label, value, unit}` with decimal texts, and `rows` for a series; the first result is the main one. CoreError
    names the input at fault and says what holds.
    """
    row = find(name)
    lines: list[GivenFigure] = []
    arguments: dict[str, object] = {}
    for field in row["inputs"]:
        arguments[field["id"]], line = inputs.read(field, given.get(field["id"]))
        lines.append(line)
    found = row["function"](**arguments)
    if not isinstance(found, dict):
        found = {row["results"][0][0]: found}
    return {
        "calculation": name,
        "title": row["title"],
        "inputs": lines,
        "formula": row["formula"],
        "steps": _lines(row["steps"], found),
        "results": _lines(row["results"], found),
        "rounding": ROUNDING,
        "sources": cited(row["sources"]),
        "assumptions": list(row["assumptions"]),
        "marks": list(found.get("marks", [])),
    }
