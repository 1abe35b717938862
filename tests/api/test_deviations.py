"""All deviations of the brewery: where each stands, what else its answer says, and that none leaves the list."""

import pytest
from sqlalchemy import text

from tests.api.outside import Phone, new_run
from tests.api.test_interlocks import Hand, quick  # noqa: F401  # a fixture
from tests.api.test_runs import open_run
from tests.living import MANAGER, PINS
from vesselside.store.base import schema
from vesselside.store.base.db import db
from vesselside.store.fold import rebuild
from vesselside.store.site import founding

WHOLE = {
    "action": "Drained and rinsed again.",
    "cause": "The valve was left a quarter open.",
    "prevention": "A stop on the handle.",
    "owner": "bern",
    "due": "2026-12-05",
}


def raised(phone, run, text="The rinse came back pink.", **more):
    event = phone.make(run, "deviation.raised", {"text": text, **more}, person="bern")
    assert phone.push([event])[0]["status"] == "stored"
    return event["id"]


def answered(phone, run, deviation, **data):
    event = phone.make(run, "deviation.answered", {"deviation": deviation, **data}, person="dora")
    assert phone.push([event])[0]["status"] == "stored"


def listed(desk, **query):
    return desk.get("/api/desk/deviations", **query).json()["deviations"]


def row_of(desk, event, **query):
    return next((row for row in listed(desk, limit=200, **query) if row["event"] == event), None)


def test_a_deviation_is_listed_with_its_run_and_stays_once_it_is_answered(phone, desk):
    vessel = new_run()
    run, _ = open_run(phone, vessel=vessel, gyle="g-26")
    event = raised(phone, run, value="9.1", limit="at most 8")
    (row,) = listed(desk, vessel=vessel)
    assert (row["run"], row["vessel"], row["gyle"], row["state"]) == (run, vessel, "g-26", "open")
    assert (row["text"], row["value"], row["limit"]) == ("The rinse came back pink.", "9.1", "at most 8")
    assert row["title"] == phone.get(f"/api/runs/{run}").json()["run"]["title"] != ""
    before = desk.get("/api/desk/deviations").json()["counts"]
    answered(phone, run, event, action="Rinsed again.")
    (row,) = listed(desk, vessel=vessel)
    assert (row["event"], row["state"], row["answered"]["action"]) == (event, "closed", "Rinsed again.")
    after = desk.get("/api/desk/deviations").json()["counts"]
    assert (after["open"], after["closed"]) == (before["open"] - 1, before["closed"] + 1)


def test_an_answer_says_cause_prevention_who_and_by_when_and_a_later_one_closes_it(phone, desk):
    run, _ = open_run(phone, vessel=new_run())
    event = raised(phone, run)
    answered(phone, run, event, **WHOLE, pending=True)
    row = row_of(desk, event)
    assert row["state"] == "pending"
    assert {name: row["answered"][name] for name in WHOLE} == WHOLE
    state = phone.get(f"/api/runs/{run}").json()["run"]
    assert state["deviations"][0]["answered"]["pending"] is True
    assert state["findings"] == []
    (line,) = [one for one in phone.get("/api/runs", limit=200).json()["runs"] if one["id"] == run]
    assert line["deviations_open"] == 0, "whoever fills the vessel has its correction"
    answered(phone, run, event, **{**WHOLE, "action": "The stop is fitted."})
    row = row_of(desk, event)
    assert (row["state"], row["answered"]["action"]) == ("closed", "The stop is fitted.")
    assert "pending" not in row["answered"]


@pytest.mark.parametrize("wrong", [{"due": "soon"}, {"pending": "yes"}, {"owner": "Bern B."}, {"cause": 3}])
def test_an_answer_whose_rest_says_nothing_is_a_finding_and_no_answer(phone, desk, wrong):
    run, _ = open_run(phone, vessel=new_run())
    event = raised(phone, run)
    answered(phone, run, event, **{**WHOLE, **wrong})
    assert row_of(desk, event)["state"] == "open"
    findings = phone.get(f"/api/runs/{run}").json()["run"]["findings"]
    assert [row["code"] for row in findings] == ["bad-data"]


def test_open_ones_stand_first_and_the_list_pages_through_all_of_them_once(phone, desk):
    vessel = new_run()
    run, _ = open_run(phone, vessel=vessel)
    events = [raised(phone, run, f"number {n}") for n in range(7)]
    answered(phone, run, events[6], action="Seen to.")
    answered(phone, run, events[5], **WHOLE, pending=True)
    answered(phone, run, events[0], action="Seen to.")
    found, after = [], {}
    while True:
        page = desk.get("/api/desk/deviations", vessel=vessel, limit=2, **after).json()
        found += page["deviations"]
        if page["next"] is None:
            break
        after = {"after": page["next"]}
    assert [row["event"] for row in found] == [events[n] for n in (4, 3, 2, 1, 5, 6, 0)]
    states = ["open"] * 4 + ["pending"] + ["closed"] * 2
    assert [row["state"] for row in found] == states
    assert [row["event"] for row in listed(desk, vessel=vessel, state="closed")] == [events[6], events[0]]
    assert listed(desk, vessel=vessel, procedure="no-such") == []
    assert len(listed(desk, vessel=vessel, procedure=found[0]["procedure"])) == 7
    assert listed(desk, vessel=vessel, to="2020-01-01") == []
    assert desk.get("/api/desk/deviations", after="bm90LWE").status_code == 422


def test_what_the_life_of_a_vessel_brings_to_light_stands_in_the_list_too(phone, desk, quick):  # noqa: F811
    vessel = new_run()
    fill = Hand(phone, quick["quick-fill"], vessel, 0.1)
    done = fill.done("fill")
    fill.send()
    (row,) = listed(desk, vessel=vessel)
    assert (row["event"], row["trouble"], row["interlock"], row["state"]) == (
        done["id"], "filled-unproved", "fill", "open",
    )  # fmt: skip
    fill.make("deviation.answered", {"deviation": done["id"], **WHOLE, "pending": True}, person="dora")
    fill.send()
    (row,) = listed(desk, vessel=vessel)
    assert (row["state"], row["answered"]["due"]) == ("pending", WHOLE["due"])


def test_rebuild_finds_and_mends_a_row_of_the_list_that_was_taken_out(phone, desk, server):
    run, _ = open_run(phone, vessel=new_run())
    event = raised(phone, run)
    assert row_of(desk, event)
    with server.inside():
        db.session.execute(text("DELETE FROM deviations WHERE run = :run"), {"run": run})
        db.session.commit()
    assert row_of(desk, event) is None
    with server.inside():
        report = rebuild.rebuild(founding.breweries()[0][0], apply=True)
    assert [line for line in report.faults if f"deviation 0 of run in run {run}" in line]
    assert row_of(desk, event)["state"] == "open"


def test_a_brewery_from_before_the_list_has_its_deviations_in_it_once_migrated(fresh):
    from flask_migrate import downgrade

    fresh.start()
    desk = Phone(fresh.url, fresh.code())
    desk.sign_in("bern", PINS["bern"])
    desk.sign_in("dora", PINS["dora"])
    assert desk.post("/api/session", MANAGER).status_code == 200
    opened = {"kind": "brew", "summary": "Quick.", "vessel_kinds": ["fermenter"], "leaves": "filled"}
    step = {"id": "fill", "title": "Fill", "why": "To fill.", "how": "By hand.", "needs": [], "fills": True}
    draft = {"id": "quick-fill", "version": 1, "title": "Quick fill", **opened}
    made = desk.post("/api/desk/procedures", {**draft, "steps": [{**step, "asks": [{"interlock": "fill"}]}]})
    opening = {"procedure": "quick-fill", "version": 1, "sha256": made.json()["sha256"], "inputs": {}}
    hand = Hand(desk, opening, "fv1", 0.1)
    hand.done("fill")
    hand.send()
    answered(desk, hand.run, raised(desk, hand.run), action="Seen to.")
    before = desk.get("/api/desk/deviations").json()
    assert [row["state"] for row in before["deviations"]] == ["open", "closed"]
    fresh.stop()
    with fresh.inside():
        downgrade(directory=str(schema.FOLDER), revision="0014")
    assert fresh.command("migrate").returncode == 0
    fresh.start()
    after = desk.get("/api/desk/deviations").json()
    assert after["deviations"] == before["deviations"]
    assert after["counts"] == before["counts"]
    fresh.stop()
    assert fresh.command("rebuild").returncode == 0
