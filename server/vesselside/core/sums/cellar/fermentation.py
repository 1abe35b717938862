"""What fermentation gives off: heat, carbon dioxide, and what that does to the air of a room on average."""

from vesselside.core.ground.errors import CoreError
from vesselside.core.sums import water
from vesselside.core.sums.brewhouse.gravity import WATER_20_KG_L, marks, plato_from_sg
from vesselside.core.sums.inputs import number

from . import alcohol

HEAT_KJ_KG = 587.0
CO2_G_MOL = 44.0095
GAS_J_MOL_K = 8.314462618
EIGHT_HOUR_PPM = 5000.0
FIFTEEN_MINUTE_PPM = 15000.0

AVERAGE_ONLY = (
    "An average, never a clearance: gas lies low and in corners. The monitor decides who may enter."
)


def co2_m3_kg(*, temp_c: float, pressure_kpa: float) -> float:
    """Volume of carbon dioxide gas [m³/kg].

    Formula: ideal gas less its second virial coefficient, -0.0051 of the volume at 20 °C and 101 kPa. Range -10 to
    60 [°C], 50 to 300 [kPa]. Source: gas-law. Example: 20 °C and 101.325 kPa is 0.5438 m³/kg.
    """
    kelvin = temp_c + water.ZERO_C
    ideal = GAS_J_MOL_K * kelvin / pressure_kpa / CO2_G_MOL
    second = -123.7e-6 * (293.15 / kelvin) ** 1.6 / (CO2_G_MOL / 1000.0)
    return ideal + second


def gas_and_heat(*, volume_l: float, original_sg: float, present_sg: float, temp_c: float) -> dict:
    """Carbon dioxide [kg and m³] and heat [MJ] given off since pitching.

    Formula: extract fermented by Balling x 0.9565 / 2.0665 and x 587 kJ/kg. Range 1 to 100000 [L], 1.005 to 1.130,
    0.990 to 1.130, -2 to 40 [°C]. Raises CoreError `order`. Sources: balling, fermentation-heat, gas-law.
    Example: 1000 L of 1.048 to 1.010: 37.9 kg, 20.5 m³ at 18 °C, 48.1 MJ.
    """
    if present_sg > original_sg:
        raise CoreError("order", "The beer cannot be stronger than its wort was.", field="present_sg")
    original = plato_from_sg(sg=original_sg)
    formed = alcohol.per_wort(original_plato=original, apparent_plato=plato_from_sg(sg=present_sg))
    wort_kg = volume_l * original_sg * WATER_20_KG_L
    fermented = wort_kg * formed / 100.0 * alcohol.EXTRACT_PER_ALCOHOL
    co2 = wort_kg * formed / 100.0 * alcohol.CO2_PER_ALCOHOL
    return {
        "fermented_kg": fermented,
        "co2_kg": co2,
        "co2_m3": co2 * co2_m3_kg(temp_c=temp_c, pressure_kpa=101.325),
        "heat_mj": fermented * HEAT_KJ_KG / 1000.0,
        "marks": marks(original_sg, present_sg),
    }


def rate_of_gas_and_heat(*, volume_l: float, original_sg: float, fall_deg_day: float, temp_c: float) -> dict:
    """Heat [kW] and carbon dioxide [kg/h, m³/h] given off now, from how fast the gravity falls.

    Formula: extract fermented a day = wort x fall in °P x 0.8192 by Balling; x 587 kJ/kg and x 0.9565 / 2.0665. Range
    1 to 100000 [L], 1.005 to 1.130, 0 to 60 [degrees/day], -2 to 40 [°C]. Sources: balling, fermentation-heat,
    gas-law. Example: 1000 L of 1.048 falling 12 degrees a day: 0.18 kW, 0.50 kg/h.
    """
    original = plato_from_sg(sg=original_sg)
    fall = original - plato_from_sg(sg=original_sg - fall_deg_day / 1000.0)
    formed = alcohol.per_wort(original_plato=original, apparent_plato=original - fall)
    wort_kg = volume_l * original_sg * WATER_20_KG_L
    a_day = wort_kg * formed / 100.0
    co2 = a_day * alcohol.CO2_PER_ALCOHOL / 24.0
    return {
        "fall_plato": fall,
        "fermented_kg": a_day * alcohol.EXTRACT_PER_ALCOHOL,
        "heat_kw": a_day * alcohol.EXTRACT_PER_ALCOHOL * HEAT_KJ_KG / 86400.0,
        "co2_kg_h": co2,
        "co2_m3_h": co2 * co2_m3_kg(temp_c=temp_c, pressure_kpa=101.325),
        "marks": marks(original_sg),
    }


def ventilation(
    *, co2_kg_h: float, room_m3: float, changes_h: float, outside_ppm: float, temp_c: float
) -> dict:
    """Average carbon dioxide of a room [ppm] once settled, and the air changes that would hold the 8-hour limit.

    Formula: outside + 1e6 x gas / (fresh air + gas), perfectly mixed. Range 0 to 500 [kg/h], 5 to 20000 [m³], 0.05 to
    60 changes an hour, 350 to 1000 [ppm], -10 to 45 [°C]. It is an average, never a clearance, and is always marked so.
    Sources: mass-balance, eh40, gas-law. Example: 2 kg/h in 200 m³ at 1 change an hour: 5733 ppm.
    """
    gas = co2_kg_h * co2_m3_kg(temp_c=temp_c, pressure_kpa=101.325)
    air = room_m3 * changes_h
    settled = (outside_ppm * air + 1e6 * gas) / (air + gas)
    needed = gas * (1e6 - EIGHT_HOUR_PPM) / (EIGHT_HOUR_PPM - outside_ppm) / room_m3
    said = [AVERAGE_ONLY]
    if settled > FIFTEEN_MINUTE_PPM:
        said.append("Above the 15-minute limit on average: keep out, extract first.")
    elif settled > EIGHT_HOUR_PPM:
        said.append("Above the 8-hour limit on average: more air is needed.")
    return {"settled_ppm": settled, "gas_m3_h": gas, "air_m3_h": air, "needed_h": needed, "marks": said}


_VOLUME = number("volume_l", "Wort in the vessel", "L", "1", "100000", 0)
_ORIGINAL = number("original_sg", "Original gravity", "", "1.005", "1.130", 4)
_TEMP = number("temp_c", "Gas at", "°C", "-2", "40", 1, "18")
_HEAT = "Heat is that of fermented extract, from memory of common practice; size cooling with the maker."

ROWS = [
    {
        "name": "fermentation-gas-heat",
        "title": "Gas and heat since pitching",
        "place": "cellar",
        "inputs": [
            _VOLUME,
            _ORIGINAL,
            number("present_sg", "Present gravity", "", "0.990", "1.130", 4),
            _TEMP,
        ],
        "formula": "Extract fermented by Balling's factors; × 0.9565 ÷ 2.0665 is carbon dioxide, × 587 kJ/kg "
        "is heat.",
        "steps": [["fermented_kg", "Extract fermented", "kg", 1]],
        "results": [
            ["co2_kg", "Carbon dioxide", "kg", 1],
            ["co2_m3", "As gas", "m³", 1],
            ["heat_mj", "Heat", "MJ", 1],
        ],
        "sources": ["balling", "fermentation-heat", "gas-law", "asbc-cubic"],
        "assumptions": [_HEAT, "Gas that stays in the beer is counted too."],
        "function": gas_and_heat,
    },
    {
        "name": "fermentation-rate",
        "title": "Gas and heat now",
        "place": "cellar",
        "inputs": [
            _VOLUME,
            _ORIGINAL,
            number("fall_deg_day", "Gravity falls by", "°/day", "0", "60", 1),
            _TEMP,
        ],
        "formula": "Extract fermented in a day by Balling's factors from the fall; heat and gas from it.",
        "steps": [
            ["fall_plato", "Fall in a day", "°P", 2],
            ["fermented_kg", "Extract fermented in a day", "kg", 1],
        ],
        "results": [
            ["heat_kw", "Heat to take away", "kW", 2],
            ["co2_kg_h", "Carbon dioxide", "kg/h", 2],
            ["co2_m3_h", "As gas", "m³/h", 2],
        ],
        "sources": ["balling", "fermentation-heat", "gas-law", "asbc-cubic"],
        "assumptions": [_HEAT, "Heat through the walls and to chill the beer comes on top."],
        "function": rate_of_gas_and_heat,
    },
    {
        "name": "ventilation-estimate",
        "title": "Carbon dioxide of a room, on average",
        "place": "cellar",
        "inputs": [
            number("co2_kg_h", "Carbon dioxide given off", "kg/h", "0", "500", 2),
            number("room_m3", "Room", "m³", "5", "20000", 0),
            number("changes_h", "Air changes an hour", "", "0.05", "60", 2),
            number("outside_ppm", "Outside air", "ppm", "350", "1000", 0, "420"),
            number("temp_c", "Room at", "°C", "-10", "45", 1, "15"),
        ],
        "formula": "Settled = (outside × fresh air + gas) ÷ (fresh air + gas), as if mixed perfectly.",
        "steps": [["gas_m3_h", "Gas given off", "m³/h", 2], ["air_m3_h", "Fresh air", "m³/h", 0]],
        "results": [
            ["settled_ppm", "Average, once settled", "ppm", 0],
            ["needed_h", "Air changes an hour for 5000 ppm on average", "", 2],
        ],
        "sources": ["mass-balance", "eh40", "gas-law"],
        "assumptions": [
            "Air and gas mix perfectly, which they do not.",
            "Follow the site's risk assessment and local limits; ask a competent person to size extraction.",
        ],
        "function": ventilation,
    },
]
