"""Gravity: °Plato and specific gravity both ways, and the hydrometer read warm or cold."""

from .inputs import number
from .liquor import water_density
from .solve import root

GLASS = 25e-6


def plato_from_sg(*, sg: float) -> float:
    """Extract [°P, g per 100 g] from specific gravity 20/20 °C, 1.000 to 1.083.

    Formula: -616.868 + 1111.14 SG - 630.272 SG² + 135.997 SG³. Source: asbc-cubic. Example: 1.040 is 9.99 °P.
    """
    return ((135.997 * sg - 630.272) * sg + 1111.14) * sg - 616.868


def sg_from_plato(*, plato: float) -> float:
    """Specific gravity 20/20 °C from extract [°P], 0 to 20.

    Formula: the SG whose °P by the ASBC cubic is the one given, found in a bracket. Source: asbc-cubic.
    Example: 12 °P is 1.0484.
    """
    return float(root(lambda sg: plato_from_sg(sg=sg) - plato, 0.999, 1.0832))


def hydrometer_correction(*, reading_sg: float, temp_c: float, calibration_c: float) -> dict:
    """Specific gravity 20/20 °C of a sample read by hydrometer at `temp_c` [°C], 0 to 40.

    Formula: reading x (density of water at calibration / at the sample) x (1 - 25e-6 x (sample - calibration)).
    The wort is taken to expand as water does. Sources: kell-1975, glass-expansion. Example: 1.0480 read at 30 °C
    with a 20 °C hydrometer is 1.0504.
    """
    expansion = water_density(temp_c=calibration_c) / water_density(temp_c=temp_c)
    glass = 1.0 - GLASS * (temp_c - calibration_c)
    sg = reading_sg * expansion * glass
    return {"sg": sg, "expansion": expansion, "glass": glass, "plato": plato_from_sg(sg=sg)}


_SG = number("sg", "Specific gravity 20/20", "", "1.000", "1.083", 4)

ROWS = [
    {
        "name": "plato-from-sg",
        "title": "°Plato from specific gravity",
        "place": "cellar",
        "inputs": [_SG],
        "formula": "°P = -616.868 + 1111.14 SG - 630.272 SG squared + 135.997 SG cubed.",
        "steps": [],
        "results": [["plato", "Extract", "°P", 2]],
        "sources": ["asbc-cubic"],
        "assumptions": ["The sample is wort or degassed beer at 20 °C."],
        "function": plato_from_sg,
    },
    {
        "name": "sg-from-plato",
        "title": "Specific gravity from °Plato",
        "place": "cellar",
        "inputs": [number("plato", "Extract", "°P", "0", "20", 2)],
        "formula": "The specific gravity whose °P by the ASBC cubic is this one.",
        "steps": [],
        "results": [["sg", "Specific gravity 20/20", "", 4]],
        "sources": ["asbc-cubic"],
        "assumptions": ["The sample is wort or degassed beer at 20 °C."],
        "function": sg_from_plato,
    },
    {
        "name": "hydrometer-correction",
        "title": "Hydrometer read warm or cold",
        "place": "cellar",
        "inputs": [
            number("reading_sg", "Hydrometer reads", "", "0.990", "1.075", 4),
            number("temp_c", "Sample at", "°C", "0", "40", 1),
            number("calibration_c", "Hydrometer made for", "°C", "15", "20", 1, "20"),
        ],
        "formula": "SG at 20 °C = reading x density of water at calibration / at the sample x shrinkage of the glass.",
        "steps": [["expansion", "Water against water", "", 5], ["glass", "Glass", "", 5]],
        "results": [["sg", "Specific gravity 20/20", "", 4], ["plato", "Extract", "°P", 2]],
        "sources": ["kell-1975", "glass-expansion", "asbc-cubic"],
        "assumptions": ["Wort expands as water does; cool a hot sample below 40 °C first."],
        "function": hydrometer_correction,
    },
]
