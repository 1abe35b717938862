"""Run-off: what the grain keeps, how much to sparge, and when the last runnings are to stop."""

from math import exp, log

from vesselside.core.ground import linear
from vesselside.core.ground.errors import CoreError
from vesselside.core.sums.inputs import number, series

from .gravity import plato_from_sg


def runoff_sparge(
    *, malt_kg: float, mash_liquor_l: float, copper_l: float, absorbed_l_kg: float, left_l: float
) -> dict:
    """First runnings and sparge liquor [L] that fill the copper to `copper_l`, both hot.

    Formula: first runnings = mash liquor - malt x absorption - what stays under the plates; sparge = copper - first
    runnings. `absorbed_l_kg` is net: liquor kept less volume the extract adds. Range 1 to 10000 [kg], 1 to 40000 [L],
    0.3 to 1.6 [L/kg]. Raises CoreError `too-dry` when no wort would run and `too-full` when the first runnings alone
    overfill the copper. Source: mass-balance. Example: 100 kg, 280 L, 500 L wanted, 0.9 L/kg, 10 L: 180 and 320 L.
    """
    kept = malt_kg * absorbed_l_kg
    first = mash_liquor_l - kept - left_l
    if first <= 0.0:
        raise CoreError("too-dry", "The grain would keep all of it: more mash liquor.", field="mash_liquor_l")
    sparge = copper_l - first
    if sparge < 0.0:
        raise CoreError(
            "too-full", "The first runnings alone are more than the copper is to hold.", field="copper_l"
        )
    return {
        "kept_l": kept,
        "first_l": first,
        "sparge_l": sparge,
        "total_l": mash_liquor_l + sparge,
        "ratio": sparge / malt_kg,
    }


def last_runnings(*, runnings: list, stop_sg: float, ph: float, stop_ph: float) -> dict:
    """Gravity of the runnings now [SG] and about how many litres more may run before the stop.

    Each reading is [litres run off, SG at 20 °C]; the last is now. Formula: extract falls as an exponential of the
    volume run off, fitted by least squares to the logarithm of the last five; the stop is `stop_sg` or `stop_ph`,
    whichever comes first. Range at least 2 readings, 1.001 to 1.130, pH 4.5 to 7. Raises CoreError `not-falling` when
    the runnings do not thin. Source: last-runnings. Example: 100 L at 1.060, 200 at 1.040, 300 at 1.026: about 235 L
    to 1.010.
    """
    now = runnings[-1][1]
    marks = []
    if ph >= stop_ph:
        marks.append("Stop the run-off: pH has reached its limit.")
    if now <= stop_sg:
        marks.append("Stop the run-off: gravity has reached its limit.")
    if marks:
        return {"sg": now, "more_l": 0.0, "fall_pct": 0.0, "at_l": runnings[-1][0], "marks": marks}
    recent = runnings[-5:]
    design = [[1.0, litres / 100.0] for litres, _ in recent]
    line = linear.least_squares(design, [log(plato_from_sg(sg=sg)) for _, sg in recent])
    if line[1] > -LEAST_FALL:
        raise CoreError("not-falling", "The runnings are not thinning; take more readings.", field="runnings")
    at = 100.0 * (log(plato_from_sg(sg=stop_sg)) - line[0]) / line[1]
    more = max(0.0, at - runnings[-1][0])
    return {"sg": now, "more_l": more, "fall_pct": 100.0 * (1.0 - exp(line[1])), "at_l": at, "marks": []}


LEAST_FALL = 1e-3
"""Runnings that lose less of their extract in each 100 L do not thin: what equal readings leave is noise."""

ROWS = [
    {
        "name": "run-off-sparge",
        "title": "Run-off and sparge volumes",
        "place": "brewhouse",
        "inputs": [
            number("malt_kg", "Malt", "kg", "1", "10000", 1),
            number("mash_liquor_l", "Liquor in the mash", "L", "1", "40000", 0),
            number("copper_l", "Wort wanted in the copper, hot", "L", "1", "50000", 0),
            number("absorbed_l_kg", "Kept by the grain, net", "L/kg", "0.3", "1.6", 2, "0.90"),
            number("left_l", "Left under the plates and in pipes", "L", "0", "2000", 0, "0"),
        ],
        "formula": "First runnings = mash liquor − malt × absorption − what stays behind; sparge = copper − "
        "first runnings.",
        "steps": [["kept_l", "Kept by the grain", "L", 0], ["ratio", "Sparge to grist", "L/kg", 2]],
        "results": [
            ["sparge_l", "Sparge liquor", "L", 0],
            ["first_l", "First runnings", "L", 0],
            ["total_l", "Liquor in all", "L", 0],
        ],
        "sources": ["mass-balance", "grain-absorption"],
        "assumptions": ["All volumes are hot; absorption is this tun's own, from past brews."],
        "function": runoff_sparge,
    },
    {
        "name": "last-runnings",
        "title": "When to stop the run-off",
        "place": "brewhouse",
        "inputs": [
            series(
                "runnings",
                "Runnings",
                [
                    number("litres", "Run off", "L", "0", "50000", 0),
                    number("sg", "Gravity at 20 °C", "", "1.001", "1.130", 4),
                ],
                rows=2,
                rising=True,
            ),
            number("stop_sg", "Stop at gravity", "", "1.002", "1.030", 4, "1.010"),
            number("ph", "pH now", "pH", "4.5", "7", 2),
            number("stop_ph", "Stop at pH", "pH", "5.4", "6.2", 2, "5.8"),
        ],
        "formula": "Extract falls as an exponential of the volume run off, fitted to the last five readings; "
        "the stop is where it meets the limit.",
        "steps": [
            ["fall_pct", "Extract lost in each 100 L", "%", 1],
            ["at_l", "Limit reached at", "L", 0],
        ],
        "results": [["more_l", "May still run, about", "L", 0], ["sg", "Gravity now", "", 4]],
        "sources": ["last-runnings", "asbc-cubic"],
        "assumptions": ["Samples are cooled to 20 °C before they are read."],
        "function": last_runnings,
    },
]
