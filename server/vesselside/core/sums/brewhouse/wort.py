"""Wort in quantity: shrinking as it cools, boiling down, letting down with liquor, and two brews in one vessel."""

from vesselside.core.ground.errors import CoreError
from vesselside.core.sums import water
from vesselside.core.sums.inputs import number, series

from .extract import sg_of_extract
from .gravity import WATER_20_KG_L, extract_kg, marks, plato_from_sg


def cooled_volume(*, hot_l: float, temp_c: float) -> dict:
    """Volume at 20 °C [L] of `hot_l` of wort at `temp_c`.

    Formula: volume x density of water at `temp_c` / at 20 °C; wort shrinks as water does within 0.1 %. Range 0.1 to
    50000 [L], 0 to 100 [°C]. Source: kell-1975. Example: 1000 L at 98 °C is 962 L.
    """
    ratio = water.density(temp_c=temp_c) / WATER_20_KG_L
    return {"cooled_l": hot_l * ratio, "ratio": ratio, "shrinkage_pct": 100.0 * (1.0 - ratio)}


def dilution(*, volume_l: float, sg: float, target_sg: float) -> dict:
    """Liquor at 20 °C [L] that lets `volume_l` of wort down from `sg` to `target_sg`, and the volume then.

    Formula: extract stays, so water = mass x (°P / target °P - 1). Range 0.1 to 50000 [L], 1.002 to 1.130. Raises
    CoreError `order` when the target is above. Source: asbc-cubic. Example: 500 L of 1.050 to 1.045: 55.9 L.
    """
    if target_sg > sg:
        raise CoreError("order", "Liquor only weakens wort: the target is above it.", field="target_sg")
    mass = volume_l * sg * WATER_20_KG_L
    liquor_kg = mass * (plato_from_sg(sg=sg) / plato_from_sg(sg=target_sg) - 1.0)
    final = (mass + liquor_kg) / (target_sg * WATER_20_KG_L)
    return {
        "mass_kg": mass,
        "extract_kg": extract_kg(volume_l=volume_l, sg=sg),
        "liquor_l": liquor_kg / WATER_20_KG_L,
        "final_l": final,
        "marks": marks(sg, target_sg),
    }


def boil_off(*, start_l: float, end_l: float, minutes: float, start_sg: float) -> dict:
    """How fast a copper boils off, and the gravity that leaves; volumes as at 20 °C [L].

    Formula: rate = (start - end) / time; the extract of the start in the volume of the end. Range 1 to 50000 [L],
    5 to 240 [min], 1.001 to 1.120. Raises CoreError `order` unless the end is below the start. Source: asbc-cubic.
    Example: 540 to 500 L in 60 min of 1.044: 40 L/h, 7.4 %/h, 1.0475.
    """
    if end_l >= start_l:
        raise CoreError("order", "The copper did not boil down: check the volumes.", field="end_l")
    off = start_l - end_l
    sg = sg_of_extract(extract=extract_kg(volume_l=start_l, sg=start_sg), volume_l=end_l)
    rate = off / minutes * 60.0
    return {
        "off_l": off,
        "rate_l_h": rate,
        "rate_pct_h": 100.0 * rate / start_l,
        "sg": sg,
        "marks": marks(start_sg, sg),
    }


def blend_brews(*, brews: list) -> dict:
    """Gravity and volume [L] of brews of [L, SG] run into one vessel, all at 20 °C.

    Formula: SG = sum of volume x SG / sum of volume, volumes adding; extract by mass. Range 1 to 50000 [L], 1.000 to
    1.130. Source: mass-balance. Example: 500 L of 1.050 and 400 L of 1.041 is 1.0460.
    """
    volume = sum([litres for litres, _ in brews])
    sg = sum([litres * gravity for litres, gravity in brews]) / volume
    extract = sum([extract_kg(volume_l=litres, sg=gravity) for litres, gravity in brews])
    plato = 100.0 * extract / (volume * sg * WATER_20_KG_L)
    return {"volume_l": volume, "sg": sg, "plato": plato, "extract_kg": extract, "marks": marks(sg)}


_AT_20 = "Volumes and gravities are at 20 °C."

ROWS = [
    {
        "name": "cooled-volume",
        "title": "Hot wort as cooled volume",
        "place": "brewhouse",
        "inputs": [
            number("hot_l", "Hot wort", "L", "0.1", "50000", 0),
            number("temp_c", "Wort at", "°C", "0", "100", 1),
        ],
        "formula": "Cooled volume = hot volume × density of water hot ÷ at 20 °C.",
        "steps": [["ratio", "Hot against cooled", "", 4], ["shrinkage_pct", "Shrinkage", "%", 2]],
        "results": [["cooled_l", "At 20 °C", "L", 0]],
        "sources": ["kell-1975"],
        "assumptions": ["Wort shrinks as water does.", "The vessel's own expansion is left out."],
        "function": cooled_volume,
    },
    {
        "name": "dilution",
        "title": "Liquor to let wort down",
        "place": "brewhouse",
        "inputs": [
            number("volume_l", "Wort", "L", "0.1", "50000", 0),
            number("sg", "Gravity now", "", "1.002", "1.130", 4),
            number("target_sg", "Gravity wanted", "", "1.002", "1.130", 4),
        ],
        "formula": "Liquor = mass of wort × (°P now ÷ °P wanted − 1).",
        "steps": [["mass_kg", "Mass of wort", "kg", 1], ["extract_kg", "Extract", "kg", 2]],
        "results": [["liquor_l", "Liquor to add", "L", 1], ["final_l", "Wort then", "L", 0]],
        "sources": ["asbc-cubic", "mass-balance"],
        "assumptions": [
            _AT_20,
            "Liquor added after the boil is boiled or sterile, and free of oxygen after pitching.",
        ],
        "function": dilution,
    },
    {
        "name": "boil-off",
        "title": "Boil-off of a copper",
        "place": "brewhouse",
        "inputs": [
            number("start_l", "Wort at the start", "L", "1", "50000", 0),
            number("end_l", "Wort at the end", "L", "1", "50000", 0),
            number("minutes", "Boil", "min", "5", "240", 0),
            number("start_sg", "Gravity at the start", "", "1.001", "1.120", 4),
        ],
        "formula": "Rate = (start − end) ÷ time; the extract of the start in the volume of the end.",
        "steps": [["off_l", "Boiled off", "L", 0]],
        "results": [
            ["rate_l_h", "Boil-off", "L/h", 1],
            ["rate_pct_h", "Of the start", "%/h", 1],
            ["sg", "Gravity at the end", "", 4],
        ],
        "sources": ["asbc-cubic", "mass-balance"],
        "assumptions": ["Both volumes as cooled to 20 °C."],
        "function": boil_off,
    },
    {
        "name": "blend-brews",
        "title": "Brews in one vessel",
        "place": "cellar",
        "inputs": [
            series(
                "brews",
                "Brews",
                [
                    number("litres", "Wort", "L", "1", "50000", 0),
                    number("sg", "Gravity", "", "1.000", "1.130", 4),
                ],
                rows=1,
            )
        ],
        "formula": "Gravity = sum of volume × gravity ÷ sum of volume.",
        "steps": [["extract_kg", "Extract", "kg", 2]],
        "results": [
            ["sg", "Gravity", "", 4],
            ["volume_l", "Wort in all", "L", 0],
            ["plato", "Extract", "°P", 2],
        ],
        "sources": ["mass-balance", "asbc-cubic"],
        "assumptions": [_AT_20, "The earlier brew is taken at its original gravity."],
        "function": blend_brews,
    },
]
