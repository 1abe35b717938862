"""Bitterness by kinetics: alpha acids to iso-alpha acids, and those to nothing, through the temperatures logged.

Joined to the beer, and to the boil's table, by one loss factor only, fitted from this brewery's beers.
"""

from math import exp

from vesselside.core.ground.errors import CoreError
from vesselside.core.ground.solve import march
from vesselside.core.sums import water
from vesselside.core.sums.inputs import number, series

MEASURED_FROM_C = 90.0
WITHIN_MG_L = 1e-3
DISSOLVES_MG_L = 90.0
"""About what boiling wort dissolves of alpha acids at once."""


def rates(*, temp_c: float) -> tuple[float, float]:
    """Rate constants of isomerisation and of the loss of iso-alpha acids [1/min] at `temp_c`.

    Formula: k1 = 7.9e11 exp(-11858 / T), k2 = 4.1e12 exp(-12994 / T). Measured from 90 to 130 °C; used down to 0 and
    marked. Source: malowicki-2005. Example: at 100 °C they are 0.0125 and 0.0031.
    """
    kelvin = temp_c + water.ZERO_C
    return 7.9e11 * exp(-11858.0 / kelvin), 4.1e12 * exp(-12994.0 / kelvin)


def _temp_at(log: list, at: int, minute: float) -> float:
    start, end = log[at], log[at + 1]
    return float(start[1] + (end[1] - start[1]) * (minute - start[0]) / (end[0] - start[0]))


def _slopes(log: list, at: int):  # type: ignore[no-untyped-def]
    def slope(minute: float, state: list) -> list:
        temp = _temp_at(log, at, minute)
        made, lost = rates(temp_c=temp)
        gain = made * state[0]
        return [-gain, gain - lost * state[1], gain, gain if temp < MEASURED_FROM_C else 0.0]

    return slope


def isomerised(*, log: list, hops: list, volume_l: float, loss_factor: float) -> dict:
    """Iso-alpha acids [mg/L] and bitterness [IBU] of hops of [minute added, kg, alpha %] by the log of [minute, °C].

    Formula: first-order gain and loss, integrated along straight lines between readings, hops already in going on;
    bitterness = iso-alpha acids x loss factor. Range 0 to 110 [°C], log of at least 2 readings, 0.01 to 500 [kg],
    0.5 to 25 [%], 1 to 50000 [L], factor 0.05 to 1. What was made below 90 °C is extrapolated and marked,
    and so is more than 90 mg/L of alpha acids at once, which do not all dissolve. Raises CoreError `outside-log` for
    hops added before the log begins or after it ends. Sources: malowicki-2005, alpha-solubility.
    Example: 1 kg of 10 % in 500 L for 60 min at 100 °C makes 95.2 mg/L.
    """
    for minute, _, _ in hops:
        if not log[0][0] <= minute <= log[-1][0]:
            raise CoreError("outside-log", "Hops were added outside the time logged.", field="hops")
    state = [0.0, 0.0, 0.0, 0.0]
    most = 0.0
    span = log[-1][0] - log[0][0]
    error = 0.0
    for at in range(len(log) - 1):
        begin, end = log[at][0], log[at + 1][0]
        slope = _slopes(log, at)
        now = begin
        for stop in sorted(set([hop[0] for hop in hops if begin <= hop[0] < end] + [end])):
            state, off = march(slope, state, now, stop, within=WITHIN_MG_L * max(stop - now, 1e-9) / span)
            error += off
            now = stop
            if stop < end:
                for minute, kg, percent in hops:
                    if minute == stop:
                        state = [state[0] + kg * percent * 1e4 / volume_l] + state[1:]
                        most = max(most, state[0])
    alpha = sum([kg * percent * 1e4 for _, kg, percent in hops]) / volume_l
    below = 100.0 * state[3] / state[2] if state[2] > 0.0 else 0.0
    return {
        "ibu": state[1] * loss_factor,
        "iso_mg_l": state[1],
        "alpha_mg_l": alpha,
        "left_mg_l": state[0],
        "below_pct": below,
        "error_mg_l": error,
        "most_mg_l": most,
        "marks": _marks(below, most),
    }


def _marks(below: float, most: float) -> list[str]:
    marks = []
    if below >= 0.5:
        marks.append("Extrapolated: part was made below 90 °C, where the rates were not measured.")
    if most > DISSOLVES_MG_L:
        marks.append(
            "A model: more alpha acids at once than wort dissolves, about 90 mg/L. It says too much."
        )
    return marks


def late_addition(
    *,
    log: list,
    minute: float,
    alpha_pct: float,
    target_ibu: float,
    other_ibu: float,
    volume_l: float,
    loss_factor: float,
) -> dict:
    """Hops [kg] added at `minute` that make bitterness up to `target_ibu`, by temperatures logged or planned.

    Formula: (target - other) / bitterness that 1 kg gives, which it gives in proportion. Range as hop-isomerisation, 0
    to 150 [IBU]. Raises CoreError `order` when the others exceed the target, `outside-log`, and `too-cold` when these
    temperatures make nothing of them. Source: malowicki-2005. Example: 10 IBU more in 500 L from 12 % hops in 20 min at
    95 °C: 0.62 kg.
    """
    if other_ibu > target_ibu:
        raise CoreError("order", "The other hops already give more than the target.", field="other_ibu")
    if not log[0][0] <= minute <= log[-1][0]:
        raise CoreError("outside-log", "Those hops go in outside the time logged.", field="minute")
    one = isomerised(log=log, hops=[[minute, 1.0, alpha_pct]], volume_l=volume_l, loss_factor=loss_factor)
    if one["ibu"] < 1e-3:
        raise CoreError("too-cold", "At these temperatures those hops give no bitterness.", field="log")
    hops = (target_ibu - other_ibu) / one["ibu"]
    return {
        "hops_kg": hops,
        "per_kg_ibu": one["ibu"],
        "used_pct": 100.0 * one["ibu"] / one["alpha_mg_l"],
        "below_pct": one["below_pct"],
        "marks": _marks(one["below_pct"], hops * one["most_mg_l"]),
    }


def loss_factor(*, beers: list) -> dict:
    """The one factor between iso-alpha acids by kinetics [mg/L] and bitterness measured [IBU], from past beers.

    Each beer is [iso-alpha acids, measured]. Formula: sum of measured x kinetic / sum of kinetic², the least squares
    through zero; spread of the single beer. Range at least 2 beers, 1 to 500 [mg/L], 1 to 150 [IBU].
    Source: fitted-loss. Example: 60 and 28, 90 and 41 is 0.459.
    """
    squares = sum([kinetic * kinetic for kinetic, _ in beers])
    factor = sum([kinetic * measured for kinetic, measured in beers]) / squares
    misses = [measured - factor * kinetic for kinetic, measured in beers]
    spread = (sum([miss * miss for miss in misses]) / (len(beers) - 1)) ** 0.5
    marks = (
        []
        if factor <= 1.0
        else ["Above 1: the beers are more bitter than the hops allow; check the figures."]
    )
    return {"factor": factor, "spread_ibu": spread, "beers": len(beers), "marks": marks}


_LOG = series(
    "log",
    "Wort temperature",
    [number("minute", "Minute", "min", "0", "600", 1), number("temp_c", "Wort", "°C", "0", "110", 1)],
    rows=2,
    rising=True,
)
_VOLUME = number("volume_l", "Cooled wort", "L", "1", "50000", 0)
_FACTOR = number("loss_factor", "Loss factor", "", "0.05", "1", 2, "0.46")
_MODEL = "Rates were measured from 90 to 130 °C in a model solution at pH 5.2; all the alpha acids dissolve."
_FITTED = (
    "The loss factor is fitted from this brewery's beers; until then 0.46, which meets the boil's table."
)

ROWS = [
    {
        "name": "hop-isomerisation",
        "title": "Bitterness by logged temperatures",
        "place": "brewhouse",
        "inputs": [
            _LOG,
            series(
                "hops",
                "Hops",
                [
                    number("minute", "Minute added", "min", "0", "600", 1),
                    number("kg", "Hops", "kg", "0.01", "500", 2),
                    number("alpha_pct", "Alpha acids", "%", "0.5", "25", 1),
                ],
                rows=1,
                most=24,
            ),
            _VOLUME,
            _FACTOR,
        ],
        "formula": "Alpha acids turn into iso-alpha acids, and those are lost, each at a rate set by the "
        "temperature of the moment; bitterness = iso-alpha acids × loss factor.",
        "steps": [
            ["alpha_mg_l", "Alpha acids added", "mg/L", 1],
            ["left_mg_l", "Alpha acids left at the end", "mg/L", 1],
            ["below_pct", "Made below 90 °C", "%", 0],
            ["error_mg_l", "Integration error, at most", "mg/L", 4],
        ],
        "results": [["ibu", "Bitterness", "IBU", 1], ["iso_mg_l", "Iso-alpha acids in the wort", "mg/L", 1]],
        "sources": ["malowicki-2005", "alpha-solubility", "fitted-loss"],
        "assumptions": [
            _MODEL,
            "Hops from the boil go on: give them with the log from when they went in.",
            _FITTED,
        ],
        "function": isomerised,
    },
    {
        "name": "late-hop-addition",
        "title": "Late hops for a target bitterness",
        "place": "brewhouse",
        "inputs": [
            _LOG,
            number("minute", "Hops go in at minute", "min", "0", "600", 1),
            number("alpha_pct", "Alpha acids", "%", "0.5", "25", 1),
            number("target_ibu", "Bitterness wanted", "IBU", "0", "150", 1),
            number("other_ibu", "From the other additions", "IBU", "0", "150", 1, "0"),
            _VOLUME,
            _FACTOR,
        ],
        "formula": "Hops = (wanted − from the others) ÷ bitterness that a kilogram gives through these temperatures.",
        "steps": [
            ["per_kg_ibu", "A kilogram gives", "IBU", 1],
            ["used_pct", "Used", "%", 1],
            ["below_pct", "Made below 90 °C", "%", 0],
        ],
        "results": [["hops_kg", "Hops", "kg", 2]],
        "sources": ["malowicki-2005", "alpha-solubility", "fitted-loss"],
        "assumptions": [
            _MODEL,
            "Temperatures to come are as planned; work it again when they are known.",
            _FITTED,
        ],
        "function": late_addition,
    },
    {
        "name": "hop-loss-factor",
        "title": "Loss factor from past beers",
        "place": "brewhouse",
        "inputs": [
            series(
                "beers",
                "Past beers",
                [
                    number("iso_mg_l", "Iso-alpha acids by kinetics", "mg/L", "1", "500", 1),
                    number("measured", "Bitterness measured", "IBU", "1", "150", 1),
                ],
                rows=2,
            )
        ],
        "formula": "Factor = sum of measured × kinetic ÷ sum of kinetic².",
        "steps": [["beers", "Beers", "", 0], ["spread_ibu", "Spread of one beer", "IBU", 1]],
        "results": [["factor", "Loss factor", "", 3]],
        "sources": ["fitted-loss"],
        "assumptions": ["Bitterness of the finished beer, by a laboratory."],
        "function": loss_factor,
    },
]
