"""The life of a vessel: its states, its two clocks, and that none is filled unproved without being told of.

The clocks' defaults (72 h closed, one shift) are common practice, no source; what the tests hold is that they run.
"""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vesselside.core.plant import states, vessel
from vesselside.core.run.findings import TROUBLES

from .world import HOUR, LASTING, abandoned, cleaned, drew, filled, line, ready, row

NOW = 1_790_000_000_000
CARD = {"id": "fv1", "name": "FV 1", "kind": "fermenter", "place": "Tank room"}
CARDS = [CARD, {"id": "bbt1", "name": "BBT 1", "kind": "bright", "place": "Cold room"}]


def ago(hours):
    return NOW - int(hours * HOUR)


def ended(run, hours, leaves, *, kind="cellar", gyle=None, **more):
    end = {"leaves": leaves, "proofs": [], "clean": None, "sanitised": None, "lasting": LASTING}
    life = [
        row("begun", run, ago(hours) - 1),
        row("finished", run, ago(hours), answered=None, override=None, **end),
    ]
    return line(run, "fv1", life, kind=kind, gyle=gyle, **more)


def opened_port(run, hours):
    life = [row("begun", run, ago(hours) - 1), row("opened", run, ago(hours))]
    return line(run, "fv1", life, kind="cellar", status="open")


def board(runs, given=None, now=NOW, card=CARD):
    return states.board([card], runs, given or {}, now)[0]


BEGUN = line("a", "fv1", [row("begun", "a", ago(1))], status="open")
DOSED = line("a", "fv1", [row("begun", "a", ago(2)), row("chemical-in", "a", ago(1))], status="open")


@pytest.mark.parametrize(
    ("runs", "state", "since"),
    [
        ([ended("a", 5, "soiled"), BEGUN], "cleaning", ago(1)),
        ([ended("a", 9, "soiled"), DOSED], "cleaning", ago(2)),
        ([ended("b", 9, "soiled"), abandoned("a", "fv1", ago(1), "chemical")], "chemical", ago(1)),
        ([cleaned("a", "fv1", ago(20)), cleaned("b", "fv1", ago(1), clean=False)], "sanitised", ago(1)),
        ([cleaned("a", "fv1", ago(73))], "rinsed", ago(1)),
        ([cleaned("a", "fv1", ago(13))], "clean", ago(13)),
        ([cleaned("a", "fv1", ago(5)), ended("b", 2, "soiled")], "soiled", ago(2)),
    ],
)
def test_since_is_that_of_the_state_it_is_in_now(runs, state, since):
    shown = board(runs)
    assert (shown["state"], abs(shown["since"] - since) <= 2) == (state, True)


@pytest.mark.parametrize(
    ("runs", "state"),
    [
        ([], "soiled"),
        ([BEGUN], "cleaning"),
        ([DOSED], "cleaning"),
        ([cleaned("a", "fv1", ago(1), sanitised=False)], "clean"),
        ([cleaned("a", "fv1", ago(1))], "sanitised"),
        ([cleaned("a", "fv1", ago(1), clean=False, sanitised=False)], "rinsed"),
        ([cleaned("a", "fv1", ago(73))], "rinsed"),
        ([cleaned("a", "fv1", ago(13))], "clean"),
        ([cleaned("a", "fv1", ago(20)), cleaned("b", "fv1", ago(1), clean=False)], "sanitised"),
        ([cleaned("a", "fv1", ago(1), clean=False)], "rinsed"),
        ([abandoned("a", "fv1", ago(1), "rinsed", dosed=True)], "chemical"),
        ([cleaned("a", "fv1", ago(5)), abandoned("b", "fv1", ago(2), "chemical")], "chemical"),
        ([abandoned("a", "fv1", ago(4), "chemical"), cleaned("b", "fv1", ago(1))], "sanitised"),
        ([abandoned("a", "fv1", ago(1), "locked")], "locked"),
        ([cleaned("a", "fv1", ago(5)), filled("b", "fv1", ago(1))], "filled"),
        ([filled("b", "fv1", ago(1))], "hold"),
        ([cleaned("a", "fv1", ago(5)), filled("b", "fv1", ago(3)), ended("c", 1, "soiled")], "soiled"),
        ([ended("a", 1, "hot", kind="brew")], "hot"),
        ([ended("a", 2, "filled", gyle="g9")], "filled"),
        ([cleaned("a", "fv1", ago(5)), opened_port("b", 1)], "clean"),
        ([cleaned("a", "fv1", ago(5)), ended("b", 1, "soiled", kind="trouble")], "sanitised"),
        ([cleaned("a", "fv1", ago(5)), filled("b", "fv1", ago(3)), ended("c", 1, "soiled", kind="trouble")], "filled"),
    ],
)  # fmt: skip
def test_a_vessel_is_what_its_runs_left_it(runs, state):
    assert board(list(reversed(runs)))["state"] == state


def test_both_clocks_follow_the_sites_settings_and_start_at_the_proof():
    shown = board([cleaned("a", "fv1", ago(5))], {"clean-hours": "24", "sanitised-hours": "4"})
    assert (shown["state"], shown["proved_until"]) == ("clean", NOW + 19 * HOUR)
    assert shown["sanitised_until"] == NOW - HOUR
    assert board([cleaned("a", "fv1", ago(5))], {"clean-hours": "soon"})["proved_until"] == NOW + 67 * HOUR


def test_opening_the_manway_ends_the_sanitised_clock_even_before_the_clean_is_closed():
    late = cleaned("a", "fv1", ago(1))
    late["life"][-1]["sanitised"] = ago(3)
    assert board([late])["state"] == "sanitised"
    assert board([late, opened_port("b", 2)])["state"] == "clean"


def test_a_clean_that_was_soiled_while_it_ran_proves_nothing():
    slow = cleaned("a", "fv1", ago(1))
    slow["life"][0] = row("begun", "a", ago(9))
    slow["life"][-1]["clean"] = ago(8)
    runs = [slow, filled("b", "fv1", ago(6)), ended("c", 4, "soiled")]
    assert board(runs)["state"] == "soiled"
    assert [told["code"] for told in board(runs)["trouble"]] == ["filled-unproved"]


UNPROVED = [
    ([], "No proved clean"),
    ([cleaned("a", "fv1", ago(74))], "out of date"),
    ([cleaned("a", "fv1", ago(14))], "sanitising is out of date"),
    ([cleaned("a", "fv1", ago(5), sanitised=False)], "not sanitised"),
    ([cleaned("a", "fv1", ago(5)), opened_port("b", 2)], "opened since"),
    ([cleaned("a", "fv1", ago(5)), BEGUN], "being cleaned"),
    ([cleaned("a", "fv1", ago(5)), abandoned("b", "fv1", ago(2), "soiled", dosed=True)], "contains chemical"),
    ([cleaned("a", "fv1", ago(5)), ended("b", 2, "soiled")], "No proved clean"),
    ([cleaned("a", "fv1", ago(5)), filled("b", "fv1", ago(2))], "filled already"),
    ([cleaned("a", "fv1", ago(5)), abandoned("b", "fv1", ago(2), "out")], "out of use"),
]


@pytest.mark.parametrize(("before", "why"), UNPROVED)
def test_a_fill_that_was_not_proved_is_told_with_its_reason_until_it_is_answered(before, why):
    fill = filled("f", "fv1", ago(0.5))
    (told,) = board([*before, fill])["trouble"]
    assert (told["code"], told["run"], told["event"]) == ("filled-unproved", "f", fill["life"][-1]["event"])
    assert why in told["text"]
    assert told["text"].startswith(TROUBLES["filled-unproved"])
    assert board([*before, fill])["state"] in ("hold", "cleaning", "chemical")
    answered = filled(
        "f", "fv1", ago(0.5), answered={"event": "x", "person": "col", "time": "", "action": "Sampled"}
    )
    assert board([*before, answered])["trouble"][0]["answered"]["action"] == "Sampled"
    assert board([*before, answered])["state"] in ("filled", "cleaning", "chemical")


def test_a_proved_fill_and_an_overridden_one_are_no_trouble():
    assert board([cleaned("a", "fv1", ago(5)), filled("f", "fv1", ago(1))])["trouble"] == []
    assert board([filled("f", "fv1", ago(1), override="e1")])["trouble"] == []


def test_a_fill_is_not_judged_where_its_clean_may_be_older_than_what_is_held():
    runs = [filled("a", "fv1", ago(60))]
    row = {"vessels": [CARD], "runs": runs, "settings": {}, "now": NOW}
    told = {hours: states.board(**row, whole=ago(hours))[0] for hours in (131, 133)}
    assert (told[131]["state"], told[131]["trouble"]) == ("filled", [])
    assert (told[133]["state"], [one["code"] for one in told[133]["trouble"]]) == (
        "hold",
        ["filled-unproved"],
    )
    assert states.board(**row)[0]["state"] == "hold"


def test_adding_to_a_vessel_needs_beer_in_it_that_is_not_on_hold():
    second = filled("s", "fv1", ago(1), interlock="add")
    good = [cleaned("a", "fv1", ago(9)), filled("f", "fv1", ago(8))]
    assert board([*good, second])["trouble"] == []
    assert [t["run"] for t in board([cleaned("a", "fv1", ago(9)), second])["trouble"]] == ["s"]
    assert [t["run"] for t in board([filled("f", "fv1", ago(8)), second])["trouble"]] == ["f", "s"]


def test_a_look_at_a_tank_known_to_be_empty_that_says_it_is_full_is_told_of():
    runs = [cleaned("a", "fv1", ago(20)), ended("c", 1, "filled")]
    assert [told["code"] for told in board(runs)["trouble"]] == ["filled-unproved"]
    assert (
        board([cleaned("a", "fv1", ago(5)), filled("f", "fv1", ago(3)), ended("c", 1, "filled")])["trouble"]
        == []
    )


LINE = {**CARD, "id": "fv1", "kind": "canning-line"}


def check(run, hours, *, good=True, answered=None):
    life = [row("begun", run, ago(hours) - 1)]
    life.append(
        row("checked", run, ago(hours), good=good, minutes=30 * 60_000, step="good", answered=answered)
    )
    return line(run, "fv1", life, kind="packaging")


def test_a_bad_or_missed_check_holds_everything_since_the_last_good_one():
    run = [cleaned("a", "fv1", ago(5)), ready("p", "fv1", ago(3))]
    assert board([*run, check("k", 2.5)], card=LINE)["trouble"] == []
    (told,) = board([*run, check("k", 2.5), check("m", 2, good=False)], card=LINE)["trouble"]
    assert (told["code"], told["run"]) == ("held-since", "m")
    assert "30 min since the last good check" in told["text"]
    (told,) = board([*run, check("k", 1)], card=LINE)["trouble"]
    assert (told["code"], "120 min" in told["text"]) == ("check-missed", True)
    assert board([*run, check("k", 2.5)], card=LINE)["check_due"] == ago(2)


def test_a_vessel_that_is_cleaned_says_since_when_chemical_is_in_it():
    """Whoever takes over must not read "being cleaned" of a tank with caustic in it and think of a rinse."""
    told = board([DOSED])
    assert (told["state"], told["chemical"]) == ("cleaning", ago(1))
    assert board([cleaned("a", "fv1", ago(5))])["chemical"] is None


def test_a_line_may_be_started_again_within_its_sanitised_time():
    runs = [cleaned("a", "fv1", ago(5)), ready("p", "fv1", ago(3)), ready("q", "fv1", ago(1))]
    assert board(runs, card=LINE)["trouble"] == []
    late = [cleaned("a", "fv1", ago(15)), ready("p", "fv1", ago(14)), ready("q", "fv1", ago(1))]
    assert [told["run"] for told in board(late, card=LINE)["trouble"]] == ["q"]


HAPPENINGS = st.lists(
    st.tuples(
        st.sampled_from(
            ["clean", "clean-only", "abort", "dose", "fill", "second", "soil", "open", "check", "begin", "drawn",
             "emptied"]
        ),
        st.integers(0, 100),
    ),
    min_size=1, max_size=8,
)  # fmt: skip


def lines(drawn):
    made = []
    for number, (what, hours) in enumerate(drawn):
        name, when = f"r{number}", ago(hours)
        made.append(
            {
                "clean": lambda n=name, w=when: cleaned(n, "fv1", w),
                "clean-only": lambda n=name, w=when: cleaned(n, "fv1", w, sanitised=False),
                "abort": lambda n=name, w=when: abandoned(n, "fv1", w, "rinsed"),
                "dose": lambda n=name, w=when: abandoned(n, "fv1", w, "rinsed", dosed=True),
                "fill": lambda n=name, w=when: filled(n, "fv1", w),
                "second": lambda n=name, w=when: filled(n, "fv1", w, interlock="add"),
                "soil": lambda n=name, h=hours: ended(n, h, "soiled"),
                "open": lambda n=name, h=hours: opened_port(n, h),
                "check": lambda n=name, h=hours: ended(n, h, "filled"),
                "drawn": lambda n=name, w=when: drew(n, "bbt1", w, ["fermenter"]),
                "emptied": lambda n=name, w=when: drew(n, "fv1", w, None),
                "begin": lambda n=name, w=when: line(n, "fv1", [row("begun", n, w)], status="open"),
            }[what]()
        )
    return made


def proved_before(runs, fill):
    """Independent of the core: whether, reading the runs by eye, the vessel was proved for this fill."""
    when = fill["life"][-1]["time"]
    mine = (fill["life"][-1]["at"], fill["life"][-1]["event"])
    before = sorted(
        (r["at"], r["event"], r["what"], run["id"], r)
        for run in runs if run is not fill for r in run["life"] if (r["at"], r["event"]) < mine
    )  # fmt: skip
    proofs = [entry for entry in before if entry[2] == "finished" and entry[4].get("clean")]
    if not proofs:
        return False
    last = proofs[-1]
    since = [entry for entry in before if entry > last]
    spoiled = [e for e in since if e[2] in ("filled", "abandoned", "chemical-in", "opened", "emptied")]
    spoiled += [e for e in since if e[2] == "finished" and not e[4]["proofs"]]
    fresh = [e[4]["sanitised"] for e in before if e[2] == "finished" and e >= last and e[4].get("sanitised")]
    return (
        not spoiled
        and when - last[4]["clean"] < LASTING["clean"]
        and bool(fresh)
        and when - max(fresh) < LASTING["sanitised"]
    )


@settings(max_examples=400, deadline=None)
@given(HAPPENINGS, st.randoms(use_true_random=False))
def test_no_order_of_events_leaves_a_vessel_filled_unproved_without_trouble_left_open(drawn, dice):
    runs = lines(drawn)
    shuffled = list(runs)
    dice.shuffle(shuffled)
    held = vessel.replay(states.by_vessel(CARDS, shuffled).get("fv1", []), "fermenter")
    assert held == vessel.replay(states.by_vessel(CARDS, runs).get("fv1", []), "fermenter")
    assert states.board(CARDS, shuffled, {}, NOW) == states.board(CARDS, runs, {}, NOW)
    told = {row["run"] for row in held["trouble"] if row["answered"] is None}
    for run in runs:
        if run["life"][-1]["what"] == "filled" and run["life"][-1]["interlock"] == "fill":
            assert run["id"] in told or proved_before(runs, run)
    if held["filled"] and not told:
        assert board(runs)["state"] in ("filled", "cleaning", "chemical")


QUIET = ("begun", "opened", "chemical-in", "drawn")


@settings(max_examples=400, deadline=None)
@given(HAPPENINGS)
def test_no_order_of_events_puts_chemical_on_beer_without_trouble_left_open(drawn):
    """By eye: what last happened to the vessel before the dose, said that it was full, or said that it was not."""
    runs = lines(drawn)
    grouped = states.by_vessel(CARDS, runs).get("fv1", [])
    told = {
        row["run"] for row in vessel.replay(grouped, "fermenter")["trouble"] if row["code"] == "dosed-filled"
    }
    happened = sorted((row["at"], row["event"], run["id"], row) for run in grouped for row in run["life"])
    for at, event, run, dose in happened:
        if dose["what"] != "chemical-in":
            continue
        before = [h for h in happened if h[:3] < (at, event, run) and h[3]["what"] not in QUIET]
        if before and before[-1][3]["what"] == "filled":
            assert run in told
        if run in told:
            assert [h for h in before if h[3]["what"] == "filled" or h[3].get("leaves") == "filled"]


def rejected(run, hours, answered=None):
    """A clean like `cleaned`, done that long ago, and a review an hour later that did not accept it."""
    made = cleaned(run, "fv1", ago(hours))
    return {**made, "life": [*made["life"], row("rejected", run, ago(hours - 1), answered=answered)]}


ANSWER = {"event": "x", "person": "col", "time": "2026-11-29T10:00:00Z", "action": "Cleaned again."}


def test_a_clean_that_was_not_accepted_puts_its_vessel_on_hold_and_opens_a_deviation():
    vessel_row = board([rejected("a", 4)])
    assert (vessel_row["state"], vessel_row["proved_until"], vessel_row["sanitised_until"]) == (
        "hold",
        None,
        None,
    )
    (told,) = vessel_row["trouble"]
    assert (told["code"], told["run"], told["answered"]) == ("review-rejected", "a", None)


def test_a_fill_after_a_rejected_clean_is_told():
    troubles = board([rejected("a", 4), filled("f", "fv1", ago(1))])["trouble"]
    assert [told["code"] for told in troubles] == ["review-rejected", "filled-unproved"]
    assert "on hold" in troubles[1]["text"]


def test_beer_filled_before_its_clean_was_rejected_is_held_until_somebody_answers():
    late = [rejected("a", 4), filled("f", "fv1", ago(3.5))]
    assert board(late)["state"] == "hold"
    assert board([rejected("a", 4, answered=ANSWER), filled("f", "fv1", ago(3.5))])["state"] == "filled"


def test_answered_it_waits_for_a_new_clean_and_has_it():
    assert board([rejected("a", 4, answered=ANSWER)])["state"] == "soiled"
    assert board([rejected("a", 4), cleaned("b", "fv1", ago(1))])["state"] == "sanitised"


def test_a_later_clean_does_not_fall_with_an_earlier_one():
    first = cleaned("a", "fv1", ago(9))
    first = {**first, "life": [*first["life"], row("rejected", "a", ago(1), answered=None)]}
    assert board([first, cleaned("b", "fv1", ago(5))])["state"] == "sanitised"


def test_a_sanitising_that_was_not_accepted_leaves_the_clean():
    again = cleaned("b", "fv1", ago(3), clean=False)
    again = {**again, "life": [*again["life"], row("rejected", "b", ago(1), answered=None)]}
    assert board([cleaned("a", "fv1", ago(20), sanitised=False), again])["state"] == "clean"
