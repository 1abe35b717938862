"""A value worked from another, or judged by it, counts only while that other is what it was."""

import copy
from functools import cache
from typing import Any

import pytest

from tests.core.walker import RefusedError, ask
from tests.library.test_walk import LIBRARY, Hand, asked_of, readings_of
from vesselside.core.run.procedure import footing

PROCEDURES = {row["id"]: row for row in LIBRARY.procedures}


def hand(name: str) -> Hand:
    procedure = PROCEDURES[name]
    return Hand(
        procedure, LIBRARY.cautions, inputs_given=asked_of(procedure), readings=readings_of(procedure)
    )


def up_to(walker: Hand, step: str) -> None:
    while walker.view["next"] and walker.view["steps"][step]["status"] != "done":
        walker.do(walker.view["next"])


def field(walker: Hand, name: str) -> dict[str, Any]:
    step, _, entry = name.partition(".")
    return walker.view["steps"][step]["entries"][entry]


def said(walker: Hand) -> list[str]:
    return [row["code"] for row in walker.view["findings"]]


@pytest.fixture
def titrated() -> Hand:
    """A clean titrated on target at 5.2 and 5.4 mL: 2.00 %."""
    walker = hand("fermenter-caustic-clean")
    up_to(walker, "strength-start")
    assert field(walker, "strength-start.strength")["value"] == "2.00"
    return walker


def test_an_end_point_entered_again_voids_the_strength_and_reopens_the_step(titrated: Hand) -> None:
    titrated.act("enter", step="strength-start", field="first", typed="2.9", how="keyed")
    step = titrated.view["steps"]["strength-start"]
    assert step["status"] == "reopened"
    assert "void" in said(titrated)
    strength = field(titrated, "strength-start.strength")
    assert (strength["verdict"], strength["all"][0]["state"]) == (None, "void")
    assert strength["void"]
    with pytest.raises(RefusedError) as refused:
        titrated.act("done", step="strength-start")
    assert [wait["field"] for wait in refused.value.problem["waits"]] == ["strength"]


def test_worked_again_it_is_judged_by_what_counts_now(titrated: Hand) -> None:
    titrated.act("enter", step="strength-start", field="first", typed="2.9", how="keyed")
    titrated.act("enter", step="strength-start", field="strength", typed="0.16", how="worked")
    strength = field(titrated, "strength-start.strength")
    assert (strength["value"], strength["verdict"], strength["void"]) == ("0.16", "stop", "")
    assert "void" not in said(titrated)
    with pytest.raises(RefusedError):
        titrated.act("done", step="strength-start")


def test_an_end_point_struck_voids_the_strength(titrated: Hand) -> None:
    [first] = field(titrated, "strength-start.first")["events"]
    titrated.act("strike", target=first, reason="another beaker")
    assert "void" in said(titrated)
    titrated.act("enter", step="strength-start", field="first", typed="5.2", how="keyed")
    assert "void" not in said(titrated)
    assert field(titrated, "strength-start.strength")["verdict"] == "target"


def test_an_end_point_settled_otherwise_voids_the_strength(titrated: Hand) -> None:
    mine = field(titrated, "strength-start.first")["events"][0]
    base = next(event for event in titrated.events if event["id"] == mine)
    other = copy.deepcopy(base)
    other["id"], other["hlc"] = "other-0001", base["hlc"][:-4] + "0009"
    other["source"] = "/devices/other"
    other["data"] |= {"value": "2.9", "typed": "2.9", "over": []}
    titrated.events.append(other)
    titrated.events.sort(key=lambda event: (event["hlc"], event["id"]))
    titrated.reopen()
    assert titrated.view["steps"]["strength-start"]["status"] == "reopened"
    titrated.act("settle", step="strength-start", field="first", chosen="other-0001", reason="read twice")
    assert field(titrated, "strength-start.first")["value"] == "2.9"
    assert {"void", "earlier-reopened"} & set(said(titrated))
    assert field(titrated, "strength-start.strength")["void"]


def test_the_same_value_entered_again_voids_nothing(titrated: Hand) -> None:
    titrated.act("enter", step="strength-start", field="first", typed="5,20", how="keyed")
    assert "void" not in said(titrated)


def test_what_is_worked_from_a_void_sum_is_void_with_it() -> None:
    walker = hand("fermenter-caustic-clean")
    up_to(walker, "circulate")
    walker.act("enter", step="charge", field="volume", typed="300", how="keyed")
    assert field(walker, "charge.stock")["void"]
    walker.act("enter", step="charge", field="stock", typed=proposed(walker, "charge", "stock"), how="worked")
    # the dose in the vessel is judged by the stock that was worked: it was right for the smaller charge
    assert field(walker, "dose.dosed")["void"]
    assert walker.view["steps"]["dose"]["status"] == "reopened"


def proposed(walker: Hand, step: str, entry: str) -> str:
    return str(ask("work", run=walker.run, step=step, field=entry)["proposed"])


@cache
def _walk(procedure: str) -> Hand:
    walker = hand(procedure)
    while walker.view["next"]:
        walker.do(walker.view["next"])
    return walker


def walked(procedure: str) -> Hand:
    """A run with every step done and not yet finished, each time anew."""
    walker = copy.copy(_walk(procedure))
    walker.events = list(walker.events)
    walker.reopen()
    return walker


def sums() -> list[Any]:
    """Every entry of the library that is worked from other entries: (procedure, step, field, one it is worked from)."""
    return [
        pytest.param(
            procedure["id"], step["id"], entry["id"], name, id=f"{procedure['id']}.{step['id']}.{entry['id']}"
        )
        for procedure in LIBRARY.procedures
        for step in procedure["steps"]
        for entry in step.get("entries", [])
        for name in footing((entry.get("works") or {}).get("inputs"))[:1]
    ]


@pytest.mark.parametrize(("procedure", "step", "entry", "name"), sums())
def test_no_sum_of_the_library_outlives_what_it_was_worked_from(
    procedure: str, step: str, entry: str, name: str
) -> None:
    walker = walked(procedure)
    rest, _, reading = name.partition(".")
    # what a careful person passes by, an outside client may record all the same: the reading, then the sum from it
    if not field(walker, name)["events"]:
        record(walker, rest, reading)
    if not field(walker, f"{step}.{entry}")["events"]:
        record(walker, step, entry)
    walker.reopen()
    assert field(walker, f"{step}.{entry}")["events"]
    for target in field(walker, name)["events"]:
        walker.events.append(strike(walker, target))
    walker.reopen()
    assert field(walker, f"{step}.{entry}")["void"]
    assert walker.view["steps"][step]["status"] != "done"
    assert "void" in said(walker)


def _stamped(walker: Hand, kind: str, data: dict[str, Any]) -> dict[str, Any]:
    last = walker.events[-1]
    number = len(walker.events) + 1
    walker.now += 1000
    return {
        **last,
        "id": f"outside-{number:04d}",
        "type": kind,
        "data": data,
        "number": number,
        "hlc": f"{walker.now:012x}-0000",
    }


def strike(walker: Hand, target: str) -> dict[str, Any]:
    return _stamped(walker, "struck", {"target": target, "reason": "misread"})


def record(walker: Hand, step: str, entry: str) -> None:
    """Put an entry into the record as an outside client may, where a careful person had none to make."""
    row = next(
        e for s in walker.procedure["steps"] if s["id"] == step for e in s["entries"] if e["id"] == entry
    )
    works = row.get("works")
    data = {
        "step": step, "field": entry, "value": "1", "typed": "1", "how": "worked" if works else "keyed",
        "verdict": "target", "core": "0", "over": [],
    }  # fmt: skip
    if row.get("unit"):
        data["unit"] = row["unit"]
    if works:
        data["from"] = {"calculation": works["calculation"], "inputs": {}}
    walker.events.append(_stamped(walker, "entry.made", data))
