"""What pressure does to a door or a dished end: the force that throws it, or that a vacuum lays on it."""

from math import pi

from vesselside.core.ground.errors import CoreError
from vesselside.core.sums.inputs import number

STANDARD_G = 9.80665
"""Standard gravity [m/s²]."""

VENT_DECIDES = "A gauge may be blocked: the vent, seen open with no flow, decides. Never this sum."


def door_force(*, gauge_bar: float, width_mm: float, height_mm: float | None) -> dict:
    """Force [N] of a tank's pressure on a round or oval door, or on a dished end, and what weighs as much [kg].

    Formula: pressure x area seen straight on, pi / 4 x width x height; kg = N / 9.80665. Below zero it is a vacuum: the
    air outside lays that force on it. Range -1 to 10 [bar gauge], 50 to 6000 [mm]. Always marked: the vent decides.
    Raises CoreError `not-a-door` when one way is more than five times the other. Sources: pressure-area.
    Example: 0.5 bar on a door of 450 mm is 7952 N, as 811 kg.
    """
    tall = width_mm if height_mm is None else height_mm
    if max(tall, width_mm) > 5.0 * min(tall, width_mm):
        raise CoreError("not-a-door", "No door is so narrow: measure again, in mm.", field="height_mm")
    area = pi / 4.0 * width_mm * tall / 100.0
    force = abs(gauge_bar) * area * 10.0
    marks = [VENT_DECIDES]
    if gauge_bar > 0.0 and force >= STANDARD_G:
        marks.append("It would throw this door: nobody in front, no clamp touched.")
    if gauge_bar < 0.0:
        marks.append("A vacuum: it holds the door shut and may crush the tank. Open the vent.")
    return {"load_kg": force / STANDARD_G, "force_n": force, "area_cm2": area, "marks": marks}


ROWS = [
    {
        "name": "door-force",
        "title": "Force on a door or a dished end",
        "place": "cellar",
        "inputs": [
            number("gauge_bar", "Gauge pressure; below zero a vacuum", "bar", "-1", "10", 2),
            number("width_mm", "Door or end, across", "mm", "50", "6000", 0),
            number("height_mm", "Other way across, if oval", "mm", "50", "6000", 0, optional=True),
        ],
        "formula": "Force = pressure × area seen straight on, π ÷ 4 × one way × the other; as weight ÷ 9.80665.",
        "steps": [["area_cm2", "Area", "cm²", 0]],
        "results": [["load_kg", "As the weight of", "kg", 0], ["force_n", "Force", "N", 0]],
        "sources": ["pressure-area"],
        "assumptions": ["A dished end is counted by its opening, not by its surface."],
        "function": door_force,
    },
]
