"""Extract from the grist: the gravity it will give, and how much of it was won."""

from vesselside.core.ground.errors import CoreError
from vesselside.core.ground.solve import root
from vesselside.core.sums.inputs import number, series

from .gravity import WATER_20_KG_L, extract_kg, marks, plato_from_sg


def sg_of_extract(*, extract: float, volume_l: float) -> float:
    """Specific gravity 20/20 of `volume_l` of wort at 20 °C that holds `extract` [kg].

    Formula: the SG at which volume x SG x 0.9982 x °P / 100 is the extract, found in a bracket up to 1.130.
    Raises CoreError `too-strong` above that. Source: asbc-cubic. Example: 10.37 kg in 100 L is 1.0400.
    """
    if extract > extract_kg(volume_l=volume_l, sg=1.130):
        raise CoreError("too-strong", "That is above 1.130, where this sum does not hold.", field="volume_l")
    return float(root(lambda sg: extract_kg(volume_l=volume_l, sg=sg) - extract, 0.9999, 1.1301))


def grist_gravity(*, grist: list, efficiency_pct: float, volume_l: float) -> dict:
    """Gravity that a grist of [kg, litre-degrees per kg] gives in `volume_l` at 20 °C.

    Formula: degrees = sum of kg x L°/kg x efficiency / volume. Range 0.1 to 10000 [kg], 10 to 390 [L°/kg], 30 to
    100 [%], 1 to 50000 [L]. Raises CoreError `too-strong` above 130 degrees. Source: extract-definition.
    Example: 100 kg of 300 L°/kg at 80 % in 500 L is 1.0480.
    """
    whole = sum([kg * degrees for kg, degrees in grist])
    won = whole * efficiency_pct / 100.0
    degrees = won / volume_l
    if degrees > 130.0:
        raise CoreError("too-strong", "That is above 1.130, where this sum does not hold.", field="volume_l")
    sg = 1.0 + degrees / 1000.0
    return {
        "sg": sg,
        "degrees": degrees,
        "whole": whole,
        "won": won,
        "plato": plato_from_sg(sg=sg),
        "grist_kg": sum([kg for kg, _ in grist]),
        "marks": marks(sg),
    }


def grist_extract(*, grist: list, efficiency_pct: float, volume_l: float) -> dict:
    """Gravity that a grist of [kg, extract % fine grind as-is] gives in `volume_l` at 20 °C.

    Formula: extract = sum of kg x % x efficiency; the gravity at which the volume holds it. Range 0.1 to 10000 [kg],
    5 to 105 [%], 30 to 100 [%], 1 to 50000 [L]. Raises CoreError `too-strong` above 1.130. Sources: extract-definition,
    asbc-cubic. Example: 100 kg of 78 % at 80 % in 500 L is 1.0481.
    """
    whole = sum([kg * percent / 100.0 for kg, percent in grist])
    won = whole * efficiency_pct / 100.0
    sg = sg_of_extract(extract=won, volume_l=volume_l)
    return {
        "sg": sg,
        "plato": plato_from_sg(sg=sg),
        "whole": whole,
        "won": won,
        "grist_kg": sum([kg for kg, _ in grist]),
        "marks": marks(sg),
    }


def brewhouse_efficiency(*, grist: list, volume_l: float, sg: float) -> dict:
    """Share of the grist's extract [%] that `volume_l` of cooled wort holds; grist of [kg, extract % as-is].

    Formula: volume x SG x 0.9982 x °P / 100 over sum of kg x %. Range as for grist-extract; volume at 20 °C. More than
    100 % is marked. Sources: extract-definition, asbc-cubic. Example: 100 kg of 78 %, 500 L of 1.048 is 79.9 %.
    """
    whole = sum([kg * percent / 100.0 for kg, percent in grist])
    won = extract_kg(volume_l=volume_l, sg=sg)
    efficiency = 100.0 * won / whole
    said = marks(sg)
    if efficiency > 100.0:
        said.append("More than the grist holds: check volume, temperature and gravity.")
    return {
        "efficiency_pct": efficiency,
        "whole": whole,
        "won": won,
        "kg_l": sg * WATER_20_KG_L,
        "plato": plato_from_sg(sg=sg),
        "marks": said,
    }


def extract_units(*, extract_pct: float) -> dict:
    """Litre-degrees per kg of a malt of `extract_pct` [% fine grind as-is].

    Formula: 1000 L/m³ of degrees that 1 kg of its extract gives in 10 L of wort at 20 °C. Range 5 to 105 [%].
    Source: asbc-cubic. Example: 78 % is 301 L°/kg.
    """
    sg = sg_of_extract(extract=extract_pct / 100.0, volume_l=10.0)
    return {"degrees": (sg - 1.0) * 10000.0, "sg": sg}


def _grist(second: dict) -> dict:
    return series("grist", "Grist", [number("kg", "Malt", "kg", "0.1", "10000", 1), second], rows=1)


_PERCENT = _grist(number("extract_pct", "Extract, fine grind as-is", "%", "5", "105", 1))
_EFFICIENCY = number("efficiency_pct", "Brewhouse efficiency", "%", "30", "100", 1)
_VOLUME = number("volume_l", "Cooled wort, at 20 °C", "L", "1", "50000", 0)
_COOLED = "Volume is cooled wort; a hot reading is shrunk to 20 °C first."

ROWS = [
    {
        "name": "grist-gravity",
        "title": "Gravity from the grist, by litre-degrees",
        "place": "brewhouse",
        "inputs": [
            _grist(number("degrees", "Extract", "L°/kg", "10", "390", 0)),
            _EFFICIENCY,
            _VOLUME,
        ],
        "formula": "Degrees = sum of malt × litre-degrees per kg × efficiency ÷ volume.",
        "steps": [
            ["grist_kg", "Grist", "kg", 1],
            ["whole", "Extract in the grist", "L°", 0],
            ["won", "Extract won", "L°", 0],
        ],
        "results": [["sg", "Gravity", "", 4], ["plato", "Extract", "°P", 2]],
        "sources": ["extract-definition", "asbc-cubic"],
        "assumptions": [_COOLED],
        "function": grist_gravity,
    },
    {
        "name": "grist-extract",
        "title": "Gravity from the grist, by per cent extract",
        "place": "brewhouse",
        "inputs": [_PERCENT, _EFFICIENCY, _VOLUME],
        "formula": "Extract = sum of malt × per cent × efficiency; the gravity is that at which the volume "
        "holds it.",
        "steps": [
            ["grist_kg", "Grist", "kg", 1],
            ["whole", "Extract in the grist", "kg", 2],
            ["won", "Extract won", "kg", 2],
        ],
        "results": [["sg", "Gravity", "", 4], ["plato", "Extract", "°P", 2]],
        "sources": ["extract-definition", "asbc-cubic"],
        "assumptions": [_COOLED],
        "function": grist_extract,
    },
    {
        "name": "brewhouse-efficiency",
        "title": "Brewhouse efficiency",
        "place": "brewhouse",
        "inputs": [_PERCENT, _VOLUME, number("sg", "Gravity at 20 °C", "", "1.001", "1.130", 4)],
        "formula": "Efficiency = volume × gravity × 0.9982 × °P ÷ 100 ÷ extract in the grist.",
        "steps": [
            ["whole", "Extract in the grist", "kg", 2],
            ["kg_l", "Density of the wort", "kg/L", 4],
            ["plato", "Extract", "°P", 2],
            ["won", "Extract in the wort", "kg", 2],
        ],
        "results": [["efficiency_pct", "Efficiency", "%", 1]],
        "sources": ["extract-definition", "asbc-cubic"],
        "assumptions": [_COOLED],
        "function": brewhouse_efficiency,
    },
    {
        "name": "extract-units",
        "title": "Litre-degrees per kg from per cent extract",
        "place": "brewhouse",
        "inputs": [number("extract_pct", "Extract, fine grind as-is", "%", "5", "105", 1)],
        "formula": "The degrees that the extract of 1 kg gives in 10 L at 20 °C, × 10.",
        "steps": [["sg", "Gravity of 1 kg in 10 L", "", 5]],
        "results": [["degrees", "Extract", "L°/kg", 0]],
        "sources": ["asbc-cubic"],
        "assumptions": ["At 20 °C, and at the gravity 1 kg in 10 L gives."],
        "function": extract_units,
    },
]
