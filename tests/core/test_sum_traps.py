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
