"""Bitterness of hops boiled in the copper, by tabulated utilisation; losses to the glass are in the table."""

from vesselside.core.ground.errors import CoreError
from vesselside.core.ground.solve import root
from vesselside.core.sums.inputs import number, series

# per cent utilised at these minutes of boil, in wort of these gravities
MINUTES = (0.0, 5.0, 10.0, 15.0, 20.0, 30.0, 45.0, 60.0, 75.0, 90.0, 120.0)
GRAVITIES = (1.030, 1.040, 1.050, 1.060, 1.070, 1.080, 1.090, 1.100)
_TABLE = (
    (0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0),
    (5.5, 5.0, 4.6, 4.2, 3.8, 3.5, 3.2, 2.9),
    (10.0, 9.1, 8.4, 7.6, 7.0, 6.4, 5.8, 5.3),
    (13.7, 12.5, 11.4, 10.5, 9.6, 8.7, 8.0, 7.3),
    (16.7, 15.3, 14.0, 12.8, 11.7, 10.7, 9.8, 8.9),
    (21.2, 19.4, 17.7, 16.2, 14.8, 13.5, 12.4, 11.3),
    (25.3, 23.2, 21.2, 19.4, 17.7, 16.2, 14.8, 13.5),
    (27.6, 25.2, 23.1, 21.1, 19.3, 17.6, 16.1, 14.7),
    (28.9, 26.4, 24.1, 22.0, 20.1, 18.4, 16.8, 15.4),
    (29.5, 27.0, 24.7, 22.6, 20.6, 18.8, 17.2, 15.7),
    (30.1, 27.5, 25.2, 23.0, 21.0, 19.2, 17.6, 16.1),
)


def _place(value: float, marks: tuple) -> tuple[int, float]:
    """The interval of `marks` that holds `value`, and how far into it; the ends hold what lies beyond them."""
    at = 0
    while at < len(marks) - 2 and value > marks[at + 1]:
        at += 1
    share = (value - marks[at]) / (marks[at + 1] - marks[at])
    return at, min(1.0, max(0.0, share))


def utilisation(*, minutes: float, sg: float) -> float:
    """Share of alpha acids [%] that hops boiled for `minutes` in wort of `sg` leave in the beer as bitterness.

    Formula: the table read between its entries, by straight lines. Range 0 to 120 [min], 1.030 to 1.100; beyond it the
    nearest entry holds. Source: utilisation-table. Example: 60 min at 1.050 is 23.1 %.
    """
    row, down = _place(minutes, MINUTES)
    column, along = _place(sg, GRAVITIES)
    top = _TABLE[row][column] + along * (_TABLE[row][column + 1] - _TABLE[row][column])
    bottom = _TABLE[row + 1][column] + along * (_TABLE[row + 1][column + 1] - _TABLE[row + 1][column])
    return top + down * (bottom - top)


def _marks(sg: float) -> list[str]:
    outside = not GRAVITIES[0] <= sg <= GRAVITIES[-1]
    return ["Gravity outside the table, 1.030 to 1.100: the nearest entry is used."] if outside else []


def boil_bitterness(*, hops: list, volume_l: float, sg: float) -> dict:
    """Bitterness [mg/L, IBU] that additions of [kg, alpha %, minutes boiled] give `volume_l` of cooled wort.

    Formula: sum of kg x alpha x utilisation / volume. Range 0.01 to 500 [kg], 0.5 to 25 [%], 0 to 120 [min], 1 to
    50000 [L]; `sg` is the mean of the boil. Source: utilisation-table.
    Example: 1 kg of 10 % for 60 min in 500 L of 1.050 is 46.2.
    """
    volume_hl = volume_l / 100.0
    alpha = 0.0
    bitter = 0.0
    for kg, percent, minutes in hops:
        grams = kg * percent * 10.0
        alpha += grams
        bitter += grams * utilisation(minutes=minutes, sg=sg) / 100.0
    return {
        "ibu": bitter / volume_hl * 10.0,
        "alpha_g": alpha,
        "bitter_g": bitter,
        "utilisation_pct": 100.0 * bitter / alpha,
        "marks": _marks(sg),
    }


def hop_addition(
    *, target_ibu: float, other_ibu: float, alpha_pct: float, minutes: float, volume_l: float, sg: float
) -> dict:
    """Hops [kg] boiled for `minutes` that make up bitterness to `target_ibu`, with what else is in the brew.

    Formula: (target - other) x volume / (alpha x utilisation). Range 0 to 150 [IBU], 0.5 to 25 [%], 5 to 120 [min],
    1 to 50000 [L]. Raises CoreError `order` when the others exceed the target. Source: utilisation-table.
    Example: 30 IBU in 500 L of 1.050 from 10 % hops for 60 min takes 0.65 kg.
    """
    if other_ibu > target_ibu:
        raise CoreError("order", "The other hops already give more than the target.", field="other_ibu")
    used = utilisation(minutes=minutes, sg=sg)
    bitter = (target_ibu - other_ibu) * volume_l / 1000.0
    return {
        "hops_kg": bitter / (alpha_pct / 100.0) / (used / 100.0) / 1000.0,
        "bitter_g": bitter,
        "utilisation_pct": used,
        "marks": _marks(sg),
    }


def hop_minutes(*, target_ibu: float, hops_kg: float, alpha_pct: float, volume_l: float, sg: float) -> dict:
    """Minutes to boil the hops at hand for a bitterness [IBU].

    Formula: the time at which the table gives target x volume / (kg x alpha), found in a bracket of 0 to 120 min. Range
    0 to 150 [IBU], 0.01 to 500 [kg], 0.5 to 25 [%]. Raises CoreError `too-few-hops` when no boil is long enough.
    Source: utilisation-table. Example: 30 IBU in 500 L of 1.050 from 1 kg of 10 %: 23 min.
    """
    wanted = 100.0 * target_ibu * volume_l / 1000.0 / (hops_kg * alpha_pct * 10.0)
    if wanted > utilisation(minutes=120.0, sg=sg):
        raise CoreError("too-few-hops", "No boil gives that from these hops: add more.", field="hops_kg")
    minutes = root(lambda t: utilisation(minutes=t, sg=sg) - wanted, 0.0, 120.0)
    return {"minutes": minutes, "utilisation_pct": wanted, "marks": _marks(sg)}


_ALPHA = number("alpha_pct", "Alpha acids", "%", "0.5", "25", 1)
_VOLUME = number("volume_l", "Cooled wort", "L", "1", "50000", 0)
_SG = number("sg", "Mean gravity of the boil", "", "1.010", "1.130", 4)
_COLD = "Volume is cooled wort in the fermenter; alpha acids are the lot's, as they are now."
_LATE = "Hops in the whirlpool are not in this table: see isomerisation."

ROWS = [
    {
        "name": "boil-bitterness",
        "title": "Bitterness from the boil",
        "place": "brewhouse",
        "inputs": [
            series(
                "hops",
                "Hops",
                [
                    number("kg", "Hops", "kg", "0.01", "500", 2),
                    number("alpha_pct", "Alpha acids", "%", "0.5", "25", 1),
                    number("minutes", "Boiled for", "min", "0", "120", 0),
                ],
                rows=1,
            ),
            _VOLUME,
            _SG,
        ],
        "formula": "Bitterness = sum of hops × alpha acids × utilisation ÷ volume, utilisation from the "
        "table by time and gravity.",
        "steps": [
            ["alpha_g", "Alpha acids", "g", 0],
            ["utilisation_pct", "Used, on the whole", "%", 1],
            ["bitter_g", "Bitter substances in the beer", "g", 1],
        ],
        "results": [["ibu", "Bitterness", "IBU", 1]],
        "sources": ["utilisation-table"],
        "assumptions": [_COLD, _LATE],
        "function": boil_bitterness,
    },
    {
        "name": "hop-addition",
        "title": "Hops for a target bitterness",
        "place": "brewhouse",
        "inputs": [
            number("target_ibu", "Bitterness wanted", "IBU", "0", "150", 1),
            number("other_ibu", "From the other additions", "IBU", "0", "150", 1, "0"),
            _ALPHA,
            number("minutes", "To be boiled for", "min", "5", "120", 0),
            _VOLUME,
            _SG,
        ],
        "formula": "Hops = (wanted − from the others) × volume ÷ (alpha acids × utilisation).",
        "steps": [
            ["bitter_g", "Bitter substances to make", "g", 1],
            ["utilisation_pct", "Utilisation", "%", 1],
        ],
        "results": [["hops_kg", "Hops", "kg", 2]],
        "sources": ["utilisation-table"],
        "assumptions": [_COLD, _LATE],
        "function": hop_addition,
    },
    {
        "name": "hop-minutes",
        "title": "Boil for the hops at hand",
        "place": "brewhouse",
        "inputs": [
            number("target_ibu", "Bitterness wanted from them", "IBU", "0", "150", 1),
            number("hops_kg", "Hops at hand", "kg", "0.01", "500", 2),
            _ALPHA,
            _VOLUME,
            _SG,
        ],
        "formula": "The time at which the table gives bitterness × volume ÷ (hops × alpha acids).",
        "steps": [["utilisation_pct", "Utilisation wanted", "%", 1]],
        "results": [["minutes", "Boil for", "min", 0]],
        "sources": ["utilisation-table"],
        "assumptions": [_COLD, _LATE],
        "function": hop_minutes,
    },
]
