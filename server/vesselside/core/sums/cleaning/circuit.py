"""Flow in a cleaning circuit: over the wall of a tank, and through a pipe."""

from math import pi

from vesselside.core.ground.errors import CoreError
from vesselside.core.sums import water
from vesselside.core.sums.inputs import number

TURBULENT = 4000.0
FAST_M_S = 5.0
"""Common practice, no source: cleaning flows are 1.5 to 3 m/s."""
NO_PUMP_M_S = 20.0


def spray_flow(*, diameter_m: float, per_metre_l_min: float) -> dict:
    """Flow [L/min] that wets the wall of an upright tank from a static spray ball.

    Formula: circumference x flow per metre. Range 0.3 to 8 [m], 15 to 60 [L/min per m]. For static balls on upright
    tanks only: rotary devices go by their maker's figure. Source: wall-wetting. Example: 1.5 m at 30 is 141 L/min.
    """
    around = pi * diameter_m
    flow = around * per_metre_l_min
    return {
        "flow_l_min": flow,
        "flow_m3_h": flow * 0.06,
        "around_m": around,
        "marks": ["Static balls on upright tanks only; a rotary device goes by its maker's figure."],
    }


def pipe_velocity(*, flow_l_min: float, bore_mm: float, temp_c: float, least_m_s: float) -> dict:
    """Mean velocity [m/s] in a pipe, its Reynolds number as water, and the flow that reaches `least_m_s`.

    Formula: velocity = flow / area; Reynolds = density x velocity x bore / viscosity. Range 1 to 3000 [L/min], 8 to 200
    [mm], 0 to 100 [°C], 0.5 to 3 [m/s]. Slower than wanted, not turbulent, and above 5 are marked. Raises CoreError
    `too-fast` above 20, which no pump drives. Sources: pipe-cleaning,
    iapws-sr6, kell-1975. Example: 200 L/min in 48 mm at 60 °C is 1.84 m/s, Reynolds 186 000.
    """
    bore = bore_mm / 1000.0
    area = pi * bore * bore / 4.0
    velocity = flow_l_min / 60000.0 / area
    if velocity > NO_PUMP_M_S:
        raise CoreError(
            "too-fast", "No pump drives that much through this bore: check both.", field="bore_mm"
        )
    thick = water.viscosity(temp_c=temp_c) / 1000.0
    reynolds = water.density(temp_c=temp_c) * 1000.0 * velocity * bore / thick
    marks = []
    if velocity < least_m_s:
        marks.append("Slower than is wanted to clean this pipe.")
    if velocity > FAST_M_S:
        marks.append(
            "Faster than cleaning pumps usually drive: check flow and bore, mind hoses and water hammer."
        )
    if reynolds < TURBULENT:
        marks.append("Not turbulent: it would not clean.")
    return {
        "velocity_m_s": velocity,
        "reynolds": reynolds,
        "area_cm2": area * 1e4,
        "viscosity": thick * 1000.0,
        "least_l_min": least_m_s * area * 60000.0,
        "marks": marks,
    }


ROWS = [
    {
        "name": "spray-flow",
        "title": "Flow for a static spray ball",
        "place": "cellar",
        "inputs": [
            number("diameter_m", "Inside diameter of the tank", "m", "0.3", "8", 2),
            number("per_metre_l_min", "Flow for each metre around", "L/min", "15", "60", 0, "30"),
        ],
        "formula": "Flow = 3.1416 × diameter × flow for each metre around.",
        "steps": [["around_m", "Around", "m", 2]],
        "results": [["flow_l_min", "Flow", "L/min", 0], ["flow_m3_h", "Or", "m³/h", 1]],
        "sources": ["wall-wetting"],
        "assumptions": ["An upright tank, no shadows; the maker's figure goes first."],
        "function": spray_flow,
    },
    {
        "name": "pipe-velocity",
        "title": "Velocity in a pipe",
        "place": "cellar",
        "inputs": [
            number("flow_l_min", "Flow", "L/min", "1", "3000", 0),
            number("bore_mm", "Bore", "mm", "8", "200", 1),
            number("temp_c", "Liquid at", "°C", "0", "100", 1),
            number("least_m_s", "Wanted at least", "m/s", "0.5", "3", 1, "1.5"),
        ],
        "formula": "Velocity = flow ÷ area of the bore; Reynolds = density × velocity × bore ÷ viscosity.",
        "steps": [["area_cm2", "Area of the bore", "cm²", 2], ["viscosity", "Viscosity", "mPa·s", 3]],
        "results": [
            ["velocity_m_s", "Velocity", "m/s", 2],
            ["reynolds", "Reynolds number", "", 0],
            ["least_l_min", "Flow for the velocity wanted", "L/min", 0],
        ],
        "sources": ["pipe-cleaning", "iapws-sr6", "kell-1975"],
        "assumptions": ["Thin detergent flows as water does; take the widest pipe of the circuit."],
        "function": pipe_velocity,
    },
]
