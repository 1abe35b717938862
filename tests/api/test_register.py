"""The register counts what is found of each run, filters by it, and says how many runs there are of what is asked."""

import time

import pytest

from tests.api.outside import digest_of, instant, new_run
from tests.api.test_interlocks import PROOFS, cleaned, quick, step  # noqa: F401  # a fixture
from vesselside.core import VERSION

DAY = 86_400_000
ZERO = {"stop": 0, "advise": 0, "late": 0, "clock": 0, "paper": 0, "unproved": 0, "short": 0}
LIMITS = {
    "target": ["1.5", "2.5"], "stop": ["1.0", "4.0"],
    "low": "Top up.", "high": "Thin it.", "halt": "Stop.", "source": "test",
}  # fmt: skip
STRENGTH = {
    "id": "percent", "label": "Strength", "kind": "reading", "unit": "%", "places": 1, "limits": LIMITS,
}  # fmt: skip
STEPS = [step("read", entries=[STRENGTH]), step("soak", hold={"seconds": "600"}), step("look")]


@pytest.fixture
def opening(desk):
    """The opening of a small clean with a reading and a hold, published at the desk."""
    given = {
        "id": "register-clean",
        "version": 1,
        "title": "Register clean",
        "summary": "Small.",
        "kind": "cleaning",
    }
    answer = desk.post("/api/desk/procedures", {**given, "vessel_kinds": ["fermenter"], "steps": STEPS})
    assert answer.status_code == 201, answer.text
    return {"procedure": "register-clean", "version": 1, "sha256": answer.json()["sha256"], "inputs": {}}


class Run:
    """A run on a vessel of its own, made on one phone."""

    def __init__(self, phone, opening, vessel):
        phone.pull()
        self.phone, self.id, self.events = phone, new_run(), []
        self.push("run.opened", {**opening, "vessel": vessel})

    def push(self, kind, data, *, clock=None, **changes):
        self.events.append(self.phone.make(self.id, kind, data, **changes))
        more = {} if clock is None else {"clock": clock}
        assert self.phone.push(self.events[-1:], **more)[0]["status"] == "stored"
        return self.events[-1]

    def read(self, value, verdict, how="keyed", **changes):
        data = {
            "step": "read",
            "field": "percent",
            "value": value,
            "typed": value,
            "unit": "%",
            "how": how,
            "over": [],
        }
        return self.push("entry.made", {**data, "verdict": verdict, "core": VERSION}, **changes)


def listed(phone, **query):
    return phone.get("/api/runs", **query).json()


def line(phone, vessel):
    [row] = listed(phone, vessel=vessel)["runs"]
    return row


def ids(phone, **query):
    return {row["id"] for row in listed(phone, **query)["runs"]}


FOUND = {
    "stop": lambda run: run.read("4.5", "stop"),
    "advise": lambda run: run.read("3.0", "advise"),
    "paper": lambda run: run.read("2.0", "target", how="paper"),
    "unproved": lambda run: run.push("note.added", {"text": "I was here."}, person="stig"),
    "short": lambda run: run.push("step.done", {"step": "soak", "verdict": "target", "core": VERSION}),
    "clock": lambda run: run.push(
        "note.added", {"text": "Late."}, clock=instant(int(time.time() * 1000) - 180_000)
    ),
}


@pytest.mark.parametrize("name", sorted(FOUND))
def test_what_calls_for_a_look_is_counted_and_filtered_by(phone, opening, name):
    vessel = new_run()
    quiet, loud = Run(phone, opening, vessel), Run(phone, opening, vessel)
    FOUND[name](loud)
    assert ids(phone, vessel=vessel, found=name) == {loud.id}
    assert ids(phone, vessel=vessel, found="some") == {loud.id}
    assert ids(phone, vessel=vessel, found="none") == {quiet.id}
    rows = {row["id"]: row["tally"] for row in listed(phone, vessel=vessel)["runs"]}
    assert rows == {quiet.id: ZERO, loud.id: {**ZERO, name: 1}}


def test_a_record_received_a_day_late_reaches_the_register(phone, opening):
    vessel = new_run()
    run = Run(phone, opening, vessel)
    then = int(time.time() * 1000) - DAY - 60_000
    run.push("note.added", {"text": "Kept."}, time=instant(then), hlc=f"{then:012x}-0000")
    row = line(phone, vessel)
    assert row["tally"]["late"] == 1
    assert "received-late" in row["findings"]
    assert ids(phone, vessel=vessel, found="late") == {run.id}


def test_a_reading_read_again_was_read_all_the_same_and_one_struck_was_not(phone, opening):
    vessel = new_run()
    run = Run(phone, opening, vessel)
    low = run.read("0.5", "stop")
    over = {"step": "read", "field": "percent", "value": "2.0", "typed": "2.0", "unit": "%", "how": "keyed"}
    run.push("entry.made", {**over, "over": [low["id"]], "verdict": "target", "core": VERSION})
    assert (line(phone, vessel)["tally"]["stop"], line(phone, vessel)["strikes"]) == (1, 0)
    run.push("struck", {"target": low["id"], "reason": "Wrong vessel."})
    assert (line(phone, vessel)["tally"]["stop"], line(phone, vessel)["strikes"]) == (0, 1)
    assert ids(phone, vessel=vessel, found="struck") == {run.id}


def test_deviations_are_counted_open_and_answered_those_of_a_vessels_life_among_them(phone, quick, opening):  # noqa: F811
    vessel, tank = new_run(), new_run()
    run = Run(phone, opening, vessel)
    raised = run.push("deviation.raised", {"step": "read", "text": "Foam."})
    assert ids(phone, vessel=vessel, found="deviations-open") == {run.id}
    assert ids(phone, vessel=vessel, found="deviations-answered") == set()
    run.push("deviation.answered", {"deviation": raised["id"], "action": "Skimmed"}, person="dora")
    assert ids(phone, vessel=vessel, found="deviations-open") == set()
    assert ids(phone, vessel=vessel, found="deviations-answered") == {run.id}
    fill = Run(phone, quick["quick-fill"], tank)
    filled = fill.push("step.done", {"step": "fill", "verdict": "target", "core": VERSION})
    assert ids(phone, vessel=tank, found="deviations-open") == {fill.id}
    fill.push("deviation.answered", {"deviation": filled["id"], "action": "Sampled"}, person="dora")
    assert ids(phone, vessel=tank, found="deviations-answered") == {fill.id}
    assert ids(phone, vessel=tank, found="some") == {fill.id}


def test_totals_are_those_of_all_pages_and_every_order_pages_through_everything(phone, opening):
    vessel = new_run()
    runs = [Run(phone, opening, vessel) for _ in range(5)]
    runs[1].read("4.5", "stop")
    runs[3].push("run.abandoned", {"reason": "Tea.", "left": "soiled"})
    everything = {run.id for run in runs}
    page = listed(phone, vessel=vessel, limit=2)
    assert (page["total"], len(page["runs"])) == (5, 2)
    assert page["held"] == listed(phone)["total"] >= 5
    orders = {}
    for sort in ("opened", "vessel", "procedure", "person", "review", "found"):
        for way in ("", "-"):
            got, after = [], None
            while True:
                more = {} if after is None else {"after": after}
                page = listed(phone, vessel=vessel, limit=2, sort=way + sort, **more)
                got += [row["id"] for row in page["runs"]]
                after = page["next"]
                if after is None:
                    break
            assert (len(got), set(got)) == (5, everything), way + sort
            orders[way + sort] = got
    assert orders["opened"] == [run.id for run in runs] == orders["-opened"][::-1]
    assert orders["-found"][0] == runs[1].id
    assert orders["vessel"] == orders["-opened"]


def test_kind_person_and_how_it_ended_are_asked_of_the_office(phone, quick, opening):  # noqa: F811
    vessel = new_run()
    first, stopped = Run(phone, opening, vessel), Run(phone, opening, vessel)
    stopped.push("run.abandoned", {"reason": "Tea.", "left": "soiled"}, person="dora")
    fill = Run(phone, quick["quick-fill"], vessel)
    assert ids(phone, vessel=vessel, kind="cleaning") == {first.id, stopped.id}
    assert ids(phone, vessel=vessel, kind="brew") == {fill.id}
    assert ids(phone, vessel=vessel, person="dora") == {stopped.id}
    assert ids(phone, vessel=vessel, person="bern") == {first.id, stopped.id, fill.id}
    assert ids(phone, vessel=vessel, status="closed") == {stopped.id}


def reviewed(desk, run, events, verdict="accepted"):
    """Review a run at the desk as a reviewer does who holds just these of its records."""
    desk.pull()
    data = {"verdict": verdict, "digest": digest_of(events), "text": "Seen."}
    review = desk.make(run.id, "run.reviewed", data, person="mara")
    assert desk.push([review])[0]["status"] == "stored"
    return review


def test_a_review_that_lapsed_says_since_when_and_waits_again(desk, phone, opening):
    vessel = new_run()
    run = Run(phone, opening, vessel)
    run.push("run.abandoned", {"reason": "Tea.", "left": "soiled"})
    assert ids(phone, vessel=vessel, review="waiting") == {run.id}
    first = reviewed(desk, run, run.events)
    assert ids(phone, vessel=vessel, review="accepted") == {run.id}
    assert ids(phone, vessel=vessel, review="waiting") == set()
    row = line(phone, vessel)
    assert (row["reviewed"], row["review"]["stands"], "lapsed" in row["review"]) == (True, True, False)

    run.push("note.added", {"text": "One more."})
    stored = phone.get(f"/api/runs/{run.id}").json()
    for review in (line(phone, vessel)["review"], stored["run"]["review"]):
        assert (review["event"], review["stands"]) == (first["id"], False)
        assert review["lapsed"] == {"time": stored["events"][-1]["recordedtime"], "added": 1}
    assert ids(phone, vessel=vessel, review="accepted") == set()
    assert (
        ids(phone, vessel=vessel, review="lapsed") == {run.id} == ids(phone, vessel=vessel, review="waiting")
    )
    assert run.id in [row["id"] for row in desk.get("/api/desk/needs").json()["runs"]["reviews"]]

    reviewed(desk, run, [*run.events[:2], first, run.events[2]])
    assert ids(phone, vessel=vessel, review="accepted") == {run.id}


def test_a_record_the_reviewer_did_not_have_was_added_though_it_was_stored_before(desk, phone, opening):
    vessel = new_run()
    run = Run(phone, opening, vessel)
    run.push("run.abandoned", {"reason": "Tea.", "left": "soiled"})
    run.push("note.added", {"text": "Not seen."})
    reviewed(desk, run, run.events[:2])
    stored = phone.get(f"/api/runs/{run.id}").json()["events"]
    lapsed = line(phone, vessel)["review"]["lapsed"]
    assert lapsed == {"time": stored[2]["recordedtime"], "added": 1}


@pytest.mark.parametrize(
    "query", [{"found": "much"}, {"sort": "taste"}, {"kind": "tea"}, {"review": "maybe"}, {"after": "eA"}]
)
def test_what_a_register_cannot_be_asked_is_refused(phone, query):
    assert phone.get("/api/runs", **query).status_code == 422
