"""Whoever did some of the work does not accept it, but where the site has said that nobody else is there."""

import json

import pytest

from tests.api.outside import digest_of, new_run
from tests.api.test_interlocks import PROOFS, quick  # noqa: F401  # a fixture
from vesselside.core import VERSION


@pytest.fixture
def own(desk, quick):  # noqa: F811
    """A clean that the manager did herself, at the desk; its id and its records."""
    desk.pull()
    run = new_run()
    events = [desk.make(run, "run.opened", {**quick["quick-clean"], "vessel": run}, person="mara")]
    for proof in PROOFS:
        done = {"step": proof, "verdict": "target", "core": VERSION}
        events.append(desk.make(run, "step.done", done, person="mara"))
    events.append(desk.make(run, "run.finished", {}, person="mara"))
    assert {row["status"] for row in desk.push(events)} == {"stored"}
    return run, events


@pytest.fixture
def said(desk):
    """Gives the site's word whether nobody else is there; it is taken back in the end."""

    def say(value):
        body = json.dumps({"value": value}).encode()
        assert desk.send("/api/desk/settings/own-review", body, method="PUT").status_code == 204

    yield say
    say("no")


def accept(desk, run, events):
    desk.pull()
    data = {"verdict": "accepted", "digest": digest_of(events), "text": ""}
    review = desk.make(run, "run.reviewed", data, person="mara")
    assert desk.push([review])[0]["status"] == "stored"
    return review


def told(desk, run):
    """The review that stands, and what is found of reviewing."""
    state = desk.get(f"/api/runs/{run}").json()["run"]
    codes = [(row["code"], row["event"]) for row in state["findings"] if row["code"].startswith("own-work")]
    return state["review"], codes


def test_accepting_ones_own_work_is_kept_told_and_does_not_stand(desk, own):
    run, events = own
    review = accept(desk, run, events)
    assert told(desk, run) == (None, [("own-work", review["id"])])
    [row] = desk.get("/api/runs", vessel=run, review="waiting").json()["runs"]
    assert (row["reviewed"], row["findings"]) == (False, ["own-work"])


def test_where_nobody_else_is_there_it_stands_and_says_so_for_good(desk, own, said):
    run, events = own
    said("yes")
    review = accept(desk, run, events)
    said("no")
    held, codes = told(desk, run)
    assert (held["event"], held["stands"], codes) == (review["id"], True, [("own-work-alone", review["id"])])
    [row] = desk.get("/api/runs", vessel=run, review="accepted").json()["runs"]
    assert row["findings"] == ["own-work-alone"]
