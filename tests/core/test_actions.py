"""What a person may do next: the record it makes, or the reason why not."""

from copy import deepcopy

import pytest

from vesselside import library
from vesselside.core import VERSION

from .builder import CAUTIONS, PROCEDURE, START, Pen, administration
from .walker import RefusedError, Walker, ask

BAY, ASH, COL, DEE = (
    {"id": p, "role": r}
    for p, r in [("bay", "brewer"), ("ash", "starter"), ("col", "duty"), ("dee", "manager")]
)


@pytest.fixture
def run():
    """Opens a run of the bench clean after its first `n` events and returns what prepares an action in it."""

    def opened(n, **more):
        events = Pen().clean(**more)[:n]
        ask("open", run="r1", procedure=PROCEDURE, cautions=CAUTIONS, admin=administration(), events=events)

        def act(action, person=BAY, now=START + 3_600_000, **given):
            return ask("prepare", run="r1", action=action, person=person, now=now, **given)

        act.events = events
        return act

    return opened


def waits(act, *args, **given):
    with pytest.raises(RefusedError) as refused:
        act(*args, **given)
    assert refused.value.problem["code"] == "waits"
    return [wait["code"] for wait in refused.value.problem["waits"]]


def code(act, *args, **given):
    with pytest.raises(RefusedError) as refused:
        act(*args, **given)
    return refused.value.problem["code"], refused.value.problem["field"]


def test_opening_fills_in_defaults_and_asks_for_what_is_missing():
    def make(**given):
        return ask("prepare", action="open", procedure=PROCEDURE, person=BAY, now=START, **given)

    made = make(vessel="fv1")
    assert made["data"]["inputs"] == {"volume": "100"}
    assert made["data"]["sha256"] == PROCEDURE["sha256"]
    assert make(vessel="fv1", inputs={"volume": "120,5"})["data"]["inputs"] == {"volume": "120.5"}
    assert code(make) == ("no-vessel", "vessel")
    assert code(make, vessel="FV 1") == ("bad-id", "vessel")
    assert code(make, vessel="fv1", inputs={"volume": "much"})[0] == "not-a-number"


def test_a_step_waits_for_its_turn_and_for_the_cautions_of_each_person(run):
    act = run(1)
    assert waits(act, "enter", step="strength", field="percent", typed="2") == ["step"]
    assert waits(act, "enter", step="vent", field="seen", typed="open") == ["caution"]
    made = act("caution", step="vent", caution="pressure")
    assert made == {"type": "caution.met", "data": {"step": "vent", "caution": "pressure", "version": 1}}
    act = run(2)
    assert act("enter", step="vent", field="seen", typed="open")["data"]["verdict"] == "target"
    assert waits(act, "enter", ASH, step="vent", field="seen", typed="open") == ["caution"]


def test_an_entry_carries_what_was_keyed_the_verdict_and_what_it_replaces(run):
    act = run(5)
    made = act("enter", step="strength", field="percent", typed="1,20")
    assert made["data"] == {
        "step": "strength", "field": "percent", "value": "1.20", "typed": "1,20", "unit": "%", "how": "keyed",
        "verdict": "advise", "core": VERSION, "over": [act.events[4]["id"]],
    }  # fmt: skip
    assert made["judgement"]["advice"] == "Add stock."
    assert made["judgement"]["limit"] == "1.5 to 2.5 %"
    assert act("enter", step="strength", field="percent", typed="2.9")["judgement"]["raises"] == ["strong"]


@pytest.mark.parametrize(
    ("field", "typed", "wanted"),
    [("percent", "two", "not-a-number"), ("percent", "", "not-a-number"), ("mass", "2", "unknown-field")],
)
def test_what_is_no_value_is_refused_with_its_reason(run, field, typed, wanted):
    assert code(run(4), "enter", step="strength", field=field, typed=typed)[0] == wanted


def test_a_limit_that_rests_on_another_reading_asks_for_it_first(run):
    assert code(run(9), "enter", step="rinse", field="ph", typed="7.4") == ("limit-needs", "rinse.mains")


def test_a_step_is_done_only_when_nothing_is_lacking(run):
    act = run(4)
    assert waits(act, "done", step="strength") == ["entry"]
    assert waits(act, "done", step="vent") == ["again"]
    act = run(6)
    assert waits(act, "done", step="soak") == ["hold"]
    act = run(9)
    assert waits(act, "finish") == ["step", "step"]


def test_a_run_that_lets_beer_go_is_not_opened_without_its_gyle():
    held = {one["id"]: one for one in library.load().procedures}

    def opening(name, **given):
        inputs = {row["id"]: row.get("default") or "1" for row in held[name].get("inputs", [])}
        return ask(
            "prepare", action="open", person=BAY, now=START, procedure=held[name], inputs=inputs, **given
        )

    for name, vessel in (("canning-line-pre-start", "line"), ("beer-release", "bbt1"), ("keg-fill", "kegs")):
        with pytest.raises(RefusedError) as refused:
            opening(name, vessel=vessel)
        assert (refused.value.problem["code"], refused.value.problem["field"]) == ("no-gyle", "gyle")
        assert opening(name, vessel=vessel, gyle="g312")["data"]["gyle"] == "g312"
    assert "gyle" not in opening("fermenter-caustic-clean", vessel="fv1")["data"]


def test_who_may_sign_second_is_said_by_role(run):
    run(12)
    looked = ask("look", run="r1", step="look", person=BAY, now=START)
    assert looked["signers"] == ["brewer", "duty", "manager"]


def test_a_hold_ends_when_its_time_is_over_and_not_before(run):
    act = run(7)
    started = START + 7000
    assert waits(act, "hold-end", step="soak", now=started + 59_000) == ["hold"]
    assert act("hold-end", step="soak", now=started + 60_000)["data"] == {"step": "soak", "seconds": 60}


def test_approvals_take_their_role(run):
    act = run(15)
    digest = "0" * 64
    assert waits(act, "review", verdict="accepted", digest=digest) == ["role"]
    assert act("review", DEE, verdict="accepted", digest=digest)["type"] == "run.reviewed"
    assert code(act, "review", DEE, verdict="rejected", digest=digest, text=" ") == ("empty", "text")
    own = run(15, person="dee")
    assert code(own, "review", DEE, verdict="accepted", digest=digest) == ("own-work", "verdict")
    assert act("review", DEE, verdict="rejected", digest=digest, text="Not rinsed.")["type"] == "run.reviewed"
    assert waits(act, "enter", step="strength", field="percent", typed="2") == ["closed"]
    assert act("note", text="Left clean")["type"] == "note.added"


def test_the_second_signature_is_another_persons(run):
    act = run(13)
    assert waits(act, "sign", step="look") == ["second"]
    assert waits(act, "sign", ASH, step="look") == ["role"]
    assert act("sign", COL, step="look")["data"]["target"] == act.events[12]["id"]


def test_a_deviation_carries_the_reading_and_its_limit_and_a_duty_brewer_answers_it(run):
    act = run(5)
    data = act("deviate", step="strength", field="percent", text="Smells of beer")["data"]
    assert (data["value"], data["limit"]) == ("2.0", "1.5 to 2.5 %")
    assert code(act, "deviate", text="")[0] == "empty"
    raised = Pen("phone-b").write("deviation.raised", step="strength", text="Smells", after=100_000)
    ask("taken", run="r1", events=[raised], now=0)
    assert waits(act, "answer", deviation=raised["id"], text="Rinsed again") == ["role"]
    assert code(act, "answer", COL, deviation="nothing", text="x")[0] == "target-unknown"
    assert act("answer", COL, deviation=raised["id"], text="Rinsed again")["data"]["action"] == "Rinsed again"


def test_how_the_vessel_is_left_is_asked_where_there_is_one(run):
    assert code(run(5), "abandon", reason="pump")[0] == "no-such-choice"
    pen = Pen()
    events = pen.clean()[:5]
    del events[0]["data"]["vessel"]
    ask("open", run="r1", procedure=PROCEDURE, cautions=CAUTIONS, admin=administration(), events=events)
    stopped = ask("prepare", run="r1", action="abandon", person=BAY, now=START + 3_600_000, reason="pump")
    closed = [*events, pen.write("run.abandoned", **stopped["data"])]
    view = ask(
        "open", run="r1", procedure=PROCEDURE, cautions=CAUTIONS, admin=administration(), events=closed
    )
    assert (view["status"], view["left"], view["findings"]) == ("abandoned", None, [])


def test_an_answer_says_who_prevents_it_by_when_and_one_that_is_not_over_is_answered_again(run):
    act = run(5)
    raised = Pen("phone-b").write("deviation.raised", text="The rinse came back pink.", after=100_000)
    ask("taken", run="r1", events=[raised], now=0)
    given = {"deviation": raised["id"], "text": "Rinsed again", "cause": "Valve open", "pending": True}
    assert code(act, "answer", COL, **given)[1] == "prevention"
    given["prevention"] = "A stop on the handle"
    assert code(act, "answer", COL, **given)[1] == "owner"
    assert code(act, "answer", COL, **given, owner="bay", due="tomorrow") == ("not-a-date", "due")
    assert code(act, "answer", COL, **given, owner="Bay B.", due="2026-12-05")[1] == "owner"
    first = act("answer", COL, **given, owner="bay", due="2026-12-05")["data"]
    said = (first["cause"], first["owner"], first["due"], first["pending"])
    assert said == ("Valve open", "bay", "2026-12-05", True)
    pen = Pen("phone-b")
    pen.write("note.added", text="before", after=100_000)
    for data in (first, {"deviation": raised["id"], "action": "The stop is fitted."}):
        ask(
            "taken",
            run="r1",
            events=[pen.write("deviation.answered", person="col", after=9_000, **data)],
            now=0,
        )
        if "pending" in data:
            again = act("answer", COL, deviation=raised["id"], text="The stop is fitted.")["data"]
            assert again == {"deviation": raised["id"], "action": "The stop is fitted."}
    assert code(act, "answer", COL, deviation=raised["id"], text="Again")[0] == "target-unknown"


def test_strike_abandon_skip_and_note_say_why(run):
    act = run(5)
    assert act("strike", target=act.events[4]["id"], reason="misread")["type"] == "struck"
    assert code(act, "strike", target=act.events[0]["id"], reason="x")[0] == "target-unknown"
    assert code(act, "strike", target=act.events[4]["id"], reason="")[0] == "empty"
    assert code(act, "abandon", reason="pump", left="clean")[0] == "no-such-choice"
    assert act("abandon", reason="pump", left="chemical")["data"]["left"] == "chemical"
    assert waits(act, "skip", ASH, step="strength", reason="no meter") == ["role"]
    assert act("skip", step="strength", reason="no meter")["data"] == {
        "step": "strength",
        "reason": "no meter",
    }
    assert act("skip", ASH, step="tidy", reason="Not needed")["type"] == "step.skipped", "optional: anyone's"
    assert waits(act, "skip", {"id": "who", "role": None}, step="tidy", reason="x") == ["role"]
    assert code(act, "dance")[0] == "unknown-action"


@pytest.mark.parametrize(
    ("unit", "slips", "possible"),
    [
        ("pH", ["20", "-0.1"], "14"),
        ("°C", ["650"], "-2"),
        ("L", ["-1"], "90000"),
        ("% w/v", ["150"], "0"),
        ("bar", ["-2"], "0.8"),
        ("", [], "-5"),
    ],
)
def test_what_no_instrument_can_show_is_asked_again(unit, slips, possible):
    procedure = deepcopy(PROCEDURE)
    procedure["steps"][1]["entries"][0]["unit"] = unit
    ask(
        "open",
        run="r1",
        procedure=procedure,
        cautions=CAUTIONS,
        admin=administration(),
        events=Pen().clean()[:4],
    )

    def enter(typed):
        given = {"step": "strength", "field": "percent", "typed": typed}
        return ask("prepare", run="r1", action="enter", person=BAY, now=START + 3_600_000, **given)

    for slip in slips:
        assert code(enter, slip) == ("impossible", "percent")
        with pytest.raises(RefusedError, match="Look again"):
            ask("judge", run="r1", step="strength", field="percent", typed=slip)
    assert enter(possible)["data"]["value"] == possible


def test_a_contested_field_is_settled_by_choosing_one_with_a_reason(run):
    act = run(5)
    other = Pen("phone-b", start=START + 50_000).entry("strength", "percent", "1.7", "%")
    ask("taken", run="r1", events=[other], now=0)
    assert waits(act, "done", step="strength") == ["contested"]
    assert (
        code(act, "settle", step="strength", field="percent", chosen="nothing", reason="x")[0]
        == "no-such-choice"
    )
    data = act("settle", step="strength", field="percent", chosen=other["id"], reason="re-read")["data"]
    assert sorted(data["over"]) == sorted([act.events[4]["id"], other["id"]])
    assert waits(run(5), "settle", step="strength", field="percent", chosen=other["id"], reason="x") == [
        "settled"
    ]


def test_a_careful_person_reaches_the_end_of_the_bench_clean():
    view = Walker(PROCEDURE, CAUTIONS, readings={"rinse.mains": "7.4", "rinse.ph": "7.4"}).finish()
    assert (view["status"], view["findings"], view["proofs"]) == (
        "finished",
        [],
        ["look", "process", "residue"],
    )


def test_a_sum_that_takes_a_table_is_fed_by_a_whole_series_and_the_record_keeps_its_rows():
    weights = ["15.1", "15.0", "15.2", "15.1", "15.0", "15.1", "15.1", "15.2", "15.0", "15.1"]
    works = {
        "calculation": "tare-study",
        "inputs": {"empties": {"series": "tare.empty"}, "error_ml": "13.2"},
        "result": "mean_g",
        "proposes": True,
    }
    entries = [
        {"id": "empty", "label": "Empty", "kind": "reading", "unit": "g", "series": True},
        {"id": "mean", "label": "Mean", "kind": "reading", "unit": "g", "works": works},
    ]
    step = {"id": "tare", "title": "Tare", "cautions": [], "entries": entries}
    walker = Walker({**PROCEDURE, "steps": [step]}, CAUTIONS)
    with pytest.raises(RefusedError) as refused:
        ask("work", run=walker.run, step="tare", field="mean")
    assert refused.value.problem["code"] == "limit-needs"
    for weight in weights:
        walker.act("enter", step="tare", field="empty", typed=weight, how="keyed")
    made = walker.act("enter", step="tare", field="mean", typed="15.09", how="worked")
    assert made["data"]["how"] == "worked"
    assert made["data"]["from"]["inputs"]["empties"] == "; ".join(weights)


def test_a_sum_given_a_choice_is_recorded_so_that_it_can_be_worked_again():
    works = {
        "calculation": "cask-priming",
        "inputs": {"beer_l": "40.9", "target_g_l": "2.4", "warmest_c": "19", "sugar": "glucose"},
        "proposes": True,
    }
    entry = {"id": "sugar", "label": "Sugar", "kind": "reading", "unit": "g", "works": works}
    step = {"id": "prime", "title": "Prime", "cautions": [], "entries": [entry]}
    walker = Walker({**PROCEDURE, "steps": [step]}, CAUTIONS)
    proposed = ask("work", run=walker.run, step="prime", field="sugar")["proposed"]
    made = walker.act("enter", step="prime", field="sugar", typed=proposed, how="worked")
    assert made["data"]["from"]["inputs"]["sugar"] == "glucose"
    assert walker.view["findings"] == []
