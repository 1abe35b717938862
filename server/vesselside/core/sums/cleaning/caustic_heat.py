"""Heat of diluting caustic: how warm the charge gets, and how near boiling where the stock goes in."""

from vesselside.core.ground.errors import CoreError
from vesselside.core.sums import water
from vesselside.core.sums.inputs import number

from .caustic import NAOH_G_MOL, STOCK, WATER_FIRST

# heat given off by dissolving 1 mol of solid NaOH in so many mol of water [kJ], at 25 °C; from memory of the tables
_SOLUTION = (
    (2.0, 23.0),
    (3.0, 28.87),
    (4.0, 34.43),
    (5.0, 37.74),
    (6.0, 39.9),
    (8.0, 41.8),
    (10.0, 42.51),
    (20.0, 42.84),
    (30.0, 42.72),
    (50.0, 42.51),
    (100.0, 42.34),
    (200.0, 42.26),
    (1e9, 42.26),
)

# heat capacity of caustic near 50 °C [kJ/(kg K)] by its strength as a mass fraction
_CAPACITY = (
    (0.0, 4.184),
    (0.01, 4.13),
    (0.05, 3.98),
    (0.10, 3.85),
    (0.20, 3.69),
    (0.30, 3.59),
    (0.40, 3.51),
    (0.50, 3.44),
)


def _between(table: tuple, x: float) -> float:
    for n in range(1, len(table)):
        if x <= table[n][0]:
            x1, y1 = table[n - 1]
            x2, y2 = table[n]
            return float(y1 + (y2 - y1) * (x - x1) / (x2 - x1))
    return float(table[-1][1])


def heat_of_solution(*, share: float) -> float:
    """Heat given off [kJ/mol] by dissolving solid NaOH to a mass fraction of `share`.

    Formula: a table by moles of water, read between entries. Range 0 to 0.52. Source: naoh-solution (from memory).
    Example: 0.32 (4.7 mol of water to each) is 36.8 kJ/mol.
    """
    if share <= 0.0:
        return _SOLUTION[-1][1]
    return _between(_SOLUTION, (1.0 - share) / water.G_MOL / (share / NAOH_G_MOL))


def heat_capacity(*, share: float) -> float:
    """Heat capacity of caustic [kJ/(kg K)] of a mass fraction of `share`.

    Formula: a table from the model of Laliberté near 50 °C, read between entries. Range 0 to 0.5. Source: laliberte.
    Example: 0.02 is 4.09 kJ/(kg K).
    """
    return _between(_CAPACITY, share)


def _mixed(
    stock_kg: float, share: float, water_kg: float, stock: tuple[float, float], water_kj: float
) -> tuple[float, float]:
    """Temperature [°C] of stock and water mixed with no heat lost, and the heat of dilution [kJ].

    `stock` is what a kg of it holds and its heat of solution [kJ, kJ/mol], `water_kj` what a kg of water holds.
    """
    whole = stock_kg + water_kg
    final = stock_kg * share / whole
    heat = stock_kg * share / NAOH_G_MOL * 1000.0 * (heat_of_solution(share=final) - stock[1])
    held = stock_kg * stock[0] + water_kg * water_kj
    return (held + heat) / (whole * heat_capacity(share=final)), heat


def dilution_heat(
    *, stock_kg: float, stock_pct_ww: float, stock_c: float, water_l: float, water_c: float
) -> dict:
    """How warm water gets when caustic stock is mixed into it [°C], and the worst of it where the stock goes in.

    Formula: heat of solution at the final strength - at the stock's, over mass x heat capacity; the worst is the
    warmest of all mixtures of stock and water, from little to much. Range 0.1 to 5000 [kg], 1 to 50 [% w/w], 0 to 50
    [°C], 1 to 20000 [L], 0 to 95 [°C]. A mixture at 95 °C or above is marked: it boils and spits. Raises CoreError
    `more-stock` when stock outweighs the water. Sources: naoh-solution, laliberte. Example: 12.5 kg of 32 % at 15 °C
    in 190 L at 60 °C: 59.0 °C, 60 °C at the worst.
    """
    share = stock_pct_ww / 100.0
    water_kg = water_l * water.density(temp_c=water_c)
    if stock_kg > water_kg:
        raise CoreError(
            "more-stock", "More stock than water: stock goes to water, never the other way.", field="stock_kg"
        )
    stock = heat_capacity(share=share) * stock_c, heat_of_solution(share=share)
    water_kj = heat_capacity(share=0.0) * water_c
    final, heat = _mixed(stock_kg, share, water_kg, stock, water_kj)
    worst = water_c
    for part in range(1, 100):
        worst = max(worst, _mixed(part / 100.0, share, 1.0 - part / 100.0, stock, water_kj)[0])
    marks = []
    if worst >= 95.0:
        marks.append("It can boil and spit where the stock goes in: use colder water.")
    if final >= 95.0:
        marks.append("The whole charge would near boiling: do not mix it.")
    return {
        "final_c": final,
        "rise_c": final - water_c,
        "worst_c": worst,
        "heat_kj": heat,
        "final_pct_ww": 100.0 * stock_kg * share / (stock_kg + water_kg),
        "marks": marks,
    }


ROWS = [
    {
        "name": "dilution-heat",
        "title": "Heat of diluting caustic",
        "place": "cellar",
        "inputs": [
            number("stock_kg", "Stock", "kg", "0.1", "5000", 1),
            STOCK,
            number("stock_c", "Stock at", "°C", "0", "50", 1, "15"),
            number("water_l", "Water", "L", "1", "20000", 0),
            number("water_c", "Water at", "°C", "0", "95", 1),
        ],
        "formula": "Heat = moles of caustic × (heat of solution at the final strength − at the stock's); "
        "temperature = all the heat ÷ (mass × heat capacity).",
        "steps": [
            ["final_pct_ww", "Final strength", "% w/w", 2],
            ["heat_kj", "Heat of dilution", "kJ", 0],
            ["rise_c", "Change of the water", "°C", 1],
        ],
        "results": [
            ["final_c", "Charge at", "°C", 1],
            ["worst_c", "At the worst, where it goes in", "°C", 0],
        ],
        "sources": ["naoh-solution", "laliberte"],
        "assumptions": [
            WATER_FIRST,
            "No heat is lost while mixing; solid caustic is hotter still and is not covered.",
        ],
        "function": dilution_heat,
    },
]
