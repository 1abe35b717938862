"""Oxygen in a package: dissolved, in the head space, and in all."""

from vesselside.core.sums import water
from vesselside.core.sums.cellar.fermentation import GAS_J_MOL_K
from vesselside.core.sums.inputs import number

OXYGEN_G_MOL = 31.998


def partition(*, temp_c: float) -> float:
    """Oxygen in a litre of gas over oxygen in a litre of liquid, at balance.

    Formula: Henry's constant x molar mass of water / (density x R x T), as in pure water. Range 1 to 40 [°C].
    Source: iapws-g7. Example: 20 °C is 29.7.
    """
    pascal = water.henry(gas="O2", temp_c=temp_c) * 1000.0
    mol_m3 = water.density(temp_c=temp_c) * 1e6 / water.G_MOL
    return pascal / mol_m3 / (GAS_J_MOL_K * (temp_c + water.ZERO_C))


def total_oxygen(*, dissolved_ug_l: float, beer_ml: float, head_ml: float, temp_c: float) -> dict:
    """Total package oxygen [µg/L, ppb] from dissolved oxygen read after shaking the package to balance.

    Formula: dissolved x (1 + partition x head space / beer). Range 0 to 10000 [µg/L], 5 to 60000 [mL], 0 to 5000 [mL],
    1 to 40 [°C]. Source: iapws-g7. Example: 30 µg/L in 440 mL over 12 mL at 20 °C is 54 µg/L, of which 24 in the head.
    """
    share = partition(temp_c=temp_c)
    in_head = dissolved_ug_l * share * head_ml / beer_ml
    total = dissolved_ug_l + in_head
    return {
        "total_ug_l": total,
        "head_ug_l": in_head,
        "package_ug": total * beer_ml / 1000.0,
        "partition": share,
    }


ROWS = [
    {
        "name": "total-oxygen",
        "title": "Total package oxygen",
        "place": "packaging",
        "inputs": [
            number("dissolved_ug_l", "Dissolved oxygen, shaken", "µg/L", "0", "10000", 0),
            number("beer_ml", "Beer", "mL", "5", "60000", 1),
            number("head_ml", "Head space", "mL", "0", "5000", 1),
            number("temp_c", "Package at", "°C", "1", "40", 1),
        ],
        "formula": "Total = dissolved × (1 + partition × head space ÷ beer).",
        "steps": [
            ["partition", "Gas against liquid", "", 1],
            ["head_ug_l", "In the head space, per litre of beer", "µg/L", 0],
        ],
        "results": [
            ["total_ug_l", "Total package oxygen", "µg/L", 0],
            ["package_ug", "In the package", "µg", 1],
        ],
        "sources": ["iapws-g7", "kell-1975"],
        "assumptions": [
            "Shaken until balanced and read at once; µg/L is ppb. Beer holds oxygen nearly as water does."
        ],
        "function": total_oxygen,
    },
]
