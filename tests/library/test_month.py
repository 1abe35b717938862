"""Thirty days of random but lawful work: no dead end, no vessel filled unproved untold, no deviation lost."""

import pytest

from tests.library.month import PROCEDURES, VESSELS, Month
from vesselside.core.plant import states, vessel

KINDS = {card["id"]: card["kind"] for card in VESSELS}


@pytest.fixture(scope="module", params=[20261125])
def month(request):
    lived = Month(request.param)
    lived.live(30)
    return lived


def test_every_procedure_comes_to_its_end_whatever_goes_wrong(month):
    assert {line["status"] for line in month.lines.values()} == {"finished", "abandoned"}
    assert len(month.lines) == len(month.walkers)
    assert len(month.done) >= len(PROCEDURES) - 6  # a few were stopped part way both times
    assert all(month.count.values()), month.count


def test_no_vessel_is_filled_unproved_without_a_finding_and_an_open_deviation(month):
    lines = list(month.lines.values())
    told = {(row["run"], row["event"]) for row in states.troubles(VESSELS, lines) if row["answered"] is None}
    fills = 0
    for line in lines:
        kind = KINDS.get(line["vessel"])
        for row in line["life"]:
            if row["what"] != "filled" or (row["on"] and kind not in row["on"]):
                continue
            fills += 1
            rinsed = [r for r in line["life"] if r["what"] in ("chemical-in", "chemical-out")]
            before = [other for other in lines if other["vessel"] == line["vessel"] and other is not line]
            before.append({**line, "life": rinsed})
            key = (row["at"], row["event"])
            earlier = [
                {**other, "life": [r for r in other["life"] if (r["at"], r["event"]) < key]}
                for other in before
            ]
            held = vessel.replay(earlier, kind)
            proved = held["clean"] is not None and held["sanitised"] is not None and not held["chemical"]
            topped = held["filled"] is not None and (row["interlock"] == "add" or kind in vessel.LINES)
            assert proved or topped or row["override"] or (line["id"], row["event"]) in told, (
                line["id"],
                row,
            )
    assert fills > 10


def test_a_phone_that_knew_too_little_is_found_out(month):
    assert month.count["blind"] > 3
    found = states.troubles(VESSELS, list(month.lines.values()))
    assert found
    for row in found:
        assert row["run"] in month.lines
        assert row["answered"] is None


def test_no_deviation_is_lost(month):
    kept = {}
    for walker in month.walkers.values():
        walker.reopen()
        for row in walker.view["deviations"]:
            kept[row["event"]] = row
    assert set(kept) == month.raised
    assert sum(line["deviations"] for line in month.lines.values()) == len(month.raised)


def test_no_chemical_goes_onto_beer_unless_overridden_or_told_of(month):
    lines = list(month.lines.values())
    told = {
        (row["run"], row["event"]) for row in states.troubles(VESSELS, lines) if row["code"] == "dosed-filled"
    }
    doses = 0
    for line in lines:
        for row in line["life"]:
            if row["what"] != "chemical-in" or not row.get("interlock"):
                continue
            doses += 1
            key = (row["at"], row["event"])
            earlier = [
                {**other, "life": [r for r in other["life"] if (r["at"], r["event"]) < key]}
                for other in lines
            ]
            held = vessel.replay(
                states.by_vessel(VESSELS, earlier).get(line["vessel"], []), KINDS[line["vessel"]]
            )
            assert not held["filled"] or row["override"] or (line["id"], row["event"]) in told
    assert doses > 10
