"""Each interlock stops, says why and what to do; which may be overridden, by whom, and until when."""

import pytest

from vesselside.core.plant import interlocks
from vesselside.core.plant.known import Known
from vesselside.core.run.authority import Administration
from vesselside.core.run.ledger import Run
from vesselside.core.run.procedure import INTERLOCKS

from .builder import CAUTIONS, START, administration
from .filling import FILLING, VESSELS, FillPen, step
from .sessions import codes, fold
from .walker import RefusedError, ask
from .world import FACTS, HOUR, abandoned, cleaned, drew, filled, line, ready, row, showing

BAY, ASH, COL, DEE = (
    {"id": p, "role": r}
    for p, r in [("bay", "brewer"), ("ash", "starter"), ("col", "duty"), ("dee", "manager")]
)
NOW = START + HOUR
FIT = [cleaned("c1", "fv1", START - HOUR)]


@pytest.fixture
def run():
    """Opens a run of the bench fill on a device that holds `runs`; `act` prepares what is done in it, `add` folds."""

    def opened(runs=(), events=(), *, settings=None, now=NOW, gyle="g1"):
        ask("load", vessels=VESSELS, runs=list(runs), settings=settings or {}, now=now)
        pen = FillPen()
        first = pen.opened(gyle=gyle)
        held = {"run": "r1", "procedure": FILLING, "cautions": CAUTIONS, "admin": administration()}
        ask("open", events=[first, *events], **held)

        def act(action, person=BAY, now=now, **given):
            return ask("prepare", run="r1", action=action, person=person, now=now, **given)

        act.pen = pen
        act.add = lambda *more: ask("taken", run="r1", events=list(more), now=now)
        act.asked = lambda step, now=now: ask("look", run="r1", step=step, person=BAY, now=now)["interlocks"]
        return act

    return opened


def stopped(act, step, interlock, **more):
    """The wait that stops a step, which must be of this interlock alone."""
    with pytest.raises(RefusedError) as refused:
        act("done", step=step, **more)
    (wait,) = refused.value.problem["waits"]
    assert (wait["code"], wait["interlock"]) == ("interlock", interlock)
    assert wait["text"]
    assert all(wait["do"])
    return wait


def passes(act, step, **more):
    return act("done", step=step, **more)["type"] == "step.done"


def test_fill_stops_on_what_is_not_proved_and_says_what_to_do_and_where_else(run):
    act = run([cleaned("c2", "fv2", START)])
    wait = stopped(act, "fill", "fill")
    assert wait["text"].startswith("FV 1: No proved clean")
    assert "Clean it and prove it" in wait["do"][0]
    (told,) = act.asked("fill")
    assert (told["stops"], told["by"], told["override"]) == (True, ["duty", "manager"], None)
    assert [(row["id"], row["state"]) for row in told["offers"]] == [("fv2", "sanitised")]


@pytest.mark.parametrize(
    ("runs", "why", "do"),
    [
        ([cleaned("c1", "fv1", START - 80 * HOUR)], "out of date", "Short re-prove"),
        ([cleaned("c1", "fv1", START - HOUR, sanitised=False)], "not sanitised", "Short re-prove"),
        ([*FIT, abandoned("c2", "fv1", START, "soiled", dosed=True)], "chemical", "Do not open it"),
        ([*FIT, filled("f1", "fv1", START)], "filled already", "Take another vessel"),
    ],
)
def test_fill_says_why_and_what_to_do(run, runs, why, do):
    wait = stopped(run(runs), "fill", "fill")
    assert why in wait["text"]
    assert any(line.startswith(do) for line in wait["do"])


def test_nobody_overrides_a_fill_onto_chemical_however_long_ago_they_did(run):
    act = run([*FIT, abandoned("c2", "fv1", START, "soiled", dosed=True)])
    (told,) = act.asked("fill")
    assert (told["stops"], told["by"]) == (True, [])
    given = {"interlock": "fill", "check": "looked in", "text": "the copper is full", "person": "col"}
    act.add(act.pen.write("deviation.raised", step="fill", **given))
    (told,) = act.asked("fill")
    assert (told["stops"], told["by"], told["override"]) == (True, [], None)
    stopped(act, "fill", "fill")


def test_fill_passes_on_a_proved_vessel_and_every_action_at_the_step_is_stopped_otherwise(run):
    assert passes(run(FIT), "fill")
    act = run()
    for action, given in (("done", {}), ("skip", {"reason": "later"})):
        with pytest.raises(RefusedError):
            act(action, step="fill", **given)


def test_a_fill_that_has_begun_may_go_on(run):
    stale = run([cleaned("c1", "fv1", START - 11 * HOUR)])
    stale.add(stale.pen.write("hold.started", step="fill", seconds=1))
    assert passes(stale, "fill", now=NOW + 5 * HOUR)


def test_a_device_that_has_not_read_the_plant_stops(run):
    assert "No proved clean" in stopped(run([]), "fill", "fill")["text"]


def test_fill_warns_of_the_vessel_meant_and_does_not_stop(run):
    act = run([cleaned("c2", "fv2", START)])
    assert act.asked("meant") == []
    meant = act.pen.entry("meant", "vessel", "fv-1")
    act.add(meant)
    (told,) = act.asked("meant")
    assert (told["stops"], [row["id"] for row in told["offers"]]) == (False, ["fv2"])
    assert passes(act, "meant")
    act.add(act.pen.entry("meant", "vessel", "FV2", over=[meant["id"]]))
    assert act.asked("meant") == []
    other = run()
    other.add(other.pen.entry("meant", "vessel", "FV 9"))
    assert other.asked("meant")[0]["reasons"] == ["No vessel here is called FV 9."]


def test_the_vessel_a_gyle_is_meant_for_is_that_of_the_run_opened_last_in_whatever_order_they_are_held(run):
    meant = [
        line("m1", None, [row("begun", "m1", START - HOUR)], kind="brew", gyle="g1", bound_for="fv1"),
        line("m2", None, [row("begun", "m2", START - 1000)], kind="brew", gyle="g1", bound_for="fv2"),
    ]
    asks = {"id": "boil", "title": "Boil", "asks": [{"interlock": "fill", "of": "gyle", "warns": True}]}
    boil = Run("r1", {**FILLING, "steps": [asks]}, Administration(administration()))
    boil.add([FillPen().opened(gyle="g1")])
    for held in (meant, meant[::-1]):
        known = Known(VESSELS, [cleaned("c2", "fv2", START), *held], {}, [], None)
        assert interlocks.asked(boil, "boil", known, NOW) == []


def test_adding_needs_a_vessel_with_beer_in_it(run):
    assert "beer in it" in stopped(run(FIT), "top", "add")["text"]
    assert passes(run([*FIT, filled("f1", "fv1", START)]), "top")
    assert "on hold" in stopped(run([filled("f1", "fv1", START)]), "top", "add")["text"]


def test_no_chemical_goes_into_a_vessel_known_to_be_full_and_what_it_holds_is_said(run):
    full = [*FIT, filled("f1", "fv1", START, gyle="g312")]
    wait = stopped(run(full), "dose", "empty")
    assert wait["text"] == "FV 1: It holds gyle g312."
    assert wait["do"][0].startswith("Put nothing in.")
    assert "duty brewer" in wait["do"][-1]
    with pytest.raises(RefusedError):
        run(full)("skip", step="dose", reason="later")
    assert (
        "of which gyle is not known"
        in stopped(run([filled("f1", "fv1", START, gyle=None)]), "dose", "empty")["text"]
    )
    assert passes(run(FIT), "dose")
    assert passes(run([*full, drew("t1", "bbt1", START + 1, ["fermenter"], gyle="g312")]), "dose")
    act = run(full)
    act.add(act.pen.override("dose", "empty"))
    assert passes(act, "dose", now=act.pen.now + 1000)


def test_contact_counts_only_between_readings_in_band(run):
    act = run()
    pen = act.pen
    act.add(pen.write("hold.started", step="hold", seconds=600))
    act.add(pen.entry("hold", "return", "58", "°C", after=1000))
    act.add(pen.entry("hold", "return", "45", "°C", verdict="advise", after=300_000))
    act.add(pen.entry("hold", "return", "57", "°C", after=120_000))
    at = pen.now
    assert stopped(act, "hold", "contact", now=at + 250_000)["seconds"] > 300
    assert stopped(act, "hold", "contact", now=at + 590_000)
    assert act.asked("hold", at + 250_000)[0]["interlock"] == "contact"
    assert act("enter", step="hold", field="return", typed="58", now=at + 250_000)["type"] == "entry.made"
    assert passes(act, "hold", now=at + 600_000)


def test_release_and_package_need_the_beer_shown_fit_and_every_lot_known(run):
    act = run()
    wait = stopped(act, "release", "release")
    assert "forced limit" not in wait["text"]
    assert len(wait["do"]) == 6
    facts = [fact for fact in FACTS if fact != "released"]
    for left_out in facts:
        lacking = run([showing("s", "g1", [fact for fact in facts if fact != left_out])])
        assert len(stopped(lacking, "release", "release")["do"]) == 1
    assert passes(run([showing("s", "g1", facts)]), "release")
    assert "Nobody has released it" in stopped(run([showing("s", "g1", facts)]), "package", "package")["text"]
    assert passes(run([showing("s", "g1", facts), showing("t", "g1", ["released"])]), "package")
    assert "Nobody has released it" in stopped(run([showing("t", "g2")]), "package", "package")["text"]
    assert "which gyle" in stopped(run([showing("s", "g1")], gyle=None), "release", "release")["text"]


def test_an_unknown_lot_blocks_release_and_not_the_brew(run):
    act = run([*FIT, showing("s", "g1")])
    act.add(act.pen.entry("malt", "lot", "Unknown"))
    assert passes(act, "malt")
    assert passes(act, "fill")
    assert "Lot unknown" in stopped(act, "release", "release")["text"]
    assert "Lot unknown" in stopped(act, "pallet", "lots")["text"]
    assert passes(run([line("q", None, [], gyle="g2", lots_unknown=["Malt: Lot"])]), "pallet")
    assert stopped(run([line("q", None, [], gyle="g1", lots_unknown=["Malt: Lot"])]), "pallet", "lots")


def test_a_canning_run_needs_a_pre_start_that_stands(run):
    assert "No pre-start" in stopped(run(), "check", "canning-run")["text"]
    assert passes(run([ready("p", "fv1", START)]), "check")
    assert (
        "out of date" in stopped(run([ready("p", "fv1", START - 12 * HOUR)]), "check", "canning-run")["text"]
    )
    assert "was for gyle g7" in stopped(run([ready("p", "fv1", START, "g7")]), "check", "canning-run")["text"]
    act = run([ready("p", "fv1", START)])
    act.add(act.pen.entry("check", "since", "bad", verdict="advise"))
    assert "pre-start" in stopped(act, "check", "canning-run")["text"]


def overridden(act, step, interlock, person=COL, **more):
    given = {"reason": "The copper is full of hot wort", "check": "Rinse read, swab taken", **more}
    return act("override", person, step=step, interlock=interlock, **given)


@pytest.mark.parametrize(
    ("step", "interlock"),
    [
        ("fill", "fill"),
        ("top", "add"),
        ("dose", "empty"),
        ("release", "release"),
        ("package", "package"),
        ("check", "canning-run"),
    ],
)
def test_a_duty_brewer_overrides_with_a_reason_and_a_check_until_the_shift_ends(run, step, interlock):
    act = run([filled("f1", "fv1", START, override="e1")] if interlock == "empty" else ())
    made = overridden(act, step, interlock)
    assert made["type"] == "deviation.raised"
    assert made["data"] == {
        "step": step, "interlock": interlock,
        "text": "The copper is full of hot wort", "check": "Rinse read, swab taken",
    }  # fmt: skip
    raised = act.pen.override(step, interlock)
    act.add(raised)
    assert passes(act, step, now=act.pen.now + 1000)
    assert act.asked(step, act.pen.now + 1000)[0]["override"] == raised["id"]
    assert passes(act, step, now=act.pen.now + 8 * HOUR - 1)
    stopped(act, step, interlock, now=act.pen.now + 8 * HOUR)


def test_the_shift_is_the_sites(run):
    admin = {
        "source": "/server",
        "subject": "/admin",
        "sequence": "0000000000000006",
        "type": "setting.changed",
    }
    admin["data"] = {"name": "shift-hours", "value": "1"}
    act = run()
    ask("taken", run="r1", now=NOW, admin=[admin], events=[act.pen.override("fill", "fill")])
    assert passes(act, "fill", now=act.pen.now + HOUR - 1)
    stopped(act, "fill", "fill", now=act.pen.now + HOUR)


def refused(act, *args, **given):
    with pytest.raises(RefusedError) as problem:
        overridden(act, *args, **given)
    return problem.value.problem


def test_an_override_takes_a_duty_brewer_a_reason_and_a_check(run):
    act = run()
    for person in (BAY, ASH):
        assert "takes a duty brewer" in refused(act, "fill", "fill", person)["text"]
    assert refused(act, "fill", "fill", reason=" ")["field"] == "reason"
    assert refused(act, "fill", "fill", check="")["field"] == "check"
    assert "does not ask" in refused(act, "malt", "fill")["text"]
    assert refused(act, "fill", "luck")["code"] == "waits"
    assert overridden(act, "fill", "fill", DEE)["type"] == "deviation.raised"


@pytest.mark.parametrize("interlock", [name for name, (_, may) in INTERLOCKS.items() if not may])
def test_pressure_gas_entry_and_an_unvented_tank_are_never_overridden(run, interlock):
    act = run()
    assert "nobody may override" in refused(act, "vent", interlock)["text"]
    assert "nobody may override" in refused(act, "vent", interlock, DEE)["text"]
    pen = FillPen()
    events = [pen.opened(), pen.override("vent", interlock)]
    events += [pen.entry("vent", "flow", "bad", verdict="stop"), pen.done("vent", verdict="stop")]
    state = fold(events, FILLING)
    assert "override-refused" in codes(state)
    assert state["steps"]["vent"]["status"] != "done"


def test_what_is_never_overridden_is_neither_waived_by_a_deviation_nor_skipped(run):
    pen = FillPen()
    events = [pen.opened(), pen.entry("vent", "flow", "bad", verdict="stop")]
    events += [pen.write("deviation.raised", step="vent", text="Valve stuck", person="col")]
    events += [pen.done("vent", verdict="stop")]
    state = fold(events, FILLING)
    assert state["steps"]["vent"]["status"] == "reopened"
    assert "nobody may override" in state["steps"]["vent"]["waits"][0]["text"]
    skipped = fold([pen.opened(), pen.write("step.skipped", step="vent", reason="in a hurry")], FILLING)
    assert codes(skipped) == ["never-skipped"]
    assert skipped["steps"]["vent"]["status"] == "open"
    with pytest.raises(RefusedError):
        run()("skip", step="vent", reason="in a hurry")


def test_venting_is_never_locked_by_a_caution(run):
    act = run()
    made = act("enter", step="vent", field="flow", typed="good")
    assert made["data"]["verdict"] == "target"
    pen = FillPen()
    state = fold([pen.opened(), pen.entry("vent", "flow", "good"), pen.done("vent")], FILLING)
    assert (codes(state), state["steps"]["vent"]["status"]) == ([], "done")


def test_an_override_without_the_right_is_a_finding_and_changes_nothing():
    pen = FillPen()
    events = [pen.opened(), pen.override("fill", "fill", person="bay"), pen.done("fill")]
    state = fold(events, FILLING)
    assert codes(state) == ["override-refused"]
    assert [row["override"] for row in state["life"] if row["what"] == "filled"] == [None]
    assert len(state["deviations"]) == 1
    good = fold([pen.opened(), pen.override("fill", "fill"), pen.done("fill")], FILLING)
    assert codes(good) == ["overridden"]
    assert [row["override"] for row in good["life"] if row["what"] == "filled"] == [
        good["deviations"][0]["event"]
    ]
    assert (good["overrides"], good["deviations"][0]["answered"]) == (["fill"], None)


def test_an_override_that_comes_after_the_fill_or_is_struck_covers_nothing():
    pen = FillPen()
    late = fold([pen.opened(), pen.done("fill"), pen.override("fill", "fill")], FILLING)
    raised = pen.override("fill", "fill")
    strike = pen.write("struck", target=raised["id"], reason="not agreed", person="col")
    struck = fold([pen.opened(), raised, pen.done("fill"), strike], FILLING)
    for state in (late, struck):
        assert [row["override"] for row in state["life"] if row["what"] == "filled"] == [None]


def test_a_clean_stopped_past_dosing_is_left_with_chemical_whatever_is_said(run):
    act = run()
    act.add(act.pen.done("dose"))
    with pytest.raises(RefusedError) as problem:
        act("abandon", reason="pump", left="rinsed")
    assert problem.value.problem["code"] == "left-chemical"
    assert act("abandon", reason="pump", left="chemical")["data"]["left"] == "chemical"
    act.add(act.pen.done("rinse"))
    assert act("abandon", reason="pump", left="rinsed")["data"]["left"] == "rinsed"
    pen = FillPen()
    stop = [pen.opened(), pen.done("dose"), pen.write("run.abandoned", reason="pump", left="rinsed")]
    assert codes(fold(stop, FILLING)) == ["left-chemical"]


def test_what_the_vessels_life_brings_to_light_is_answered_by_its_own_event(run):
    act = run()
    fill = act.pen.done("fill")
    act.add(fill)
    with pytest.raises(RefusedError):
        act("answer", BAY, deviation=fill["id"], text="Sampled")
    data = act("answer", COL, deviation=fill["id"], text="Sampled and sound")["data"]
    assert data == {"deviation": fill["id"], "action": "Sampled and sound"}
    act.add(act.pen.write("deviation.answered", person="col", **data))
    view = ask("view", run="r1")
    (row,) = [row for row in view["life"] if row["what"] == "filled"]
    assert (row["answered"]["person"], row["answered"]["action"]) == ("col", "Sampled and sound")
    assert view["findings"] == []


def test_a_line_full_of_its_sanitiser_may_be_taken_to_be_rinsed_and_no_other_chemical_may():
    # Left full: dosed, then finished with its sanitising proved and nothing rinsed out.
    full = cleaned("c1", "fv1", START - HOUR)
    dosed = row(
        "chemical-in", "c1", START - HOUR - 1000, step="dose", interlock="empty", override=None, answered=None
    )
    full["life"].insert(1, dosed)
    full["life"][-1]["proofs"] = ["sanitised"]
    full["life"][-1]["clean"] = None
    clean = cleaned("c0", "fv1", START - 3 * HOUR)
    caustic = abandoned("c2", "fv1", START - HOUR, "chemical", dosed=True)

    def never(*lines, **ask):
        bench = {**FILLING, "steps": [step("fill", {"interlock": "fill", **ask}, fills=True)]}
        filling = Run("r1", bench, Administration(administration()))
        filling.add([FillPen().opened()])
        told = interlocks.asked(filling, "fill", Known(VESSELS, lines, {}, [], None), NOW)
        return [(row["stops"], row["by"]) for row in told]

    assert never(clean, full) == [(True, [])]
    assert never(clean, full, full=True) == []
    assert never(clean, caustic, full=True) == [(True, [])]
    assert never(full, full=True) == [(True, [])]
