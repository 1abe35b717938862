"""Strength for duty, litres of pure alcohol, and duty at the brewery's own rate."""

from vesselside.core.ground import numbers
from vesselside.core.ground.errors import CoreError
from vesselside.core.sums.inputs import number

# fall of gravity up to [tenths of a degree]: thousandths of alcohol by volume a degree
_FACTORS = (
    (69, 125),
    (104, 126),
    (172, 127),
    (261, 128),
    (360, 129),
    (465, 130),
    (571, 131),
    (679, 132),
    (788, 133),
    (897, 134),
    (1007, 135),
)


def duty_strength(*, original: float, present: float) -> dict:
    """Strength for duty [% ABV, cut to one decimal] from gravities in degrees, as 1048.0.

    Formula: (original - present) x a factor from the duty table, 0.125 to 0.135; cut off, never rounded, after one
    decimal. Worked on whole tenths and thousandths, so no runtime rounds it up. Range 1000 to 1130, 990 to 1130, fall
    up to 100.7. Raises CoreError `order` or `out-of-range`. Sources: duty-table, duty-truncation. Example: 1048.0 to
    1010.0 is 38.0 x 0.130 = 4.940, 4.9 %.
    """
    fall = numbers.quantise(original, 1) - numbers.quantise(present, 1)
    if fall < 0:
        raise CoreError("order", "The beer cannot be stronger than its wort was.", field="present")
    for most, factor in _FACTORS:
        if fall <= most:
            exact = fall * factor
            return {
                "abv": exact // 1000 / 10.0,
                "exact": exact / 10000.0,
                "fall": fall / 10.0,
                "factor": factor / 1000.0,
                "marks": ["Cut off after one decimal, not rounded."],
            }
    raise CoreError("out-of-range", "The table ends at a fall of 100.7 degrees.", field="original")


def pure_alcohol(*, volume_l: float, abv: float, rate: float | None) -> dict:
    """Litres of pure alcohol in `volume_l` of beer, and the duty on it at the brewery's own rate.

    Formula: volume x strength / 100, the strength cut to one decimal; duty = litres x rate. Range 0 to 1000000 [L], 0
    to 22 [%], 0 to 100 [currency per litre]; no rate is built in. Source: duty-truncation. Example: 1000 L of 4.97 %
    is 49.00 L.
    """
    tenths = numbers.quantise(abv, 6) // 100000
    litres = volume_l * tenths / 1000.0
    duty = "no rate is set" if rate is None else numbers.text(litres * rate, 2)
    return {"litres": litres, "abv": tenths / 10.0, "duty": duty}


_GRAVITY = "Gravity as 1048.0, of samples with the gas knocked out, by hydrometer or density meter at 20 °C."

ROWS = [
    {
        "name": "duty-strength",
        "title": "Strength for duty",
        "place": "office",
        "inputs": [
            number("original", "Original gravity", "°", "1000", "1130", 1),
            number("present", "Present gravity", "°", "990", "1130", 1),
        ],
        "formula": "Strength = (original − present) × the factor of the duty table, cut off after one decimal.",
        "steps": [
            ["fall", "Fall of gravity", "°", 1],
            ["factor", "Factor", "", 3],
            ["exact", "Before it is cut off", "%", 4],
        ],
        "results": [["abv", "Strength for duty", "% ABV", 1]],
        "sources": ["duty-table", "duty-truncation"],
        "assumptions": [
            _GRAVITY,
            "The strength on the label, if higher, goes first; check the authority's own guidance.",
        ],
        "function": duty_strength,
    },
    {
        "name": "pure-alcohol",
        "title": "Litres of pure alcohol and duty",
        "place": "office",
        "inputs": [
            number("volume_l", "Beer", "L", "0", "1000000", 1),
            number("abv", "Strength", "% ABV", "0", "22", 2),
            number("rate", "Duty on a litre of pure alcohol", "", "0", "100", 2, optional=True),
        ],
        "formula": "Litres of pure alcohol = beer × strength, cut to one decimal, ÷ 100; duty = litres × rate.",
        "steps": [["abv", "Strength, cut to one decimal", "%", 1]],
        "results": [["litres", "Pure alcohol", "L", 2], ["duty", "Duty", "", None]],
        "sources": ["duty-truncation"],
        "assumptions": [
            "The rate is the brewery's own, in its currency, for its product, size and relief; none is built in."
        ],
        "function": pure_alcohol,
    },
]
