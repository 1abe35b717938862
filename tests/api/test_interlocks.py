"""On the server as on the phone: what several phones did to one vessel is a finding and an open deviation."""

import time

import pytest

from tests.api.outside import digest_of, instant, new_run
from vesselside.core import VERSION

HOUR = 3_600_000
PROOFS = ("process", "look", "residue", "sanitised")


def step(name, **more):
    return {"id": name, "title": name.title(), "why": "To see.", "how": "By hand.", "needs": [], **more}


@pytest.fixture
def quick(desk):
    """A clean of four ticks and a fill of one, published at the desk; their openings."""
    clean = {"kind": "cleaning", "steps": [step(proof, proof=proof) for proof in PROOFS]}
    fill = {
        "kind": "brew", "leaves": "filled",
        "steps": [step("fill", fills=True, asks=[{"interlock": "fill"}]), step("after")],
    }  # fmt: skip
    openings = {}
    for name, body in (("quick-clean", clean), ("quick-fill", fill)):
        draft = {
            "id": name,
            "version": 1,
            "title": name.title(),
            "vessel_kinds": ["fermenter"],
            "summary": "Quick.",
        }
        answer = desk.post("/api/desk/procedures", {**draft, **body})
        assert answer.status_code == 201, answer.text
        openings[name] = {"procedure": name, "version": 1, "sha256": answer.json()["sha256"], "inputs": {}}
    return openings


class Hand:
    """Makes the events of one run on one phone, each an hour's fraction later than the last."""

    def __init__(self, phone, opening, vessel, hours_ago, gyle="g1"):
        phone.pull()
        self.phone, self.run = phone, new_run()
        self.now = int(time.time() * 1000) - int(hours_ago * HOUR)
        self.events = []
        self.vessel = vessel
        given = {"vessel": vessel, "gyle": gyle}
        at = {} if vessel is None else {name: value for name, value in given.items() if value is not None}
        self.opening = self.make("run.opened", {**opening, **at})

    def make(self, kind, data, **changes):
        self.now += 1000
        moment = {"time": instant(self.now), "hlc": f"{self.now:012x}-0000"}
        self.events.append(self.phone.make(self.run, kind, data, **moment, **changes))
        return self.events[-1]

    def done(self, name):
        return self.make("step.done", {"step": name, "verdict": "target", "core": VERSION})

    def send(self):
        assert {row["status"] for row in self.phone.push(self.events)} == {"stored"}
        self.events = []


def cleaned(phone, quick, vessel, hours_ago):
    hand = Hand(phone, quick["quick-clean"], vessel, hours_ago)
    for proof in PROOFS:
        hand.done(proof)
    hand.make("run.finished", {})
    return hand


def codes(phone, run):
    return [row["code"] for row in phone.get(f"/api/runs/{run}").json()["run"]["findings"]]


def test_a_fill_that_nobody_proved_is_a_finding_and_a_deviation_until_a_duty_brewer_answers(
    phone, desk, quick
):
    vessel = new_run()
    before = desk.get("/api/desk/needs").json()["counts"]["deviations"]
    hand = Hand(phone, quick["quick-fill"], vessel, 0.1)
    fill = hand.done("fill")
    hand.send()
    state = phone.get(f"/api/runs/{hand.run}").json()["run"]
    assert codes(phone, hand.run) == ["filled-unproved"]
    (row,) = state["deviations"]
    assert (row["event"], row["interlock"], row["answered"]) == (fill["id"], "fill", None)
    assert desk.get("/api/desk/needs").json()["counts"]["deviations"] == before + 1
    (line,) = phone.get("/api/runs", vessel=vessel).json()["runs"]
    assert (line["deviations_open"], line["findings"]) == (1, ["filled-unproved"])

    hand.make("deviation.answered", {"deviation": fill["id"], "action": "Sampled"}, person="bern")
    hand.send()
    assert desk.get("/api/desk/needs").json()["counts"]["deviations"] == before + 1
    hand.make("deviation.answered", {"deviation": fill["id"], "action": "Sampled and sound"}, person="dora")
    hand.send()
    (row,) = phone.get(f"/api/runs/{hand.run}").json()["run"]["deviations"]
    assert (row["answered"]["person"], row["answered"]["action"]) == ("dora", "Sampled and sound")
    assert desk.get("/api/desk/needs").json()["counts"]["deviations"] == before


def test_one_phone_fills_what_another_had_soiled_and_the_clash_shows_when_both_have_sent(phone, other, quick):
    vessel = new_run()
    cleaned(phone, quick, vessel, 5).send()
    hand = Hand(phone, quick["quick-fill"], vessel, 1)
    hand.done("fill")
    hand.send()
    assert codes(phone, hand.run) == []
    soiled = Hand(other, quick["quick-clean"], vessel, 3)
    soiled.make("run.abandoned", {"reason": "Hose burst", "left": "soiled"})
    soiled.send()
    assert codes(phone, hand.run) == ["filled-unproved"]
    assert codes(phone, soiled.run) == []


def test_a_late_correction_of_the_clean_brings_its_fill_to_light(phone, quick):
    vessel = new_run()
    clean = cleaned(phone, quick, vessel, 5)
    ticked = clean.events[3]["id"]
    clean.send()
    hand = Hand(phone, quick["quick-fill"], vessel, 1)
    hand.done("fill")
    hand.send()
    assert codes(phone, hand.run) == []
    clean.now = hand.now
    clean.make("struck", {"target": ticked, "reason": "Read the wrong meter"})
    clean.send()
    assert codes(phone, hand.run) == ["filled-unproved"]


def test_an_opening_that_comes_late_and_names_another_vessel_takes_the_clean_there(phone, other, quick):
    vessel = new_run()
    clean = cleaned(phone, quick, vessel, 5)
    clean.send()
    hand = Hand(phone, quick["quick-fill"], vessel, 1)
    hand.done("fill")
    hand.send()
    assert codes(phone, hand.run) == []
    early = Hand(other, quick["quick-clean"], new_run(), 6)
    early.run, early.events = clean.run, []
    early.make("run.opened", {**quick["quick-clean"], "vessel": early.vessel})
    early.send()
    assert codes(phone, hand.run) == ["filled-unproved"]


def test_an_override_covers_the_fill_waits_for_the_manager_and_is_counted_at_the_desk(phone, desk, quick):
    def overridden():
        rows = desk.get("/api/desk/needs").json()["overrides"]
        return next((row for row in rows if row["interlock"] == "fill"), {"runs": 0, "overridden": 0})

    before = overridden()
    hand = Hand(phone, quick["quick-fill"], new_run(), 0.1)
    data = {"step": "fill", "interlock": "fill", "text": "Wort is hot", "check": "Swab taken"}
    hand.make("deviation.raised", data, person="dora")
    hand.done("fill")
    hand.send()
    assert codes(phone, hand.run) == ["overridden"]
    after = overridden()
    assert (after["runs"], after["overridden"]) == (before["runs"] + 1, before["overridden"] + 1)
    assert after["redesign"] is (after["overridden"] * 20 > after["runs"])

    wrong = Hand(phone, quick["quick-fill"], new_run(), 0.1)
    wrong.make("deviation.raised", data, person="bern")
    wrong.done("fill")
    wrong.send()
    assert sorted(codes(phone, wrong.run)) == ["filled-unproved", "override-refused"]
    assert len(phone.get(f"/api/runs/{wrong.run}").json()["run"]["deviations"]) == 2


def test_a_procedure_that_asks_what_is_not_there_is_refused_with_its_field(desk):
    draft = {"id": "odd", "version": 1, "title": "Odd", "kind": "brew", "vessel_kinds": [], "summary": "Odd."}
    for wrong, words in (
        (step("fill", fills=True), "steps.0.fills"),
        (step("fill", asks=[{"interlock": "luck"}]), "luck is not one of"),
        (step("fill", asks=[{"interlock": "fill", "of": "a.b", "warns": True}]), "neither gyle nor a text"),
        (step("vent", never_locked=True), "never locked is anytime"),
        (step("hold", asks=[{"interlock": "contact"}]), "needs a hold"),
    ):
        answer = desk.post("/api/desk/procedures", {**draft, "steps": [wrong]})
        assert answer.status_code == 422
        assert words in answer.json()["detail"]


def test_a_review_that_rejects_a_clean_holds_its_vessel_for_every_phone_until_it_is_answered(
    phone, desk, quick
):
    vessel = new_run()
    hand = cleaned(phone, quick, vessel, 5)
    digest = digest_of(hand.events)
    hand.send()
    before = desk.get("/api/desk/needs").json()["counts"]["deviations"]
    verdict = {"verdict": "rejected", "digest": digest, "text": "The strip was read before the rinse."}
    desk.pull()
    review = desk.make(hand.run, "run.reviewed", verdict, person="mara")
    assert {row["status"] for row in desk.push([review])} == {"stored"}
    assert codes(phone, hand.run) == ["review-rejected"]
    assert desk.get("/api/desk/needs").json()["counts"]["deviations"] == before + 1

    fill = Hand(phone, quick["quick-fill"], vessel, 0)
    fill.done("fill")
    fill.send()
    assert codes(phone, fill.run) == ["filled-unproved"]

    hand.now = fill.now
    hand.make("deviation.answered", {"deviation": review["id"], "action": "Cleaned again."}, person="dora")
    hand.send()
    (row,) = phone.get(f"/api/runs/{hand.run}").json()["run"]["deviations"]
    assert row["answered"]["action"] == "Cleaned again."
