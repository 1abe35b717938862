"""A run that was opened and not begun: it changes no vessel, and is put away without costing the vessel its state."""

import pytest

from vesselside.core.door.views import summary

from .builder import CAUTIONS, PROCEDURE, START, Pen, administration
from .sessions import codes, fold
from .walker import RefusedError, ask
from .world import HOUR, cleaned, filled

NOW = START + HOUR
BAY = {"id": "bay", "role": "brewer"}
CARDS = [{"id": "fv1", "name": "FV 1", "kind": "fermenter", "place": "Tank room"}]
SANITISED = cleaned("c0", "fv1", START - HOUR)
FULL = filled("f", "fv1", START - HOUR, override="e")


def board(events, *lines):
    """The row of the vessel beside what else is known of it."""
    rows = ask("load", vessels=CARDS, runs=[*lines, summary(fold(events))], now=NOW, settings={})["vessels"]
    return rows[0]


def act(events, action, **given):
    ask("open", run="r1", procedure=PROCEDURE, cautions=CAUTIONS, admin=administration(), events=events)
    return ask("prepare", run="r1", action=action, person=BAY, now=NOW, **given)


def opened(pen):
    """Opened, its first caution met, nothing recorded at a step."""
    return [pen.opened(), pen.write("caution.met", step="vent", caution="pressure", version=1)]


def test_a_run_that_is_only_opened_leaves_its_vessel_as_it_was():
    pen = Pen()
    events = opened(pen)
    assert board(events, SANITISED)["state"] == "sanitised"
    assert board(events, SANITISED)["run"] == "r1"
    assert board([*events, pen.entry("vent", "seen", "open")], SANITISED)["state"] == "cleaning"


@pytest.mark.parametrize(
    "first",
    [
        lambda pen: pen.entry("vent", "seen", "blocked", verdict="stop"),
        lambda pen: pen.write("step.skipped", step="tidy", reason="not needed"),
        lambda pen: pen.write("hold.started", step="soak", seconds=60),
        lambda pen: pen.done("tidy"),
    ],
)
def test_the_first_record_at_a_step_begins_it_even_if_it_is_struck(first):
    pen = Pen()
    made = first(pen)
    events = [*opened(pen), made]
    assert board(events)["state"] == "cleaning"
    events.append(pen.write("struck", target=made["id"], reason="wrong step"))
    assert board(events)["state"] == "cleaning"


@pytest.mark.parametrize(("line", "state"), [(SANITISED, "sanitised"), (FULL, "filled")])
def test_put_away_it_costs_the_vessel_nothing(line, state):
    pen = Pen()
    events = opened(pen)
    board(events, line)
    data = act(events, "abandon", untouched=True)["data"]
    assert data["untouched"] is True
    events.append(pen.write("run.abandoned", **data))
    told = fold(events)
    assert (told["status"], told["left"], told["reason"]) == (
        "abandoned",
        None,
        "Opened by mistake, nothing touched",
    )
    assert codes(told) == []
    row = board(events, line)
    assert row["state"] == state
    assert row["run"] != "r1"


def test_what_an_older_core_takes_of_it_is_no_safer_than_the_vessel_was():
    for line, left in ((SANITISED, "rinsed"), (FULL, "filled")):
        board(opened(Pen()), line)
        assert act(opened(Pen()), "abandon", untouched=True)["data"]["left"] == left


def test_once_anything_is_recorded_it_is_stopped_and_not_put_away():
    pen = Pen()
    events = [*opened(pen), pen.entry("vent", "seen", "open")]
    with pytest.raises(RefusedError) as refused:
        act(events, "abandon", untouched=True)
    assert refused.value.problem["code"] == "touched"
    noticed = Pen()
    events = [*opened(noticed), noticed.write("deviation.raised", step="vent", text="Hissing")]
    with pytest.raises(RefusedError):
        act(events, "abandon", untouched=True)
    assert act(opened(Pen()), "abandon", reason="pump", left="chemical")["data"] == {
        "reason": "pump",
        "left": "chemical",
    }


def test_a_record_that_another_phone_made_meanwhile_makes_it_a_run_that_was_stopped():
    pen, other = Pen(), Pen("phone-b", start=START + 2500)
    events = opened(pen)
    away = pen.write("run.abandoned", reason="mistake", left="rinsed", untouched=True, after=60_000)
    told = fold([*events, other.entry("vent", "seen", "open"), away])
    assert told["left"] == "rinsed"
    assert board([*events, other.entry("vent", "seen", "open"), away], SANITISED)["state"] == "rinsed"


def test_who_says_that_nothing_was_touched_with_no_word_at_all_is_found_out():
    pen = Pen()
    events = [*opened(pen), pen.write("run.abandoned", reason="mistake", left="rinsed", untouched="yes")]
    assert "bad-data" in codes(fold(events))
