"""Spent caustic on its way to drain: the acid that neutralises it, and the heat of it."""

from vesselside.core.ground.errors import CoreError
from vesselside.core.sums.cellar.fermentation import co2_m3_kg
from vesselside.core.sums.inputs import choice, number

from .caustic import NA2CO3_G_MOL, NAOH_G_MOL

NEUTRALISATION_KJ_MOL = 55.8

# molar mass [g/mol], and protons it gives by about pH 8
_ACIDS = {
    "hydrochloric": (36.458, 1.0),
    "nitric": (63.012, 1.0),
    "sulphuric": (98.072, 2.0),
    "phosphoric": (97.994, 1.9),
    "citric": (192.123, 3.0),
    "carbon-dioxide": (44.0095, 1.0),
}


def neutralisation(
    *,
    spent_l: float,
    free_pct: float,
    carbonate_pct: float,
    acid: str,
    acid_pct_ww: float,
    acid_kg_l: float | None,
) -> dict:
    """Acid [L and kg] that brings spent caustic to about pH 8, and how warm that makes it.

    Formula: moles = free NaOH + carbonate (to bicarbonate, one each); acid = moles / protons it gives by pH 8; rise =
    moles of NaOH x 55.8 kJ / (mass x 4.18). Range 1 to 50000 [L], 0 to 5 [% w/v], 1 to 100 [% w/w], 0.9 to 1.9 [kg/L].
    Carbon dioxide needs no density: its litres are of gas at 20 °C and one atmosphere. Raises CoreError `needed` for
    any other acid without one. Sources: molar-masses, neutralisation, gas-law. Example: 200 L of 2 % free, 0.3 %
    carbonate with 36 % hydrochloric of 1.18 kg/L takes 9.1 L.
    """
    gas = acid == "carbon-dioxide"
    if gas:
        acid_kg_l = 1.0 / (1000.0 * co2_m3_kg(temp_c=20.0, pressure_kpa=101.325))
    if acid_kg_l is None:
        raise CoreError("needed", "Enter: Density of the acid", field="acid_kg_l")
    hydroxide = spent_l * free_pct * 10.0 / NAOH_G_MOL
    carbonate = spent_l * carbonate_pct * 10.0 / NA2CO3_G_MOL
    moles = hydroxide + carbonate
    molar, protons = _ACIDS[acid]
    acid_kg = moles / protons * molar / 1000.0
    stock_kg = acid_kg / (acid_pct_ww / 100.0)
    rise = hydroxide * NEUTRALISATION_KJ_MOL / ((spent_l + stock_kg) * 4.184)
    marks = ["The meter decides: stir, wait, read pH, and drain only inside the consent."]
    if carbonate_pct > 0.0:
        marks.append("Carbonate below pH 8 gives off carbon dioxide: air moving, monitor on.")
    if gas:
        marks.append("A gas: go by weight. The litres are of gas, at 20 °C and no pressure.")
    if rise > 15.0:
        marks.append("It will get hot: add the acid slowly.")
    return {
        "stock_l": stock_kg / acid_kg_l,
        "stock_kg": stock_kg,
        "moles": moles,
        "acid_kg": acid_kg,
        "rise_c": rise,
        "marks": marks,
    }


ROWS = [
    {
        "name": "effluent-neutralisation",
        "title": "Acid to neutralise spent caustic",
        "place": "cellar",
        "inputs": [
            number("spent_l", "Spent caustic", "L", "1", "50000", 0),
            number("free_pct", "Free caustic", "% w/v", "0", "5", 2),
            number("carbonate_pct", "Carbonate", "% w/v", "0", "5", 2, "0"),
            choice(
                "acid",
                "Acid",
                [
                    ["hydrochloric", "Hydrochloric"],
                    ["nitric", "Nitric"],
                    ["sulphuric", "Sulphuric"],
                    ["phosphoric", "Phosphoric"],
                    ["citric", "Citric"],
                    ["carbon-dioxide", "Carbon dioxide gas"],
                ],
            ),
            number("acid_pct_ww", "Strength of the acid", "% w/w", "1", "100", 1),
            number(
                "acid_kg_l", "Density of the acid; a gas has none", "kg/L", "0.900", "1.900", 3, optional=True
            ),
        ],
        "formula": "Moles = free caustic + carbonate; acid = moles ÷ protons each gives by pH 8 × its molar mass.",
        "steps": [
            ["moles", "To neutralise", "mol", 1],
            ["acid_kg", "Pure acid", "kg", 2],
            ["rise_c", "Gets warmer by, about", "°C", 1],
        ],
        "results": [["stock_l", "Acid", "L", 1], ["stock_kg", "By weight", "kg", 1]],
        "sources": ["molar-masses", "neutralisation", "gas-law"],
        "assumptions": [
            "Never mix chlorinated detergent with acid: chlorine is given off.",
            "Acid slowly, stirring; goggles, gauntlets and apron on; local consent decides what may be drained.",
        ],
        "function": neutralisation,
    },
]
