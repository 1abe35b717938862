"""One run that cannot be worked out costs that run, never the office: broken rows, records no fold can take."""

import json

import pytest
from sqlalchemy import null

from tests.api.outside import Phone, digest_of, new_run
from tests.living import MANAGER
from vesselside import store
from vesselside.store.base.db import db
from vesselside.store.base.models import InstrumentRun, ProcedureVersion, Run
from vesselside.store.base.turns import turn_of
from vesselside.store.site import founding

LISTS = (
    "/api/runs",
    "/api/vessels",
    "/api/gyles",
    "/api/instruments",
    "/api/desk/needs",
    "/api/desk/quarantine",
    "/api/desk/devices",
    "/api/desk/people",
    "/api/desk/procedures",
    "/api/reference",
)


@pytest.fixture
def office(fresh):
    """A server of this test's own."""
    fresh.start()
    return fresh


@pytest.fixture
def desk(office):
    """A manager's browser."""
    browser = Phone(office.url, office.code())
    assert browser.post("/api/session", MANAGER).status_code == 200
    return browser


@pytest.fixture
def phone(office):
    """A phone that knows the reference."""
    made = Phone(office.url, office.code())
    made.pull()
    return made


def opening(phone, procedure, **more):
    rows = phone.get("/api/reference").json()["procedures"]
    held = next(row for row in rows if row["id"] == procedure)
    return {
        "procedure": procedure,
        "version": held["version"],
        "sha256": held["sha256"],
        "inputs": {},
        **more,
    }


def opened(phone, procedure, **more):
    run = new_run()
    event = phone.make(run, "run.opened", opening(phone, procedure, **more))
    assert phone.push([event])[0]["status"] == "stored"
    return run, event


def stored(phone, *events):
    """Push; what was stored must be acknowledged whatever becomes of the fold."""
    assert [row["status"] for row in phone.push(list(events))] == ["stored"] * len(events)


def lists_answer(desk):
    answers = {path: desk.get(path) for path in LISTS}
    assert {path: answer.status_code for path, answer in answers.items()} == dict.fromkeys(LISTS, 200)
    return {path: answer.json() for path, answer in answers.items()}


def line_of(answers, run):
    return next(row for row in answers["/api/runs"]["runs"] if row["id"] == run)


def spoil(office, procedure, **changes):
    """Someone with the database's own rights breaks a published procedure; what it was."""
    with office.inside():
        brewery = founding.breweries()[0][0]
        rows = db.session.query(ProcedureVersion).filter_by(brewery=brewery, id=procedure).all()
        before = rows[-1].content
        rows[-1].content = {**before, **changes}
        db.session.commit()
        # whoever folds holds on to a run and its procedure until the administration changes
        store.set_setting(brewery, "spoilt", "1")
        return before


def change_run(office, run, **values):
    with office.inside():
        row = db.session.get(Run, (founding.breweries()[0][0], run))
        for name, value in values.items():
            setattr(row, name, value)
        db.session.commit()


def test_a_run_that_cannot_be_folded_keeps_its_last_good_state_and_stops_nothing_else(office, desk, phone):
    sound, first = opened(phone, "fermenter-caustic-clean", vessel="fv1", gyle="g-1")
    broken, begun = opened(phone, "fermenter-check", vessel="bbt1", gyle="g-1")
    good = spoil(office, "fermenter-check", steps=5)
    note, other = phone.make(broken), phone.make(sound)
    answer = phone.exchange([note, other])
    assert answer.status_code == 200
    assert [row["status"] for row in answer.json()["results"]] == ["stored", "stored"]
    digests = {broken: digest_of([begun, note]), sound: digest_of([first, other])}
    assert answer.json()["digests"] == digests

    answers = lists_answer(desk)
    assert line_of(answers, broken)["fault"]["code"] == "fold"
    assert line_of(answers, broken)["title"] == good["title"]
    assert "fault" not in line_of(answers, sound)
    needs = answers["/api/desk/needs"]
    assert needs["counts"]["faults"] == 1
    assert [row["id"] for row in needs["runs"]["faults"]] == [broken]
    vessels = {row["id"]: row for row in answers["/api/vessels"]["vessels"]}
    assert vessels["bbt1"]["fault"] == {"code": "fold", "runs": [broken]}
    assert "fault" not in vessels["fv1"]
    assert {row["behind"] for row in answers.values() if "behind" in row} == {0}

    page = desk.get(f"/api/runs/{broken}").json()
    assert page["fault"]["code"] == "fold"
    assert page["fault"]["text"].startswith("TypeError")
    assert page["run"]["events"] == 1
    assert [event["id"] for event in page["events"]] == [begun["id"], note["id"]]
    assert page["run"]["digest"] == digests[broken]
    assert desk.get(f"/api/runs/{sound}").json()["fault"] is None
    assert {row["id"] for row in desk.get("/api/gyles/g-1").json()["runs"]} == {sound, broken}

    for command, ends in (("check", 1), ("rebuild", 1), ("migrate", 0)):
        done = office.command(command)
        assert done.returncode == ends, done.stderr
        assert f"run {broken} cannot be worked out: fold: TypeError" in done.stdout
        assert sound not in done.stdout

    # mended, it is tried again by what is stored of it, not by who reads
    spoil(office, "fermenter-check", **good)
    assert desk.get(f"/api/runs/{broken}").json()["fault"]["code"] == "fold"
    stored(phone, phone.make(broken))
    page = desk.get(f"/api/runs/{broken}").json()
    assert (page["fault"], page["run"]["events"]) == (None, 3)
    assert lists_answer(desk)["/api/desk/needs"]["counts"]["faults"] == 0
    assert office.command("check").stdout == "ok\n"
    assert office.command("rebuild").returncode == 0


def test_a_run_that_never_folded_is_answered_with_its_records_and_what_its_opening_says(office, desk, phone):
    run, data = new_run(), opening(phone, "fermenter-check", vessel="fv1", gyle="g-2")
    spoil(office, "fermenter-check", steps=5)
    begun = phone.make(run, "run.opened", data)
    stored(phone, begun, phone.make(run))
    page = desk.get(f"/api/runs/{run}")
    assert page.status_code == 200
    state = page.json()["run"]
    assert page.json()["fault"]["code"] == "fold"
    assert (state["vessel"], state["gyle"], state["procedure"]) == ("fv1", "g-2", "fermenter-check")
    assert (state["opened"]["event"], state["events"], state["steps"]) == (begun["id"], 2, {})
    assert len(page.json()["events"]) == 2
    answers = lists_answer(desk)
    assert line_of(answers, run)["vessel"] == "fv1"
    assert [row["id"] for row in answers["/api/desk/needs"]["runs"]["faults"]] == [run]
    assert desk.get("/api/gyles/g-2").status_code == 404


def test_a_fault_is_tried_again_by_another_core_and_by_rebuild(office, desk, phone):
    runs = [opened(phone, "fermenter-check", vessel="fv1")[0] for _ in range(2)]
    good = spoil(office, "fermenter-check", steps=5)
    stored(phone, *(phone.make(run) for run in runs))
    spoil(office, "fermenter-check", **good)
    change_run(office, runs[0], fault_core="0")
    assert office.command("migrate").returncode == 0
    assert desk.get(f"/api/runs/{runs[0]}").json()["fault"] is None
    assert desk.get(f"/api/runs/{runs[1]}").json()["fault"]["code"] == "fold"
    assert office.command("rebuild", "--apply").returncode == 0
    assert desk.get(f"/api/runs/{runs[1]}").json()["fault"] is None


@pytest.mark.parametrize("summary", [{}, {"life": 5}, [1]], ids=["empty", "a wrong life", "no object"])
def test_a_vessel_with_a_run_that_cannot_be_replayed_is_shown_and_not_as_proved(office, desk, phone, summary):
    bad, _ = opened(phone, "fermenter-caustic-clean", vessel="fv1", gyle="g-3")
    change_run(office, bad, summary=summary)
    sound, _ = opened(phone, "fermenter-check", vessel="fv1", gyle="g-3")
    answers = lists_answer(desk)
    vessels = {row["id"]: row for row in answers["/api/vessels"]["vessels"]}
    assert vessels["fv1"]["fault"]["runs"] == [bad]
    assert (vessels["fv1"]["name"], vessels["fv1"]["proved_until"]) == ("FV 1", None)
    assert "fault" not in vessels["bbt1"]
    assert {row["id"] for row in answers["/api/runs"]["runs"]} == {bad, sound}
    assert "fault" not in line_of(answers, sound)
    assert [row["id"] for row in answers["/api/desk/needs"]["runs"]["faults"]] == [bad]
    assert desk.get("/api/gyles/g-3").status_code == 200
    assert office.command("rebuild", "--apply").returncode == 0
    assert lists_answer(desk)["/api/desk/needs"]["counts"]["faults"] == 0


def test_a_state_that_cannot_be_read_is_folded_anew_and_told_by_rebuild(office, desk, phone):
    run, _ = opened(phone, "fermenter-caustic-clean", vessel="fv1", gyle="g-4")
    change_run(office, run, state=b"no state")
    assert desk.get(f"/api/runs/{run}").json()["run"]["vessel"] == "fv1"
    assert desk.get("/api/gyles/g-4").status_code in (200, 404)
    lists_answer(desk)
    assert office.command("rebuild").returncode == 1
    told = office.command("rebuild", "--apply")
    assert told.returncode == 1
    assert f"run {run}: what was kept cannot be read" in told.stdout
    assert office.command("rebuild").returncode == 0


def test_checks_of_instruments_that_cannot_be_read_stop_no_list_and_no_push(office, desk, phone):
    kind = desk.get("/api/instruments").json()["kinds"][0]
    card = {"name": "Meter", "kind": kind, "place": "Lab", "check_days": 7, "in_use": True}
    assert desk.send("/api/instruments/meter", json_of(card), method="PUT").status_code == 200
    run, _ = opened(phone, "instrument-checks")
    with office.inside():
        brewery = founding.breweries()[0][0]
        row = InstrumentRun(brewery=brewery, instrument="meter", run=run, checked=True, checks=[5])
        db.session.add(row)
        db.session.commit()
    stored(phone, phone.make(run))
    assert [row["id"] for row in lists_answer(desk)["/api/instruments"]["instruments"]] == ["meter"]


def json_of(value):
    return json.dumps(value).encode()


def test_what_a_crash_left_unfolded_is_folded_by_whoever_asks_and_till_then_said_in_lists(
    office, desk, phone
):
    run, _ = opened(phone, "fermenter-caustic-clean", vessel="fv1")
    other, _ = opened(phone, "fermenter-check", vessel="bbt1")
    change_run(office, run, stale=True, summary=null(), state=None, opened="")  # as a push leaves it
    with office.inside(), turn_of("fold", founding.breweries()[0][0]) as mine:
        assert mine  # as if another process was long at work
        answers = lists_answer(desk)
        assert answers["/api/runs"]["behind"] == 1
        assert [row["id"] for row in answers["/api/runs"]["runs"]] == [other]
        assert desk.get(f"/api/runs/{run}").json()["run"]["vessel"] == "fv1"
        assert answers["/api/vessels"]["behind"] == 1
        stored(phone, phone.make(other))
    answers = lists_answer(desk)
    assert answers["/api/runs"]["behind"] == 0
    assert {row["id"] for row in answers["/api/runs"]["runs"]} == {run, other}


def test_whatever_keeps_the_folding_from_its_turn_once_the_next_who_asks_begins_it_again(office, desk, phone):
    """As when the folder cannot be written to for a while."""
    run, _ = opened(phone, "fermenter-check", vessel="fv1")
    assert lists_answer(desk)["/api/runs"]["behind"] == 0
    beside = sorted(office.folder.glob("*-fold"))
    for file in beside:
        file.unlink()
        file.mkdir()
    stored(phone, phone.make(run))
    assert desk.get("/api/runs").json()["behind"] == len(beside)
    for file in beside:
        file.rmdir()
    assert desk.get("/api/runs").json()["behind"] == 0


def test_a_run_that_can_never_be_kept_is_gone_over_once_and_holds_up_no_other(office, desk, phone):
    """As when someone took the newest records out of the log."""
    stuck, _ = opened(phone, "fermenter-caustic-clean", vessel="fv1")
    other, _ = opened(phone, "fermenter-check", vessel="bbt1")
    change_run(office, stuck, stale=True, last=10**9)
    stored(phone, phone.make(other))
    answers = lists_answer(desk)
    assert answers["/api/runs"]["behind"] == 1
    assert "fault" not in line_of(answers, other)
    with office.inside(), turn_of("fold", founding.breweries()[0][0]) as mine:
        assert mine, "it is being gone over without end"


def test_seen_beyond_the_log_makes_no_run_wait_for_every_change(office, desk, phone):
    run = new_run()
    stored(phone, phone.make(run, "run.opened", opening(phone, "fermenter-check"), seen="9" * 16))
    for hours in ("10", "11"):
        assert (
            desk.send("/api/desk/settings/clean-hours", json_of({"value": hours}), method="PUT").status_code
            == 204
        )
    assert desk.get("/api/runs").json()["behind"] == 0
    assert desk.get(f"/api/runs/{run}").status_code == 200


def entry(step, field, value, **more):
    return {
        "step": step, "field": field, "value": value, "typed": value, "unit": "", "how": "typed", "verdict": "target",
        "core": "1", "over": [], **more,
    }  # fmt: skip


POISONS = {
    "a unit of null at stop with a named instrument": lambda procedure: [
        entry(step["id"], field["id"], "7.00", unit=None, verdict="stop", instrument="meter")
        for step in procedure["steps"]
        for field in step.get("entries", [])
    ],
    "digits that are no numbers": lambda procedure: [
        entry(step["id"], field["id"], "²⁰²⁶-¹¹-²⁵")
        for step in procedure["steps"]
        for field in step.get("entries", [])
    ],
    "an instrument of four thousand letters": lambda procedure: [
        entry(
            step["id"],
            field["id"],
            "7.00",
            instrument="".join(chr(0x4E00 + at * 7 % 20000) for at in range(3990)),
        )
        for step in procedure["steps"]
        for field in step.get("entries", [])
    ][:3],
    "an answer of null": lambda _: [{"deviation": None, "action": None}],
}


@pytest.mark.parametrize("poison", POISONS)
@pytest.mark.parametrize("procedure", ["instrument-checks", "fermenter-caustic-clean", "label-date-and-lot"])
def test_a_poisoned_run_costs_itself_at_most(office, desk, phone, poison, procedure):
    rows = {row["id"]: row for row in phone.get("/api/reference").json()["procedures"]}
    sound, first = opened(phone, "fermenter-check", vessel="fv1", gyle="g-9")
    run, _ = opened(phone, procedure, vessel="fv1", gyle="g-9")
    kind = "deviation.answered" if "answer" in poison else "entry.made"
    stored(phone, *(phone.make(run, kind, data) for data in POISONS[poison](rows[procedure])))
    note = phone.make(sound)
    assert phone.exchange([note]).json()["digests"][sound] == digest_of([first, note])
    answers = lists_answer(desk)
    assert "fault" not in line_of(answers, sound)
    assert desk.get(f"/api/runs/{run}").status_code == 200
    assert desk.get("/api/gyles/g-9").status_code == 200
    faulty = "fault" in line_of(answers, run)
    for command in ("check", "rebuild"):
        done = office.command(command)
        assert done.returncode == (1 if faulty else 0), done.stdout
        assert (f"run {run} cannot be worked out" in done.stdout) == faulty
    assert office.command("migrate").returncode == 0


def test_a_time_far_ahead_of_its_receipt_is_found_and_not_listed_by(office, desk, phone):
    far = {"time": "9999-12-31T23:59:59.000Z", "hlc": "e677d21fdbff-0000"}
    run = new_run()
    stored(phone, phone.make(run, "run.opened", opening(phone, "fermenter-check", vessel="fv1"), **far))
    lists_answer(desk)
    listed = desk.get("/api/runs", to="2999-01-01").json()["runs"]
    assert [row["id"] for row in listed] == [run]
    found = desk.get(f"/api/runs/{run}").json()["run"]["findings"]
    assert "clock-ahead" in [row["code"] for row in found]
