"""Brewing liquor: density and heat of water, and blending hot with cold."""

from .errors import CoreError
from .inputs import number
from .solve import root

_ENTHALPY = (0.070822492, 4.214473, -1.1580663e-3, 1.6936878e-5, -1.1601358e-7, 3.8308649e-10)


def water_density(*, temp_c: float) -> float:
    """Density of water at atmospheric pressure [kg/L].

    Formula: Kell's rational polynomial in temperature. Range 0 to 100 [°C]. Source: kell-1975.
    Example: 20 °C is 0.99821 kg/L.
    """
    t = temp_c
    top = 16.945176 * t + 999.83952
    top += -7.9870401e-3 * t**2 - 46.170461e-6 * t**3 + 105.56302e-9 * t**4 - 280.54253e-12 * t**5
    return top / (1.0 + 16.879850e-3 * t) / 1000.0


def water_enthalpy(*, temp_c: float) -> float:
    """Enthalpy of liquid water at atmospheric pressure, from 0 °C [kJ/kg].

    Formula: fifth-order polynomial in temperature fitted to IAPWS-IF97. Range 0 to 100 [°C].
    Source: iapws-if97. Example: 65 °C is 272.2 kJ/kg.
    """
    total = 0.0
    for factor in reversed(_ENTHALPY):
        total = total * temp_c + factor
    return total


def liquor_blend(*, hot_temp_c: float, cold_temp_c: float, target_temp_c: float, target_l: float) -> dict:
    """Volumes of hot and cold liquor that make `target_l` at `target_temp_c` [L], each at its own temperature.

    Formula: enthalpy of the blend = enthalpy of hot + of cold, by mass; volumes by each density. Range 0 to 100 [°C],
    1 to 50000 [L]. Raises CoreError `no-blend` when the target does not lie between cold and hot.
    Sources: iapws-if97, kell-1975. Example: 80 and 12 °C to 1000 L at 68 °C takes 829 L hot.
    """
    if not cold_temp_c < hot_temp_c or not cold_temp_c <= target_temp_c <= hot_temp_c:
        raise CoreError(
            "no-blend", "The target must lie between the cold and the hot liquor.", field="target_temp_c"
        )
    mass = target_l * water_density(temp_c=target_temp_c)
    cold_heat = water_enthalpy(temp_c=cold_temp_c)
    hot_heat = water_enthalpy(temp_c=hot_temp_c)
    target_heat = water_enthalpy(temp_c=target_temp_c)
    hot_kg = mass * (target_heat - cold_heat) / (hot_heat - cold_heat)
    cold_kg = mass - hot_kg
    return {
        "mass_kg": mass,
        "hot_kg": hot_kg,
        "cold_kg": cold_kg,
        "hot_l": hot_kg / water_density(temp_c=hot_temp_c),
        "cold_l": cold_kg / water_density(temp_c=cold_temp_c),
    }


def liquor_blend_temperature(*, hot_l: float, hot_temp_c: float, cold_l: float, cold_temp_c: float) -> dict:
    """Temperature [°C] and volume [L] of a blend of two volumes of liquor, each at its own temperature.

    Formula: the temperature whose enthalpy is the mass-weighted mean. Range 0 to 100 [°C], 0 to 50000 [L].
    Raises CoreError `no-blend` when both volumes are zero. Sources: iapws-if97, kell-1975.
    Example: 829 L at 80 °C and 173 L at 12 °C is about 68 °C.
    """
    hot_kg = hot_l * water_density(temp_c=hot_temp_c)
    cold_kg = cold_l * water_density(temp_c=cold_temp_c)
    mass = hot_kg + cold_kg
    if mass <= 0.0:
        raise CoreError("no-blend", "Both volumes are zero.", field="hot_l")
    hot_heat = water_enthalpy(temp_c=hot_temp_c)
    mean = (hot_kg * hot_heat + cold_kg * water_enthalpy(temp_c=cold_temp_c)) / mass
    temp = root(lambda t: water_enthalpy(temp_c=t) - mean, -1.0, 101.0)
    return {
        "temp_c": temp,
        "volume_l": mass / water_density(temp_c=temp),
        "mass_kg": mass,
        "heat_kj_kg": mean,
    }


_BLEND_SOURCES = ["iapws-if97", "kell-1975"]
_NO_LOSS = ["No heat is lost to pipes or tank while blending.", "Both liquors are water."]

ROWS = [
    {
        "name": "liquor-blend",
        "title": "Blend of hot and cold liquor",
        "place": "brewhouse",
        "inputs": [
            number("hot_temp_c", "Hot liquor", "°C", "0", "100", 1),
            number("cold_temp_c", "Cold liquor", "°C", "0", "100", 1),
            number("target_temp_c", "Blend wanted at", "°C", "0", "100", 1),
            number("target_l", "Blend wanted", "L", "1", "50000", 0),
        ],
        "formula": "Mass of hot = mass of blend x (heat of blend - heat of cold) / (heat of hot - heat of cold); "
        "each volume is its mass by its density at its own temperature.",
        "steps": [
            ["mass_kg", "Mass of the blend", "kg", 1],
            ["hot_kg", "Mass of hot", "kg", 1],
            ["cold_kg", "Mass of cold", "kg", 1],
        ],
        "results": [["hot_l", "Hot liquor", "L", 0], ["cold_l", "Cold liquor", "L", 0]],
        "sources": _BLEND_SOURCES,
        "assumptions": _NO_LOSS,
        "function": liquor_blend,
    },
    {
        "name": "liquor-blend-temperature",
        "title": "Temperature of a blend",
        "place": "brewhouse",
        "inputs": [
            number("hot_l", "Hot liquor", "L", "0", "50000", 0),
            number("hot_temp_c", "Hot liquor at", "°C", "0", "100", 1),
            number("cold_l", "Cold liquor", "L", "0", "50000", 0),
            number("cold_temp_c", "Cold liquor at", "°C", "0", "100", 1),
        ],
        "formula": "Heat of the blend = (mass of hot x its heat + mass of cold x its heat) / both masses; "
        "its temperature is where water holds that heat.",
        "steps": [["mass_kg", "Mass of the blend", "kg", 1], ["heat_kj_kg", "Heat of the blend", "kJ/kg", 1]],
        "results": [["temp_c", "Blend at", "°C", 1], ["volume_l", "Blend", "L", 0]],
        "sources": _BLEND_SOURCES,
        "assumptions": _NO_LOSS,
        "function": liquor_blend_temperature,
    },
]
