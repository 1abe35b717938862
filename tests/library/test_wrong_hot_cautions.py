"""The hazards of the liquor, the brew, the cellar and the cleans beside them, each named at the step that has it."""

from typing import Any

import pytest

from .test_dangerous import LIBRARY, PROCEDURES, step
from .test_wrong_hot import MINE

CAUTIONS = {row["id"]: row for row in LIBRARY.cautions}
AT: dict[tuple[str, str], set[str]] = {
    ("liquor-treatment", "salts"): {"laboratory-reagents", "chemical-to-water"},
    ("liquor-treatment", "wait"): {"metabisulphite", "acid"},
    ("liquor-treatment", "heat"): {"gas-burner", "steam"},
    ("spent-grain-dig-out", "drained"): {"mash-rakes", "confined-space"},
    ("yeast-vessel-clean", "strip-parts"): {"guards-isolation"},
    ("yeast-vessel-clean", "strength-start"): {"guards-isolation", "vacuum"},
    ("yeast-vessel-clean", "charge"): {"glycol-shut-in", "chemical-to-water"},
    ("yeast-vessel-clean", "rinse-warm"): {"vacuum"},
    ("yeast-vessel-clean", "rinse-out"): {"vacuum"},
    ("effluent-neutralise", "dose"): {"guards-isolation", "acid", "chemical-to-water"},
    ("effluent-neutralise", "cool"): {"guards-isolation"},
    ("brewhouse-caustic-clean", "charge"): {"chemical-to-water", "hot-caustic"},
    ("heat-exchanger-clean", "sanitise"): {"hot-liquor", "peracetic"},
    ("grist-and-mash-in", "mash-temperature"): {"height"},
    ("grist-and-mash-in", "correct"): {"height"},
    ("grist-and-mash-in", "conversion"): {"laboratory-reagents"},
    ("dry-hop", "wait"): {"height"},
    ("chemical-delivery-and-spill", "look"): {"forklift", "caustic", "acid", "peracetic"},
    ("chemical-delivery-and-spill", "unload"): {"forklift", "caustic", "acid", "lifting"},
    ("chemical-delivery-and-spill", "dam"): {"caustic", "acid"},
    ("chemical-delivery-and-spill", "store"): {"fire"},
    ("copper-boil", "ready"): {"gas-burner"},
    ("copper-boil", "heat"): {"gas-burner"},
    ("copper-boil", "boil"): {"gas-burner"},
    ("power-cut", "heat"): {"gas-burner"},
    ("power-cut", "back"): {"gas-burner"},
    ("power-cut", "people"): {"fire"},
    ("new-starter-induction", "welcome"): {"fire"},
    ("new-starter-induction", "gas"): {"gas-burner", "gas-alarm"},
    ("new-starter-induction", "chemicals"): {"laboratory-reagents"},
}


@pytest.mark.parametrize(("name", "key"), AT)
def test_the_hazard_of_a_step_is_named_at_the_step(name: str, key: str) -> None:
    assert AT[name, key] <= set(step(name, key)["cautions"])


TITRATED = [
    pytest.param(row, id=f"{name}-{row['id']}")
    for name in MINE
    for row in PROCEDURES[name]["steps"]
    if any(made.get("instrument") == "burette" for made in row.get("entries", []))
]


@pytest.mark.parametrize("row", TITRATED)
def test_acid_and_glass_are_named_at_a_titration(row: dict[str, Any]) -> None:
    assert {"glass", "laboratory-reagents"} <= set(row["cautions"])


def test_a_caution_is_not_met_for_a_look_at_a_board() -> None:
    assert "hot-wort" not in step("whirlpool-late-hops", "fermenter").get("cautions", [])
    assert "hot-wort" not in step("cast-and-pitch", "touches")["cautions"]


@pytest.mark.parametrize("name", ["hot-liquor", "hot-wort", "boil-over", "steam"])
def test_the_law_on_substances_is_not_cited_for_hot_water(name: str) -> None:
    # Regulation 5 of COSHH 2002 leaves out what harms by its heat alone; regulation 13 of PUWER 1998 takes it in.
    said = " ".join(CAUTIONS[name]["sources"])
    assert "Substances Hazardous" not in said
    assert "Work Equipment" in said or "Pressure Systems" in said


def test_the_caution_on_acids_knows_sulphuric_and_hydrochloric() -> None:
    codes = " ".join(CAUTIONS["acid"]["codes"])
    assert "sulphuric from 15 %" in codes
    assert "hydrochloric from 25 %" in codes
    assert "sulphuric acid 0.05 mg/m³" in " ".join(" ".join(CAUTIONS["acid"]["sources"]).split())
    assert "never water to acid" in " ".join(CAUTIONS["acid"]["first"])


@pytest.mark.parametrize(
    ("name", "group", "said"),
    [
        ("laboratory-reagents", "chemical", "20 minutes of water"),
        ("gas-burner", "gas", "Do not go back for anyone"),
        ("fire", "body", "nobody goes back in"),
    ],
)
def test_a_new_caution_says_the_first_minute(name: str, group: str, said: str) -> None:
    row = CAUTIONS[name]
    assert row["group"] == group
    assert said in " ".join(row["minute"])
    assert row["pictograms"]


def test_a_co2_monitor_is_not_taken_for_one_of_carbon_monoxide() -> None:
    assert "A CO2 monitor does not read it" in " ".join(CAUTIONS["gas-burner"]["hazard"].split())
