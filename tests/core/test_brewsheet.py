"""The brew sheet: every line worked by a sum of the registry, conserved, in proportion, and total."""

import copy
import math

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from tests.core.brewing import RECIPE
from vesselside import library
from vesselside.core.brew import brewsheet, measures, recipes, sitefigures
from vesselside.core.ground import numbers
from vesselside.core.sums import calculations
from vesselside.core.sums.brewhouse import extract, gravity

PLAIN = {"brewhouse-efficiency": "75"}


def lines(recipe=RECIPE, site=PLAIN):
    return {line["id"]: line for line in brewsheet.brew_sheet(recipe, site)["lines"]}


def value(found, key):
    return numbers.value(found[key]["value"])


def changed(**fields):
    recipe = copy.deepcopy(RECIPE)
    recipe.update(fields)
    return recipe


def test_every_line_of_a_whole_recipe_is_worked_and_shows_the_sum_it_came_by():
    sheet = brewsheet.brew_sheet(RECIPE, PLAIN)
    assert sheet["faults"] == []
    for line in sheet["lines"]:
        assert line["fault"] is None, line["id"]
        assert line["value"] is not None, line["id"]
        working = line["working"]
        if working is not None:
            asked = {row["id"]: row.get("given", row["value"]) for row in working["inputs"]}
            again = calculations.work(working["calculation"], asked)
            assert again["results"] == working["results"], line["id"]
            assert line["value"] in [row["value"] for row in working["results"]], line["id"]


def test_every_line_is_a_measure_in_its_own_unit():
    for line in brewsheet.brew_sheet(RECIPE, {})["lines"]:
        assert measures.unit(line["id"]) == line["unit"], line["id"]
    assert measures.unit("grist-x") is measures.unit("boil-hop-1-colour") is measures.unit("colour") is None
    assert all(measures.unit(name) is not None for name in measures.names())


def test_additions_are_listed_by_time_and_hops_numbered_so():
    sheet = brewsheet.brew_sheet(RECIPE, {})
    assert [(row["use"], row["minutes"], row["line"]) for row in sheet["additions"]] == [
        ("boil", "60", "boil-hop-1"),
        ("boil", "15", "boil-hop-2"),
        ("whirlpool", "", "whirlpool-hop-1"),
        ("dry", "", "dry-hop-1"),
    ]
    assert sheet["additions"][0]["label"].startswith("Early, E-1")


def test_two_brews_double_what_is_collected_and_pitched_but_not_what_is_mashed():
    one, two = lines(), lines(changed(brews="2"))
    assert two["malt"]["value"] == one["malt"]["value"]
    assert two["collected"]["value"] == "2400"
    assert two["original-gravity"]["value"] == one["original-gravity"]["value"]
    assert value(two, "pitch") == pytest.approx(2 * value(one, "pitch"), abs=0.1)
    assert value(two, "dry-hop-1") == pytest.approx(2 * value(one, "dry-hop-1"), abs=0.01)


def test_a_stronger_lot_of_hops_is_weighed_lighter_for_the_same_bitterness():
    strong = changed()
    strong["hops"][1]["alpha_pct"] = "18.2"
    one, other = lines(), lines(strong)
    assert value(other, "boil-hop-1") == pytest.approx(value(one, "boil-hop-1") / 2, abs=0.01)
    assert value(other, "bitterness") == pytest.approx(value(one, "bitterness"), abs=0.3)


def test_bitterness_asked_for_is_bitterness_reached():
    found = lines()
    assert value(found, "bitterness") == pytest.approx(32.0, abs=0.3)
    assert 0 < value(found, "late-bitterness") < 5


def test_without_whirlpool_hops_the_boil_gives_it_all():
    found = lines(changed(hops=[{**RECIPE["hops"][1], "share_pct": "100"}]))
    assert "late-bitterness" not in found
    assert value(found, "boil-bitterness") == pytest.approx(32.0, abs=0.2)
    assert found["bitterness"]["value"] == found["boil-bitterness"]["value"]


def test_without_liquor_wanted_there_are_no_salts():
    plain = {key: value for key, value in RECIPE.items() if key not in recipes.IONS}
    assert "gypsum" not in lines(plain)
    assert value(lines(), "gypsum") > 0


def test_the_recipes_own_efficiency_goes_before_the_sites():
    assert value(lines(changed(efficiency_pct="90")), "malt") < value(lines(), "malt")


def test_a_recipe_half_entered_gives_the_lines_that_can_be_worked_and_says_what_the_others_wait_for():
    half = {key: value for key, value in RECIPE.items() if key not in ("mash_temp_c", "bitterness_ibu")}
    sheet = brewsheet.brew_sheet(half, PLAIN)
    found = {line["id"]: line for line in sheet["lines"]}
    assert {fault["field"] for fault in sheet["faults"]} == {"bitterness_ibu"}, (
        "the mash has a usual temperature"
    )
    assert found["malt"]["value"] == lines()["malt"]["value"]
    assert found["boil-hop-1"]["value"] is None
    assert found["boil-hop-1"]["fault"] == "Waits for: Early, E-1, 60 min: to give"
    assert found["bitterness"]["fault"].startswith("Waits for")


@pytest.mark.parametrize("given", [{}, {"grist": [{}], "hops": [{}, {"use": "dry"}]}, {"id": 7}, []])
def test_what_is_no_recipe_gives_a_sheet_of_faults(given):
    sheet = brewsheet.brew_sheet(given, {})
    assert sheet["faults"]
    assert all(line["value"] is None or line["fault"] is None for line in sheet["lines"])


def test_a_recipe_past_a_sums_range_says_so_on_its_line():
    found = lines(changed(ratio_l_kg="1.5"), {"grain-kept": "1.6"})
    assert found["first-runnings"]["fault"] == "The grain would keep all of it: more mash liquor."
    assert found["liquor"]["value"] is None


def test_targets_are_the_values_by_line():
    targets = brewsheet.targets(brewsheet.brew_sheet(RECIPE, PLAIN))
    assert targets["malt"] == lines()["malt"]["value"]
    assert targets["boil-hop-1-minutes"] == "60"


def test_a_site_figure_that_a_procedure_uses_too_has_the_same_default_there():
    shipped = {
        row["id"]: row for procedure in library.load().procedures for row in procedure.get("settings", [])
    }
    both = [row for row in sitefigures.FIGURES if row[0] in shipped]
    assert len(both) >= 6
    for key, _, unit, default in both:
        assert (shipped[key].get("unit", ""), shipped[key]["default"]) == (unit, default), key


def test_the_sites_figures_are_listed_as_the_site_has_them():
    listed = {row["id"]: row for row in sitefigures.listed({"boil-off-rate": "95,5", "tun-left": "some"})}
    assert len(listed) == len(sitefigures.FIGURES)
    assert (listed["boil-off-rate"]["value"], listed["boil-off-rate"]["usual"]) == ("95.5", "90")
    assert "not a number" in listed["tun-left"]["fault"]
    assert listed["whirlpool-left"]["value"] == listed["whirlpool-left"]["usual"]


SOME = st.fixed_dictionaries(
    {
        "volume_l": st.integers(1000, 12000).map(str),
        "original_sg": st.integers(300, 800).map(lambda n: numbers.text(1 + n / 10000, 4)),
        "attenuation_pct": st.integers(60, 90).map(str),
        "bitterness_ibu": st.integers(15, 60).map(str),
        "efficiency_pct": st.integers(60, 90).map(str),
    }
)


@settings(max_examples=60, deadline=None)
@given(SOME)
def test_extract_is_conserved_from_the_grist_to_the_copper(figures):
    found = lines(changed(**figures))
    grist = [
        value(found, f"grist-{at + 1}") * numbers.value(row["extract_pct"]) / 100
        for at, row in enumerate(RECIPE["grist"])
    ]
    won = sum(grist) * numbers.value(figures["efficiency_pct"]) / 100
    start = gravity.extract_kg(volume_l=value(found, "copper-start"), sg=value(found, "copper-start-gravity"))
    end = gravity.extract_kg(volume_l=value(found, "copper-end"), sg=value(found, "copper-end-gravity"))
    # volumes are shown to the litre, weights to 0.1 kg and gravities to 0.0001, which of 1.030 is 0.33 %
    assert won == pytest.approx(end, rel=3e-3)
    assert start == pytest.approx(end, rel=5e-3)
    left = gravity.extract_kg(
        volume_l=value(found, "copper-end") - value(found, "brew-volume"), sg=value(found, "brew-gravity")
    )
    cast = gravity.extract_kg(volume_l=value(found, "brew-volume"), sg=value(found, "brew-gravity"))
    assert cast + left == pytest.approx(end, rel=1e-3)
    back = extract.brewhouse_efficiency(
        grist=[[value(found, "malt"), 79.61]],
        volume_l=value(found, "copper-end"),
        sg=value(found, "brew-gravity"),
    )
    assert back["efficiency_pct"] == pytest.approx(numbers.value(figures["efficiency_pct"]), rel=2e-3)


@settings(max_examples=40, deadline=None)
# of a strong brew with a poor efficiency, twice 11,000 L takes more malt than a sum of the sheet holds for
@example(
    {
        "volume_l": "10000",
        "original_sg": "1.0800",
        "attenuation_pct": "60",
        "bitterness_ibu": "60",
        "efficiency_pct": "60",
    }
)
@given(SOME.filter(lambda figures: int(figures["volume_l"]) <= 10_000))
def test_twice_the_brew_in_twice_the_plant_takes_twice_of_everything(figures):
    plant = {"boil-off-rate": "90", "whirlpool-left": "40", "mash-tun-heat": "40", "tun-left": "10"}
    double = {key: numbers.plus(value, value) for key, value in plant.items()}
    more = {**figures, "volume_l": numbers.plus(figures["volume_l"], figures["volume_l"])}
    one, two = lines(changed(**figures), plant), lines(changed(**more), double)
    # what is shown to the litre, to 0.1 kg or to 0.01 kg may be off by as much in each of what it rests on
    shown = {"L": 4.0, "g": 6.0, "kg": 0.4}
    for key, line in one.items():
        assert line["fault"] is None, key
        if line["unit"] in shown:
            within = 0.04 if "hop" in key else shown[line["unit"]]
            assert value(two, key) == pytest.approx(2 * value(one, key), rel=0.003, abs=within), key
        else:
            assert math.isclose(value(two, key), value(one, key), rel_tol=0.002, abs_tol=0.3), key
