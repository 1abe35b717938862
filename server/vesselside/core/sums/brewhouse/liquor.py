"""Brewing liquor: blending hot with cold, and the time to heat it."""

from vesselside.core.ground.errors import CoreError
from vesselside.core.ground.solve import root
from vesselside.core.sums import water
from vesselside.core.sums.inputs import number


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
    mass = target_l * water.density(temp_c=target_temp_c)
    cold_heat = water.enthalpy(temp_c=cold_temp_c)
    hot_heat = water.enthalpy(temp_c=hot_temp_c)
    target_heat = water.enthalpy(temp_c=target_temp_c)
    hot_kg = mass * (target_heat - cold_heat) / (hot_heat - cold_heat)
    cold_kg = mass - hot_kg
    return {
        "mass_kg": mass,
        "hot_kg": hot_kg,
        "cold_kg": cold_kg,
        "hot_l": hot_kg / water.density(temp_c=hot_temp_c),
        "cold_l": cold_kg / water.density(temp_c=cold_temp_c),
    }


def liquor_blend_temperature(*, hot_l: float, hot_temp_c: float, cold_l: float, cold_temp_c: float) -> dict:
    """Temperature [°C] and volume [L] of a blend of two volumes of liquor, each at its own temperature.

    Formula: the temperature whose enthalpy is the mass-weighted mean. Range 0 to 100 [°C], 0 to 50000 [L].
    Raises CoreError `no-blend` when both volumes are zero. Sources: iapws-if97, kell-1975.
    Example: 829 L at 80 °C and 173 L at 12 °C is about 68 °C.
    """
    hot_kg = hot_l * water.density(temp_c=hot_temp_c)
    cold_kg = cold_l * water.density(temp_c=cold_temp_c)
    mass = hot_kg + cold_kg
    if mass <= 0.0:
        raise CoreError("no-blend", "Both volumes are zero.", field="hot_l")
    hot_heat = water.enthalpy(temp_c=hot_temp_c)
    mean = (hot_kg * hot_heat + cold_kg * water.enthalpy(temp_c=cold_temp_c)) / mass
    temp = root(lambda t: water.enthalpy(temp_c=t) - mean, -1.0, 101.0)
    return {
        "temp_c": temp,
        "volume_l": mass / water.density(temp_c=temp),
        "mass_kg": mass,
        "heat_kj_kg": mean,
    }


def _mass(litres: float, temp: float) -> float:
    return litres * water.density(temp_c=temp)


def liquor_blend_any(
    *,
    hot_l: float | None,
    hot_temp_c: float | None,
    cold_l: float | None,
    cold_temp_c: float | None,
    target_l: float | None,
    target_temp_c: float | None,
) -> dict:
    """The two of six figures of a blend that are left out (None): three volumes [L], three temperatures [°C].

    Formula: mass and enthalpy of the blend = those of hot + cold; a temperature is found in a bracket of 0 to 100.
    Range 0 to 100 [°C], 0 to 50000 [L]. Raises CoreError `two-unknowns` unless two are left out, at most one of them a
    temperature, and `no-blend` when no blend of that kind exists. Sources: iapws-if97, kell-1975.
    Example: 400 L at 12 °C wanted at 68 °C with liquor of 80 °C: 1916 L hot, 2310 L in all.
    """
    litres: list = [hot_l, cold_l, target_l]
    temps: list = [hot_temp_c, cold_temp_c, target_temp_c]
    open_litres = [n for n in range(3) if litres[n] is None]
    open_temps = [n for n in range(3) if temps[n] is None]
    if len(open_litres) + len(open_temps) != 2 or len(open_temps) > 1:
        said = "Leave out two figures, of which at most one is a temperature."
        raise CoreError("two-unknowns", said, field="hot_l")
    if open_temps:
        at = open_temps[0]
        low, high = _imbalance(litres, temps, at, 0.0), _imbalance(litres, temps, at, 100.0)
        if (low > 0.0) == (high > 0.0):
            raise CoreError("no-blend", "No liquor from 0 to 100 °C makes this blend.", field="target_temp_c")
        temps[at] = root(lambda t: _imbalance(litres, temps, at, t), 0.0, 100.0)
        masses = _masses(litres, temps)
    else:
        masses = _masses_by_heat(litres, temps)
    if min(masses) < -1e-9 * max(masses) or max(masses) <= 0.0:
        raise CoreError(
            "no-blend", "The target must lie between the cold and the hot liquor.", field="target_temp_c"
        )
    found = [max(0.0, masses[n]) / water.density(temp_c=temps[n]) for n in range(3)]
    return {
        "hot_l": found[0],
        "hot_temp_c": temps[0],
        "cold_l": found[1],
        "cold_temp_c": temps[1],
        "target_l": found[2],
        "target_temp_c": temps[2],
        "mass_kg": masses[2],
    }


def _masses(litres: list, temps: list) -> list:
    """Masses of hot, cold and blend when all temperatures and two volumes are known."""
    known: list = [None if litres[n] is None else _mass(litres[n], temps[n]) for n in range(3)]
    if known[0] is None:
        known[0] = known[2] - known[1]
    elif known[1] is None:
        known[1] = known[2] - known[0]
    else:
        known[2] = known[0] + known[1]
    return known


def _imbalance(litres: list, temps: list, at: int, temp: float) -> float:
    tried = list(temps)
    tried[at] = temp
    masses = _masses(litres, tried)
    heats = [masses[n] * water.enthalpy(temp_c=tried[n]) for n in range(3)]
    return float(heats[0] + heats[1] - heats[2])


def _masses_by_heat(litres: list, temps: list) -> list:
    """Masses when all temperatures and one volume are known: the lever rule on enthalpy."""
    hot, cold, blend = [water.enthalpy(temp_c=temp) for temp in temps]
    if hot == cold:
        raise CoreError("no-blend", "Hot and cold liquor are equally warm.", field="hot_temp_c")
    share = (blend - cold) / (hot - cold)
    parts = [share, 1.0 - share, 1.0]
    for n in range(3):
        if litres[n] is not None:
            if parts[n] == 0.0:
                raise CoreError(
                    "no-blend", "One of the liquors has no part in this blend.", field="target_temp_c"
                )
            whole = _mass(litres[n], temps[n]) / parts[n]
            return [part * whole for part in parts]
    raise CoreError("two-unknowns", "Give one volume.", field="hot_l")


def heating_time(
    *, volume_l: float, from_c: float, to_c: float, power_kw: float, efficiency_pct: float
) -> dict:
    """Time to heat liquor [min], and the energy that takes [kWh].

    Formula: mass x rise of enthalpy / (power x efficiency). Range 1 to 50000 [L], 0 to 100 [°C], 0.5 to 5000 [kW],
    10 to 100 [%]. Raises CoreError `order` when it is to end colder than it begins. Sources: iapws-if97, kell-1975.
    Example: 1000 L from 12 to 80 °C with 50 kW at 90 %: 105 min.
    """
    if to_c < from_c:
        raise CoreError("order", "The liquor is hotter than that already.", field="to_c")
    mass = _mass(volume_l, from_c)
    heat = mass * (water.enthalpy(temp_c=to_c) - water.enthalpy(temp_c=from_c))
    useful = power_kw * efficiency_pct / 100.0
    return {
        "minutes": heat / useful / 60.0,
        "heat_kj": heat,
        "useful_kw": useful,
        "energy_kwh": heat / 3600.0 / (efficiency_pct / 100.0),
    }


_SOURCES = ["iapws-if97", "kell-1975"]
_NO_LOSS = ["No heat is lost to pipes or tank while blending.", "Both liquors are water."]


def _litres(key: str, label: str, *, optional: bool = False) -> dict:
    return number(key, label, "L", "0", "50000", 0, optional=optional)


def _temp(key: str, label: str, *, optional: bool = False) -> dict:
    return number(key, label, "°C", "0", "100", 1, optional=optional)


ROWS = [
    {
        "name": "liquor-blend",
        "title": "Blend of hot and cold liquor",
        "place": "brewhouse",
        "inputs": [
            _temp("hot_temp_c", "Hot liquor"),
            _temp("cold_temp_c", "Cold liquor"),
            _temp("target_temp_c", "Blend wanted at"),
            number("target_l", "Blend wanted", "L", "1", "50000", 0),
        ],
        "formula": "Mass of hot = mass of blend × (heat of blend − heat of cold) ÷ (heat of hot − heat of cold); "
        "each volume is its mass by its density at its own temperature.",
        "steps": [
            ["mass_kg", "Mass of the blend", "kg", 1],
            ["hot_kg", "Mass of hot", "kg", 1],
            ["cold_kg", "Mass of cold", "kg", 1],
        ],
        "results": [["hot_l", "Hot liquor", "L", 0], ["cold_l", "Cold liquor", "L", 0]],
        "sources": _SOURCES,
        "assumptions": _NO_LOSS,
        "function": liquor_blend,
    },
    {
        "name": "liquor-blend-temperature",
        "title": "Temperature of a blend",
        "place": "brewhouse",
        "inputs": [
            _litres("hot_l", "Hot liquor"),
            _temp("hot_temp_c", "Hot liquor at"),
            _litres("cold_l", "Cold liquor"),
            _temp("cold_temp_c", "Cold liquor at"),
        ],
        "formula": "Heat of the blend = (mass of hot × its heat + mass of cold × its heat) ÷ both masses; "
        "its temperature is where water holds that heat.",
        "steps": [["mass_kg", "Mass of the blend", "kg", 1], ["heat_kj_kg", "Heat of the blend", "kJ/kg", 1]],
        "results": [["temp_c", "Blend at", "°C", 1], ["volume_l", "Blend", "L", 0]],
        "sources": _SOURCES,
        "assumptions": _NO_LOSS,
        "function": liquor_blend_temperature,
    },
    {
        "name": "liquor-blend-any",
        "title": "Blend of liquor, any two unknown",
        "place": "brewhouse",
        "inputs": [
            _litres("hot_l", "Hot liquor", optional=True),
            _temp("hot_temp_c", "Hot liquor at", optional=True),
            _litres("cold_l", "Cold liquor", optional=True),
            _temp("cold_temp_c", "Cold liquor at", optional=True),
            _litres("target_l", "Blend", optional=True),
            _temp("target_temp_c", "Blend at", optional=True),
        ],
        "formula": "Mass and heat of the blend are those of the hot and the cold together; "
        "the two figures left out follow.",
        "steps": [["mass_kg", "Mass of the blend", "kg", 1]],
        "results": [
            ["hot_l", "Hot liquor", "L", 0],
            ["hot_temp_c", "Hot liquor at", "°C", 1],
            ["cold_l", "Cold liquor", "L", 0],
            ["cold_temp_c", "Cold liquor at", "°C", 1],
            ["target_l", "Blend", "L", 0],
            ["target_temp_c", "Blend at", "°C", 1],
        ],
        "sources": _SOURCES,
        "assumptions": _NO_LOSS,
        "function": liquor_blend_any,
    },
    {
        "name": "heating-time",
        "title": "Time to heat liquor",
        "place": "brewhouse",
        "inputs": [
            number("volume_l", "Liquor, at its starting temperature", "L", "1", "50000", 0),
            _temp("from_c", "Liquor now"),
            _temp("to_c", "Liquor wanted at"),
            number("power_kw", "Heating power", "kW", "0.5", "5000", 1),
            number("efficiency_pct", "Of which reaches the liquor", "%", "10", "100", 0, "90"),
        ],
        "formula": "Time = mass × (heat of water when hot − heat of water now) ÷ (power × efficiency).",
        "steps": [
            ["heat_kj", "Heat the liquor takes", "kJ", 0],
            ["useful_kw", "Power that reaches it", "kW", 1],
        ],
        "results": [["minutes", "Time to heat", "min", 0], ["energy_kwh", "Energy used", "kWh", 1]],
        "sources": _SOURCES,
        "assumptions": ["Power is steady and the tank's own heat is part of the efficiency."],
        "function": heating_time,
    },
]
