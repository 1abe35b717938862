"""The mash: strike temperature, the liquor that brings a missed mash to its target, and a tun's own heat."""

from vesselside.core.ground import linear
from vesselside.core.ground.errors import CoreError
from vesselside.core.sums import water
from vesselside.core.sums.inputs import number, series

DRY_MALT_KJ_KG_K = 1.55


def malt_heat(*, moisture_pct: float) -> float:
    """Heat capacity of malt [kJ/(kg K)] from its moisture [%], 0 to 15.

    Formula: dry malt 1.55 and water 4.184, by mass. Source: heat-balance (from memory).
    Example: 4 % moisture is 1.655 kJ/(kg K).
    """
    share = moisture_pct / 100.0
    return (1.0 - share) * DRY_MALT_KJ_KG_K + share * water.KJ_KG_K


def _liquor_heat(litres: float) -> float:
    """Heat capacity [kJ/K] of liquor measured hot, taken as water at 70 °C."""
    return litres * water.density(temp_c=70.0) * water.KJ_KG_K


def strike_temperature(
    *,
    malt_kg: float,
    liquor_l: float,
    mash_temp_c: float,
    malt_temp_c: float,
    tun_temp_c: float,
    tun_heat_l: float,
    moisture_pct: float,
    slaking_kj_kg: float,
) -> dict:
    """Temperature of the liquor that brings malt and tun to `mash_temp_c` [°C].

    Formula: heat the liquor gives = heat the malt takes + heat the tun takes - heat of slaking. `tun_heat_l` is the
    tun's heat as litres of water. Range 1 to 10000 [kg], 1 to 40000 [L], 30 to 80 [°C]; `liquor_l` is measured at
    strike, taken as water at 70 °C. Raises CoreError `too-hot` when the answer lies above 100 °C, `too-cold` below 0.
    Source: heat-balance. Example: 100 kg at 18 °C, 280 L, tun at mash temperature, 4 % moisture, to 66 °C: 72.9 °C.
    """
    capacity = malt_heat(moisture_pct=moisture_pct)
    to_malt = malt_kg * capacity * (mash_temp_c - malt_temp_c)
    to_tun = tun_heat_l * water.KJ_KG_K * (mash_temp_c - tun_temp_c)
    slaking = malt_kg * slaking_kj_kg
    liquor = _liquor_heat(liquor_l)
    strike = mash_temp_c + (to_malt + to_tun - slaking) / liquor
    if strike > 100.0:
        raise CoreError(
            "too-hot", "That needs liquor above 100 °C: more liquor, or a warmer tun.", field="liquor_l"
        )
    if strike < 0.0:
        raise CoreError(
            "too-cold",
            "No liquor is cold enough for that: check the weights and temperatures.",
            field="liquor_l",
        )
    return {
        "strike_c": strike,
        "to_malt_kj": to_malt,
        "to_tun_kj": to_tun,
        "slaking_kj": slaking,
        "liquor_kj_k": liquor,
        "drop_c": strike - mash_temp_c,
    }


def mash_correction(
    *,
    malt_kg: float,
    liquor_l: float,
    mash_temp_c: float,
    target_temp_c: float,
    added_temp_c: float,
    moisture_pct: float,
) -> dict:
    """Volume of liquor at `added_temp_c` that brings the whole mash to `target_temp_c` [L].

    Formula: V = m (S + R) (T_target - T_mash) / (T_added - T_target), S the heat of malt against water, R the
    liquor-to-grist ratio [L/kg], both as water. Range 1 to 10000 [kg], 1 to 40000 [L], 20 to 95 [°C]. Raises CoreError
    `wrong-side` when the added liquor cannot move the mash towards the target, `too-much` when it would be more than
    the liquor that is in it. Source: heat-balance.
    Example: 100 kg, 300 L, 64 to 66 °C with 95 °C: 23.4 L.
    """
    rise = target_temp_c - mash_temp_c
    gap = added_temp_c - target_temp_c
    if rise != 0.0 and (gap == 0.0 or (rise > 0.0) != (gap > 0.0)):
        raise CoreError(
            "wrong-side",
            "This liquor moves the mash the wrong way: use hotter or colder.",
            field="added_temp_c",
        )
    ratio = liquor_l / malt_kg
    share = malt_heat(moisture_pct=moisture_pct) / water.KJ_KG_K
    volume = 0.0 if rise == 0.0 else malt_kg * (share + ratio) * rise / gap
    if volume > liquor_l:
        raise CoreError(
            "too-much",
            "That takes more liquor than the mash holds: use hotter or colder, or heat the mash.",
            field="added_temp_c",
        )
    return {"volume_l": volume, "share": share, "ratio": ratio, "rise_c": rise, "total_l": liquor_l + volume}


def tun_fit(*, brews: list, moisture_pct: float) -> dict:
    """A tun's heat as litres of water, and the heat of slaking [kJ/kg], from what past brews settled at.

    Each brew is [malt kg, liquor L, strike °C, malt °C, tun °C, mash °C]. Formula: least squares of the heat the liquor
    gave - the malt took = tun x its rise - malt x slaking. Range at least 3 brews. Raises CoreError `no-answer` when
    the brews are too alike to tell the two apart. Source: heat-balance. Example: 4 brews that lost 3 °C to a cold tun
    and 1 °C to a warm one give a tun of about 15 L.
    """
    capacity = malt_heat(moisture_pct=moisture_pct)
    design, wanted = [], []
    for malt, litres, strike, malt_temp, tun_temp, mash_temp in brews:
        per_degree = _liquor_heat(litres)
        # in degrees of the whole mash, so that a large brew weighs no more than a small one
        whole = per_degree + malt * capacity
        gave = per_degree * (strike - mash_temp) - malt * capacity * (mash_temp - malt_temp)
        design.append([water.KJ_KG_K * (mash_temp - tun_temp) / whole, -malt / whole])
        wanted.append(gave / whole)
    tun, slaking = linear.least_squares(design, wanted)
    misses = [design[n][0] * tun + design[n][1] * slaking - wanted[n] for n in range(len(wanted))]
    typical = (sum([miss * miss for miss in misses]) / max(1, len(wanted) - 2)) ** 0.5
    marks = []
    if tun < 0.0 or slaking < 0.0:
        marks.append("A figure came out negative: check the brews, or use more of them.")
    if typical > 1.0:
        marks.append("These brews miss the fit by more than 1 °C: do not use it yet.")
    return {
        "tun_heat_l": tun,
        "slaking_kj_kg": slaking,
        "miss_c": typical,
        "brews": len(brews),
        "marks": marks,
    }


_MOISTURE = number("moisture_pct", "Malt moisture", "%", "0", "15", 1, "4")
_MALT = number("malt_kg", "Malt", "kg", "1", "10000", 1)

ROWS = [
    {
        "name": "strike-temperature",
        "title": "Strike temperature",
        "place": "brewhouse",
        "inputs": [
            _MALT,
            number("liquor_l", "Mash liquor", "L", "1", "40000", 0),
            number("mash_temp_c", "Mash wanted at", "°C", "30", "80", 1),
            number("malt_temp_c", "Malt temperature", "°C", "-10", "40", 1),
            number("tun_temp_c", "Mash tun", "°C", "0", "90", 1),
            number("tun_heat_l", "Heat of the tun, as litres of water", "L", "0", "2000", 1, "0"),
            _MOISTURE,
            number("slaking_kj_kg", "Heat of slaking", "kJ/kg", "0", "40", 1, "0"),
        ],
        "formula": "Strike = mash temperature + (heat to malt + heat to tun − heat of slaking) "
        "÷ heat of the liquor per degree.",
        "steps": [
            ["to_malt_kj", "Heat the malt takes", "kJ", 0],
            ["to_tun_kj", "Heat the tun takes", "kJ", 0],
            ["slaking_kj", "Heat of slaking", "kJ", 0],
            ["liquor_kj_k", "Liquor, per degree", "kJ/K", 1],
            ["drop_c", "Fall on mashing in", "°C", 1],
        ],
        "results": [["strike_c", "Strike temperature", "°C", 1]],
        "sources": ["heat-balance", "kell-1975"],
        "assumptions": [
            "No heat is lost to the air while mashing in.",
            "The tun's heat and slaking are fitted from this tun's past brews; zero until then.",
        ],
        "function": strike_temperature,
    },
    {
        "name": "mash-correction",
        "title": "Liquor to correct a missed mash",
        "place": "brewhouse",
        "inputs": [
            _MALT,
            number("liquor_l", "Liquor in the mash", "L", "1", "40000", 0),
            number("mash_temp_c", "Mash now", "°C", "20", "95", 1),
            number("target_temp_c", "Mash wanted at", "°C", "30", "85", 1),
            number("added_temp_c", "Liquor to add is at", "°C", "0", "100", 1),
            _MOISTURE,
        ],
        "formula": "Liquor to add = malt × (heat of malt against water + litres per kg) × change wanted ÷ "
        "(liquor temperature − temperature wanted).",
        "steps": [
            ["share", "Heat of malt against water", "", 3],
            ["ratio", "Liquor to grist", "L/kg", 2],
            ["rise_c", "Change wanted", "°C", 1],
        ],
        "results": [["volume_l", "Liquor to add", "L", 0], ["total_l", "Liquor in the mash then", "L", 0]],
        "sources": ["heat-balance"],
        "assumptions": ["The tun changes with the mash and its heat is left out.", "Stirred in until even."],
        "function": mash_correction,
    },
    {
        "name": "tun-fit",
        "title": "A tun's heat from past brews",
        "place": "brewhouse",
        "inputs": [
            series(
                "brews",
                "Past brews",
                [
                    number("malt_kg", "Malt", "kg", "1", "10000", 1),
                    number("liquor_l", "Mash liquor", "L", "1", "40000", 0),
                    number("strike_c", "Strike", "°C", "30", "100", 1),
                    number("malt_temp_c", "Malt temperature", "°C", "-10", "40", 1),
                    number("tun_temp_c", "Tun before", "°C", "0", "90", 1),
                    number("mash_temp_c", "Mash settled at", "°C", "30", "90", 1),
                ],
                rows=3,
            ),
            _MOISTURE,
        ],
        "formula": "Least squares over the brews of: heat the liquor gave − heat the malt took "
        "= tun × its rise − malt × slaking.",
        "steps": [["brews", "Brews", "", 0], ["miss_c", "Typical miss of the fit", "°C", 2]],
        "results": [
            ["tun_heat_l", "Heat of the tun, as litres of water", "L", 1],
            ["slaking_kj_kg", "Heat of slaking", "kJ/kg", 1],
        ],
        "sources": ["heat-balance", "kell-1975"],
        "assumptions": ["Brews with the tun cold and with it warm are needed to tell the two apart."],
        "function": tun_fit,
    },
]
