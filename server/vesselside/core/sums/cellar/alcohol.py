"""Attenuation, real extract and alcohol, by Balling's factors."""

from vesselside.core.ground.errors import CoreError
from vesselside.core.sums.brewhouse.gravity import WATER_20_KG_L, marks, plato_from_sg
from vesselside.core.sums.inputs import number

ETHANOL_KG_L = 0.78924
EXTRACT_PER_ALCOHOL = 2.0665
CO2_PER_ALCOHOL = 0.9565
YEAST_PER_ALCOHOL = 0.11
_LOST = CO2_PER_ALCOHOL + YEAST_PER_ALCOHOL


def real_extract(*, original_plato: float, apparent_plato: float) -> float:
    """Real extract of beer [°P] from original and apparent extract [°P].

    Formula (Balling): 0.1808 x original + 0.8192 x apparent. Range 0 to 30, -3 to 30. Source: balling.
    Example: 12 and 2.5 °P is 4.22 °P.
    """
    return 0.1808 * original_plato + 0.8192 * apparent_plato


def alcohol_by_weight(*, original_plato: float, apparent_plato: float) -> float:
    """Alcohol [g per 100 g of beer] from original and apparent extract [°P].

    Formula (Balling): (original - real) / (2.0665 - 0.010665 x original); 2.0665 g of extract give 1 g of alcohol,
    0.9565 of carbon dioxide and 0.11 of yeast. Range 0 to 30, -3 to 30. Source: balling. Example: 12 and 2.5 °P is
    4.01 %.
    """
    real = real_extract(original_plato=original_plato, apparent_plato=apparent_plato)
    return (original_plato - real) / (EXTRACT_PER_ALCOHOL - _LOST / 100.0 * original_plato)


def per_wort(*, original_plato: float, apparent_plato: float) -> float:
    """Alcohol formed [g per 100 g of wort] by the time beer reads `apparent_plato`.

    Formula: alcohol in the beer, by the mass that carbon dioxide and yeast took away. Range 0 to 30, -3 to 30. Source:
    balling. Example: 12 and 2.5 °P is 3.85 g.
    """
    beer = alcohol_by_weight(original_plato=original_plato, apparent_plato=apparent_plato)
    return beer / (1.0 + _LOST / 100.0 * beer)


def attenuation(*, original_sg: float, present_sg: float) -> dict:
    """Attenuation [%], real extract [°P] and alcohol [% by weight and by volume] from two gravities.

    Formula: apparent attenuation = fall / original extract, real likewise by real extract; ABV = alcohol by weight x
    density of beer / 0.78924. Range 1.005 to 1.130, 0.990 to 1.130, gas knocked out, 20 °C. Raises CoreError `order`
    when the beer is stronger than the wort was. Sources: balling, asbc-cubic, ethanol-density. Example: 1.048 to
    1.010 is 78.5 % apparent, 5.05 % ABV.
    """
    if present_sg > original_sg:
        raise CoreError("order", "The beer cannot be stronger than its wort was.", field="present_sg")
    original = plato_from_sg(sg=original_sg)
    apparent = plato_from_sg(sg=present_sg)
    real = real_extract(original_plato=original, apparent_plato=apparent)
    weight = alcohol_by_weight(original_plato=original, apparent_plato=apparent)
    return {
        "abv": weight * present_sg * WATER_20_KG_L / ETHANOL_KG_L,
        "abw": weight,
        "original_plato": original,
        "apparent_plato": apparent,
        "real_plato": real,
        "apparent_pct": 100.0 * (original - apparent) / original,
        "real_pct": 100.0 * (original - real) / original,
        "marks": marks(original_sg, present_sg),
    }


ROWS = [
    {
        "name": "attenuation",
        "title": "Attenuation and alcohol",
        "place": "cellar",
        "inputs": [
            number("original_sg", "Original gravity", "", "1.005", "1.130", 4),
            number("present_sg", "Present gravity", "", "0.990", "1.130", 4),
        ],
        "formula": "Real extract = 0.1808 × original + 0.8192 × apparent; alcohol by weight = (original − real) ÷ "
        "(2.0665 − 0.010665 × original); by volume × density of the beer ÷ 0.78924.",
        "steps": [
            ["original_plato", "Original extract", "°P", 2],
            ["apparent_plato", "Apparent extract", "°P", 2],
            ["real_plato", "Real extract", "°P", 2],
            ["abw", "Alcohol by weight", "%", 2],
        ],
        "results": [
            ["apparent_pct", "Apparent attenuation", "%", 1],
            ["real_pct", "Real attenuation", "%", 1],
            ["abv", "Alcohol by volume", "%", 2],
        ],
        "sources": ["balling", "asbc-cubic", "ethanol-density"],
        "assumptions": [
            "The gas is knocked out and the sample is at 20 °C.",
            "An estimate for the cellar: for duty see the strength for duty.",
        ],
        "function": attenuation,
    },
]
