"""The register and one run: what is answered, how it is filtered and paged, what only the server can say."""

import time
from datetime import UTC, datetime

import pytest

from tests.api.outside import digest_of, instant, new_run
from tests.outside.chain import BrokenError, verify

DAY = 86_400_000


def opening(phone, **changes):
    procedure = phone.get("/api/reference").json()["procedures"][0]
    return {
        "procedure": procedure["id"],
        "version": procedure["version"],
        "sha256": procedure["sha256"],
        "vessel": "fv1",
        "inputs": {},
        **changes,
    }


def open_run(phone, **changes):
    phone.pull()
    run = new_run()
    event = phone.make(run, "run.opened", opening(phone, **changes))
    phone.push([event])
    return run, event


def test_a_run_is_answered_with_its_state_and_events(phone):
    run, opened = open_run(phone)
    note = phone.make(run)
    phone.push([note])
    answer = phone.get(f"/api/runs/{run}").json()
    state = answer["run"]
    assert {"id", "procedure", "version", "vessel", "status", "steps", "findings", "review", "digest"} <= set(
        state
    )
    assert (state["id"], state["status"], state["vessel"]) == (run, "open", "fv1")
    assert [event["id"] for event in answer["events"]] == [opened["id"], note["id"]]
    assert state["digest"] == digest_of([opened, note])
    assert state["findings"] == []


def test_the_chain_verifies_with_none_of_our_code_and_a_change_is_found(phone, other):
    run, _ = open_run(phone)
    phone.push([phone.make(run) for _ in range(4)])
    other.push([other.make(run) for _ in range(3)])
    answer, reference = phone.get(f"/api/runs/{run}").json(), phone.get("/api/reference").json()
    assert verify(answer, reference) == 8
    for change in (
        lambda events: events[2]["data"].update(text="another"),
        lambda events: events[2].update(person="mara"),
        lambda events: events.pop(2),
        lambda events: events[3].update(signature=events[4]["signature"]),
        lambda events: events.reverse(),
        lambda events: events.append({**events[0], "sequence": "9" * 16}),
    ):
        spoiled = phone.get(f"/api/runs/{run}").json()
        change(spoiled["events"])
        with pytest.raises(BrokenError):
            verify(spoiled, reference)


def test_administration_verifies_too(phone):
    from tests.outside.chain import verify_signature

    key = phone.get("/api/reference").json()["server"]
    admin = [event for event in phone.pull() if event["source"] == "/server"]
    assert len(admin) > 5
    for event in admin:
        verify_signature(event, key)


def test_the_register_is_newest_first_and_pages_through_everything(phone):
    gyle = new_run()
    mine = [open_run(phone, vessel=gyle)[0] for _ in range(5)]
    pages, after = [], None
    while True:
        query = {"vessel": gyle, "limit": 2} | ({"after": after} if after else {})
        page = phone.get("/api/runs", **query).json()
        pages.append([run["id"] for run in page["runs"]])
        after = page["next"]
        if after is None:
            break
    assert [len(page) for page in pages] == [2, 2, 1]
    assert [run for page in pages for run in page] == mine[::-1]


def test_filters(phone):
    vessel = new_run()
    run, _ = open_run(phone, vessel=vessel)
    done, _ = open_run(phone, vessel=vessel)
    phone.push([phone.make(done, "run.abandoned", {"reason": "tea", "left": "soiled"})])
    procedure = phone.get(f"/api/runs/{run}").json()["run"]["procedure"]
    today = datetime.now(UTC).date().isoformat()

    def found(**query):
        return {row["id"] for row in phone.get("/api/runs", vessel=vessel, **query).json()["runs"]}

    assert found() == {run, done}
    assert found(status="open") == {run}
    assert found(status="abandoned") == {done}
    assert found(procedure=procedure) == {run, done}
    assert found(procedure="another") == set()
    assert found(**{"from": today}) == {run, done}
    assert found(to=today) == set()
    assert found(**{"from": "2999-01-01T00:00:00Z"}) == set()


def test_a_run_nobody_has_is_404(phone):
    answer = phone.get(f"/api/runs/{new_run()}")
    assert (answer.status_code, answer.json()["type"]) == (404, "urn:vesselside:not-found")


def findings(phone, run):
    return [(row["code"], row["event"]) for row in phone.get(f"/api/runs/{run}").json()["run"]["findings"]]


def test_a_clock_that_is_off_is_said_of_the_events_it_stamped(phone, other):
    run, _ = open_run(phone)
    behind, fine = phone.make(run), phone.make(run)
    phone.push([behind], clock=instant(int(time.time() * 1000) - 180_000))
    phone.push([fine], clock=instant(int(time.time() * 1000) - 60_000))
    assert findings(other, run) == [("clock-offset", behind["id"])]


def test_what_comes_a_day_late_says_so(phone):
    run, _ = open_run(phone)
    then = int(time.time() * 1000) - DAY - 60_000
    late = phone.make(run, time=instant(then), hlc=f"{then:012x}-0000")
    phone.push([late])
    assert ("received-late", late["id"]) in findings(phone, run)


def test_a_logical_clock_far_ahead_says_so(phone):
    run, _ = open_run(phone)
    ahead = phone.make(run, hlc=f"{int(time.time() * 1000) + 400_000:012x}-0000")
    phone.push([ahead])
    assert findings(phone, run) == [("clock-ahead", ahead["id"])]


def test_a_right_withdrawn_before_receipt_says_so(desk, phone):
    person = desk.post("/api/desk/people", {"name": "Leaver", "role": "brewer", "pin": "428146"}).json()[
        "person"
    ]
    run, _ = open_run(phone, vessel="fv1")
    step = next(iter(phone.get(f"/api/runs/{run}").json()["run"]["steps"]))
    data = {"step": step, "reason": "not needed"}
    before = phone.make(run, "step.skipped", data, person=person)
    phone.push([before])
    answer = desk.send(f"/api/desk/people/{person}", b'{"role": "starter"}', method="PATCH")
    assert answer.status_code == 204, answer.text
    after = phone.make(run, "step.skipped", data, person=person)
    phone.push([after])
    codes = [row for row in findings(phone, run) if row[0] in ("stale-authority", "unauthorised")]
    assert codes == [("stale-authority", after["id"])]


def test_the_plant_knows_what_is_going_on_in_each_vessel(phone):
    run, _ = open_run(phone, vessel="bbt1")
    vessels = {row["id"]: row for row in phone.get("/api/vessels").json()["vessels"]}
    assert set(vessels["bbt1"]) >= {
        "id", "name", "kind", "place", "state", "proved_until", "sanitised_until", "run", "gyle",
    }  # fmt: skip
    assert vessels["bbt1"]["run"] == run


def codes(run):
    return {row["code"] for row in run["findings"]}


def test_a_review_stands_until_the_run_changes(desk, phone):
    run, opened = open_run(phone)
    ended = phone.make(run, "run.abandoned", {"reason": "tea", "left": "soiled"})
    phone.push([ended])
    waiting = desk.get("/api/desk/needs").json()
    assert run in [row["id"] for row in waiting["runs"]["reviews"]]
    review = {"verdict": "accepted", "digest": digest_of([opened, ended]), "text": "seen"}
    desk.pull()
    desk.push([desk.make(run, "run.reviewed", review, person="mara")])
    held = phone.get(f"/api/runs/{run}").json()["run"]
    assert (held["review"]["stands"], "review-lapsed" in codes(held)) == (True, False)
    reviewed = desk.get("/api/desk/needs").json()
    assert reviewed["counts"]["reviews"] == waiting["counts"]["reviews"] - 1
    phone.push([phone.make(run)])
    changed = phone.get(f"/api/runs/{run}").json()["run"]
    assert changed["review"]["stands"] is False
    assert [row["event"] for row in changed["findings"] if row["code"] == "review-lapsed"] == [
        changed["review"]["event"]
    ]
    assert desk.get("/api/desk/needs").json()["counts"]["reviews"] == waiting["counts"]["reviews"]
