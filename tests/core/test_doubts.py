"""Instruments: which one a reading is made with, what its checks say of it, and what a failed one puts in doubt."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vesselside.core.door import views
from vesselside.core.plant import doubts, interlocks, states
from vesselside.core.plant.known import Known
from vesselside.core.run.authority import Administration
from vesselside.core.run.instruments import KINDS, proposed, read
from vesselside.core.run.ledger import Run

from .builder import SEEN, START, Pen
from .metering import (
    BENCH,
    CARDS,
    DAY,
    admin,
    card,
    changed,
    checked,
    failing,
    full,
    reading,
    summary,
    used,
)
from .world import HOUR, cleaned, filled, line, row

LATER = "0000000000000009"


def in_doubt(*lines):
    return [told["run"] for told in doubts.found(list(lines), doubts.checks_of(lines), CARDS)]


def state(lines, now, cards=CARDS, which="ph-1"):
    told = doubts.found(lines, doubts.checks_of(lines), cards)
    return next(row for row in doubts.states(cards, doubts.checks_of(lines), told, now) if row["id"] == which)


def test_a_failed_check_puts_what_was_read_since_the_last_good_one_in_doubt_and_all_after_it_until_a_good_one():
    runs = [
        used("before", START), full("good", START + DAY), used("between", START + 2 * DAY),
        used("other", START + 2 * DAY, with_="ph-2"), failing("bad", START + 3 * DAY), used("after", START + 4 * DAY),
        full("mended", START + 5 * DAY), used("later", START + 6 * DAY),
    ]  # fmt: skip
    assert in_doubt(*runs) == ["after", "between"]
    assert in_doubt(*runs[:3]) == []
    (told,) = [row for row in doubts.found(runs, doubts.checks_of(runs), CARDS) if row["run"] == "between"]
    assert (told["code"], told["event"]) == ("instrument-doubt", "d-between-0001")
    assert "PH-1. In doubt: Ph: 7.40 pH." in told["text"]
    (row,) = told["readings"]
    assert (row["event"], row["instrument"], row["text"]) == ("d-between-0002", "ph-1", "Ph: 7.40 pH")
    assert row["found"] == told["text"]


def test_with_no_good_check_before_it_everything_is_in_doubt():
    assert in_doubt(used("first", START), failing("bad", START + 400 * DAY)) == ["first"]


def test_adjusting_it_in_the_same_run_does_not_undo_how_it_was_found():
    pen, events = checked("bad", START + 2 * DAY, "6.50", "7.01")
    events.append(pen.entry("check", "four", "4.00", "pH", instrument="ph-1"))
    runs = [
        full("good", START),
        used("between", START + DAY),
        summary("bad", events),
        used("later", START + 3 * DAY),
    ]
    assert in_doubt(*runs) == ["between"]
    assert state(runs, START + 3 * DAY)["state"] == "good"


def test_what_passes_first_and_fails_later_in_one_run_was_out_all_along():
    pen, events = checked("bad", START + 2 * DAY, "7.00")
    events.append(pen.entry("check", "four", "4.00", "pH", instrument="ph-1"))
    events.append(pen.entry("check", "four", "4.40", "pH", "stop", instrument="ph-1"))
    assert in_doubt(full("good", START), used("between", START + DAY), summary("bad", events)) == ["between"]


def test_a_check_of_another_kind_of_instrument_says_nothing_of_it():
    pen = Pen(run="other")
    events = [pen.opened(seen=LATER)]
    for field, value in (("seven", "7.00"), ("four", "4.01"), ("seven", "6.50")):
        verdict = "target" if value != "6.50" else "stop"
        events.append(pen.entry("check", field, value, "pH", verdict, instrument="tilt", seen=LATER))
    told = views.fold("other", events[:3], BENCH, admin())
    assert [row["code"] for row in told["findings"]] == ["instrument-other", "instrument-other"]
    for count in (3, 4):
        assert doubts.checks_of([summary("other", events[:count])]) == []


def test_half_a_check_is_no_good_check():
    half = summary("half", checked("half", START, "7.00")[1])
    assert state([half], START + HOUR)["last_good"] is None
    assert state([full("whole", START)], START + HOUR)["state"] == "good"


def test_striking_the_failed_check_clears_it_and_striking_the_reading_too():
    pen, events = checked("bad", START + 2 * DAY, "6.50")
    good, between = full("good", START), used("between", START + DAY)
    struck = pen.write("struck", target=events[1]["id"], reason="Wrong buffer", person="bay")
    assert in_doubt(good, between, summary("bad", events)) == ["between"]
    assert in_doubt(good, between, summary("bad", [*events, struck])) == []
    hand = Pen(device="d-x", start=START + DAY, run="x")
    made = [hand.opened(), hand.entry("rinse", "ph", "7.40", "pH", instrument="ph-1")]
    taken_back = hand.write("struck", target=made[1]["id"], reason="Misread", person="bay")
    assert in_doubt(good, summary("x", [*made, taken_back]), summary("bad", events)) == []


def test_a_kind_alone_is_no_instrument():
    assert in_doubt(used("u", START, with_="ph-meter"), failing("bad", START + DAY, with_="ph-meter")) == []


def answered(at, person="col"):
    pen = Pen(device="d-u", start=START, run="u")
    events = [pen.opened(), pen.entry("rinse", "ph", "7.40", "pH", instrument="ph-1")]
    pen.now = at
    events.append(
        pen.write("deviation.answered", deviation=events[0]["id"], action="Read again", person=person)
    )
    return summary("u", events)


def test_only_an_answer_later_than_the_failure_answers_it():
    bad = failing("bad", START + DAY)
    checks = doubts.checks_of([bad])
    (told,) = doubts.found([answered(START + 2 * DAY)], checks, CARDS)
    assert told["answered"]["action"] == "Read again"
    for early in (answered(START + HOUR), answered(START + 2 * DAY, person="bay")):
        assert doubts.found([early], checks, CARDS)[0]["answered"] is None


@pytest.mark.parametrize(
    ("runs", "cards", "now", "wanted"),
    [
        ([], CARDS, START, "due"),
        ([full("a", START)], CARDS, START + 6 * DAY, "good"),
        ([full("a", START)], CARDS, START + 8 * DAY, "due"),
        ([failing("a", START)], CARDS, START + HOUR, "failed"),
        ([failing("a", START)], [card("ph-1", in_use=False)], START + HOUR, "out"),
    ],
)
def test_an_instrument_is_good_due_failed_or_out(runs, cards, now, wanted):
    assert state(runs, now, cards)["state"] == wanted


# A month of one instrument's life: at each hour a good check, a failed one or a reading.
LIVES = st.lists(st.sampled_from(["good", "bad", "read"]), min_size=1, max_size=12)
MAKE = {"good": full, "bad": failing, "read": used}


@given(LIVES, st.randoms(use_true_random=False))
def test_the_order_of_arrival_changes_nothing_and_every_reading_beside_a_failure_is_in_doubt(life, dice):
    lines = [MAKE[what](f"r{at:02d}", START + at * HOUR) for at, what in enumerate(life)]
    wanted = []
    for at, what in enumerate(life):
        before = [other for other in life[:at] if other != "read"]
        after = [other for other in life[at + 1 :] if other != "read"]
        if what == "read" and "bad" in before[-1:] + after[:1]:
            wanted.append(f"r{at:02d}")
    shuffled = list(lines)
    dice.shuffle(shuffled)
    checks = doubts.checks_of(shuffled)
    told = doubts.found(shuffled, checks, CARDS)
    assert [row["run"] for row in told] == wanted
    assert told == doubts.found(lines, doubts.checks_of(lines), CARDS)
    now = START + 30 * HOUR
    assert doubts.states(CARDS, checks, told, now) == doubts.states(CARDS, doubts.checks_of(lines), told, now)


def test_the_events_of_one_run_fold_alike_in_any_order():
    pen, events = checked("bad", START, "6.50", "7.01")
    events.append(pen.entry("rinse", "ph", "7.40", "pH", instrument="ph-1"))
    whole = summary("bad", events)
    for seed in range(6):
        mixed = list(events)
        random.Random(seed).shuffle(mixed)
        assert summary("bad", mixed) == whole


def test_a_vessel_proved_with_a_reading_in_doubt_says_so_until_it_is_filled_or_answered():
    now = START + 4 * HOUR
    clean = {**cleaned("c", "fv1", START + HOUR), "instruments": used("c", START)["instruments"]}
    bad = failing("bad", START + 2 * HOUR)
    vessel = {"id": "fv1", "name": "FV 1", "kind": "fermenter", "place": "Tank room"}
    told = doubts.found([clean], doubts.checks_of([bad]), CARDS)

    def doubt(lines, doubted):
        return states.board([vessel], lines, {}, now, doubted)[0]["doubt"]

    assert doubt([clean], []) == []
    assert doubt([clean], told) == [told[0]["text"]]
    assert doubt([clean, cleaned("again", "fv1", START + 3 * HOUR)], told) == []
    assert doubt([clean, filled("f", "fv1", START + 3 * HOUR)], told) == []
    begun = line("again", "fv1", [row("begun", "again", START + 3 * HOUR)], status="open")
    assert doubt([clean, begun], told) == []
    assert doubt([clean], [{**told[0], "answered": {"event": "x"}}]) == []

    fill = {
        **BENCH, "kind": "brew", "vessel_kinds": ["fermenter"],
        "steps": [
            {"id": "rinse", "title": "Rinse", "entries": [reading("ph")]},
            {"id": "fill", "title": "Fill", "needs": [], "fills": True, "asks": [{"interlock": "fill"}]},
        ],
    }  # fmt: skip
    run = Run("f", fill, Administration(admin()))
    run.add([Pen(run="f", start=now).opened()])
    known = Known([vessel], [clean, bad], {}, CARDS, None)
    (found,) = interlocks.asked(run, "fill", known, now)
    assert (found["stops"], found["reasons"]) == (False, [told[0]["text"]])
    assert interlocks.waits(run, "fill", known, now) == []
    run.add([Pen(run="f", start=now + HOUR).entry("rinse", "ph", "7.40", "pH", instrument="ph-1")])
    assert interlocks.asked(run, "fill", known, now) == [found]


@pytest.mark.parametrize("other", ["Meter 3", "x" * 65, "ph-meter"])
def test_what_is_no_id_names_no_instrument(other):
    assert used("u", START, with_=other)["instruments"]["read"] == []


def test_a_reading_with_one_that_was_out_of_use_is_kept_and_found():
    out = changed(9, card("ph-1", in_use=False))
    pen = Pen(run="u")
    events = [
        pen.opened(seen=LATER), pen.entry("rinse", "ph", "7.4", "pH", instrument="ph-1"),
        pen.entry("rinse", "again", "7.4", "pH", instrument="ph-1", seen=LATER),
        pen.entry("rinse", "again", "7.4", "pH", instrument="tilt", seen=LATER),
        pen.entry("check", "seven", "7.00", "pH", instrument="ph-1", seen=LATER),
    ]  # fmt: skip
    known = [*admin([]), changed(7, card("ph-1")), changed(8, card("tilt", "thermometer")), out]
    seen = views.fold("u", events, BENCH, known)
    assert [(row["code"], row["event"]) for row in seen["findings"]] == [
        ("instrument-out", events[2]["id"]),
        ("instrument-other", events[3]["id"]),
    ]
    assert seen["steps"]["rinse"]["entries"]["again"]["status"] == "live"


def test_of_a_check_the_last_reading_of_each_instrument_decides_the_step():
    pen = Pen(run="u")
    events = [pen.opened(), pen.entry("check", "seven", "6.50", "pH", "stop", instrument="ph-1")]
    events.append(pen.entry("check", "seven", "7.00", "pH", instrument="ph-2"))
    events.append(pen.entry("check", "four", "4.00", "pH", instrument="ph-2"))
    run = Run("u", BENCH, Administration(admin()))
    run.add(events)
    assert [wait["code"] for wait in run.steps["check"].lacking(None)] == ["stop"]
    run.add([pen.entry("check", "seven", "7.01", "pH", instrument="ph-1")])
    assert run.steps["check"].lacking(None) == []
    assert len(views.view(run)["steps"]["check"]["entries"]["seven"]["all"]) == 3


def test_the_instrument_is_proposed_from_what_is_known():
    plain, check = {"instrument": "ph-meter"}, {"instrument": "ph-meter", "verifies": True}
    cold = [card("ph-1"), card("ph-2", place="Cold room"), card("ph-0", in_use=False)]

    def name(entry, done=(), cards=cold, failed=(), **more):
        found = proposed(cards, entry, done=list(done), failed=list(failed), **more)
        return found and found["id"]

    assert name(plain) == "ph-1"
    assert name(plain, place="Cold room") == "ph-2"
    assert name(plain, place="Cold room", last="ph-1") == "ph-1"
    assert name(plain, last="ph-0") == "ph-1"
    assert name(plain, last="ph-1", failed=["ph-1"]) == "ph-2"
    assert name(plain, failed=["ph-1", "ph-2"]) == "ph-1"
    assert name(check, failed=["ph-1"]) == "ph-1"
    assert name(plain, cards=[card("t", "thermometer")]) is None
    assert [name(check), name(check, ["ph-1"]), name(check, ["ph-1", "ph-2"])] == ["ph-1", "ph-2", "ph-2"]


def test_every_fault_of_an_instrument_is_said_at_its_field():
    good, faults = read({**card("ph-1"), "name": " pH 1 "})
    assert (faults, good["name"], good["in_use"]) == ([], "pH 1", True)
    for field, wrong in (
        ("id", "pH 1"), ("id", KINDS[0]), ("name", " "), ("name", 5), ("place", "x" * 61), ("place", "a\nb"),
        ("kind", "sniffer"), ("check_days", 0), ("check_days", "7"), ("check_days", True), ("in_use", "no"),
    ):  # fmt: skip
        assert [fault["field"] for fault in read({**card("ph-1"), field: wrong})[1]] == [field], (
            field,
            wrong,
        )
    assert [fault["field"] for fault in read([])[1]] == ["id", "name", "kind", "check_days"]
    assert SEEN < LATER
