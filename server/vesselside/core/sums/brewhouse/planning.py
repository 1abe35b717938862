"""A brew planned from what it is to become: grist, liquor, copper, hops and final gravity, asked the other way round.

The sums that judge a brew go from what is there to what it gives; these go from what is wanted to what it takes.
"""

from vesselside.core.ground import numbers
from vesselside.core.ground.errors import CoreError
from vesselside.core.sums import water
from vesselside.core.sums.inputs import number, series

from .extract import sg_of_extract
from .gravity import WATER_20_KG_L, extract_kg, marks, plato_from_sg, sg_from_plato

UNEVEN = "Taken as parts of the whole, for the shares come to "


def grist_for_gravity(*, grist: list, efficiency_pct: float, volume_l: float, sg: float) -> dict:
    """Malt [kg] that gives `volume_l` of wort of `sg` at 20 °C; grist of [parts by weight, extract % as-is].

    Formula: extract wanted / efficiency / mean extract of the grist, the mean by weight. Range 0.1 to 100 parts, 5 to
    105 [%], 30 to 100 [%], 1 to 50000 [L], 1.002 to 1.120. Shares that miss 100 % are marked and taken as parts.
    Sources: extract-definition, asbc-cubic. Example: 500 L of 1.048 at 80 % from malt of 78 %: 99.8 kg.
    """
    parts = sum([part for part, _ in grist])
    mean = sum([part * percent for part, percent in grist]) / parts
    wanted = extract_kg(volume_l=volume_l, sg=sg)
    whole = wanted / (efficiency_pct / 100.0)
    return {
        "malt_kg": whole / (mean / 100.0),
        "mean_pct": mean,
        "wanted_kg": wanted,
        "whole_kg": whole,
        "marks": marks(sg) + ([] if abs(parts - 100.0) <= 0.5 else [UNEVEN + numbers.text(parts, 1) + " %."]),
    }


def grist_share(*, malt_kg: float, share_pct: float) -> float:
    """One malt's weight [kg] in a grist of `malt_kg`.

    Formula: malt x share / 100. Range 1 to 10000 [kg], 0.1 to 100 [%]. Source: mass-balance.
    Example: 92 % of 250 kg is 230 kg.
    """
    return malt_kg * share_pct / 100.0


def mash_liquor(*, malt_kg: float, ratio_l_kg: float) -> float:
    """Mash liquor [L] for `malt_kg` at `ratio_l_kg` [L/kg], measured at strike.

    Formula: malt x litres per kg. Range 1 to 10000 [kg], 1.5 to 6 [L/kg]. Source: mass-balance.
    Example: 230 kg at 2.7 L/kg: 621 L.
    """
    return malt_kg * ratio_l_kg


def copper_volumes(*, collected_l: float, left_l: float, boil_min: float, rate_l_h: float, sg: float) -> dict:
    """What the copper must hold at the end and at the start of the boil [L at 20 °C], and the gravity at the start.

    Formula: end = wanted in the fermenter + left behind; start = end + rate x time; the extract of the end in the
    volume of the start. The boil's mean gravity is halfway between. Range 1 to 50000 [L], 0 to 5000 [L], 10 to 240
    [min], 0 to 5000 [L/h], 1.002 to 1.120. Sources: mass-balance, asbc-cubic. Example: 500 L of 1.048 with 20 L left,
    60 min at 40 L/h: 520 L at the end, 560 L of 1.0446 at the start.
    """
    end = collected_l + left_l
    start = end + rate_l_h * boil_min / 60.0
    extract = extract_kg(volume_l=end, sg=sg)
    start_sg = sg_of_extract(extract=extract, volume_l=start)
    return {
        "end_l": end,
        "start_l": start,
        "start_sg": start_sg,
        "mean_sg": (start_sg + sg) / 2.0,
        "extract_kg": extract,
        "off_l": start - end,
        "marks": marks(sg, start_sg),
    }


def boil_clock(*, boil_min: float) -> float:
    """Seconds on the clock [s] for a boil given in minutes, as a hold counts them.

    Formula: minutes x 60. Range 10 to 240 [min]. Source: si-minute. Example: 75 min is 4500 s.
    """
    return boil_min * 60.0


def hot_volume(*, cooled_l: float, temp_c: float) -> dict:
    """What `cooled_l` of wort at 20 °C measures at `temp_c` [L].

    Formula: volume x density of water at 20 °C / at `temp_c`; wort swells as water does within 0.1 %. Range 0.1 to
    50000 [L], 0 to 100 [°C]. Source: kell-1975. Example: 962 L at 98 °C is 1000 L.
    """
    ratio = WATER_20_KG_L / water.density(temp_c=temp_c)
    return {"hot_l": cooled_l * ratio, "ratio": ratio}


def bitterness_share(*, total_ibu: float, late_ibu: float, share_pct: float) -> dict:
    """Bitterness [IBU] that one boiled addition is to give.

    Formula: (bitterness wanted - from late hops) x share / 100. Range 0 to 150 [IBU], 0.1 to 100 [%]. Raises CoreError
    `late-hops` when late hops alone give more than is wanted. Source: mass-balance.
    Example: 32 IBU, 4 from late hops, 75 %: 21 IBU.
    """
    if late_ibu > total_ibu:
        raise CoreError(
            "late-hops", "The late hops alone give more bitterness than is wanted.", field="late_ibu"
        )
    return {"ibu": (total_ibu - late_ibu) * share_pct / 100.0, "boil_ibu": total_ibu - late_ibu}


def bitterness_total(*, boil_ibu: float, late_ibu: float) -> float:
    """Bitterness [IBU] of the beer from its boiled and its late hops.

    Formula: the sum of both. Range 0 to 150 [IBU]. Source: mass-balance. Example: 28 and 4 IBU: 32 IBU.
    """
    return boil_ibu + late_ibu


def late_hops(*, volume_l: float, dose_g_l: float) -> float:
    """Late hops [kg] for a dose [g/L] of cooled wort.

    Formula: volume x dose / 1000. Range 1 to 50000 [L], 0.05 to 20 [g/L]. Source: mass-balance.
    Example: 1240 L at 1.5 g/L: 1.86 kg.
    """
    return volume_l * dose_g_l / 1000.0


def final_gravity(*, original_sg: float, attenuation_pct: float) -> dict:
    """Gravity the beer ends at [SG 20/20] by the apparent attenuation usual for yeast and wort.

    Formula: °P at the end = original °P x (1 - attenuation / 100). Range 1.010 to 1.130, 30 to 105 [%].
    Sources: balling, asbc-cubic. Example: 1.048 at 78.5 %: 1.0100.
    """
    original = plato_from_sg(sg=original_sg)
    present = original * (1.0 - attenuation_pct / 100.0)
    sg = sg_from_plato(plato=present)
    return {
        "present_sg": sg,
        "original_plato": original,
        "present_plato": present,
        "marks": marks(original_sg),
    }


_GRAVITY = number("sg", "Gravity wanted, at 20 °C", "", "1.002", "1.120", 4)
_MALT = number("malt_kg", "Malt", "kg", "1", "10000", 1)
_LATE = number("late_ibu", "From late hops", "IBU", "0", "150", 1)

ROWS = [
    {
        "name": "grist-for-gravity",
        "title": "Malt for a gravity",
        "place": "brewhouse",
        "inputs": [
            series(
                "grist",
                "Grist",
                [
                    number("parts", "Share of the grist", "%", "0.1", "100", 1),
                    number("extract_pct", "Extract, fine grind as-is", "%", "5", "105", 1),
                ],
                rows=1,
            ),
            number("efficiency_pct", "Brewhouse efficiency", "%", "30", "100", 1),
            number("volume_l", "Cooled wort, at 20 °C", "L", "1", "50000", 0),
            _GRAVITY,
        ],
        "formula": "Malt = extract wanted ÷ efficiency ÷ mean extract of the grist.",
        "steps": [
            ["wanted_kg", "Extract wanted in the wort", "kg", 2],
            ["whole_kg", "Extract the grist must hold", "kg", 2],
            ["mean_pct", "Mean extract of the grist", "%", 1],
        ],
        "results": [["malt_kg", "Malt", "kg", 1]],
        "sources": ["extract-definition", "asbc-cubic"],
        "assumptions": ["Volume is cooled wort; the efficiency is that of this brewhouse to the same point."],
        "function": grist_for_gravity,
    },
    {
        "name": "grist-share",
        "title": "One malt of the grist",
        "place": "brewhouse",
        "inputs": [_MALT, number("share_pct", "Share of the grist", "%", "0.1", "100", 1)],
        "formula": "Weight = malt × share ÷ 100.",
        "steps": [],
        "results": [["kg", "Weigh out", "kg", 1]],
        "sources": ["mass-balance"],
        "assumptions": ["Shares are by weight."],
        "function": grist_share,
    },
    {
        "name": "mash-liquor",
        "title": "Liquor for the mash",
        "place": "brewhouse",
        "inputs": [_MALT, number("ratio_l_kg", "Liquor to grist", "L/kg", "1.5", "6", 2)],
        "formula": "Liquor = malt × litres per kilogram.",
        "steps": [],
        "results": [["liquor_l", "Mash liquor", "L", 0]],
        "sources": ["mass-balance"],
        "assumptions": ["The liquor is measured hot, as it goes in."],
        "function": mash_liquor,
    },
    {
        "name": "copper-volumes",
        "title": "Volumes and gravities of a copper, planned",
        "place": "brewhouse",
        "inputs": [
            number("collected_l", "Wort wanted in the fermenter", "L", "1", "50000", 0),
            number("left_l", "Left behind with hops and trub", "L", "0", "5000", 0),
            number("boil_min", "Boil", "min", "10", "240", 0),
            number("rate_l_h", "Boil-off, as cooled", "L/h", "0", "5000", 1),
            _GRAVITY,
        ],
        "formula": "End = fermenter + left behind; start = end + rate × time; its gravity by the extract of the end.",
        "steps": [
            ["off_l", "Boils off", "L", 0],
            ["extract_kg", "Extract in the copper", "kg", 2],
        ],
        "results": [
            ["end_l", "End of boil, as cooled", "L", 0],
            ["start_l", "Start of boil, as cooled", "L", 0],
            ["start_sg", "Gravity at the start", "", 4],
            ["mean_sg", "Mean gravity of the boil", "", 4],
        ],
        "sources": ["mass-balance", "asbc-cubic"],
        "assumptions": [
            "Volumes are as cooled to 20 °C.",
            "What is left behind is wort of the same gravity.",
        ],
        "function": copper_volumes,
    },
    {
        "name": "boil-clock",
        "title": "Boil on the clock",
        "place": "brewhouse",
        "inputs": [number("boil_min", "Boil", "min", "10", "240", 0)],
        "formula": "Seconds = minutes × 60.",
        "steps": [],
        "results": [["seconds", "On the clock", "s", 0]],
        "sources": ["si-minute"],
        "assumptions": ["The clock starts when the boil rolls."],
        "function": boil_clock,
    },
    {
        "name": "hot-volume",
        "title": "Cooled wort as hot volume",
        "place": "brewhouse",
        "inputs": [
            number("cooled_l", "Wort at 20 °C", "L", "0.1", "50000", 0),
            number("temp_c", "To be measured at", "°C", "0", "100", 1),
        ],
        "formula": "Hot volume = cooled volume × density of water at 20 °C ÷ hot.",
        "steps": [["ratio", "Hot against cooled", "", 4]],
        "results": [["hot_l", "Hot wort", "L", 0]],
        "sources": ["kell-1975"],
        "assumptions": ["Wort swells as water does.", "The vessel's own expansion is left out."],
        "function": hot_volume,
    },
    {
        "name": "bitterness-share",
        "title": "Bitterness of one addition",
        "place": "brewhouse",
        "inputs": [
            number("total_ibu", "Bitterness wanted", "IBU", "0", "150", 1),
            _LATE,
            number("share_pct", "Share of the boil's bitterness", "%", "0.1", "100", 1),
        ],
        "formula": "Bitterness = (wanted − from late hops) × share ÷ 100.",
        "steps": [["boil_ibu", "The boil is to give", "IBU", 1]],
        "results": [["ibu", "This addition is to give", "IBU", 1]],
        "sources": ["mass-balance"],
        "assumptions": ["The recipe shares out the bitterness of the boil; late hops are dosed by weight."],
        "function": bitterness_share,
    },
    {
        "name": "bitterness-total",
        "title": "Bitterness in all",
        "place": "brewhouse",
        "inputs": [number("boil_ibu", "From the boil", "IBU", "0", "150", 1), _LATE],
        "formula": "Bitterness = from the boil + from late hops.",
        "steps": [],
        "results": [["ibu", "Bitterness", "IBU", 1]],
        "sources": ["mass-balance"],
        "assumptions": [
            "Boiled hops go on a little in the whirlpool; the table of the boil holds that already."
        ],
        "function": bitterness_total,
    },
    {
        "name": "late-hops",
        "title": "Late hops by dose",
        "place": "brewhouse",
        "inputs": [
            number("volume_l", "Cooled wort", "L", "1", "50000", 0),
            number("dose_g_l", "Dose", "g/L", "0.05", "20", 2),
        ],
        "formula": "Hops = cooled wort × dose.",
        "steps": [],
        "results": [["hops_kg", "Hops", "kg", 2]],
        "sources": ["mass-balance"],
        "assumptions": ["Dosed on the wort at the end of the boil."],
        "function": late_hops,
    },
    {
        "name": "final-gravity",
        "title": "Gravity at the end, by attenuation",
        "place": "cellar",
        "inputs": [
            number("original_sg", "Original gravity", "", "1.010", "1.130", 4),
            number("attenuation_pct", "Apparent attenuation", "%", "30", "105", 1),
        ],
        "formula": "°P at the end = original °P × (1 − attenuation ÷ 100), as specific gravity.",
        "steps": [
            ["original_plato", "Original extract", "°P", 2],
            ["present_plato", "Apparent extract at the end", "°P", 2],
        ],
        "results": [["present_sg", "Gravity at the end", "", 4]],
        "sources": ["balling", "asbc-cubic"],
        "assumptions": ["The attenuation is what this yeast usually does in this wort."],
        "function": final_gravity,
    },
]
