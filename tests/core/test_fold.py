"""The fold of a run: turns, corrections, contests, authority, and every finding."""

import json

import pytest

from vesselside.core import bridge
from vesselside.core.door import views
from vesselside.core.run.findings import FINDINGS

from .builder import CAUTIONS, PROCEDURE, SEEN, Pen, administration
from .every_finding import run_with
from .sessions import codes, fold, wrong_events


def test_a_clean_without_faults_folds_to_done_and_proved():
    state = fold(Pen().clean())
    assert codes(state) == []
    assert state["status"] == "finished"
    assert {key: row["status"] for key, row in state["steps"].items()} == {
        "vent": "done",
        "strength": "done",
        "soak": "done",
        "rinse": "done",
        "look": "done",
        "tidy": "open",
    }
    assert state["proofs"] == ["look", "process", "residue"]


def test_steps_open_in_turn_and_after_their_cautions():
    pen = Pen()
    events = [pen.opened()]
    state = fold(events)
    assert state["steps"]["vent"]["status"] == "shut"
    assert state["steps"]["vent"]["waits"] == [
        {"code": "caution", "caution": "pressure", "text": "Meet the caution first"},
        {"field": "seen", "code": "entry", "text": "Enter: At the vent"},
    ]
    assert state["next"] == "vent"
    assert state["steps"]["tidy"]["status"] == "open"
    events.append(pen.write("caution.met", step="vent", caution="pressure", version=1))
    assert fold(events)["steps"]["vent"]["status"] == "open"
    events += [pen.entry("vent", "seen", "open"), pen.done("vent")]
    state = fold(events)
    assert state["steps"]["strength"]["status"] == "open"
    assert state["steps"]["soak"]["waits"] == [
        {"code": "step", "step": "strength", "text": "First: Measure the strength"}
    ]


def test_a_struck_entry_reopens_its_step_and_flags_what_rests_on_it():
    pen = Pen()
    events = pen.clean()[:6]
    reading = events[4]
    events += [
        pen.write("hold.started", step="soak", seconds=60),
        pen.write("hold.ended", step="soak", seconds=60, after=60_000),
    ]
    events.append(pen.done("soak"))
    events.append(pen.write("struck", target=reading["id"], reason="misread"))
    state = fold(events)
    assert state["steps"]["strength"]["status"] == "reopened"
    assert state["steps"]["soak"]["status"] == "done"
    assert codes(state) == ["earlier-reopened"]
    kept = state["steps"]["strength"]["entries"]["percent"]
    assert kept["status"] == "empty"
    assert [row["state"] for row in kept["all"]] == ["struck"]
    events.append(pen.entry("strength", "percent", "1.8", "%"))
    assert fold(events)["steps"]["strength"]["waits"][0]["code"] == "again"
    events.append(pen.done("strength"))
    state = fold(events)
    assert state["steps"]["strength"]["status"] == "done"
    assert codes(state) == []


def test_two_phones_contest_a_field_and_settling_one_settles_all():
    one, two = Pen("phone-a"), Pen("phone-b", step=1100)
    events = one.clean()[:4]
    first = one.entry("strength", "percent", "2.0", "%")
    two.now = one.now
    second = two.entry("strength", "percent", "1.7", "%", person="col")
    events += [first, second, one.done("strength")]
    state = fold(events)
    field = state["steps"]["strength"]["entries"]["percent"]
    assert field["status"] == "contested"
    assert field["value"] is None
    assert sorted(field["events"]) == sorted([first["id"], second["id"]])
    assert state["steps"]["strength"]["status"] == "reopened"
    assert codes(state) == ["contested"]
    one.now += 5000
    events.append(
        one.write(
            "entry.settled",
            step="strength",
            field="percent",
            chosen=first["id"],
            over=field["events"],
            reason="re-measured",
        )
    )
    state = fold(events)
    assert state["steps"]["strength"]["entries"]["percent"]["value"] == "2.0"
    assert state["steps"]["strength"]["status"] == "done"
    assert codes(state) == []


def test_two_settlings_that_disagree_are_contested_until_one_that_saw_both():
    one, two = Pen("phone-a"), Pen("phone-b", step=1100)
    events = one.clean()[:4]
    a, b = (
        one.entry("strength", "percent", "2.0", "%"),
        two.entry("strength", "percent", "1.7", "%", after=6000),
    )
    both = [a["id"], b["id"]]
    events += [a, b]
    first = one.write(
        "entry.settled", step="strength", field="percent", chosen=a["id"], over=both, reason="mine"
    )
    second = two.write(
        "entry.settled", step="strength", field="percent", chosen=b["id"], over=both, reason="mine"
    )
    events += [first, second]
    assert fold(events)["steps"]["strength"]["entries"]["percent"]["status"] == "contested"
    over = [a["id"], b["id"], first["id"], second["id"]]
    events.append(
        two.write(
            "entry.settled", step="strength", field="percent", chosen=b["id"], over=over, reason="both seen"
        )
    )
    field = fold(events)["steps"]["strength"]["entries"]["percent"]
    assert (field["status"], field["value"]) == ("live", "1.7")


def test_equal_readings_agree_and_an_entry_over_another_replaces_it():
    pen, other = Pen(), Pen("phone-b", step=1100)
    events = pen.clean()[:4]
    first = pen.entry("strength", "percent", "2.0", "%")
    events += [first, other.entry("strength", "percent", "2.00", "%", after=6000)]
    assert fold(events)["steps"]["strength"]["entries"]["percent"]["status"] == "live"
    later = pen.entry("strength", "percent", "1.9", "%", over=[row["id"] for row in events[-2:]], after=9000)
    field = fold([*events, later])["steps"]["strength"]["entries"]["percent"]
    assert field["value"] == "1.9"
    assert [row["state"] for row in field["all"]] == ["superseded", "superseded", "live"]


def test_a_cycle_of_replacements_is_contested():
    pen, other = Pen(), Pen("phone-b", step=1100)
    events = pen.clean()[:4]
    a = pen.entry("strength", "percent", "2.0", "%", over=["phone-b-0001"])
    b = other.entry("strength", "percent", "1.9", "%", over=[a["id"]], after=6000)
    assert fold([*events, a, b])["steps"]["strength"]["entries"]["percent"]["status"] == "contested"


def test_a_series_keeps_every_reading():
    pen = Pen()
    events = pen.clean()[:9]
    rows = [pen.entry("rinse", "weights", value, "g") for value in ("440.1", "439.8", "441.0")]
    field = fold(events + rows)["steps"]["rinse"]["entries"]["weights"]
    assert field["events"] == [row["id"] for row in rows]
    assert field["status"] == "live"


def test_a_reading_in_the_stop_band_blocks_until_corrected_or_a_deviation_is_raised():
    pen = Pen()
    events = pen.clean()[:4]
    low = pen.entry("strength", "percent", "0.5", "%", verdict="stop")
    events += [low, pen.done("strength", verdict="stop")]
    state = fold(events)
    assert state["steps"]["strength"]["status"] == "reopened"
    assert codes(state) == ["done-unready"]
    raised = pen.write(
        "deviation.raised", step="strength", text="Stock has run out", value="0.5", limit="1.5 to 2.5 %"
    )
    state = fold([*events, raised])
    assert state["steps"]["strength"]["status"] == "done"
    assert state["deviations"][0]["answered"] is None
    answered = pen.write(
        "deviation.answered", deviation=raised["id"], action="Clean again tomorrow", person="col"
    )
    assert fold([*events, raised, answered])["deviations"][0]["answered"]["person"] == "col"


def test_a_verdict_the_rules_do_not_share_is_found_and_the_worse_counts():
    pen = Pen()
    events = [
        *pen.clean()[:4],
        pen.entry("strength", "percent", "0.5", "%", verdict="target"),
        pen.done("strength"),
    ]
    state = fold(events)
    assert codes(state) == ["verdict-differs", "done-unready"]
    assert state["steps"]["strength"]["status"] == "reopened"
    older = [
        *events[:-2],
        pen.entry("strength", "percent", "0.5", "%", verdict="target", core="0"),
        pen.done("strength"),
    ]
    state = fold(older)
    assert codes(state) == ["verdict-differs"]
    assert state["steps"]["strength"]["status"] == "done"


def test_a_raised_caution_must_be_met_before_the_step_is_done():
    pen = Pen()
    events = [*pen.clean()[:4], pen.entry("strength", "percent", "2.9", "%", verdict="advise")]
    state = fold(events)
    assert state["steps"]["strength"]["raised"] == ["strong"]
    assert codes(fold([*events, pen.done("strength", verdict="advise")])) == ["caution-unmet"]
    met = pen.write("caution.met", step="strength", caution="strong", version=1)
    assert codes(fold([*events, met, pen.done("strength", verdict="advise")])) == []


def test_a_short_hold_is_found_and_the_step_stays_open():
    pen = Pen()
    events = pen.clean()[:6]
    events += [
        pen.write("hold.started", step="soak", seconds=60),
        pen.write("hold.ended", step="soak", seconds=60, after=30_000),
        pen.done("soak"),
    ]
    state = fold(events)
    assert "hold-short" in codes(state)
    assert state["steps"]["soak"]["status"] == "reopened"


def test_the_hold_follows_the_site_setting_known_when_the_run_was_opened():
    pen = Pen()
    events = [pen.opened(seen="0000000000000004")]
    assert fold(events)["steps"]["soak"]["hold"]["seconds"] == 120
    assert fold(Pen().clean()[:1])["steps"]["soak"]["hold"]["seconds"] == 60


def test_a_starters_critical_step_needs_another_persons_signature():
    pen = Pen()
    events = pen.clean(person="ash")[:4]
    state = fold(events)
    assert state["steps"]["vent"]["status"] == "open"
    assert state["steps"]["vent"]["waits"][0]["code"] == "second"
    own = pen.write("sign.given", step="vent", target=events[-1]["id"], role="starter", person="ash")
    assert codes(fold([*events, own])) == ["unauthorised"]
    signed = pen.write("sign.given", step="vent", target=events[-1]["id"], role="brewer", person="bay")
    assert fold([*events, signed])["steps"]["vent"]["status"] == "done"


def test_the_same_person_cannot_be_the_second():
    events = Pen().clean()
    events[-2] = {**events[-2], "person": "bay"}
    state = fold(events)
    assert "second-same" in codes(state)
    assert state["steps"]["look"]["status"] == "open"


def test_approvals_without_the_right_have_no_effect_and_recordings_are_kept():
    pen = Pen()
    events = pen.clean()
    review = pen.write("run.reviewed", verdict="accepted", digest="0" * 64, text="", person="bay")
    state = fold([*events, review])
    assert state["review"] is None
    assert codes(state) == ["unauthorised"]
    review = pen.write("run.reviewed", verdict="accepted", digest="0" * 64, text="", person="dee")
    assert fold([*events, review])["review"]["verdict"] == "accepted"
    stranger = fold(Pen().clean(person="nobody"))
    assert "unauthorised" in codes(stranger)
    assert stranger["steps"]["vent"]["waits"][0]["code"] == "second"
    assert stranger["steps"]["strength"]["entries"]["percent"]["value"] == "2.0"


def test_a_right_counts_as_of_what_the_phone_had_seen():
    pen = Pen()
    events = pen.clean()
    review = pen.write(
        "run.reviewed", verdict="accepted", digest="0" * 64, person="dee", seen="0000000000000003"
    )
    assert fold([*events, review])["review"] is None


def test_who_has_left_has_no_right_any_more():
    later = f"{int(SEEN) + 1:016d}"
    gone = {"person": "bay", "role": "brewer", "status": "gone"}
    left = {"source": "/server", "sequence": later, "type": "person.retired", "data": gone}
    pen = Pen()
    opened = pen.opened()
    notes = [pen.write("note.added", text="mine", seen=seen) for seen in (SEEN, later)]
    admin = [*administration(), left]
    found = [codes(views.fold("r1", [opened, note], PROCEDURE, admin)) for note in notes]
    assert found == [[], ["unauthorised"]]


def test_a_revoked_phone_is_found():
    events = Pen("lost-phone").clean()
    state = fold(events)
    assert codes(state).count("unauthorised") == len(events)
    assert state["steps"]["look"]["signed"] is None
    assert "unauthorised" not in codes(fold(Pen("other-phone").clean()))


def test_events_after_the_finish_fold_and_are_flagged_late():
    pen = Pen()
    events = pen.clean()
    state = fold([*events, pen.entry("rinse", "weights", "440", "g")])
    assert codes(state) == ["late"]
    assert state["steps"]["rinse"]["entries"]["weights"]["value"] == "440"


def test_abandoning_says_how_the_vessel_is_left():
    pen = Pen()
    events = [*pen.clean()[:6], pen.write("run.abandoned", reason="pump failed", left="chemical")]
    state = fold(events)
    assert (state["status"], state["left"]) == ("abandoned", "chemical")


def test_a_strike_cannot_be_struck_and_an_opening_neither():
    pen = Pen()
    events = pen.clean()[:6]
    strike = pen.write("struck", target=events[4]["id"], reason="misread")
    again = pen.write("struck", target=strike["id"], reason="it was right")
    opening = pen.write("struck", target=events[0]["id"], reason="wrong vessel")
    state = fold([*events, strike, again, opening])
    assert codes(state).count("strike-refused") == 2
    assert state["steps"]["strength"]["status"] == "reopened"
    assert state["opened"] is not None


def test_striking_another_persons_record_takes_a_brewer():
    pen = Pen()
    events = pen.clean()[:6]
    strike = pen.write("struck", target=events[4]["id"], reason="I think not", person="ash")
    state = fold([*events, strike])
    assert codes(state) == ["strike-refused"]
    assert state["steps"]["strength"]["status"] == "done"


@pytest.mark.parametrize("number", range(17))
def test_every_wrong_record_is_a_finding_and_never_an_error(number):
    pen = Pen()
    events = pen.clean()[:4]
    code, event = list(wrong_events(pen))[number]
    assert code in codes(fold([*events, event]))


# a lapsed review is told by hashes, in tests/api
@pytest.mark.parametrize("code", sorted(set(FINDINGS) - {"review-lapsed"}))
def test_every_finding_of_the_table_is_gained_by_some_run(code):
    events, procedure, admin = run_with(code)
    assert code in codes(views.fold("r1", events, procedure, admin))


def test_a_run_without_its_opening_or_procedure_still_folds():
    events = Pen().clean()
    state = fold(events[1:])
    assert codes(state)[0] == "not-opened"
    assert state["opened"] is None
    state = fold(events, procedure=None)
    assert "unknown-procedure" in codes(state)
    other = {**PROCEDURE, "sha256": "cd" * 32}
    assert "procedure-differs" in codes(fold(events, procedure=other))
    twice = [*events, {**events[-1], "id": "phone-a-9999", "hlc": "ffffffffffff-0000"}]
    assert "finished-twice" in codes(fold(twice))


def test_unknown_kinds_fold_as_nothing_and_keep_their_place():
    events = Pen().clean()
    odd = {**events[3], "id": "phone-a-7777", "type": "weather.noted", "data": {"sky": "grey"}}
    assert fold([*events, odd])["events"] == len(events) + 1
    assert codes(fold([*events, odd])) == []


def test_the_bridge_folds_a_tap_and_answers_with_only_what_changed():
    events = Pen().clean()

    def call(name, **args):
        answer = json.loads(bridge.call(name, json.dumps(args)))
        return answer.get("ok", answer.get("error"))

    call("open", run="r1", procedure=PROCEDURE, cautions=CAUTIONS, admin=administration(), events=events[:3])
    part = call("taken", run="r1", events=[events[3]], now=0)["run"]
    assert sorted(part["steps"]) == ["soak", "strength", "vent"]
    assert part["steps"]["vent"]["status"] == "done"
    aside = call("line", run="r1", procedure=PROCEDURE, admin=administration(), events=events)
    assert call("view", run="r1")["events"] == 4, "a line asked for left the open run as it was"
    call("taken", run="r1", events=events[4:], now=0)
    assert call("line", run="r1") == aside
    assert call("line", run="r1", procedure=PROCEDURE, admin=administration(), events=events) == aside
    assert call("view", run="r1") == json.loads(json.dumps(fold(events)))
    assert call("view", run="r2")["code"] == "not-open"
    assert call("dance")["code"] == "bad-call"
    assert call("judge", run="r1")["code"] == "bad-call"


@pytest.mark.parametrize("step", [{}, ["look"], 7, "no-such-step"])
def test_a_field_that_a_kind_of_event_does_not_have_says_nothing(step):
    pen = Pen()
    events = [pen.opened(), pen.write("run.abandoned", reason="tea", left="soiled")]
    more = {**events[1], "data": {**events[1]["data"], "step": step}}
    assert fold([events[0], more]) == fold(events)
