"""Recipes over the wire: only a manager changes one, faults are said at their fields, and a gyle keeps its version."""

import copy
from typing import Any

import pytest
import requests

from tests.api.outside import Phone, new_run
from tests.core.brewing import RECIPE
from tests.living import PINS
from vesselside.core import VERSION


@pytest.fixture
def recipe() -> dict[str, Any]:
    """A recipe nobody has."""
    return {**copy.deepcopy(RECIPE), "id": f"pale-{new_run()}"[:60]}


def read_of(device: Phone, recipe: dict[str, Any]) -> list[int]:
    """The versions of a recipe in the reference."""
    rows = device.get("/api/reference").json()["recipes"]
    return [row["version"] for row in rows if row["id"] == recipe["id"]]


def test_a_manager_enters_a_recipe_and_every_phone_reads_it(desk, phone, recipe):
    answer = desk.post("/api/recipes", recipe)
    assert answer.status_code == 201, answer.text
    assert {key: answer.json()[key] for key in ("id", "version")} == {"id": recipe["id"], "version": 1}
    assert read_of(phone, recipe) == [1]
    listed = {row["id"]: row for row in phone.get("/api/recipes").json()["recipes"]}
    assert listed[recipe["id"]] == recipe
    sheet = phone.get(f"/api/recipes/{recipe['id']}/sheet").json()
    lines = {line["id"]: line for line in sheet["lines"]}
    assert (lines["copper-end"]["value"], lines["malt"]["unit"]) == ("1240", "kg")
    assert lines["malt"]["working"]["calculation"] == "grist-for-gravity"


def test_it_is_an_administration_event_that_holds_it_whole(desk, phone, recipe):
    kept = desk.post("/api/recipes", recipe).json()
    (event,) = [
        row for row in phone.pull() if row["type"] == "recipe.changed" and row["data"]["id"] == recipe["id"]
    ]
    assert (event["source"], event["subject"], event["person"]) == ("/server", "/admin", "mara")
    assert event["data"] == {**kept, "recipe": recipe}


def test_the_same_again_changes_nothing_and_a_kept_version_never_changes(desk, phone, recipe):
    assert desk.post("/api/recipes", recipe).json() == desk.post("/api/recipes", recipe).json()
    changed = {**recipe, "bitterness_ibu": "40"}
    refused = desk.post("/api/recipes", changed)
    assert refused.status_code == 422
    assert "at version 1 now" in refused.json()["errors"]["version"][0]
    assert desk.post("/api/recipes", {**changed, "version": 3}).status_code == 422
    assert desk.post("/api/recipes", {**changed, "version": 2}).status_code == 201
    versions = phone.get(f"/api/recipes/{recipe['id']}").json()["versions"]
    assert [row["bitterness_ibu"] for row in versions] == ["40", "32"]
    assert phone.get(f"/api/recipes/{recipe['id']}/sheet?version=1").json()["version"] == 1
    assert phone.get(f"/api/recipes/{recipe['id']}/sheet?version=9").status_code == 404


def test_each_fault_is_said_at_its_field(desk, recipe):
    recipe["grist"][0]["extract_pct"] = "3"
    recipe["hops"][1]["alpha_pct"] = ""
    del recipe["name"]
    answer = desk.post("/api/recipes", recipe)
    problem = answer.json()
    assert answer.status_code == 422
    assert answer.headers["Content-Type"] == "application/problem+json"
    assert problem["type"] == "urn:vesselside:invalid"
    assert sorted(problem["errors"]) == ["grist.0.extract_pct", "hops.1.alpha_pct", "name"]
    assert problem["errors"]["name"] == ["Enter: Name"]


@pytest.mark.parametrize("body", [b"[]", b"7", b"{}", b'{"grist": 5}'])
def test_what_is_no_recipe_is_a_problem(desk, body):
    answer = desk.send("/api/recipes", body)
    assert answer.status_code == 422
    assert answer.headers["Content-Type"] == "application/problem+json"


def test_nobody_else_changes_a_recipe_and_strangers_read_none(server, phone, enrol, recipe):
    assert phone.post("/api/recipes", recipe).status_code == 403
    brewer = enrol()
    assert brewer.post("/api/session", {"person": "bern", "pin": PINS["bern"]}).status_code == 200
    assert brewer.post("/api/recipes", recipe).status_code == 403
    assert read_of(brewer, recipe) == []
    for path in ("/api/recipes", f"/api/recipes/{recipe['id']}", "/api/gyles", "/api/gyles/g1"):
        assert requests.get(f"{server.url}{path}", timeout=30).status_code == 401
    assert phone.get(f"/api/recipes/{recipe['id']}").status_code == 404
    assert phone.get("/api/gyles/no-such-gyle").status_code == 404


class Brewer:
    """Pushes the runs of a gyle as a phone would, entry by entry."""

    def __init__(self, phone: Phone, recipe: dict[str, Any], gyle: str) -> None:
        self.phone, self.recipe, self.gyle = phone, recipe, gyle
        rows = phone.get("/api/reference").json()["procedures"]
        self.procedures = {row["id"]: row for row in rows}

    def run(self, procedure: str, vessel: str, **entries: tuple[str, str]) -> str:
        held = self.procedures[procedure]
        run = new_run()
        opened = {
            "procedure": procedure, "version": held["version"], "sha256": held["sha256"], "vessel": vessel,
            "gyle": self.gyle, "recipe": self.recipe["id"], "recipe_version": self.recipe["version"], "inputs": {},
        }  # fmt: skip
        events = [self.phone.make(run, "run.opened", opened)]
        for place, (value, unit) in entries.items():
            step, _, field = place.replace("_", "-").partition("--")
            data = {
                "step": step, "field": field, "value": value, "typed": value, "unit": unit, "how": "keyed",
                "verdict": "target", "core": VERSION, "over": [],
            }  # fmt: skip
            events.append(self.phone.make(run, "entry.made", data))
        assert {row["status"] for row in self.phone.push(events)} == {"stored"}
        return run


def test_a_gyle_stands_planned_against_actual_beside_the_brew_before_it(desk, phone, recipe):
    desk.post("/api/recipes", recipe)
    names = [f"g-{new_run()[-12:]}" for _ in range(2)]
    for name, malt, gravity in zip(names, ("226.0", "228.4"), ("1.0416", "1.0424"), strict=True):
        brewer = Brewer(phone, recipe, name)
        brewer.run("grist-and-mash-in", "mt1", weigh_out__total=(malt, "kg"))
        brewer.run(
            "copper-boil", "cu1", end_gravity__cooled=("1240", "L"), end_gravity__gravity=(gravity, "")
        )
        brewer.run("cast-and-pitch", "fv1", gravity__gravity=(gravity, ""), gravity__volume=("1192", "L"))
    page = phone.get(f"/api/gyles/{names[1]}").json()
    assert page["recipe"] == {"id": recipe["id"], "version": 1, "name": "Bench pale"}
    rows = {row["id"]: row for row in page["rows"]}
    made = rows["brew-gravity"]["actual"][0]
    assert (rows["brew-gravity"]["planned"], made["value"], made["difference"]) == (
        "1.0420",
        "1.0424",
        "0.0004",
    )
    assert rows["malt"]["actual"][0]["value"] == "228.4"
    results = {row["id"]: row["value"] for row in page["results"]}
    assert results["cast-loss"] == "48"
    assert 74 < float(results["efficiency"]) < 77
    before = {row["id"]: row for row in page["last"]["rows"]}
    assert (page["last"]["id"], before["malt"]["actual"][0]["value"]) == (names[0], "226.0")
    assert len(page["runs"]) == 3
    listed = {row["id"]: row for row in phone.get("/api/gyles?limit=200").json()["gyles"]}
    assert listed[names[1]]["runs"] == 3
    assert listed[names[1]]["recipe"]["id"] == recipe["id"]


def test_a_gyle_keeps_the_version_and_the_site_figures_it_was_begun_with(server, desk, phone, recipe):
    desk.post("/api/recipes", recipe)
    gyle = f"g-{new_run()[-12:]}"
    phone.pull()
    Brewer(phone, recipe, gyle).run("grist-and-mash-in", "mt1", weigh_out__total=("226.0", "kg"))

    def planned() -> str:
        rows = phone.get(f"/api/gyles/{gyle}").json()["rows"]
        return str(next(row for row in rows if row["id"] == "malt")["planned"])

    before = planned()
    stronger = {**recipe, "version": 2, "original_sg": "1.0500"}
    assert desk.post("/api/recipes", stronger).status_code == 201
    figure = "/api/desk/settings/brewhouse-efficiency"
    assert desk.send(figure, b'{"value": "60"}', method="PUT").status_code == 204
    assert planned() == before
    assert read_of(phone, recipe) == [2, 1], "the newest first, then what a gyle was begun with"
    assert desk.send(figure, b'{"value": "75"}', method="PUT").status_code == 204


def test_recipes_are_made_again_from_the_log(fresh, recipe):
    from sqlalchemy import text

    from vesselside import store
    from vesselside.store.base.db import db, writing
    from vesselside.store.fold.rebuild import rebuild
    from vesselside.store.site import founding, recipes

    with fresh.inside():
        brewery = founding.breweries()[0][0]
        store.change_recipe(brewery, recipe, by="mara")
        assert rebuild(brewery).faults == []
        with writing(brewery) as session:
            session.execute(text("DELETE FROM recipe_versions"))
        assert rebuild(brewery, apply=True).faults == [
            f"recipe {recipe['id']} version 1: differs from the log"
        ]
        assert recipes.version(brewery, recipe["id"], 1) == recipe
        assert rebuild(brewery).faults == []
        db.session.rollback()
