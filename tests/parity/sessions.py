"""The sessions that every runtime must answer alike: the vectors on disk, and every calculation over its ranges.

A vector file in `tests/vectors/core` is a list of sessions `{"name", "calls": [{"name", "args"}]}`; the calls of one
are made in order on a fresh engine.
"""

import json
import random
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from vesselside.core import calculations

VECTORS = Path(__file__).resolve().parents[1] / "vectors" / "core"


class Call(NamedTuple):
    """One call of the bridge."""

    name: str
    args: dict[str, Any]


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


def _between(field: dict[str, Any], share: float) -> str:
    """The value that lies a share of the way up a field's range, to its places."""
    low, high = Decimal(field["min"]), Decimal(field["max"])
    return f"{(low + (high - low) * Decimal(share)).quantize(Decimal(1).scaleb(-field['places'])):f}"


def _drawn(row: dict[str, Any], dice: random.Random) -> dict[str, str]:
    """Inputs drawn from their ranges; what may be left out is left out now and then."""
    drawn = {field["id"]: _between(field, dice.random()) for field in row["inputs"]}
    left_out = [field["id"] for field in row["inputs"] if field.get("optional") and dice.random() < 0.4]
    return {key: value for key, value in drawn.items() if key not in left_out}


def past(row: dict[str, Any]) -> list[dict[str, str]]:
    """Inputs of which one lies just past an end of its range."""
    middle = {field["id"]: _between(field, 0.5) for field in row["inputs"]}
    ends = [(field, sign) for field in row["inputs"] for sign in (-1, 1)]
    beyond = []
    for field, sign in ends:
        unit = sign * Decimal(1).scaleb(-field["places"])
        beyond.append({**middle, field["id"]: f"{Decimal(field['min' if sign < 0 else 'max']) + unit:f}"})
    return beyond


def swept(row: dict[str, Any]) -> Session:
    """A calculation with nothing given, at both ends of each range, just past them, and at places drawn between."""
    middle = {field["id"]: field.get("default", _between(field, 0.5)) for field in row["inputs"]}
    ends = [{**middle, field["id"]: field[end]} for field in row["inputs"] for end in ("min", "max")]
    dice = random.Random(row["name"])
    drawn = [_drawn(row, dice) for _ in range(40)]
    return Session(
        f"calculation: {row['name']}",
        [
            Call("work", {"name": row["name"], "inputs": inputs})
            for inputs in [*past(row), {}, middle, *ends, *drawn]
        ],
    )


@cache
def sessions() -> list[Session]:
    """All of them."""
    about = Session("about", [Call("about", {})])
    return [about, *written(), *(swept(row) for row in calculations.listing())]
