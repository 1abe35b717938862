"""Vessels at the desk: a manager lists them, each change is an event, and nobody takes one away that is in use."""

import json

import pytest

from tests.api.outside import Phone, new_run
from tests.api.test_interlocks import Hand
from tests.living import MANAGER, Living
from vesselside import store
from vesselside.store.base import models
from vesselside.store.base.db import writing
from vesselside.store.fold import projections
from vesselside.store.site import founding, siting

DRAFT = {"kind": "fermenter", "place": "Tank room", "capacity_l": "1300"}


@pytest.fixture
def tank(desk):
    """A fermenter nobody has used."""
    name = new_run()
    assert put(desk, name).status_code == 200
    return name


def put(desk, vessel, **changes):
    return desk.send(
        f"/api/desk/vessels/{vessel}",
        json.dumps({"name": f"FV {vessel}", **DRAFT, **changes}).encode(),
        method="PUT",
    )


def told(phone, vessel):
    return [
        row["data"]["vessel"]
        for row in phone.pull()
        if row["type"] == "vessel.changed" and row["data"]["id"] == vessel
    ]


def test_a_manager_lists_a_vessel_and_it_is_an_event_that_every_phone_gets(desk, phone, tank):
    card = {**DRAFT, "id": tank, "name": f"FV {tank}"}
    assert [row for row in phone.get("/api/reference").json()["vessels"] if row["id"] == tank] == [card]
    assert put(desk, tank).json() == card
    other = {**card, "name": f"{tank} again", "charge_l": "160", "diameter_m": "1.10", "brews": "2"}
    assert put(desk, tank, **{**other, "diameter_m": " 1,10"}).json() == other
    assert told(phone, tank) == [card, other]
    assert f"{tank} again" in phone.get("/api/reference").text


def test_only_a_manager_and_each_fault_at_its_field(desk, phone, tank):
    assert put(phone, "fv-of-mine").status_code == 403
    refused = put(desk, tank, name=" ", place="x" * 61, capacity_l="0", diameter_m="wide", brews="1.5")
    assert refused.status_code == 422
    assert sorted(refused.json()["errors"]) == ["brews", "capacity_l", "diameter_m", "name", "place"]
    assert list(put(desk, tank, kind="bright").json()["errors"]) == ["kind"]
    assert list(put(desk, tank, kind="bucket").json()["errors"]) == ["kind"]
    assert list(put(desk, "FV9").json()["errors"]) == ["id"]
    assert list(put(desk, new_run(), name=f"fv {tank}").json()["errors"]) == ["name"], "one name, one vessel"
    assert list(put(desk, tank, in_use="no").json()["errors"]) == ["in_use"]


def test_a_vessel_goes_out_of_use_once_nothing_runs_on_it_and_comes_back(desk, phone, tank):
    procedure = next(
        row for row in phone.get("/api/reference").json()["procedures"] if "fermenter" in row["vessel_kinds"]
    )
    said = {"procedure": procedure["id"], "version": procedure["version"], "sha256": procedure["sha256"]}
    hand = Hand(phone, {**said, "inputs": {}}, tank, 1)
    hand.send()
    assert tank in [row["id"] for row in desk.get("/api/vessels").json()["vessels"]]
    assert list(put(desk, tank, in_use=False).json()["errors"]) == ["in_use"]
    hand.make("run.abandoned", {"reason": "Another tank after all.", "left": "soiled"})
    hand.send()
    assert desk.get("/api/vessels").ok  # folded
    assert put(desk, tank, in_use=False).json()["in_use"] is False
    assert tank not in [row["id"] for row in desk.get("/api/vessels").json()["vessels"]]
    assert "in_use" not in put(desk, tank).json()


def test_a_vessel_with_chemical_or_beer_in_it_does_not_leave_the_board(desk, phone, tank):
    procedure = next(
        row for row in phone.get("/api/reference").json()["procedures"] if "fermenter" in row["vessel_kinds"]
    )
    said = {"procedure": procedure["id"], "version": procedure["version"], "sha256": procedure["sha256"]}
    hand = Hand(phone, {**said, "inputs": {}}, tank, 1)
    hand.make("run.abandoned", {"reason": "Called away.", "left": "chemical"})
    hand.send()
    (row,) = [row for row in desk.get("/api/vessels").json()["vessels"] if row["id"] == tank]
    assert row["state"] == "chemical"
    assert row["chemical"] is not None
    refused = put(desk, tank, in_use=False)
    assert refused.status_code == 422
    assert list(refused.json()["errors"]) == ["in_use"]
    assert tank in [row["id"] for row in desk.get("/api/vessels").json()["vessels"]]


def test_a_vessel_changed_beside_the_log_is_found_and_put_back(fresh):
    fresh.start()
    desk = Phone(fresh.url, fresh.code("desk"))
    assert desk.post("/api/session", MANAGER).status_code == 200
    assert put(desk, "fv9").status_code == 200
    fresh.stop()
    with fresh.inside():
        brewery = founding.breweries()[0][0]
        with writing(brewery) as session:
            row = session.get(models.Vessel, (brewery, "fv9"))
            row.content = {**row.content, "capacity_l": "9000"}
    assert "vessel fv9: differs from the log" in fresh.command("check").stdout
    assert fresh.command("rebuild", "--apply").returncode == 1
    assert fresh.command("check").returncode == 0
    with fresh.inside():
        assert siting.every_vessel(brewery)[-1] == {**DRAFT, "id": "fv9", "name": "FV fv9"}


def test_vessels_from_before_they_stood_in_the_log_are_told_at_the_next_start(database_url, tmp_path):
    living = Living(tmp_path, database_url)
    card = {**DRAFT, "id": "old-tank", "name": "Old tank"}
    with living.inside():
        brewery = store.create_brewery("Old brewery")
        with writing(brewery) as session:
            session.add(models.Vessel(brewery=brewery, id="old-tank", content=card))
    assert living.command("check").returncode == 0
    for _ in range(2):
        done = living.command("migrate")
        assert done.returncode == 0, done.stderr
    with living.inside():
        told = [row for row in projections.administration(brewery)[1] if row["type"] == "vessel.changed"]
    assert [row["data"] for row in told] == [{"id": "old-tank", "vessel": card}]
    assert living.command("check").returncode == 0
