"""Yeast: counting it, pitching it, and carrying it on."""

from vesselside.core.ground.errors import CoreError
from vesselside.core.sums.inputs import number


def cell_count(*, live: float, dead: float, squares: float, square_nl: float, dilution: float) -> dict:
    """Cells [million/mL] and viability [%] from a counting chamber, with how far the count may be off.

    Formula: cells = count / (squares x volume of one) x dilution; viability = live / all; 95 % interval of the live
    count = count ± 1.96 x root of the count. Range 0 to 5000 cells, 1 to 400 squares, 0.1 to 1000 [nL], 1 to 10000.
    Raises CoreError `no-cells`. Source: counting. Example: 180 live and 20 dead in 5 squares of 4 nL diluted 100 times:
    1000 million/mL, 90 %.
    """
    whole = live + dead
    if whole <= 0.0:
        raise CoreError("no-cells", "No cells were counted: dilute less.", field="live")
    per_cell = dilution / (squares * square_nl)
    spread = 1.96 * live**0.5
    marks = []
    if whole < 200.0:
        marks.append("Fewer than 200 cells counted: count more squares for a surer figure.")
    if live < 0.8 * whole:
        marks.append("Viability below 80 %: do not pitch without the brewer's decision.")
    return {
        "live_m_ml": live * per_cell,
        "cells_m_ml": whole * per_cell,
        "viability_pct": 100.0 * live / whole,
        "low_m_ml": max(0.0, live - spread) * per_cell,
        "high_m_ml": (live + spread) * per_cell,
        "marks": marks,
    }


def pitch(
    *,
    rate_m_ml_plato: float,
    wort_l: float,
    plato: float,
    slurry_m_ml: float,
    viability_pct: float,
    slurry_kg_l: float,
) -> dict:
    """Slurry [L] that pitches `wort_l` with live cells at a rate [million/mL/°P].

    Formula: live cells wanted = rate x °P x total volume, which the slurry is part of: slurry = wort x wanted /
    (live slurry - wanted), per mL. Range 0.2 to 3, 1 to 100000 [L], 1 to 30 [°P], 10 to 5000 [million/mL], 10 to
    100 [%]. Raises CoreError `too-thin` when the slurry is hardly stronger than the wort is to be. Source: pitching.
    Example: 0.75, 1000 L, 12 °P, 1000 million/mL at 95 %: 9.6 L.
    """
    wanted = rate_m_ml_plato * plato
    live = slurry_m_ml * viability_pct / 100.0
    if live < 2.0 * wanted:
        raise CoreError("too-thin", "This slurry is too thin to pitch with.", field="slurry_m_ml")
    slurry = wort_l * wanted / (live - wanted)
    return {
        "slurry_l": slurry,
        "slurry_kg": slurry * slurry_kg_l,
        "wanted_m_ml": wanted,
        "live_m_ml": live,
        "cells_1e12": wanted * (wort_l + slurry) / 1e3,
    }


def crop(
    *,
    slurry_l: float,
    slurry_m_ml: float,
    viability_pct: float,
    pitched_1e12: float,
    generation: float,
    most: float,
) -> dict:
    """What a crop holds and how much wort it can pitch, and its generation.

    Formula: live cells = volume x cells x viability; growth = live cells / cells pitched; generation = that of the
    yeast it grew from + 1. Range 0.1 to 5000 [L], 10 to 5000 [million/mL], 10 to 100 [%], 0.01 to 10000 [×10¹²
    cells], 0 to 50. Source: pitching. Example: 60 L of 1200 million/mL at 92 % from 9.1: 66.2, 7.3 times.
    """
    live = slurry_l * slurry_m_ml * viability_pct / 100.0 / 1e3
    marks = []
    if generation + 1.0 > most:
        marks.append("Beyond the generations this brewery allows: do not pitch.")
    if viability_pct < 80.0:
        marks.append("Viability below 80 %: do not pitch without the brewer's decision.")
    return {
        "live_1e12": live,
        "growth": live / pitched_1e12,
        "generation": generation + 1.0,
        "reach_l": live * 1e3 / 9.0,
        "marks": marks,
    }


_SLURRY = number("slurry_m_ml", "Cells in the slurry", "million/mL", "10", "5000", 0)
_VIABILITY = number("viability_pct", "Viability", "%", "10", "100", 0)

ROWS = [
    {
        "name": "cell-count",
        "title": "Cells and viability from a counting chamber",
        "place": "cellar",
        "inputs": [
            number("live", "Live cells counted", "", "0", "5000", 0, whole=True),
            number("dead", "Dead (stained) cells counted", "", "0", "5000", 0, whole=True),
            number("squares", "Squares counted", "", "1", "400", 0, whole=True),
            number("square_nl", "Volume over one square", "nL", "0.1", "1000", 2, "4"),
            number("dilution", "Diluted", "times", "1", "10000", 0),
        ],
        "formula": "Cells = count ÷ (squares × volume over one) × dilution; viability = live ÷ all.",
        "steps": [
            ["cells_m_ml", "Cells, live and dead", "million/mL", 0],
            ["low_m_ml", "Live, likely from", "million/mL", 0],
            ["high_m_ml", "Live, likely to", "million/mL", 0],
        ],
        "results": [
            ["live_m_ml", "Live cells", "million/mL", 0],
            ["viability_pct", "Viability", "%", 0],
        ],
        "sources": ["counting"],
        "assumptions": [
            "A 0.2 mm square of a chamber 0.1 mm deep holds 4 nL; a 1 mm square 100 nL.",
            "Budding cells count as one unless the bud is half the mother; edges are counted on two sides only.",
        ],
        "function": cell_count,
    },
    {
        "name": "pitching-rate",
        "title": "Slurry to pitch",
        "place": "cellar",
        "inputs": [
            number("rate_m_ml_plato", "Rate, live cells", "million/mL/°P", "0.2", "3", 2),
            number("wort_l", "Wort in the vessel, all brews", "L", "1", "100000", 0),
            number("plato", "Extract of the whole", "°P", "1", "30", 1),
            _SLURRY,
            _VIABILITY,
            number("slurry_kg_l", "Density of the slurry", "kg/L", "0.90", "1.20", 2, "1.06"),
        ],
        "formula": "Slurry = wort × rate × °P ÷ (live cells in the slurry − rate × °P).",
        "steps": [
            ["wanted_m_ml", "Live cells wanted", "million/mL", 1],
            ["live_m_ml", "Live cells in the slurry", "million/mL", 0],
            ["cells_1e12", "Live cells in all", "×10¹²", 1],
        ],
        "results": [["slurry_l", "Slurry", "L", 1], ["slurry_kg", "By weight", "kg", 1]],
        "sources": ["pitching"],
        "assumptions": ["For two brews in one vessel, pitch for the total with the first."],
        "function": pitch,
    },
    {
        "name": "yeast-crop",
        "title": "What a crop can pitch",
        "place": "cellar",
        "inputs": [
            number("slurry_l", "Slurry cropped", "L", "0.1", "5000", 1),
            _SLURRY,
            _VIABILITY,
            number("pitched_1e12", "Live cells it grew from", "×10¹²", "0.01", "10000", 2),
            number("generation", "Their generation", "", "0", "50", 0, whole=True),
            number("most", "Most generations allowed", "", "1", "50", 0, "10", whole=True),
        ],
        "formula": "Live cells = slurry × cells × viability; generation = that it grew from + 1; "
        "wort it can pitch at 0.75 million/mL/°P and 12 °P.",
        "steps": [["growth", "Growth", "times", 1]],
        "results": [
            ["live_1e12", "Live cells in the crop", "×10¹²", 1],
            ["generation", "Generation", "", 0],
            ["reach_l", "Wort of 12 °P it can pitch", "L", 0],
        ],
        "sources": ["pitching"],
        "assumptions": ["Counted the day it is pitched: viability falls in store."],
        "function": crop,
    },
]
