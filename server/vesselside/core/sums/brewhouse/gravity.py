"""Gravity: °Plato and specific gravity both ways, and readings taken warm, cold or on the old 15.5 °C scale."""

from vesselside.core.ground.solve import root
from vesselside.core.sums import water
from vesselside.core.sums.inputs import number

GLASS = 25e-6
LEAST_SG, MOST_SG = 1.000, 1.083
EXTRAPOLATED = "Extrapolated: the cubic holds from 1.000 to 1.083."

WATER_20_KG_L = water.density(temp_c=20.0)
"""Water at 20 °C [kg/L], to which specific gravity 20/20 is referred."""


def plato_from_sg(*, sg: float) -> float:
    """Extract [°P, g per 100 g] from specific gravity 20/20 °C.

    Formula: -616.868 + 1111.14 SG - 630.272 SG² + 135.997 SG³. Range 1.000 to 1.083; used to 0.990 and 1.130, where a
    sum marks it extrapolated. Source: asbc-cubic. Example: 1.040 is 9.99 °P.
    """
    return ((135.997 * sg - 630.272) * sg + 1111.14) * sg - 616.868


def sg_from_plato(*, plato: float) -> float:
    """Specific gravity 20/20 °C from extract [°P].

    Formula: the SG whose °P by the ASBC cubic is the one given, found in a bracket. Range 0 to 20; used from -2 to 30,
    where a sum marks it extrapolated. Raises CoreError `no-root` outside that. Source: asbc-cubic.
    Example: 12 °P is 1.0484.
    """
    return float(root(lambda sg: plato_from_sg(sg=sg) - plato, 0.985, 1.131))


def marks(*gravities: float) -> list[str]:
    """What to say beside a sum that used the cubic on these gravities."""
    outside = [sg for sg in gravities if not LEAST_SG - 1e-9 <= sg <= MOST_SG + 1e-9]
    return [EXTRAPOLATED] if outside else []


def extract_kg(*, volume_l: float, sg: float) -> float:
    """Extract [kg] in `volume_l` of wort at 20 °C.

    Formula: volume x SG x density of water x °P / 100. Range 0 to 50000 [L], 1.000 to 1.130. Source: asbc-cubic.
    Example: 100 L of 1.040 hold 10.37 kg.
    """
    return volume_l * sg * WATER_20_KG_L * plato_from_sg(sg=sg) / 100.0


def convert_to_plato(*, sg: float) -> dict:
    """Extract [°P] of specific gravity 20/20 °C, and grams in a litre.

    Formula: the ASBC cubic; per litre x SG x 998.2. Range 0.990 to 1.130, marked outside 1.000 to 1.083.
    Source: asbc-cubic. Example: 1.040 is 9.99 °P.
    """
    plato = plato_from_sg(sg=sg)
    return {"plato": plato, "g_l": plato * 10.0 * sg * WATER_20_KG_L, "marks": marks(sg)}


def convert_to_sg(*, plato: float) -> dict:
    """Specific gravity 20/20 °C of extract [°P], also as degrees.

    Formula: the ASBC cubic solved. Range -2 to 30, marked outside 0 to 20. Source: asbc-cubic.
    Example: 12 °P is 1.0484, 48.4 degrees.
    """
    sg = sg_from_plato(plato=plato)
    return {"sg": sg, "degrees": (sg - 1.0) * 1000.0, "marks": marks(sg)}


def sugar_expansion(*, plato: float, temp_c: float) -> float:
    """Density at 20 °C over density at `temp_c` of a sugar solution, 5 to 50 [°C], 0 to 25 [°P].

    Formula: that of water x (1 + °P (2.946e-6 u - 4.682e-8 u²)), u = temperature - 20; fitted to the sucrose solutions
    of Laliberté and Cooper within 2e-5. Sources: kell-1975, laliberte. Example: 12 °P at 40 °C is 1.00652.
    """
    u = temp_c - 20.0
    plain = WATER_20_KG_L / water.density(temp_c=temp_c)
    return plain * (1.0 + plato * (2.946e-6 * u - 4.682e-8 * u * u))


def hydrometer_correction(*, reading_sg: float, temp_c: float, calibration_c: float) -> dict:
    """Specific gravity 20/20 °C of a sample read by hydrometer at `temp_c`.

    Formula: density of sample = reading x density of water at calibration x (1 - 25e-6 (sample - calibration)); brought
    to 20 °C by the expansion of a sugar solution of that strength, twice over. Range 0.990 to 1.120, 5 to 50 [°C], made
    for 15 to 20 [°C]. Sources: kell-1975, laliberte, glass-expansion. Example: 1.0480 read at 30 °C is 1.0508.
    """
    glass = 1.0 - GLASS * (temp_c - calibration_c)
    density = reading_sg * water.density(temp_c=calibration_c) * glass
    sg = density / water.density(temp_c=temp_c)
    expansion = 1.0
    for _ in range(4):
        expansion = sugar_expansion(plato=max(0.0, plato_from_sg(sg=sg)), temp_c=temp_c)
        sg = density * expansion / WATER_20_KG_L
    return {
        "sg": sg,
        "density_kg_l": density,
        "expansion": expansion,
        "glass": glass,
        "plato": plato_from_sg(sg=sg),
        "marks": marks(sg),
    }


def sg_15_to_20(*, sg_15: float) -> dict:
    """Specific gravity 20/20 °C of one read as 15.5/15.5 °C.

    Formula: density at 15.5 °C = SG x density of water at 15.5 °C; to 20 °C by the expansion of a sugar solution.
    Range 0.990 to 1.120. Sources: kell-1975, laliberte. Example: 1.0600 (15.5/15.5) is 1.0598.
    """
    density = sg_15 * water.density(temp_c=15.5)
    sg = sg_15
    for _ in range(4):
        sg = density * sugar_expansion(plato=max(0.0, plato_from_sg(sg=sg)), temp_c=15.5) / WATER_20_KG_L
    return {"sg": sg, "plato": plato_from_sg(sg=sg), "density_kg_l": density, "marks": marks(sg)}


_AT_20 = "The sample is wort, or beer with its gas knocked out, at 20 °C."
_SUGAR = "Wort expands as a sugar solution of its strength does."

ROWS = [
    {
        "name": "plato-from-sg",
        "title": "°Plato from specific gravity",
        "place": "cellar",
        "inputs": [number("sg", "Specific gravity 20/20", "", "0.990", "1.130", 4)],
        "formula": "°P = −616.868 + 1111.14 SG − 630.272 SG² + 135.997 SG³.",
        "steps": [],
        "results": [["plato", "Extract", "°P", 2], ["g_l", "Extract in a litre", "g/L", 1]],
        "sources": ["asbc-cubic"],
        "assumptions": [_AT_20],
        "function": convert_to_plato,
    },
    {
        "name": "sg-from-plato",
        "title": "Specific gravity from °Plato",
        "place": "cellar",
        "inputs": [number("plato", "Extract", "°P", "-2", "30", 2)],
        "formula": "The specific gravity whose °P by the ASBC cubic is this one.",
        "steps": [],
        "results": [["sg", "Specific gravity 20/20", "", 4], ["degrees", "Degrees above 1000", "°", 1]],
        "sources": ["asbc-cubic"],
        "assumptions": [_AT_20],
        "function": convert_to_sg,
    },
    {
        "name": "hydrometer-correction",
        "title": "Hydrometer read warm or cold",
        "place": "cellar",
        "inputs": [
            number("reading_sg", "Hydrometer reads", "", "0.990", "1.120", 4),
            number("temp_c", "Sample at", "°C", "5", "50", 1),
            number("calibration_c", "Hydrometer made for", "°C", "15", "20", 1, "20"),
        ],
        "formula": "SG = reading × density of water at calibration × shrinkage of the glass × "
        "expansion of the wort from 20 °C ÷ density of water at 20 °C.",
        "steps": [
            ["density_kg_l", "Density of the sample", "kg/L", 4],
            ["expansion", "Expansion of the wort", "", 5],
            ["glass", "Glass", "", 5],
        ],
        "results": [["sg", "Specific gravity 20/20", "", 4], ["plato", "Extract", "°P", 2]],
        "sources": ["kell-1975", "laliberte", "glass-expansion", "asbc-cubic"],
        "assumptions": [_SUGAR, "The gas is knocked out; a cooled sample is surer than any correction."],
        "function": hydrometer_correction,
    },
    {
        "name": "sg-15-to-20",
        "title": "Gravity 15.5/15.5 as 20/20",
        "place": "cellar",
        "inputs": [number("sg_15", "Specific gravity 15.5/15.5", "", "0.990", "1.120", 4)],
        "formula": "SG 20/20 = SG × density of water at 15.5 °C × expansion of the wort to 20 °C ÷ that of "
        "water at 20 °C.",
        "steps": [["density_kg_l", "Density at 15.5 °C", "kg/L", 4]],
        "results": [["sg", "Specific gravity 20/20", "", 4], ["plato", "Extract", "°P", 2]],
        "sources": ["kell-1975", "laliberte", "asbc-cubic"],
        "assumptions": [_SUGAR],
        "function": sg_15_to_20,
    },
]
