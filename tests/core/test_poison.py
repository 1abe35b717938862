"""Records that once stopped the fold, each a single one that any phone could sign. Every one is now a finding."""

from typing import Any

import pytest

from tests.core.builder import PROCEDURE, Pen, administration
from tests.core.test_void import hand, up_to
from vesselside.core.door import views
from vesselside.core.ground import days
from vesselside.core.ground.errors import CoreError
from vesselside.core.sums import calculations
from vesselside.library import load

CHECKS = next(row for row in load().procedures if row["id"] == "instrument-checks")


def fold(events: list[dict[str, Any]], procedure: dict[str, Any] | None = PROCEDURE) -> dict[str, Any]:
    return views.fold("r1", events, procedure, administration())


def codes(state: dict[str, Any]) -> list[str]:
    return [row["code"] for row in state["findings"]]


def test_a_null_is_no_way_to_leave_a_field_out() -> None:
    pen = Pen()
    opened = pen.opened() | {
        "data": {**pen.opened()["data"], "procedure": CHECKS["id"], "version": CHECKS["version"]}
    }
    step, entry = next(
        (step, entry)
        for step in CHECKS["steps"]
        for entry in step.get("entries", [])
        if entry.get("verifies") and entry["kind"] == "reading"
    )
    bad = pen.entry(step["id"], entry["id"], "9.9", verdict="stop", instrument="ph-1")
    bad["data"]["unit"] = None
    state = fold([opened, bad], CHECKS)
    assert "bad-data" in codes(state)
    assert state["steps"][step["id"]]["entries"][entry["id"]]["all"][0]["unit"] == ""
    views.summary(state)


@pytest.mark.parametrize("day", ["20²6-11-25", "२०२६-११-२५", "2026-1①-25"])
def test_a_date_is_written_in_the_digits_0_to_9(day: str) -> None:
    with pytest.raises(CoreError) as wrong:
        days.parse(day)
    assert wrong.value.code == "not-a-date"
    with pytest.raises(CoreError):
        calculations.work("lot-mark", {"packed": day, "line": "1", "gyle": "1"})


def test_a_clock_far_ahead_is_found_and_its_receipt_stands_in_its_place() -> None:
    events = Pen().clean()
    for event in events:
        event["recordedtime"] = "2026-09-21T18:00:00.000Z"
        event["sequence"] = "0000000000000100"
    events[-1] |= {"time": "9999-12-31T23:59:59.999Z", "hlc": "e677d21fdbff-0000"}
    state = fold(events)
    assert codes(state) == ["clock-ahead"]
    line = views.summary(state)
    assert state["finished"]["time"] == "9999-12-31T23:59:59.999Z"
    assert line["finished"]["time"] == "2026-09-21T18:00:00.000Z"
    assert max(row["time"] for row in line["life"]) < 1_800_000_000_000


def test_a_person_corrects_a_reading_a_few_dozen_times_and_no_more() -> None:
    pen = Pen()
    events = pen.clean()[:4]
    over: list[str] = []
    for number in range(195):
        events.append(pen.entry("strength", "percent", f"2.{number % 5}", "%", over=over))
        over = [*over, events[-1]["id"]][-128:]
    state = fold(events)
    field = state["steps"]["strength"]["entries"]["percent"]
    assert len(field["all"]) == 64
    assert field["status"] == "live"
    assert codes(state).count("too-many") == 195 - 64


def test_naming_more_records_than_can_be_weighed_is_bad_data() -> None:
    pen = Pen()
    over = [f"x-{number}" for number in range(129)]
    state = fold([*pen.clean()[:4], pen.entry("strength", "percent", "2.0", "%", over=over)])
    assert codes(state) == ["bad-data"]


@pytest.mark.parametrize("row", calculations.listing(), ids=lambda row: row["name"])
def test_no_table_is_longer_than_its_calculation_says(row: dict[str, Any]) -> None:
    tables = [field for field in row["inputs"] if field.get("kind") == "series"]
    for field in tables:
        rows = [["1"] * len(field["columns"])] * (field["most"] + 1)
        faults = calculations.faults(row["name"], {field["id"]: rows})
        assert [fault["code"] for fault in faults] == ["too-many"]


def test_whoever_has_seen_more_than_there_was_is_found() -> None:
    pen = Pen()
    events = pen.clean()[:4]
    events[-1] |= {"seen": "9999999999999999", "sequence": "0000000000000012"}
    assert codes(fold(events)) == ["seen-ahead"]


def test_a_deviation_does_not_carry_a_void_sum_over_its_step() -> None:
    walker = hand("fermenter-caustic-clean")
    up_to(walker, "strength-start")
    walker.act("enter", step="strength-start", field="first", typed="2.9", how="keyed")
    walker.act("deviate", step="strength-start", text="The burette leaks.")
    assert walker.view["steps"]["strength-start"]["status"] == "reopened"
