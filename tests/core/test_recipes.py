"""A recipe's faults, each at its field, and what is kept of it."""

import copy

import pytest

from tests.core.brewing import RECIPE
from vesselside.core.brew import recipes


def faults(**change):
    """The fields at fault of the recipe with a change; a path of keys parted by `__` reaches into its rows."""
    recipe = copy.deepcopy(RECIPE)
    for path, value in change.items():
        part, *rest = path.split("__")
        held = recipe
        while rest:
            held = held[int(part)] if part.isdigit() else held[part]
            part, *rest = rest
        if value is None:
            del held[part]
        else:
            held[part] = value
    return {fault["field"]: fault["text"] for fault in recipes.read(recipe)[1]}


def test_a_whole_recipe_has_no_fault_and_keeps_every_figure_as_it_was_given():
    kept, found = recipes.read(RECIPE)
    assert found == []
    assert kept == RECIPE


def test_what_is_not_a_field_of_a_recipe_is_left_out_and_a_comma_is_a_point():
    kept, found = recipes.read({**RECIPE, "colour": "9", "volume_l": "1200,5"})
    assert found == []
    assert "colour" not in kept
    assert kept["volume_l"] == "1200.5"


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"name": " "}, "name", "Enter: Name"),
        ({"id": "Bench Pale"}, "id", "a-z"),
        ({"version": 0}, "version", "from 1"),
        ({"original_sg": "1.4"}, "original_sg", "1.010 to 1.120"),
        ({"original_sg": 1.042}, "original_sg", "as text"),
        ({"volume_l": "much"}, "volume_l", "not a number"),
        ({"brews": "3"}, "brews", "choose one"),
        ({"bitterness_ibu": None}, "bitterness_ibu", "Enter"),
        ({"grist": []}, "grist", "at least one"),
        ({"hops": [RECIPE["hops"][3]] * 13}, "hops", "at most 12"),
        ({"grist__0__share_pct": "90"}, "grist.0.share_pct", "make 96.5 %"),
        ({"grist__1__extract_pct": "3"}, "grist.1.extract_pct", "5 to 105"),
        ({"hops__0__share_pct": "10"}, "hops.0.share_pct", "make 90 %"),
        ({"hops__1__minutes": "75"}, "hops.1.minutes", "longer than the wort"),
        ({"hops__2__dose_g_l": None}, "hops.2.dose_g_l", "Enter: Dose"),
        ({"hops__3__use": "kettle"}, "hops.3.use", "choose one"),
        ({"stand_c": None}, "stand_c", "Whirlpool hops need it"),
        ({"chloride_mg_l": None}, "chloride_mg_l", "all five"),
    ],
)
def test_each_fault_is_said_at_its_field(change, field, words):
    found = faults(**change)
    assert words in found[field]
    assert len(found) == 1


def test_what_is_left_out_is_as_usual_where_there_is_a_usual():
    assert faults(boil_min=None, pitch_rate=None) == {}


def test_hops_are_asked_only_for_what_their_use_needs():
    asked = {column["id"]: column.get("uses") for column in recipes.described()["tables"][1]["columns"]}
    assert (asked["minutes"], asked["dose_g_l"], asked["alpha_pct"]) == (["boil"], ["whirlpool", "dry"], None)
    assert faults(hops__0__dose_g_l="9999") == {}


@pytest.mark.parametrize("given", [None, [], "a recipe", {}, {"grist": "all", "hops": 7}])
def test_what_is_no_recipe_at_all_has_faults_and_raises_nothing(given):
    kept, found = recipes.read(given)
    assert found
    assert (kept["grist"], kept["hops"]) == ([], [])


def test_a_flat_card_of_an_older_version_is_no_whole_recipe():
    assert recipes.whole(RECIPE)
    assert not recipes.whole({"id": "old", "name": "Old card", "malt_kg": "230"})
