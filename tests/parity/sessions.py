"""The sessions that every runtime must answer alike: the vectors on disk, and every calculation over its ranges.

A vector file in `tests/vectors/core` is a list of sessions `{"name", "calls": [{"name", "args"}]}`; the calls of one
are made in order on a fresh engine.
"""

import json
import random
from datetime import date, timedelta
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from tests.core import mutated
from vesselside import library
from vesselside.core.sums import calculations

VECTORS = Path(__file__).resolve().parents[1] / "vectors" / "core"


class Call(NamedTuple):
    """One call of the bridge."""

    name: str
    args: dict[str, Any]
    expect: Any = None  # what tests/vectors/test_sums.py holds CPython to


class Session(NamedTuple):
    """Calls made in order on one engine."""

    name: str
    calls: list[Call]


def written() -> list[Session]:
    """The vectors on disk."""
    return [
        Session(f"{path.stem}: {session['name']}", [Call(**call) for call in session["calls"]])
        for path in sorted(VECTORS.glob("*.json"))
        for session in json.loads(path.read_text())
    ]


def _between(field: dict[str, Any], share: float, dice: random.Random) -> Any:
    """What one input is given: a number that lies a share of the way up its range, or what its kind asks for."""
    match field.get("kind", "number"):
        case "choice":
            return field["options"][int(share * len(field["options"]))][0]
        case "date":
            return f"{date(2024, 1, 1) + timedelta(days=int(share * 2000))}"
        case "series":
            return _rows(field, dice)
    low, high = Decimal(field["min"]), Decimal(field["max"])
    return f"{(low + (high - low) * Decimal(share)).quantize(Decimal(1).scaleb(-field['places'])):f}"


def _rows(field: dict[str, Any], dice: random.Random) -> list[list[str]]:
    """Rows of a series, one or two more than it needs, the first column rising where it must."""
    many = field["rows"] + dice.randrange(3)
    rising = sorted(dice.random() for _ in range(many))
    return [
        [
            _between(column, rising[at] if field.get("rising") and not place else dice.random(), dice)
            for place, column in enumerate(field["columns"])
        ]
        for at in range(many)
    ]


def _middle(row: dict[str, Any]) -> dict[str, Any]:
    dice = random.Random(row["name"])
    return {field["id"]: field.get("default", _between(field, 0.5, dice)) for field in row["inputs"]}


def _drawn(row: dict[str, Any], dice: random.Random) -> dict[str, Any]:
    """Inputs drawn from their ranges; what may be left out is left out now and then."""
    drawn = {field["id"]: _between(field, dice.random(), dice) for field in row["inputs"]}
    left_out = [field["id"] for field in row["inputs"] if field.get("optional") and dice.random() < 0.4]
    return {key: value for key, value in drawn.items() if key not in left_out}


def _ends(field: dict[str, Any], middle: Any, steps: int) -> list[Any]:
    """What one input is given at both ends of its range, or so many steps of its last place past them."""
    kind = field.get("kind", "number")
    if kind == "series":
        cells = [
            (at, end) for at, column in enumerate(field["columns"]) for end in _ends(column, middle, steps)
        ]
        return [[[*middle[0][:at], end, *middle[0][at + 1 :]], *middle[1:]] for at, end in cells]
    if kind != "number":
        return []
    step = steps * Decimal(1).scaleb(-field["places"])
    return [f"{Decimal(field['min']) - step:f}", f"{Decimal(field['max']) + step:f}"]


def past(row: dict[str, Any]) -> list[dict[str, Any]]:
    """Inputs of which one lies just past an end of its range."""
    middle = _middle(row)
    return [
        {**middle, field["id"]: end}
        for field in row["inputs"]
        for end in _ends(field, middle[field["id"]], 1)
    ]


def swept(row: dict[str, Any]) -> Session:
    """A calculation with nothing given, at both ends of each range, just past them, and at places drawn between."""
    middle = _middle(row)
    ends = [
        {**middle, field["id"]: end}
        for field in row["inputs"]
        for end in _ends(field, middle[field["id"]], 0)
    ]
    dice = random.Random(row["name"])
    drawn = [_drawn(row, dice) for _ in range(16)]
    return Session(
        f"calculation: {row['name']}",
        [
            Call("work", {"name": row["name"], "inputs": inputs})
            for inputs in [*past(row), {}, middle, *ends, *drawn]
        ],
    )


def _spoilt_names() -> dict[str, tuple[str, int]]:
    named = [(row["id"], 9700 + at) for at, row in enumerate(library.load().procedures)]
    return {f"spoilt: {name}, seed {seed}": (name, seed) for name, seed in named}


def spoilt() -> list[Session]:
    """A real run of each procedure that ships with some of its records spoilt, and all that is asked about it."""
    return [
        Session(name, [Call(*call) for call in mutated.calls(procedure, events)])
        for name, (procedure, seed) in _spoilt_names().items()
        for events in [mutated.spoilt(procedure, random.Random(seed))]
    ]


def names() -> list[str]:
    """What each is called, in their order: known without walking through every procedure."""
    drawn = [f"calculation: {row['name']}" for row in calculations.listing()]
    return ["about", *(session.name for session in written()), *_spoilt_names(), *drawn]


@cache
def sessions() -> dict[str, Session]:
    """All of them, by name."""
    about = Session("about", [Call("about", {})])
    made = [about, *written(), *spoilt(), *(swept(row) for row in calculations.listing())]
    return {session.name: session for session in made}
