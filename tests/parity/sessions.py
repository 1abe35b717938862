"""The sessions that every runtime must answer alike: the vectors on disk, and every calculation over its ranges.

A vector file in `tests/vectors/core` is a list of sessions `{"name", "calls": [{"name", "args", "expect"?}]}`; the
calls of one are made in order on a fresh engine. `expect` names what the answer must hold: an object may hold more.
"""

import json
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
    expect: Any = None


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


def _middle(field: dict[str, Any]) -> str:
    """A field's default, else the middle of its range."""
    if "default" in field:
        return str(field["default"])
    low, high = Decimal(field["min"]), Decimal(field["max"])
    return str(((low + high) / 2).quantize(Decimal(1).scaleb(-field["places"])))


def swept(row: dict[str, Any]) -> Session:
    """A calculation at the middle of its ranges, at both ends of each, and just past them."""
    middle = {field["id"]: _middle(field) for field in row["inputs"]}
    inputs = [middle, {}]
    for field in row["inputs"]:
        unit = Decimal(1).scaleb(-field["places"])
        low, high = Decimal(field["min"]), Decimal(field["max"])
        ends = (low, high, low - unit, high + unit)
        inputs += [{**middle, field["id"]: f"{value:f}"} for value in ends]
    return Session(
        f"calculation: {row['name']}",
        [Call("work", {"name": row["name"], "inputs": values}) for values in inputs],
    )


@cache
def sessions() -> list[Session]:
    """All of them."""
    about = Session("about", [Call("about", {})])
    return [about, *written(), *(swept(row) for row in calculations.listing())]
