"""What is dissolved in the liquor: mineral additions, alkalinity, and the acid that lowers it."""

from vesselside.core.ground import linear
from vesselside.core.ground.errors import CoreError
from vesselside.core.sums.inputs import choice, number

CACO3_MG_MEQ = 50.0435
"""Alkalinity as CaCO3: half its molar mass, per charge."""

IONS = ("calcium", "magnesium", "sodium", "sulphate", "chloride")
"""Ions that mineral additions change, in the order of the lists here."""

_CHARGE_G_MOL = (40.078 / 2, 24.305 / 2, 22.990, 96.06 / 2, 35.453)

# g of each ion in 1 g of gypsum CaSO4.2H2O, calcium chloride CaCl2.2H2O, Epsom MgSO4.7H2O and common salt NaCl
_SHARES = (
    (40.078 / 172.169, 0.0, 0.0, 96.06 / 172.169, 0.0),
    (40.078 / 147.01, 0.0, 0.0, 0.0, 70.906 / 147.01),
    (0.0, 24.305 / 246.47, 0.0, 96.06 / 246.47, 0.0),
    (0.0, 0.0, 22.990 / 58.443, 0.0, 35.453 / 58.443),
)

# molar mass [g/mol], then the dissociation constants of acids liquor is treated with, as pK at 25 °C
_ACIDS = {
    "lactic": (90.078, (3.86,)),
    "phosphoric": (97.994, (2.15, 7.20, 12.35)),
    "hydrochloric": (36.458, (-6.0,)),
    "sulphuric": (98.072, (-3.0, 1.99)),
}

# carbonic acid and water at 25 °C, and the pH to which alkalinity is titrated
_CARBONIC = (6.35, 10.33)
_WATER = 14.0
_ALKALINITY_END = 4.5


def residual_alkalinity(*, alkalinity_mg_l: float, calcium_mg_l: float, magnesium_mg_l: float) -> float:
    """Residual alkalinity [mg/L as CaCO3] from alkalinity [mg/L as CaCO3] and calcium and magnesium ions [mg/L].

    Formula (Kolbach): alkalinity - calcium / 1.4 - magnesium / 1.7. Range 0 to 1000, 0 to 1000, 0 to 500. It may be
    negative. Source: kolbach. Example: alkalinity 200, calcium 100, magnesium 10 is 122.7.
    """
    return alkalinity_mg_l - calcium_mg_l / 1.4 - magnesium_mg_l / 1.7


def _after(start: list, grams: list, volume_l: float) -> list:
    return [
        start[ion] + sum([grams[salt] * _SHARES[salt][ion] for salt in range(4)]) * 1000.0 / volume_l
        for ion in range(5)
    ]


def liquor_salts(
    *,
    volume_l: float,
    calcium_mg_l: float,
    magnesium_mg_l: float,
    sodium_mg_l: float,
    sulphate_mg_l: float,
    chloride_mg_l: float,
    gypsum_g: float,
    calcium_chloride_g: float,
    epsom_g: float,
    salt_g: float,
) -> dict:
    """Ions [mg/L] of `volume_l` liquor after salts [g] are dissolved in it.

    Formula: each ion + grams of salt x its share of the salt / volume; salts as CaSO4.2H2O, CaCl2.2H2O, MgSO4.7H2O
    and NaCl. Range 1 to 50000 [L], 0 to 1000 [mg/L], 0 to 50000 [g]. Source: molar-masses.
    Example: 1000 L with 100 g gypsum gains 23.3 mg/L calcium and 55.8 mg/L sulphate.
    """
    start = [calcium_mg_l, magnesium_mg_l, sodium_mg_l, sulphate_mg_l, chloride_mg_l]
    end = _after(start, [gypsum_g, calcium_chloride_g, epsom_g, salt_g], volume_l)
    found: dict = {}
    for ion in range(5):
        found[IONS[ion]] = end[ion]
    return found


def liquor_salts_target(
    *,
    volume_l: float,
    calcium_mg_l: float,
    magnesium_mg_l: float,
    sodium_mg_l: float,
    sulphate_mg_l: float,
    chloride_mg_l: float,
    target_calcium_mg_l: float,
    target_magnesium_mg_l: float,
    target_sodium_mg_l: float,
    target_sulphate_mg_l: float,
    target_chloride_mg_l: float,
) -> dict:
    """Grams of gypsum, calcium chloride, Epsom and common salt that bring liquor nearest to target ions [mg/L].

    Formula: least squares of what is missing, in charge [meq/L], with no salt below zero. An ion that misses its
    target by more than 10 mg/L is marked. Range 1 to 50000 [L], 0 to 1000 [mg/L]. Source: molar-masses.
    Example: 1000 L of soft water to calcium 100 and sulphate 240 takes 430 g gypsum.
    """
    start = [calcium_mg_l, magnesium_mg_l, sodium_mg_l, sulphate_mg_l, chloride_mg_l]
    target = [
        target_calcium_mg_l,
        target_magnesium_mg_l,
        target_sodium_mg_l,
        target_sulphate_mg_l,
        target_chloride_mg_l,
    ]
    design = [[_SHARES[salt][ion] / _CHARGE_G_MOL[ion] for salt in range(4)] for ion in range(5)]
    wanted = [(target[ion] - start[ion]) / _CHARGE_G_MOL[ion] for ion in range(5)]
    per_litre = linear.not_negative(design, wanted)
    grams = [mg * volume_l / 1000.0 for mg in per_litre]
    end = _after(start, grams, volume_l)
    found = {"gypsum_g": grams[0], "calcium_chloride_g": grams[1], "epsom_g": grams[2], "salt_g": grams[3]}
    marks = []
    for ion in range(5):
        found[IONS[ion]] = end[ion]
        if abs(end[ion] - target[ion]) > 10.0:
            way = "above" if end[ion] > target[ion] else "below"
            marks.append(
                IONS[ion][0].upper() + IONS[ion][1:] + " stays more than 10 mg/L " + way + " its target."
            )
    found["marks"] = marks
    return found


def charge(acid: str, ph: float) -> float:
    """Protons given up by one molecule of `acid` at `ph`, 2 to 10. Example: lactic acid at pH 3.86 gives up 0.5."""
    proton = 10.0**-ph
    terms = [1.0]
    for pk in _ACIDS[acid][1]:
        terms.append(terms[-1] * 10.0**-pk / proton)
    return sum([n * terms[n] for n in range(len(terms))]) / sum(terms)


def _bicarbonate(ph: float) -> float:
    """Charges on one molecule of dissolved carbon dioxide at `ph`."""
    proton = 10.0**-ph
    first = 10.0 ** -_CARBONIC[0] / proton
    second = first * 10.0 ** -_CARBONIC[1] / proton
    return (first + 2.0 * second) / (1.0 + first + second)


def _free_acid(ph: float) -> float:
    """Protons less hydroxide at `ph` [mmol/L]."""
    return (10.0**-ph - 10.0 ** (ph - _WATER)) * 1000.0


def alkalinity_acid(
    *,
    volume_l: float,
    alkalinity_mg_l: float,
    target_mg_l: float,
    acid: str,
    acid_pct_ww: float,
    acid_kg_l: float,
) -> dict:
    """Acid [mL] that brings liquor from one alkalinity to another [mg/L as CaCO3].

    Formula: charge to remove = volume x fall of alkalinity / 50.04; acid = charge / protons it gives up at pH 4.5, to
    which alkalinity is titrated. Range 1 to 50000 [L], 0 to 1000 [mg/L], 1 to 98 [% w/w], 1 to 1.9 [kg/L]. Raises
    CoreError `order` when the target is above. Sources: alkalinity, acid-constants.
    Example: 1000 L from 150 to 50 with 80 % lactic of 1.185 kg/L takes 233 mL.
    """
    if target_mg_l > alkalinity_mg_l:
        raise CoreError(
            "order", "Acid lowers alkalinity: the target is above what it is now.", field="target_mg_l"
        )
    charge_mol = volume_l * (alkalinity_mg_l - target_mg_l) / CACO3_MG_MEQ / 1000.0
    protons = charge(acid, _ALKALINITY_END)
    mass = charge_mol / protons * _ACIDS[acid][0]
    stock = mass / (acid_pct_ww / 100.0)
    return {
        "charge_mol": charge_mol,
        "protons": protons,
        "acid_g": mass,
        "stock_ml": stock / acid_kg_l,
        "stock_g": stock,
    }


def liquor_ph_acid(
    *,
    volume_l: float,
    alkalinity_mg_l: float,
    ph: float,
    target_ph: float,
    acid: str,
    acid_pct_ww: float,
    acid_kg_l: float,
) -> dict:
    """Acid [mL] that brings sparge liquor from `ph` to `target_ph`, no carbon dioxide lost.

    Formula: a titration to 4.5 also takes the acid that is free there, so carbonate = (alkalinity - free acid gained)
    / bicarbonate lost; charge = carbonate charge now - at the target + free acid gained to there; acid = charge /
    protons it gives up at the target. Range 1 to 50000 [L], 0 to 1000 [mg/L as CaCO3], pH 5.5 to 9.5 to 4.5 to 8.
    An alkalinity below what pure water takes is marked. Raises CoreError `order` when the target is above.
    Sources: alkalinity, acid-constants. Example: 1000 L, alkalinity 150, pH 7.6 to 5.8 with 80 % lactic of 1.185 kg/L
    takes 222 mL.
    """
    if target_ph > ph:
        raise CoreError("order", "Acid lowers pH: the target is above what it is now.", field="target_ph")
    titrated = alkalinity_mg_l / CACO3_MG_MEQ - (_free_acid(_ALKALINITY_END) - _free_acid(ph))
    carbonate = max(0.0, titrated) / (_bicarbonate(ph) - _bicarbonate(_ALKALINITY_END))
    held = carbonate * (_bicarbonate(ph) - _bicarbonate(target_ph))
    charge_mol = volume_l * (held + _free_acid(target_ph) - _free_acid(ph)) / 1000.0
    protons = charge(acid, target_ph)
    mass = charge_mol / protons * _ACIDS[acid][0]
    return {
        "carbonate_mmol_l": carbonate,
        "charge_mol": charge_mol,
        "protons": protons,
        "acid_g": mass,
        "stock_ml": mass / (acid_pct_ww / 100.0) / acid_kg_l,
        "marks": ["Less alkalinity than pure water shows: worked as pure water."] if titrated < 0.0 else [],
    }


def _ion(key: str, label: str) -> dict:
    return number(key, label, "mg/L", "0", "1000", 0)


_VOLUME = number("volume_l", "Liquor", "L", "1", "50000", 0)
_NOW = [
    _ion("calcium_mg_l", "Calcium now"),
    _ion("magnesium_mg_l", "Magnesium now"),
    _ion("sodium_mg_l", "Sodium now"),
    _ion("sulphate_mg_l", "Sulphate now"),
    _ion("chloride_mg_l", "Chloride now"),
]
_ION_LINES = [
    ["calcium", "Calcium", "mg/L", 0],
    ["magnesium", "Magnesium", "mg/L", 0],
    ["sodium", "Sodium", "mg/L", 0],
    ["sulphate", "Sulphate", "mg/L", 0],
    ["chloride", "Chloride", "mg/L", 0],
]
_ALKALINITY = number("alkalinity_mg_l", "Alkalinity now, as CaCO3", "mg/L", "0", "1000", 0)
_ACID = [
    choice(
        "acid",
        "Acid",
        [
            ["lactic", "Lactic"],
            ["phosphoric", "Phosphoric"],
            ["hydrochloric", "Hydrochloric"],
            ["sulphuric", "Sulphuric"],
        ],
    ),
    number("acid_pct_ww", "Strength of the acid", "% w/w", "1", "98", 1),
    number("acid_kg_l", "Density of the acid", "kg/L", "1.000", "1.900", 3),
]
_ACID_STEPS = [
    ["charge_mol", "Charge the acid must give", "mol", 2],
    ["protons", "Protons each molecule gives", "", 3],
    ["acid_g", "Pure acid", "g", 0],
]
_SALTS = ["Salts are CaSO4·2H2O, CaCl2·2H2O, MgSO4·7H2O and NaCl, all of it dissolved."]
_FOOD = "Food-grade acid at the strength and density on its label; acid to water, gloves and goggles on."

ROWS = [
    {
        "name": "liquor-salts",
        "title": "Ions after mineral additions",
        "place": "brewhouse",
        "inputs": [_VOLUME]
        + _NOW
        + [
            number("gypsum_g", "Gypsum", "g", "0", "50000", 0, "0"),
            number("calcium_chloride_g", "Calcium chloride", "g", "0", "50000", 0, "0"),
            number("epsom_g", "Epsom salt", "g", "0", "50000", 0, "0"),
            number("salt_g", "Common salt", "g", "0", "50000", 0, "0"),
        ],
        "formula": "Each ion = what is there + grams of salt × the ion's share of it ÷ volume.",
        "steps": [],
        "results": _ION_LINES,
        "sources": ["molar-masses"],
        "assumptions": _SALTS,
        "function": liquor_salts,
    },
    {
        "name": "liquor-salts-target",
        "title": "Mineral additions to target ions",
        "place": "brewhouse",
        "inputs": [_VOLUME]
        + _NOW
        + [
            _ion("target_calcium_mg_l", "Calcium wanted"),
            _ion("target_magnesium_mg_l", "Magnesium wanted"),
            _ion("target_sodium_mg_l", "Sodium wanted"),
            _ion("target_sulphate_mg_l", "Sulphate wanted"),
            _ion("target_chloride_mg_l", "Chloride wanted"),
        ],
        "formula": "The salts that together miss the five targets least, counted in charge, none below zero.",
        "steps": _ION_LINES,
        "results": [
            ["gypsum_g", "Gypsum", "g", 0],
            ["calcium_chloride_g", "Calcium chloride", "g", 0],
            ["epsom_g", "Epsom salt", "g", 0],
            ["salt_g", "Common salt", "g", 0],
        ],
        "sources": ["molar-masses"],
        "assumptions": _SALTS,
        "function": liquor_salts_target,
    },
    {
        "name": "residual-alkalinity",
        "title": "Residual alkalinity",
        "place": "brewhouse",
        "inputs": [
            number("alkalinity_mg_l", "Alkalinity, as CaCO3", "mg/L", "0", "1000", 0),
            number("calcium_mg_l", "Calcium", "mg/L", "0", "1000", 0),
            number("magnesium_mg_l", "Magnesium", "mg/L", "0", "500", 0),
        ],
        "formula": "Residual alkalinity = alkalinity − calcium ÷ 1.4 − magnesium ÷ 1.7.",
        "steps": [],
        "results": [["residual_mg_l", "Residual alkalinity, as CaCO3", "mg/L", 0]],
        "sources": ["kolbach"],
        "assumptions": ["Calcium and magnesium are given as the ions."],
        "function": residual_alkalinity,
    },
    {
        "name": "alkalinity-acid",
        "title": "Acid to a target alkalinity",
        "place": "brewhouse",
        "inputs": [
            _VOLUME,
            _ALKALINITY,
            number("target_mg_l", "Alkalinity wanted, as CaCO3", "mg/L", "0", "1000", 0),
        ]
        + _ACID,
        "formula": "Charge = volume × fall of alkalinity ÷ 50.04; acid = charge ÷ protons each molecule "
        "gives at pH 4.5.",
        "steps": _ACID_STEPS,
        "results": [["stock_ml", "Acid to add", "mL", 0], ["stock_g", "By weight", "g", 0]],
        "sources": ["alkalinity", "acid-constants", "molar-masses"],
        "assumptions": [_FOOD, "Stir, then measure alkalinity again."],
        "function": alkalinity_acid,
    },
    {
        "name": "liquor-ph-acid",
        "title": "Acid to a target pH of sparge liquor",
        "place": "brewhouse",
        "inputs": [
            _VOLUME,
            _ALKALINITY,
            number("ph", "pH now", "pH", "5.5", "9.5", 2),
            number("target_ph", "pH wanted", "pH", "4.5", "8", 2),
        ]
        + _ACID,
        "formula": "Carbonate from alkalinity, less the acid free at pH 4.5; charge = carbonate charge now "
        "− at the pH wanted + free acid there; acid = charge ÷ protons each molecule gives at that pH.",
        "steps": [["carbonate_mmol_l", "Dissolved carbonate", "mmol/L", 2]] + _ACID_STEPS,
        "results": [["stock_ml", "Acid to add", "mL", 0]],
        "sources": ["alkalinity", "acid-constants", "molar-masses"],
        "assumptions": [
            _FOOD,
            "At 25 °C, with no carbon dioxide lost; heated liquor loses some and its pH rises.",
            "Add nine tenths, stir, measure, then add the rest.",
        ],
        "function": liquor_ph_acid,
    },
]
