"""Instruments on the wire: a manager lists them, checks judge them, and a failed one reaches every run it is about."""

import json

import pytest
from sqlalchemy import delete

from tests.api.outside import new_run
from tests.api.test_interlocks import PROOFS, Hand, codes, step
from vesselside.core import VERSION
from vesselside.store.base import models
from vesselside.store.base.db import writing
from vesselside.store.fold import folding, projections
from vesselside.store.fold.rebuild import rebuild
from vesselside.store.site import founding

LIMITS = {
    "target": ["6.95", "7.05"], "stop": ["6.85", "7.15"], "low": "Adjust.", "high": "Adjust.", "halt": "Tag it.",
    "source": "common practice, no source",
}  # fmt: skip
PH = {"label": "pH", "kind": "reading", "unit": "pH", "places": 2, "instrument": "ph-meter"}
DRAFT = {"name": "pH 9", "kind": "ph-meter", "place": "Lab", "check_days": 7}


@pytest.fixture
def meter(desk):
    """A pH meter nobody has."""
    name = f"ph-{new_run()}"
    assert put(desk, name).status_code == 200
    return name


@pytest.fixture
def bench(desk):
    """A clean that reads a pH, and checks of pH meters; their openings."""
    openings = {}
    read = [step(proof, proof=proof) for proof in PROOFS]
    read[2]["entries"] = [{"id": "ph", **PH}]
    check = [
        step("check", entries=[{"id": "seven", **PH, "series": True, "verifies": True, "limits": LIMITS}])
    ]
    for name, kind, steps in (("bench-read", "cleaning", read), ("bench-check", "cellar", check)):
        kinds = ["fermenter"] if kind == "cleaning" else []
        draft = {"id": name, "version": 1, "title": name.title(), "kind": kind, "vessel_kinds": kinds}
        answer = desk.post("/api/desk/procedures", {**draft, "summary": "Quick.", "steps": steps})
        assert answer.status_code == 201, answer.text
        openings[name] = {"procedure": name, "version": 1, "sha256": answer.json()["sha256"], "inputs": {}}
    return openings


def put(desk, meter, **changes):
    return desk.send(f"/api/instruments/{meter}", json.dumps({**DRAFT, **changes}).encode(), method="PUT")


def entry(hand, where, field, value, verdict, meter):
    data = {"step": where, "field": field, "value": value, "typed": value, "unit": "pH", "how": "keyed"}
    return hand.make(
        "entry.made", {**data, "verdict": verdict, "core": VERSION, "over": [], "instrument": meter}
    )


def used(phone, bench, meter, hours_ago, vessel=None):
    """A whole clean whose residue was read with the meter."""
    hand = Hand(phone, bench["bench-read"], vessel or new_run(), hours_ago)
    for proof in PROOFS:
        if proof == "residue":
            hand.read = entry(hand, "residue", "ph", "7.40", "target", meter)
        hand.done(proof)
    hand.make("run.finished", {})
    hand.send()
    return hand


def checked(phone, bench, meter, hours_ago, value):
    hand = Hand(phone, bench["bench-check"], None, hours_ago)
    verdict = "target" if value == "7.00" else "stop"
    hand.read = entry(hand, "check", "seven", value, verdict, meter)
    hand.send()
    return hand


def standing(phone, meter):
    rows = phone.get("/api/instruments").json()["instruments"]
    return next(row for row in rows if row["id"] == meter)


def test_a_manager_lists_an_instrument_and_it_is_an_event_that_every_phone_gets(desk, phone, meter):
    card = {**DRAFT, "id": meter, "in_use": True}
    assert [row for row in phone.get("/api/reference").json()["instruments"] if row["id"] == meter] == [card]
    assert put(desk, meter).json() == card
    assert put(desk, meter, in_use=False).json() == {**card, "in_use": False}
    events = [
        row for row in phone.pull() if row["type"] == "instrument.changed" and row["data"]["id"] == meter
    ]
    assert [row["data"]["instrument"]["in_use"] for row in events] == [True, False]
    assert (events[0]["source"], events[0]["person"]) == ("/server", "mara")
    assert standing(phone, meter)["state"] == "out"


def test_only_a_manager_and_each_fault_at_its_field(desk, phone, meter):
    assert put(phone, "ph-of-mine").status_code == 403
    refused = put(desk, meter, name=" ", check_days="often", kind="thermometer")
    assert refused.status_code == 422
    assert sorted(refused.json()["errors"]) == ["check_days", "name"]
    assert list(put(desk, meter, kind="thermometer").json()["errors"]) == ["kind"]
    assert list(put(desk, "ph-meter").json()["errors"]) == ["id"]


def test_a_failed_check_finds_the_readings_since_the_last_good_one_whichever_came_first(
    phone, other, desk, bench, meter
):
    assert standing(phone, meter)["state"] == "due"
    early = used(phone, bench, meter, 20)
    checked(phone, bench, meter, 18, "7.00")
    before = used(phone, bench, meter, 16)
    assert (standing(phone, meter)["state"], codes(phone, before.run)) == ("good", [])
    waiting = desk.get("/api/desk/needs").json()["counts"]
    bad = checked(other, bench, meter, 12, "6.50")
    late = used(phone, bench, meter, 14)
    after = used(phone, bench, meter, 10)
    for hand in (before, late, after):
        state = phone.get(f"/api/runs/{hand.run}").json()["run"]
        (found,) = [row for row in state["findings"] if row["code"] == "instrument-doubt"]
        assert (found["event"], "pH 9. In doubt: pH: 7.40 pH." in found["text"]) == (hand.read["id"], True)
        (row,) = state["deviations"]
        assert (row["event"], row["answered"]) == (hand.opening["id"], None)
    assert codes(phone, early.run) == []
    needs = desk.get("/api/desk/needs").json()
    assert needs["counts"]["deviations"] == waiting["deviations"] + 3
    assert meter in [row["id"] for row in needs["instruments"]]
    shown = standing(phone, meter)
    assert (shown["state"], {row["run"] for row in shown["doubt"]}) == (
        "failed",
        {hand.run for hand in (before, late, after)},
    )
    (line,) = phone.get("/api/runs", vessel=before.vessel).json()["runs"]
    assert (line["deviations_open"], line["findings"]) == (1, ["instrument-doubt"])

    said = {"deviation": before.opening["id"], "action": "Read again with pH 1"}
    before.now = after.now + 1000
    before.make("deviation.answered", said, person="dora")
    before.send()
    (row,) = phone.get(f"/api/runs/{before.run}").json()["run"]["deviations"]
    assert row["answered"]["action"] == "Read again with pH 1"

    checked(phone, bench, meter, 6, "7.00")
    assert (standing(phone, meter)["state"], codes(phone, late.run)) == ("good", ["instrument-doubt"])
    bad.now = after.now + 2000
    bad.make("struck", {"target": bad.read["id"], "reason": "Old buffer"})
    bad.send()
    assert [codes(phone, hand.run) for hand in (before, late, after)] == [["late"], [], []]
    assert standing(phone, meter)["doubt"] == []


def test_a_vessel_proved_with_a_reading_in_doubt_says_so_on_the_board(phone, desk, bench, meter):
    def doubt():
        rows = phone.get("/api/vessels").json()["vessels"]
        return next(row["doubt"] for row in rows if row["id"] == "fv1")

    used(phone, bench, meter, 0.2, vessel="fv1")
    assert doubt() == []
    checked(phone, bench, meter, 0.1, "6.50")
    (text,) = doubt()
    assert "pH 9" in text
    assert put(desk, meter, name="pH 9, old").status_code == 200
    assert "pH 9, old" in doubt()[0]


def test_rebuild_makes_the_list_and_the_doubts_again(server, phone, bench, meter):
    hand = used(phone, bench, meter, 4)
    checked(phone, bench, meter, 3, "6.50")
    before = standing(phone, meter)
    (told,) = phone.get(f"/api/runs/{hand.run}").json()["run"]["deviations"]
    with server.inside():
        brewery = founding.breweries()[0][0]
        assert rebuild(brewery).faults == []
        with writing(brewery) as session:
            other = {**DRAFT, "id": meter, "name": "pH 8", "in_use": False}
            session.merge(models.Instrument(brewery=brewery, id=meter, content=other))
            session.execute(delete(models.InstrumentRun))
        first, *rest = rebuild(brewery, apply=True).faults
        assert first == f"instrument {meter}: differs from the log"
        assert [line for line in rest if f"instrument {meter} in run" in line]
        assert phone.get(f"/api/runs/{hand.run}").json()["run"]["deviations"] == [told]
        assert rebuild(brewery).faults == []
    assert (standing(phone, meter), codes(phone, hand.run)) == (before, ["instrument-doubt"])


def test_a_process_that_comes_late_with_an_older_fold_changes_nothing(server, phone, bench, meter):
    hand = used(phone, bench, meter, 4)
    bad = checked(phone, bench, meter, 3, "6.50")
    with server.inside():
        brewery = founding.breweries()[0][0]
        known, _ = projections.administration(brewery)
        older = {bad.run: folding.fold(brewery, bad.run, known)}
    bad.make("struck", {"target": bad.read["id"], "reason": "Old buffer"})
    bad.send()
    before = standing(phone, meter)
    assert (before["state"], codes(phone, hand.run)) == ("due", [])
    with server.inside():
        projections.keep(brewery, older)
    assert (standing(phone, meter), codes(phone, hand.run)) == (before, [])
