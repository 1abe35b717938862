"""Volumes in the trade's own measures."""

from vesselside.core.sums.inputs import number

GALLON_L = 4.54609
BARREL_L = 36.0 * GALLON_L


def barrels(*, volume_l: float) -> dict:
    """UK barrels, and hectolitres, of a volume [L].

    Formula: litres / (36 x 4.54609). Range 0 to 10000000 [L]. Source: uk-gallon. Example: 1000 L is 6.11 barrels.
    """
    return {"barrels": volume_l / BARREL_L, "hl": volume_l / 100.0, "firkins": volume_l / (9.0 * GALLON_L)}


ROWS = [
    {
        "name": "uk-barrels",
        "title": "Litres as UK barrels",
        "place": "office",
        "inputs": [number("volume_l", "Beer", "L", "0", "10000000", 0)],
        "formula": "Barrels = litres ÷ (36 × 4.54609).",
        "steps": [["hl", "Hectolitres", "hL", 2]],
        "results": [["barrels", "Barrels", "bbl", 2], ["firkins", "Firkins", "", 1]],
        "sources": ["uk-gallon"],
        "assumptions": ["UK gallons of 4.54609 L; a barrel is 36, a firkin 9."],
        "function": barrels,
    },
]
