"""Peracetic acid: dosing it, titrating its strength, and how long that lasts."""

from math import log

from vesselside.core.ground.errors import CoreError
from vesselside.core.sums.inputs import number

PERACETIC_G_MOL = 76.051
PEROXIDE_G_MOL = 34.014


def peracetic_dose(*, volume_l: float, target_mg_l: float, stock_pct_ww: float, stock_kg_l: float) -> dict:
    """Peracetic stock [mL] for `volume_l` at a strength [mg/L, ppm].

    Formula: volume x target / (stock w/w x density). Range 1 to 20000 [L], 20 to 3000 [mg/L], 1 to 40 [% w/w], 1 to
    1.3 [kg/L]. Source: mass-balance. Example: 200 L at 150 mg/L from 5 % stock of 1.12 kg/L takes 536 mL.
    """
    acid_g = volume_l * target_mg_l / 1000.0
    stock_g = acid_g / (stock_pct_ww / 100.0)
    return {"stock_ml": stock_g / stock_kg_l, "acid_g": acid_g, "stock_g": stock_g}


def peracetic_titration(
    *,
    peroxide_ml: float,
    peroxide_mol_l: float,
    iodine_ml: float,
    thiosulphate_mol_l: float,
    sample_ml: float,
) -> dict:
    """Peracetic acid [mg/L, ppm] and hydrogen peroxide [mg/L] from a titration in two stages.

    Formula: peroxide first, two electrons each by an oxidant of `peroxide_mol_l` equivalents; then peracetic acid frees
    iodine, two thiosulphate each: strength = mL x mol/L x 76.051 / 2 / sample. Range 0 to 100 [mL], 0.001 to 1
    [mol/L], 1 to 250 [mL]. Source: peracetic-titration. Example: 3.9 mL of 0.1 mol/L thiosulphate on 100 mL: 148 mg/L.
    """
    acid = iodine_ml * thiosulphate_mol_l * PERACETIC_G_MOL / 2.0 / sample_ml * 1000.0
    peroxide = peroxide_ml * peroxide_mol_l * PEROXIDE_G_MOL / 2.0 / sample_ml * 1000.0
    return {
        "acid_mg_l": acid,
        "peroxide_mg_l": peroxide,
        "acid_mmol": iodine_ml * thiosulphate_mol_l / 2.0,
    }


def peracetic_left(*, start_mg_l: float, end_mg_l: float, minutes: float, least_mg_l: float) -> dict:
    """How fast a sanitiser weakens, and how long it stays at `least_mg_l` [min].

    Formula: first-order fall between two readings: time = minutes x ln(start / least) / ln(start / end). Range 20 to
    3000 [mg/L], 1 to 1440 [min]. Raises CoreError `order` unless it weakens. Source: first-order. Example: 200 to 160
    mg/L in 60 min stays above 120 for 137 min.
    """
    if end_mg_l >= start_mg_l:
        raise CoreError("order", "The second reading is not below the first.", field="end_mg_l")
    rate = log(start_mg_l / end_mg_l) / minutes
    marks = [] if end_mg_l >= least_mg_l else ["Below its least strength already: make it up or renew it."]
    return {
        "minutes": max(0.0, log(start_mg_l / least_mg_l)) / rate,
        "half_min": log(2.0) / rate,
        "marks": marks,
    }


_VOLUME = number("volume_l", "Volume of the final charge", "L", "1", "20000", 0)
_MG = "mg/L"

ROWS = [
    {
        "name": "peracetic-dose",
        "title": "Peracetic stock for a charge",
        "place": "cellar",
        "inputs": [
            _VOLUME,
            number("target_mg_l", "Strength wanted", _MG, "20", "3000", 0),
            number("stock_pct_ww", "Strength of the stock", "% w/w", "1", "40", 1),
            number("stock_kg_l", "Density of the stock", "kg/L", "1.000", "1.300", 3),
        ],
        "formula": "Stock = volume × strength wanted ÷ (stock strength × stock density).",
        "steps": [["acid_g", "Peracetic acid", "g", 1], ["stock_g", "Stock by weight", "g", 0]],
        "results": [["stock_ml", "Stock to dose", "mL", 0]],
        "sources": ["mass-balance"],
        "assumptions": [
            "mg/L is ppm. Strength, density and the dose allowed are the supplier's.",
            "Stock to water, cold, never with hypochlorite; goggles and gauntlets on, air moving.",
        ],
        "function": peracetic_dose,
    },
    {
        "name": "peracetic-titration",
        "title": "Strength of peracetic by titration",
        "place": "cellar",
        "inputs": [
            number("peroxide_ml", "First: oxidant to the peroxide end point", "mL", "0", "100", 2, "0"),
            number("peroxide_mol_l", "Oxidant, per electron", "mol/L", "0.001", "1", 3, "0.1"),
            number("iodine_ml", "Then: thiosulphate to colourless", "mL", "0", "100", 2),
            number("thiosulphate_mol_l", "Thiosulphate", "mol/L", "0.001", "1", 3, "0.1"),
            number("sample_ml", "Sample", "mL", "1", "250", 0, "100"),
        ],
        "formula": "Peracetic = thiosulphate × its strength × 38.03 × 1000 ÷ sample; peroxide likewise × 17.01.",
        "steps": [["acid_mmol", "Peracetic acid in the sample", "mmol", 3]],
        "results": [["acid_mg_l", "Peracetic acid", _MG, 0], ["peroxide_mg_l", "Hydrogen peroxide", _MG, 0]],
        "sources": ["peracetic-titration", "molar-masses"],
        "assumptions": [
            "Cold, and at once after the first end point. Without the first, peroxide reads as peracetic."
        ],
        "function": peracetic_titration,
    },
    {
        "name": "peracetic-life",
        "title": "How long a sanitiser keeps its strength",
        "place": "cellar",
        "inputs": [
            number("start_mg_l", "Strength at first", _MG, "20", "3000", 0),
            number("end_mg_l", "Strength later", _MG, "20", "3000", 0),
            number("minutes", "Minutes between", "min", "1", "1440", 0),
            number("least_mg_l", "Least strength allowed", _MG, "20", "3000", 0),
        ],
        "formula": "It weakens by the same share each minute: time = minutes × ln(first ÷ least) ÷ ln(first "
        "÷ later).",
        "steps": [["half_min", "Halves in", "min", 0]],
        "results": [["minutes", "Keeps its strength, from the first, for", "min", 0]],
        "sources": ["first-order"],
        "assumptions": ["The same temperature and soil; a strip or titration proves it, not this sum."],
        "function": peracetic_left,
    },
]
