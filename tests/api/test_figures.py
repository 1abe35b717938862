"""The site's figures: what is still as shipped, what it bears on, who signed it and when, and what is no figure."""

import json

import pytest

from vesselside.core.brew import sitefigures
from vesselside.core.run.lasting import LASTING
from vesselside.library import load


def put(desk, name, value):
    return desk.send(f"/api/desk/settings/{name}", json.dumps({"value": value}).encode(), method="PUT")


def figures(desk):
    return {row["id"]: row for row in desk.get("/api/desk/settings").json()["figures"]}


@pytest.fixture
def own():
    """A figure of a clean that is the site's own, with a number as its usual value."""
    clean = next(row for row in load().procedures if row["id"] == "fermenter-caustic-clean")
    return next(
        row for row in clean["settings"] if "to be filled in" in row["source"] and row["default"].isdigit()
    )


def test_every_setting_of_every_procedure_sheet_and_clock_stands_there_once(desk):
    held = figures(desk)
    settings = {row["id"] for procedure in load().procedures for row in procedure.get("settings", [])}
    assert set(held) == settings | set(LASTING) | {row[0] for row in sitefigures.FIGURES} | {
        "emergency-number",
        "meeting-place",
        "own-review",
    }


def test_what_it_bears_on_is_what_is_met_where_it_is_used(desk):
    groups = {row["id"]: row["group"] for row in load().cautions}
    held = figures(desk)
    for procedure in load().procedures:
        for step in procedure["steps"]:
            told = json.dumps(step)
            for row in procedure.get("settings", []):
                if f'"setting": "{row["id"]}"' in told:
                    met = {groups[caution] for caution in step.get("cautions", [])}
                    assert met <= set(held[row["id"]]["hazards"]), (procedure["id"], row["id"])


def test_one_signed_as_it_stands_says_who_and_when(desk, own):
    assert put(desk, own["id"], own["default"]).status_code == 204
    row = figures(desk)[own["id"]]
    assert row["own"]
    assert row["value"] == row["usual"] == own["default"]
    assert row["signed"]["by"]["name"] == "Mara"
    assert row["signed"]["time"].endswith("Z")
    assert not row["far"]


def test_one_changed_says_what_it_was_and_a_second_signing_keeps_that(desk, own):
    for value in (own["default"], own["default"] + "1", own["default"] + "1"):
        assert put(desk, own["id"], value).status_code == 204
    assert figures(desk)[own["id"]]["signed"]["before"] == own["default"]


def test_one_far_from_usual_is_taken_and_told(desk):
    assert put(desk, "boil-off-rate", "9000").status_code == 204
    assert figures(desk)["boil-off-rate"]["far"]
    assert put(desk, "boil-off-rate", "95").status_code == 204
    assert not figures(desk)["boil-off-rate"]["far"]


@pytest.mark.parametrize("value", ["much", "1,2,3", "NaN", "1e3", "٣"])
def test_what_is_no_number_is_refused_and_changes_nothing(desk, value):
    before = figures(desk)["boil-off-rate"]["value"]
    answer = put(desk, "boil-off-rate", value)
    assert answer.status_code == 422
    assert "number" in answer.json()["detail"]
    assert figures(desk)["boil-off-rate"]["value"] == before


def test_a_statement_and_a_choice_take_words(desk):
    for name, value in (("meeting-place", "By the gate"), ("emergency-number", "112 or 999")):
        assert put(desk, name, value).status_code == 204
        assert figures(desk)[name]["value"] == value


def test_they_are_a_managers_alone(desk, phone):
    assert phone.get("/api/desk/settings").status_code in (401, 403)


def test_one_that_is_yes_or_no_takes_nothing_else(desk):
    refused = put(desk, "own-review", "sometimes")
    assert (refused.status_code, refused.json()["detail"]) == (422, "Answer yes or no.")
    assert put(desk, "own-review", "no").status_code == 204
    assert figures(desk)["own-review"]["signed"]["by"]["name"] == "Mara"
