"""Sums that answer what cannot be: each says so, or marks it."""

import pytest

from vesselside.core.ground.errors import CoreError
from vesselside.core.sums import calculations

STRIKE = {
    "malt_kg": "100", "liquor_l": "280", "mash_temp_c": "66", "malt_temp_c": "18", "tun_temp_c": "66",
    "tun_heat_l": "0", "moisture_pct": "4", "slaking_kj_kg": "0",
}  # fmt: skip
MASH = {
    "malt_kg": "100", "liquor_l": "300", "mash_temp_c": "64", "target_temp_c": "66", "added_temp_c": "95",
    "moisture_pct": "4",
}  # fmt: skip
SEAM = {
    "cover_hook_mm": "1.50", "body_hook_mm": "1.60", "end_thickness_mm": "0.23", "seam_length_mm": "2.50",
    "body_thickness_mm": "0.15",
}  # fmt: skip
RUNNINGS = {"stop_sg": "1.010", "ph": "5.4", "stop_ph": "5.8"}
PIPE = {"flow_l_min": "200", "bore_mm": "48", "temp_c": "60", "least_m_s": "1.5"}
COPPER = {
    "volume_l": "540", "sg": "1.042", "boil_min": "60", "rate_l_h": "40", "target_l": "500", "target_sg": "1.048",
}  # fmt: skip
YIELD = {
    "beer_l": "1900", "good": "4200", "fill_ml": "441", "rejected": "60", "run_min": "240", "stopped_min": "30",
    "rated_h": "1500",
}  # fmt: skip
FILL = {"gross_g": "458", "tare_g": "13", "gravity_sg": "1.010"}
KETTLE = {"log": "0 100;60 100", "volume_l": "500"}
DRAIN = {"spent_l": "200", "free_pct": "2", "acid_pct_ww": "100"}
DOOR = {"gauge_bar": "0.5", "width_mm": "450"}
KEG = {"beer_l": "30", "target_g_l": "8", "warmest_c": "18", "into": "keg"}
CANS = {"nominal_ml": "440", "contents": "; ".join(["441", "440", "442", "440"] * 40)}
GRIST = {"efficiency_pct": "80", "volume_l": "500", "sg": "1.048"}


def marks(name: str, given: dict) -> list[str]:
    return calculations.work(name, given)["marks"]


def result(name: str, given: dict, key: str) -> float:
    worked = calculations.work(name, given)
    return float(next(row["value"] for row in worked["results"] if row["id"] == key))


@pytest.mark.parametrize(
    ("name", "given", "code"),
    [
        (
            "strike-temperature",
            {**STRIKE, "liquor_l": "1", "tun_heat_l": "2000", "tun_temp_c": "90"},
            "too-cold",
        ),
        ("mash-correction", {**MASH, "added_temp_c": "66.5"}, "too-much"),
        ("last-runnings", {**RUNNINGS, "runnings": [["100", "1.040"], ["200", "1.040"]]}, "not-falling"),
        (
            "last-runnings",
            {**RUNNINGS, "runnings": [["100", "1.0401"], ["333", "1.0401"], ["471", "1.0401"]]},
            "not-falling",
        ),
        ("pipe-velocity", {**PIPE, "flow_l_min": "3000", "bore_mm": "8"}, "too-fast"),
        ("effluent-neutralisation", {**DRAIN, "acid": "hydrochloric"}, "needed"),
        ("door-force", {**DOOR, "height_mm": "80"}, "not-a-door"),
        ("reference-test", {**CANS, "batch": "99", "way": "opened"}, "wrong-sample"),
    ],
)
def test_what_cannot_be_is_no_answer(name, given, code):
    with pytest.raises(CoreError) as refused:
        calculations.work(name, given)
    assert refused.value.code == code
    assert refused.value.field in {row["id"] for row in calculations.find(name)["inputs"]}


@pytest.mark.parametrize(
    ("name", "given", "word"),
    [
        ("seam-overlap", {**SEAM, "cover_hook_mm": "0.50", "body_hook_mm": "0.60"}, "do not overlap"),
        ("seam-overlap", {**SEAM, "body_hook_mm": "2.40"}, "cannot butt so far"),
        ("pipe-velocity", {**PIPE, "flow_l_min": "600"}, "Faster than cleaning pumps"),
        ("canning-yield", {**YIELD, "rated_h": "1000"}, "Faster than the line's rated speed"),
        ("fill-volume", {**FILL, "tare_g": "420"}, "Less than 50 mL"),
        ("hop-isomerisation", {**KETTLE, "hops": "0 1 10"}, "more alpha acids at once than wort dissolves"),
        ("effluent-neutralisation", {**DRAIN, "acid": "carbon-dioxide"}, "go by weight"),
        ("door-force", DOOR, "the vent, seen open with no flow, decides"),
        ("door-force", {**DOOR, "gauge_bar": "-0.1"}, "may crush the tank"),
        ("beer-colour", {"grist": "100 4", "volume_l": "500"}, "A model"),
        ("beer-colour", {"grist": "100 1200", "volume_l": "500"}, "Darker than the model"),
        ("chlorine-removal", {"volume_l": "1000", "chlorine_mg_l": "6"}, "read it again"),
        ("caustic-density", {"stock_pct_ww": "50", "temp_c": "5"}, "may set solid"),
        ("cask-priming", {**KEG, "store_c": "25"}, "check the keg's plate"),
        ("cask-priming", {**KEG, "into": "cask"}, "High for a cask"),
        ("reference-test", {**CANS, "batch": "20000"}, "the line's output of an hour"),
        (
            "grist-for-gravity",
            {**GRIST, "grist": [["100", "78"], ["20", "70"]]},
            "the shares come to 120.0 %",
        ),
    ],
)
def test_what_is_hard_to_believe_is_marked(name, given, word):
    assert any(word in mark for mark in marks(name, given))


@pytest.mark.parametrize(
    ("name", "given"),
    [
        ("strike-temperature", STRIKE),
        ("mash-correction", MASH),
        ("seam-overlap", SEAM),
        ("last-runnings", {**RUNNINGS, "runnings": [["100", "1.060"], ["200", "1.040"], ["300", "1.026"]]}),
        ("pipe-velocity", PIPE),
        ("canning-yield", YIELD),
        ("grist-for-gravity", {**GRIST, "grist": [["80", "78"], ["20", "70"]]}),
        ("fill-volume", FILL),
        ("hop-isomerisation", {**KETTLE, "hops": "0 0.4 10"}),
        ("caustic-density", {"stock_pct_ww": "32", "temp_c": "10"}),
        ("cask-priming", {**KEG, "target_g_l": "4.5", "store_c": "12"}),
    ],
)
def test_what_is_usual_is_neither(name, given):
    assert marks(name, given) == []


def test_a_gap_alone_is_not_told_as_a_reading_out_of_band():
    band = {"low_c": "50", "high_c": "65", "low_pct": "0", "most_gap_min": "15"}
    log = [["0", "60", "2"], ["10", "60", "2"], ["40", "60", "2"]]
    (only,) = marks("contact-time-logged", {**band, "log": log})
    assert "too far apart" in only
    cold = [["0", "60", "2"], ["10", "45", "2"], ["20", "60", "2"]]
    (only,) = marks("contact-time-logged", {**band, "log": cold})
    assert "out of band" in only


def test_the_sugar_that_makes_up_the_extract_takes_room_of_its_own():
    """By mass, with density of sucrose solutions as the table has it: extract 500 L of 1.048 holds no more water."""
    sugar, liquor = (result("copper-up", COPPER, key) for key in ("sugar_kg", "liquor_l"))
    assert sugar == pytest.approx(3.47, abs=0.02)
    # a kilogram of sucrose in solution takes about 0.62 L (its apparent specific volume, from memory)
    assert -liquor == pytest.approx(0.62 * sugar, abs=0.6)
    assert result("copper-up", {**COPPER, "target_sg": "1.045"}, "liquor_l") == pytest.approx(0, abs=0.5)


def test_liquor_softer_than_pure_water_shows_is_told_as_pure_water():
    """Pure water alone takes 1.6 mg/L as CaCO3 to pH 4.5: the acid that is free there."""
    soft = {
        "volume_l": "1000", "alkalinity_mg_l": "1", "ph": "7", "target_ph": "5.8", "acid": "lactic",
        "acid_pct_ww": "80", "acid_kg_l": "1.185",
    }  # fmt: skip
    assert any("pure water" in mark for mark in marks("liquor-ph-acid", soft))
    assert result("liquor-ph-acid", soft, "stock_ml") == 0
    assert marks("liquor-ph-acid", {**soft, "alkalinity_mg_l": "10"}) == []


def test_a_gas_is_not_asked_for_a_density():
    """200 L of 2 % caustic is 100 mol; each mol of it takes one of carbon dioxide, 44 g."""
    gas = {**DRAIN, "acid": "carbon-dioxide"}
    assert result("effluent-neutralisation", gas, "stock_kg") == pytest.approx(4.40, abs=0.05)
    assert result("effluent-neutralisation", {**gas, "acid_kg_l": "1.580"}, "stock_l") == result(
        "effluent-neutralisation", gas, "stock_l"
    )


def test_beer_that_stood_under_pressure_needs_less_sugar():
    open_, shut = (result("cask-priming", {**KEG, "head_bar": bar}, "sugar_g") for bar in ("0", "1"))
    assert shut < open_


def test_no_unit_is_an_inverse_or_a_sentence():
    fields = [field for row in calculations.listing() for field in row["inputs"]]
    units = {column["unit"] for field in fields for column in field.get("columns", [field])}
    units |= {line[2] for row in calculations.listing() for line in row["steps"] + row["results"]}
    assert (
        sorted(unit for unit in units if "^" in unit or unit.startswith(("1/", "per ")) or unit.endswith(" "))
        == []
    )


STOCK = {
    "opening_l": "40",
    "made_l": "50",
    "received_l": "10",
    "sent_l": "55",
    "lost_l": "3",
    "closing_l": "41",
}


def test_a_stock_that_was_never_there_is_no_balance_and_one_that_grew_by_itself_is_marked():
    assert (result("stock-balance", STOCK, "lacks_l"), marks("stock-balance", STOCK)) == (1.0, [])
    (told,) = marks("stock-balance", {**STOCK, "closing_l": "43"})
    assert "counted twice" in told
    with pytest.raises(CoreError) as refused:
        calculations.work("stock-balance", {**STOCK, "opening_l": "0", "made_l": "0", "received_l": "0"})
    assert refused.value.code == "order"
