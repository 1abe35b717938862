"""Order, needs, locks and limits that keep a person from harm, held against the procedures as data."""

from typing import Any

import pytest

from vesselside.core.run.procedure import Plan
from vesselside.library import load

LIBRARY = load()
PROCEDURES = {row["id"]: row for row in LIBRARY.procedures}


def step(procedure: str, key: str) -> dict[str, Any]:
    """A step of a procedure."""
    found: dict[str, Any] = next(row for row in PROCEDURES[procedure]["steps"] if row["id"] == key)
    return found


def before(procedure: str, key: str) -> set[str]:
    """Every step that `key` waits for, directly or through others."""
    plan = Plan(PROCEDURES[procedure])
    found: set[str] = set()
    todo = list(plan.needs[key])
    while todo:
        need = todo.pop()
        if need not in found:
            found.add(need)
            todo.extend(plan.needs[need])
    return found


def entries(row: dict[str, Any]) -> list[str]:
    """The entries of a step, in order."""
    return [entry["id"] for entry in row.get("entries", [])]


def entry(procedure: str, key: str, field: str) -> dict[str, Any]:
    """An entry of a step."""
    found: dict[str, Any] = next(row for row in step(procedure, key)["entries"] if row["id"] == field)
    return found


def interlocks(row: dict[str, Any]) -> set[str]:
    """What a step asks, so that it stops."""
    return {ask["interlock"] for ask in row.get("asks", []) if not ask.get("warns")}


def reads_gas(row: dict[str, Any]) -> bool:
    """Whether the room's CO2 is read at a step, by nobody's leave above the limit."""
    read = [made for made in row.get("entries", []) if made.get("instrument") == "gas-monitor"]
    return bool(read) and "gas" in interlocks(row)


VENTED = [
    pytest.param(name, row["id"], id=f"{name}-{row['id']}")
    for name, procedure in PROCEDURES.items()
    for row in procedure["steps"]
    if "pressure" in interlocks(row)
]


@pytest.mark.parametrize(("name", "key"), VENTED)
def test_the_room_is_read_before_or_as_a_tank_is_vented(name: str, key: str) -> None:
    row = step(name, key)
    if any(reads_gas(step(name, need)) for need in before(name, key)):
        return
    assert reads_gas(row)
    read = entries(row)
    assert read.index("room") < read.index("flow")


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("fermenter-caustic-clean", "vent-open"), ("fermenter-sanitise", "vent-open"),
        ("bright-caustic-clean", "vent-open"), ("beer-stone-removal", "vent-open"),
        ("aborted-clean-made-safe", "vent-open"), ("cast-and-pitch", "vent-open"), ("yeast-vessel-clean", "vent-open"),
    ],
)  # fmt: skip
def test_extraction_and_the_way_out_of_the_gas_come_before_the_vent(name: str, key: str) -> None:
    row = step(name, key)
    assert entries(row)[:2] == ["extraction", "room"]
    assert "co2-room" in row["cautions"]
    assert row["never_locked"]
