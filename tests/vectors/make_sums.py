"""Writes `core/sums.json`: each calculation worked as a brewer would ask it, with what it answers.

Run it after a calculation changes on purpose: `python -m tests.vectors.make_sums`, then read the change.
"""

import json
from pathlib import Path
from typing import Any

from vesselside.core.sums import calculations

VECTORS = Path(__file__).parent / "core" / "sums.json"

FIVES = [
    "441 443 438 440 445",
    "439 442 440 444 441",
    "443 440 441 438 442",
    "440 441 439 443 442",
    "442 444 440 441 439",
]
THIRTY = ["426.0", *["441.5", "442.0", "440.5", "443.0", "441.0"] * 5, "440.0", "442.5", "441.0", "443.5"]

ASKED: list[tuple[str, dict[str, Any]]] = [
    (
        "alkalinity-acid",
        {
            "volume_l": "1000",
            "alkalinity_mg_l": "150",
            "target_mg_l": "50",
            "acid": "lactic",
            "acid_pct_ww": "80",
            "acid_kg_l": "1.185",
        },
    ),
    ("attenuation", {"original_sg": "1.048", "present_sg": "1.010"}),
    ("beer-losses", {"copper_l": "1000", "fermenter_l": "930", "bright_l": "880", "packed_l": "850"}),
    ("best-before", {"packed": "2026-08-31", "oldest": "2026-08-31", "life": "6"}),
    ("blend-brews", {"brews": "500 1.050;400 1.041"}),
    ("boil-bitterness", {"hops": "1 10 60", "volume_l": "500", "sg": "1.050"}),
    ("boil-clock", {"boil_min": "75"}),
    ("boil-off", {"start_l": "540", "end_l": "500", "minutes": "60", "start_sg": "1.044"}),
    ("brewhouse-efficiency", {"grist": "100 78", "volume_l": "500", "sg": "1.048"}),
    (
        "canning-yield",
        {
            "beer_l": "1900",
            "good": "4200",
            "fill_ml": "441",
            "rejected": "60",
            "run_min": "240",
            "stopped_min": "30",
            "rated_h": "1500",
        },
    ),
    ("cask-priming", {"beer_l": "41", "target_g_l": "2.4", "warmest_c": "16"}),
    ("caustic-charge", {"final_volume_l": "200", "target_pct_wv": "2", "stock_pct_ww": "32"}),
    ("caustic-in-gas", {"tank_l": "2000", "temp_c": "15", "charge_l": "200", "free_pct": "2"}),
    (
        "caustic-in-gas",
        {
            "tank_l": "1300",
            "gas_pct": "0",
            "temp_c": "65",
            "charge_l": "160",
            "free_pct": "2",
            "cooled_c": "15",
        },
    ),
    ("caustic-make-up", {"charge_l": "200", "free_pct": "1.4", "target_pct_wv": "2", "stock_pct_ww": "32"}),
    ("caustic-titration", {"first_ml": "5.2", "second_ml": "5.4"}),
    ("cell-count", {"live": "180", "dead": "20", "squares": "5", "dilution": "100"}),
    ("clean-footprint", {"stages": "200 12 0;200 65 0;300 12 0", "chemical_kg": "12", "vessel_hl": "20"}),
    ("co2-at-rest", {"temp_c": "2", "gauge_bar": "1"}),
    (
        "co2-for-tank",
        {
            "beer_l": "2000",
            "now_g_l": "3.2",
            "target_g_l": "5",
            "head_l": "200",
            "head_bar": "1",
            "temp_c": "2",
        },
    ),
    ("co2-pressure", {"temp_c": "2", "target_g_l": "5"}),
    ("contact-time", {"first_c": "58", "second_c": "56", "low_c": "50", "high_c": "65", "minutes": "10"}),
    ("contact-time-logged", {"log": "0 60 2;10 60 2;20 45 2;30 60 2", "low_c": "50", "high_c": "65"}),
    ("cooled-volume", {"hot_l": "1000", "temp_c": "98"}),
    (
        "copper-up",
        {
            "volume_l": "540",
            "sg": "1.042",
            "boil_min": "60",
            "rate_l_h": "40",
            "target_l": "500",
            "target_sg": "1.048",
        },
    ),
    ("dilution", {"volume_l": "500", "sg": "1.050", "target_sg": "1.045"}),
    ("dilution-heat", {"stock_kg": "12.5", "stock_pct_ww": "32", "water_l": "190", "water_c": "60"}),
    ("dilution-heat", {"stock_kg": "50", "stock_pct_ww": "50", "water_l": "100", "water_c": "80"}),
    ("dry-hop", {"beer_l": "2000", "dose_g_l": "5"}),
    ("duty-strength", {"original": "1048.0", "present": "1010.0"}),
    (
        "effluent-neutralisation",
        {
            "spent_l": "200",
            "free_pct": "2",
            "carbonate_pct": "0.3",
            "acid": "hydrochloric",
            "acid_pct_ww": "36",
            "acid_kg_l": "1.18",
        },
    ),
    ("end-of-boil", {"volume_l": "500", "sg": "1.050", "target_sg": "1.048", "rate_l_h": "40"}),
    ("extract-units", {"extract_pct": "78"}),
    ("fermentation-gas-heat", {"volume_l": "1000", "original_sg": "1.048", "present_sg": "1.010"}),
    ("fermentation-rate", {"volume_l": "1000", "original_sg": "1.048", "fall_deg_day": "12"}),
    (
        "fill-chart-limits",
        {"samples": "; ".join(FIVES * 4)},
    ),
    (
        "fill-chart-sample",
        {
            "one_ml": "446",
            "two_ml": "445",
            "three_ml": "447",
            "four_ml": "446",
            "five_ml": "447",
            "centre_ml": "440",
            "spread_ml": "4",
        },
    ),
    ("fill-target", {"nominal_ml": "440", "spread_ml": "4", "wander_ml": "2"}),
    ("fill-volume", {"gross_g": "458", "tare_g": "13", "gravity_sg": "1.010"}),
    ("grist-extract", {"grist": "100 78", "efficiency_pct": "80", "volume_l": "500"}),
    ("grist-gravity", {"grist": "100 300", "efficiency_pct": "80", "volume_l": "500"}),
    (
        "heating-time",
        {"volume_l": "1000", "from_c": "12", "to_c": "80", "power_kw": "50", "efficiency_pct": "90"},
    ),
    (
        "hop-addition",
        {"target_ibu": "30", "alpha_pct": "10", "minutes": "60", "volume_l": "500", "sg": "1.050"},
    ),
    ("hop-isomerisation", {"log": "0 100;60 100", "hops": "0 1 10", "volume_l": "500"}),
    (
        "hop-isomerisation",
        {"log": "0 100;60 100;75 92; 90 85; 120 78", "hops": "0 1 10;60 2 12;90 3 12", "volume_l": "500"},
    ),
    ("hop-loss-factor", {"beers": "60 28;90 41"}),
    (
        "hop-minutes",
        {"target_ibu": "30", "hops_kg": "1", "alpha_pct": "10", "volume_l": "500", "sg": "1.050"},
    ),
    ("hydrometer-correction", {"reading_sg": "1.0480", "temp_c": "30"}),
    ("last-runnings", {"runnings": "100 1.060;200 1.040;300 1.026", "ph": "5.5"}),
    (
        "late-hop-addition",
        {
            "log": "0 95; 20 95",
            "minute": "0",
            "alpha_pct": "12",
            "target_ibu": "40",
            "other_ibu": "30",
            "volume_l": "500",
        },
    ),
    ("liquor-blend", {"hot_temp_c": "80", "cold_temp_c": "12", "target_temp_c": "68", "target_l": "1000"}),
    ("liquor-blend-any", {"hot_temp_c": "80", "cold_temp_c": "12", "target_temp_c": "68", "cold_l": "400"}),
    ("liquor-blend-temperature", {"hot_l": "829", "hot_temp_c": "80", "cold_l": "173", "cold_temp_c": "12"}),
    (
        "liquor-ph-acid",
        {
            "volume_l": "1000",
            "alkalinity_mg_l": "150",
            "ph": "7.6",
            "target_ph": "5.8",
            "acid": "lactic",
            "acid_pct_ww": "80",
            "acid_kg_l": "1.185",
        },
    ),
    (
        "liquor-salts",
        {
            "volume_l": "1000",
            "calcium_mg_l": "0",
            "magnesium_mg_l": "0",
            "sodium_mg_l": "0",
            "sulphate_mg_l": "0",
            "chloride_mg_l": "0",
            "gypsum_g": "100",
        },
    ),
    (
        "liquor-salts-target",
        {
            "volume_l": "1000",
            "calcium_mg_l": "0",
            "magnesium_mg_l": "0",
            "sodium_mg_l": "0",
            "sulphate_mg_l": "0",
            "chloride_mg_l": "0",
            "target_calcium_mg_l": "100",
            "target_magnesium_mg_l": "0",
            "target_sodium_mg_l": "0",
            "target_sulphate_mg_l": "240",
            "target_chloride_mg_l": "0",
        },
    ),
    ("lot-mark", {"packed": "2026-11-25"}),
    (
        "mash-correction",
        {
            "malt_kg": "100",
            "liquor_l": "300",
            "mash_temp_c": "64",
            "target_temp_c": "66",
            "added_temp_c": "95",
        },
    ),
    ("marking-height", {"nominal_ml": "440"}),
    ("mash-ph", {"grist": "100 5.75 35", "liquor_l": "300", "residual_mg_l": "50"}),
    ("peracetic-dose", {"volume_l": "200", "target_mg_l": "150", "stock_pct_ww": "5", "stock_kg_l": "1.12"}),
    ("peracetic-life", {"start_mg_l": "200", "end_mg_l": "160", "minutes": "60", "least_mg_l": "120"}),
    ("peracetic-titration", {"iodine_ml": "3.9"}),
    ("pipe-velocity", {"flow_l_min": "200", "bore_mm": "48", "temp_c": "60"}),
    (
        "pitching-rate",
        {
            "rate_m_ml_plato": "0.75",
            "wort_l": "1000",
            "plato": "12",
            "slurry_m_ml": "1000",
            "viability_pct": "95",
        },
    ),
    ("plato-from-sg", {"sg": "1.0400"}),
    ("pure-alcohol", {"volume_l": "1000", "abv": "4.97"}),
    (
        "reference-test",
        {
            "nominal_ml": "440",
            "batch": "400",
            "contents": "; ".join(THIRTY),
        },
    ),
    ("residual-alkalinity", {"alkalinity_mg_l": "200", "calcium_mg_l": "100", "magnesium_mg_l": "10"}),
    ("rinse-conductivity-limit", {"mains_us_cm": "400"}),
    ("rinse-ph-band", {"mains_ph": "7.4"}),
    ("dose-band", {"worked_l": "2.5"}),
    ("caustic-density", {"stock_pct_ww": "32"}),
    ("caustic-density", {"stock_pct_ww": "50", "temp_c": "60"}),
    ("door-force", {"gauge_bar": "0.5", "width_mm": "450"}),
    ("chlorine-removal", {"volume_l": "1200", "chlorine_mg_l": "0.5"}),
    ("beer-colour", {"grist": "100 4;5 150", "volume_l": "500"}),
    (
        "cask-priming",
        {
            "beer_l": "30",
            "target_g_l": "4.5",
            "warmest_c": "18",
            "into": "keg",
            "head_bar": "0.3",
            "store_c": "12",
        },
    ),
    (
        "reference-test",
        {
            "nominal_ml": "440",
            "batch": "20000",
            "way": "single",
            "contents": "; ".join([*THIRTY * 4, *["441.0"] * 5]),
        },
    ),
    ("run-off-sparge", {"malt_kg": "100", "mash_liquor_l": "280", "copper_l": "500", "left_l": "10"}),
    ("seam-free-space", {"seam_thickness_mm": "1.15", "end_thickness_mm": "0.23"}),
    (
        "seam-overlap",
        {
            "cover_hook_mm": "1.50",
            "body_hook_mm": "1.60",
            "end_thickness_mm": "0.23",
            "seam_length_mm": "2.50",
        },
    ),
    ("sg-15-to-20", {"sg_15": "1.0600"}),
    ("sg-from-plato", {"plato": "12"}),
    ("spray-flow", {"diameter_m": "1.5"}),
    (
        "strike-temperature",
        {"malt_kg": "100", "liquor_l": "280", "mash_temp_c": "66", "malt_temp_c": "18", "tun_temp_c": "66"},
    ),
    (
        "tare-study",
        {"empties": "12.93;13.01;12.97;13.05;12.99;13.02;12.95;13.00;13.06;12.98", "error_ml": "13.2"},
    ),
    ("target-weight", {"volume_ml": "440", "tare_g": "13", "gravity_sg": "1.010"}),
    ("terminal-gravity", {"original_sg": "1.048", "readings": "0 1.048;12 1.047;24 1.041;36 1.031;48 1.021"}),
    (
        "terminal-gravity",
        {
            "original_sg": "1.048",
            "readings": "0 1.048;12 1.047;24 1.041;36 1.031;48 1.021;60 1.015;72 1.012;96 1.0102",
        },
    ),
    ("tolerable-negative-error", {"nominal_ml": "440"}),
    ("total-oxygen", {"dissolved_ug_l": "30", "beer_ml": "440", "head_ml": "12", "temp_c": "20"}),
    (
        "tun-fit",
        {
            "brews": "100 280 72.5 18 20 64.0; 100 280 73.5 18 60 66.2; 120 320 73 15 25 63.8; 80 240 72 18 62 66"
        },
    ),
    ("uk-barrels", {"volume_l": "1000"}),
    ("ventilation-estimate", {"co2_kg_h": "2", "room_m3": "200", "changes_h": "1"}),
    (
        "yeast-crop",
        {
            "slurry_l": "60",
            "slurry_m_ml": "1200",
            "viability_pct": "92",
            "pitched_1e12": "9.1",
            "generation": "3",
        },
    ),
    ("bitterness-share", {"total_ibu": "32", "late_ibu": "4", "share_pct": "75"}),
    ("bitterness-total", {"boil_ibu": "28", "late_ibu": "4"}),
    (
        "copper-volumes",
        {"collected_l": "500", "left_l": "20", "boil_min": "60", "rate_l_h": "40", "sg": "1.048"},
    ),
    ("final-gravity", {"original_sg": "1.048", "attenuation_pct": "78.5"}),
    ("grist-for-gravity", {"grist": "100 78", "efficiency_pct": "80", "volume_l": "500", "sg": "1.048"}),
    ("grist-share", {"malt_kg": "250", "share_pct": "92"}),
    ("hot-volume", {"cooled_l": "962", "temp_c": "98"}),
    ("late-hops", {"volume_l": "1240", "dose_g_l": "1.5"}),
    ("mash-liquor", {"malt_kg": "230", "ratio_l_kg": "2.7"}),
    ("stage-loss", {"into_l": "1000", "out_l": "930"}),
    (
        "stock-balance",
        {
            "opening_l": "40",
            "made_l": "50",
            "received_l": "10",
            "sent_l": "55",
            "lost_l": "3",
            "closing_l": "41",
        },
    ),
]


def session() -> dict[str, Any]:
    """One session of calls, each with the results and marks it must answer."""
    calls = []
    for name, given in ASKED:
        working = calculations.work(name, given)
        results = [{"id": line["id"], "value": line["value"]} for line in working["results"]]
        expect = {"ok": {"results": results, "marks": working["marks"]}}
        calls.append({"name": "work", "args": {"name": name, "inputs": given}, "expect": expect})
    return {"name": "sums as they are asked", "calls": calls}


if __name__ == "__main__":
    VECTORS.write_text(
        json.dumps([session()], indent=1, sort_keys=True, ensure_ascii=False) + "\n", encoding="utf-8"
    )
