"""The cleaning register: the figures of each clean, read off its procedure's data, and the same for a spreadsheet."""

import csv
import io

import pytest
from sqlalchemy import text

from tests.api.outside import Phone, digest_of, new_run
from tests.api.test_interlocks import Hand, step
from tests.living import PINS
from vesselside.core import VERSION
from vesselside.store.base.db import db
from vesselside.store.fold import rebuild
from vesselside.store.site import founding


def reading(name, unit, **more):
    return {"id": name, "label": name.title(), "kind": "reading", "unit": unit, "places": 1, **more}


BAND = {
    "target": ["50", "80"],
    "stop": [None, None],
    "low": "Heat.",
    "high": "Ease.",
    "halt": "Stop.",
    "source": "x",
}
STEPS = [
    step("before", entries=[reading("water", "°C", optional=True)]),
    step("alpha", entries=[reading("burette", "mL", optional=True), reading("x", "% w/v")]),
    step("beta", hold={"seconds": "1800"}, entries=[reading("y", "°C", series=True, limits=BAND)]),
    step("gamma", proof="process", entries=[reading("z", "% w/v")]),
    step("delta", proof="residue", entries=[reading("ph", "pH"), reading("cond", "µS/cm", optional=True)]),
    step(
        "eps", hold={"seconds": "60"},
        entries=[reading("strip", "mg/L", optional=True), reading("cold", "°C", optional=True)],
    ),
]  # fmt: skip
"""A clean whose names say nothing: what counts goes by unit, place, hold and proof."""


@pytest.fixture
def clean(desk):
    """That clean, published; its opening."""
    name = f"clean-{new_run()}"
    draft = {"id": name, "version": 1, "title": "Probe clean", "kind": "cleaning", "summary": "Quick."}
    answer = desk.post("/api/desk/procedures", {**draft, "vessel_kinds": ["fermenter"], "steps": STEPS})
    assert answer.status_code == 201, answer.text
    return {"procedure": name, "version": 1, "sha256": answer.json()["sha256"], "inputs": {}}


class Cleaner(Hand):
    def enter(self, name, field, value, unit, verdict="target", **changes):
        data = {"step": name, "field": field, "value": value, "typed": value, "unit": unit, "how": "keyed"}
        return self.make("entry.made", {**data, "verdict": verdict, "core": VERSION, "over": []}, **changes)

    def later(self, minutes):
        self.now += minutes * 60_000

    def whole(self):
        """From water to sanitiser: in band for 20 of 40 minutes; 18 °C before and 4 °C after are not its contact."""
        self.enter("before", "water", "18", "°C")
        self.done("before")
        self.enter("alpha", "burette", "20.1", "mL")
        self.enter("alpha", "x", "2.1", "% w/v")
        self.done("alpha")
        self.make("hold.started", {"step": "beta", "seconds": 1800})
        for value, verdict in (("55", "target"), ("54.5", "target"), ("46", "advise"), ("56", "target")):
            self.enter("beta", "y", value, "°C", verdict)
            self.later(10)
        self.make("hold.ended", {"step": "beta", "seconds": 1800})
        self.done("beta")
        self.enter("gamma", "z", "1.8", "% w/v")
        self.done("gamma")
        self.enter("delta", "ph", "7.4", "pH")
        self.enter("delta", "cond", "420", "µS/cm")
        self.done("delta")
        self.make("hold.started", {"step": "eps", "seconds": 60})
        self.later(2)
        self.make("hold.ended", {"step": "eps", "seconds": 60})
        self.enter("eps", "strip", "150", "mg/L")
        self.enter("eps", "cold", "4", "°C")
        self.done("eps")
        self.make("run.finished", {})
        return self


def listed(desk, **query):
    answer = desk.get("/api/desk/cleanings", **query)
    assert answer.status_code == 200, answer.text
    return answer.json()["cleanings"]


def table(desk, **query):
    answer = desk.get("/api/desk/cleanings", format="csv", **query)
    assert answer.status_code == 200, answer.text
    assert answer.headers["Content-Type"].startswith("text/csv")
    assert "attachment" in answer.headers["Content-Disposition"]
    return list(csv.reader(io.StringIO(answer.content.decode("utf-8-sig"), newline="")))


def test_a_clean_stands_in_the_register_with_its_figures(phone, desk, clean):
    vessel = new_run()
    hand = Cleaner(phone, clean, vessel, 3).whole()
    end = hand.events[-1]
    hand.send()
    (row,) = listed(desk, vessel=vessel)
    assert (row["run"], row["status"], row["title"], row["person"]) == (
        hand.run, "finished", "Probe clean", "bern",
    )  # fmt: skip
    assert (row["time"], row["device"]) == (end["time"], phone.id)
    shown = {name: row[name] and row[name]["value"] for name in ("strength_start", "strength_end", "coldest")}
    assert shown == {"strength_start": "2.1", "strength_end": "1.8", "coldest": "46"}
    assert (row["coldest"]["verdict"], row["strength_start"]["unit"]) == ("advise", "% w/v")
    assert (row["minutes"], row["held"]) == ("20", "40")
    assert [(one["value"], one["unit"]) for one in row["rinse"]] == [("7.4", "pH"), ("420", "µS/cm")]
    assert (row["found"], row["review"], row["reviewed"]) == ([], None, False)


def test_a_correction_a_finding_and_a_review_change_the_row(phone, desk, clean):
    vessel = new_run()
    hand = Cleaner(phone, clean, vessel, 3).whole()
    wrong = next(event for event in hand.events if event["data"].get("value") == "46")
    hand.make("struck", {"target": wrong["id"], "reason": "Read the wrong probe"})
    digest = digest_of(hand.events)
    hand.send()
    desk.pull()
    said = {"verdict": "accepted", "digest": digest, "text": "Seen."}
    desk.push([desk.make(hand.run, "run.reviewed", said, person="mara")])
    (row,) = listed(desk, vessel=vessel)
    assert (row["coldest"]["value"], row["minutes"]) == ("54.5", "40")
    assert (row["review"]["verdict"], row["reviewed"]) == ("accepted", True)
    assert row["found"] == ["Recorded after the run was closed"]
    hand.make("note.added", {"text": "One thing more"})
    hand.send()
    (row,) = listed(desk, vessel=vessel)
    assert (row["review"]["verdict"], row["reviewed"]) == ("accepted", False)


def test_a_clean_that_was_stopped_stands_there_too_and_what_is_no_clean_does_not(phone, desk, clean):
    vessel = new_run()
    hand = Cleaner(phone, clean, vessel, 2)
    hand.enter("alpha", "x", "2.0", "% w/v")
    hand.make("run.abandoned", {"reason": "Pump failed", "left": "soiled"})
    hand.send()
    (row,) = listed(desk, vessel=vessel)
    assert (row["status"], row["left"], row["strength_end"], row["minutes"]) == (
        "abandoned", "soiled", None, None,
    )  # fmt: skip
    held = phone.get("/api/reference").json()["procedures"]
    brew = next(row for row in held if row["kind"] == "brew")
    opening = {"procedure": brew["id"], "version": brew["version"], "sha256": brew["sha256"], "inputs": {}}
    Hand(phone, opening, vessel, 1).send()
    assert len(listed(desk, vessel=vessel)) == 1


def test_the_register_filters_by_vessel_procedure_and_span_and_pages_without_a_gap(phone, desk, clean):
    vessel, hands = new_run(), []
    for hours in (9, 7, 5, 3):
        hand = Cleaner(phone, clean, vessel, hours).whole()
        hands.append((hand.run, hand.events[-1]["time"]))
        hand.send()
    wanted = [run for run, _ in reversed(hands)]
    found, after = [], {}
    while True:
        page = desk.get("/api/desk/cleanings", vessel=vessel, limit=3, **after).json()
        found += [row["run"] for row in page["cleanings"]]
        if page["next"] is None:
            break
        after = {"after": page["next"]}
    assert found == wanted
    assert [row["run"] for row in listed(desk, vessel=vessel, **{"from": hands[2][1]})] == wanted[:2]
    assert [row["run"] for row in listed(desk, vessel=vessel, to=hands[2][1])] == wanted[2:]
    assert [row["run"] for row in listed(desk, procedure=clean["procedure"])] == wanted
    assert listed(desk, vessel=vessel, procedure="fermenter-caustic-clean") == []
    assert desk.get("/api/desk/cleanings", after="x").status_code == 422
    assert [row[-1] for row in table(desk, vessel=vessel)[1:]] == wanted


def test_no_cell_of_the_table_begins_a_formula_and_a_number_stays_one(server, desk, clean):
    vessel = new_run()
    phone = Phone(server.url, server.code(), "=HYPERLINK(1)")
    phone.sign_in("bern", PINS["bern"])
    hand = Cleaner(phone, clean, vessel, 3)
    hand.enter("alpha", "x", "-0.5", "% w/v")
    hand.make("run.finished", {})
    digest = digest_of(hand.events)
    hand.send()
    desk.pull()
    for remarks in ("@SUM(A1)", "+1", "-1", "\tx", "\r=1", " =1+1", "plain, with a comma", "-2.5"):
        said = {"verdict": "accepted", "digest": digest, "text": remarks}
        desk.push([desk.make(hand.run, "run.reviewed", said, person="mara")])
        heads, row = table(desk, vessel=vessel)
        cells = dict(zip(heads, row, strict=True))
        number = remarks in ("-1", "-2.5")
        plain = number or remarks.startswith("plain")
        assert cells["remarks"] == (remarks if plain else "'" + remarks)
        assert cells["phone"] == "'=HYPERLINK(1)"
        assert (cells["strength at start"], cells["unit"]) == ("-0.5", "")
        assert cells["by"] == "Bern"
        risky = [one for one in row if one[:1] in ("=", "+", "@", "\t", "\r")]
        assert risky == []


def test_rebuild_finds_and_mends_a_figure_that_was_changed_beside_the_log(phone, desk, server, clean):
    vessel = new_run()
    hand = Cleaner(phone, clean, vessel, 3).whole()
    hand.send()
    (before,) = listed(desk, vessel=vessel)
    with server.inside():
        db.session.execute(text("DELETE FROM cleanings WHERE run = :run"), {"run": hand.run})
        db.session.commit()
    assert listed(desk, vessel=vessel) == []
    with server.inside():
        report = rebuild.rebuild(founding.breweries()[0][0], apply=True)
    assert [line for line in report.faults if f"run {hand.run}: in the cleaning register" in line]
    assert listed(desk, vessel=vessel) == [before]


def test_the_list_is_read_off_an_index(server):
    with server.inside():
        brewery = founding.breweries()[0][0]
        explain = "EXPLAIN QUERY PLAN" if db.engine.dialect.name == "sqlite" else "EXPLAIN"
        if explain == "EXPLAIN":
            db.session.execute(text("SET LOCAL enable_seqscan = off"))
        for where, index in (("", "ix_cleanings_time"), ("AND vessel = 'fv1'", "ix_cleanings_vessel")):
            query = (
                f"{explain} SELECT run FROM cleanings WHERE brewery = :brewery {where} "
                "ORDER BY time DESC, run DESC LIMIT 51"
            )
            plan = str(db.session.execute(text(query), {"brewery": brewery}).all())
            assert index in plan
            assert "TEMP B-TREE" not in plan
            assert "Sort" not in plan
