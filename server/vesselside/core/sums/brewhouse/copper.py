"""Corrections in the copper: at copper-up, before the boil, and at the end of it."""

from vesselside.core.ground.errors import CoreError
from vesselside.core.sums.inputs import number

from .extract import sg_of_extract
from .gravity import WATER_20_KG_L, extract_kg, marks, plato_from_sg

SUGAR_EXTRACT = 1.0


def _water_kg(litres: float, sg: float, extract: float) -> float:
    """Water in wort at 20 °C: what is not extract."""
    return litres * sg * WATER_20_KG_L - extract


def copper_up(
    *, volume_l: float, sg: float, boil_min: float, rate_l_h: float, target_l: float, target_sg: float
) -> dict:
    """Where a copper will end, and what to do now to end at `target_l` of `target_sg`; volumes as at 20 °C [L].

    Formula: end volume = volume - rate x time; its gravity holds the extract there is. Short of extract, sugar (all
    extract) makes it up; liquor is what water is then lacking, by mass, or longer boiling sets the volume. Range 1 to
    50000 [L], 1.001 to 1.120, 10 to 240 [min], 0 to 5000 [L/h]. Raises CoreError `boils-dry`. Source: asbc-cubic.
    Example: 540 L of 1.042, 60 min at 40 L/h, to 500 L of 1.048: ends 1.0453; 3.47 kg sugar, and 2.1 L less water.
    """
    end = volume_l - rate_l_h * boil_min / 60.0
    if end <= 0.1 * volume_l:
        raise CoreError("boils-dry", "At that rate the copper would boil dry.", field="boil_min")
    extract = extract_kg(volume_l=volume_l, sg=sg)
    end_sg = sg_of_extract(extract=extract, volume_l=end)
    wanted = extract_kg(volume_l=target_l, sg=target_sg)
    # litres at the target gravity that the extract here can make
    reach = extract / (target_sg * WATER_20_KG_L * plato_from_sg(sg=target_sg) / 100.0)
    minutes = None if rate_l_h == 0.0 else (volume_l - reach) / rate_l_h * 60.0
    said = marks(sg, end_sg, target_sg)
    if minutes is not None and minutes < 0.0:
        said.append("Too strong for any boil: add liquor.")
    return {
        "end_l": end,
        "end_sg": end_sg,
        "extract_kg": extract,
        "wanted_kg": wanted,
        "sugar_kg": max(0.0, (wanted - extract) / SUGAR_EXTRACT),
        # where sugar makes up the extract, its own volume is no liquor's
        "liquor_l": (_water_kg(target_l, target_sg, wanted) - _water_kg(end, end_sg, extract)) / WATER_20_KG_L
        if wanted > extract
        else target_l - end,
        "reach_l": reach,
        "minutes": boil_min if minutes is None else max(0.0, minutes),
        "marks": said,
    }


def end_of_boil(*, volume_l: float, sg: float, target_sg: float, rate_l_h: float) -> dict:
    """What brings a boiled copper to `target_sg`: liquor [L] if it is strong, more boiling [min] if it is weak.

    Formula: the volume at which the extract there is makes the target, less the volume there is; at 20 °C. Range 1 to
    50000 [L], 1.001 to 1.120, 1 to 5000 [L/h]. Raises CoreError `too-weak` when it would boil below half.
    Source: asbc-cubic. Example: 500 L of 1.050 to 1.048: 21 L liquor.
    """
    extract = extract_kg(volume_l=volume_l, sg=sg)
    reach = extract / (target_sg * WATER_20_KG_L * plato_from_sg(sg=target_sg) / 100.0)
    if reach < volume_l / 2.0:
        raise CoreError(
            "too-weak", "That would boil away more than half: add extract instead.", field="target_sg"
        )
    change = reach - volume_l
    return {
        "extract_kg": extract,
        "reach_l": reach,
        "liquor_l": max(0.0, change),
        "minutes": max(0.0, -change) / rate_l_h * 60.0,
        "marks": marks(sg, target_sg),
    }


_VOLUME = number("volume_l", "Wort now, as cooled", "L", "1", "50000", 0)
_SG = number("sg", "Gravity now", "", "1.001", "1.120", 4)
_TARGET = number("target_sg", "Gravity wanted", "", "1.002", "1.120", 4)
_COOLED = "Volumes are as cooled to 20 °C; gravities are of cooled samples."

ROWS = [
    {
        "name": "copper-up",
        "title": "Correction at copper-up",
        "place": "brewhouse",
        "inputs": [
            _VOLUME,
            _SG,
            number("boil_min", "Boil planned", "min", "10", "240", 0),
            number("rate_l_h", "Boil-off, as cooled", "L/h", "0", "5000", 1),
            number("target_l", "Wort wanted at the end", "L", "1", "50000", 0),
            _TARGET,
        ],
        "formula": "End volume = volume − rate × time, its gravity by the extract there is; sugar = extract "
        "wanted − extract there is; boil that meets the gravity = (volume − volume the extract makes) ÷ rate.",
        "steps": [
            ["extract_kg", "Extract in the copper", "kg", 2],
            ["wanted_kg", "Extract wanted", "kg", 2],
            ["reach_l", "The extract makes, at the gravity wanted", "L", 0],
        ],
        "results": [
            ["end_sg", "Gravity at the end as planned", "", 4],
            ["end_l", "Volume at the end as planned", "L", 0],
            ["sugar_kg", "Sugar for the volume wanted", "kg", 2],
            ["liquor_l", "Liquor for the volume wanted", "L", 0],
            ["minutes", "Or boil to meet the gravity, in all", "min", 0],
        ],
        "sources": ["asbc-cubic", "mass-balance"],
        "assumptions": [
            _COOLED,
            "Sugar is all extract. Negative liquor means boil that much more off.",
        ],
        "function": copper_up,
    },
    {
        "name": "end-of-boil",
        "title": "Correction at the end of the boil",
        "place": "brewhouse",
        "inputs": [_VOLUME, _SG, _TARGET, number("rate_l_h", "Boil-off, as cooled", "L/h", "1", "5000", 1)],
        "formula": "Volume the extract makes at the gravity wanted − volume now: liquor if it is more, boil "
        "it off if less.",
        "steps": [
            ["extract_kg", "Extract in the copper", "kg", 2],
            ["reach_l", "The extract makes, at the gravity wanted", "L", 0],
        ],
        "results": [["liquor_l", "Liquor to add", "L", 0], ["minutes", "Or boil on for", "min", 0]],
        "sources": ["asbc-cubic", "mass-balance"],
        "assumptions": [_COOLED, "Longer boiling makes more bitterness: see the hops."],
        "function": end_of_boil,
    },
]
