"""Water, chemical and energy of one clean."""

from vesselside.core.ground.errors import CoreError
from vesselside.core.sums import water
from vesselside.core.sums.inputs import number, series


def clean_footprint(
    *,
    stages: list,
    mains_c: float,
    efficiency_pct: float,
    chemical_kg: float,
    pump_kwh: float,
    vessel_hl: float,
) -> dict:
    """Water [L], heat and power [kWh] and chemical [kg] of a clean, also for each hectolitre of vessel.

    Each stage is [litres, °C, litres recovered]. Formula: water = litres - recovered; heat = mass of each hot stage x
    its enthalpy over the mains' / efficiency. Range 0 to 50000 [L], 0 to 100 [°C], 0 to 30 [°C], 30 to 100 [%], 0.1
    to 1000 [hL]. Raises CoreError `order` when more is recovered than used. Sources: iapws-if97, kell-1975. Example:
    200 L cold, 200 L at 65 °C, 300 L cold for a 20 hL tank: 700 L, 14.2 kWh at 85 %.
    """
    used, kept, heat = 0.0, 0.0, 0.0
    base = water.enthalpy(temp_c=mains_c)
    for litres, temp, recovered in stages:
        if recovered > litres:
            raise CoreError("order", "More is recovered than the stage used.", field="stages")
        used += litres
        kept += recovered
        rise = max(0.0, water.enthalpy(temp_c=temp) - base)
        heat += litres * water.density(temp_c=temp) * rise / 3600.0
    energy = heat / (efficiency_pct / 100.0) + pump_kwh
    return {
        "water_l": used - kept,
        "used_l": used,
        "heat_kwh": heat,
        "energy_kwh": energy,
        "chemical_kg": chemical_kg,
        "water_l_hl": (used - kept) / vessel_hl,
        "energy_kwh_hl": energy / vessel_hl,
        "chemical_g_hl": chemical_kg * 1000.0 / vessel_hl,
    }


ROWS = [
    {
        "name": "clean-footprint",
        "title": "Water, chemical and energy of a clean",
        "place": "office",
        "inputs": [
            series(
                "stages",
                "Stages",
                [
                    number("litres", "Water or charge", "L", "0", "50000", 0),
                    number("temp_c", "At", "°C", "0", "100", 0),
                    number("recovered", "Kept for the next clean", "L", "0", "50000", 0),
                ],
                rows=1,
            ),
            number("mains_c", "Mains", "°C", "0", "30", 0, "12"),
            number("efficiency_pct", "Heat that reaches the water", "%", "30", "100", 0, "85"),
            number("chemical_kg", "Chemical, as stock", "kg", "0", "2000", 2),
            number("pump_kwh", "Pump and control", "kWh", "0", "500", 1, "0"),
            number("vessel_hl", "Vessel", "hL", "0.1", "1000", 1),
        ],
        "formula": "Water = litres − kept; heat = mass of each stage × its heat over the mains' ÷ efficiency.",
        "steps": [["used_l", "Through the vessel", "L", 0], ["heat_kwh", "Heat into the water", "kWh", 1]],
        "results": [
            ["water_l", "Water", "L", 0],
            ["energy_kwh", "Energy", "kWh", 1],
            ["chemical_kg", "Chemical", "kg", 2],
            ["water_l_hl", "Water, per hectolitre", "L/hL", 1],
            ["energy_kwh_hl", "Energy, per hectolitre", "kWh/hL", 2],
            ["chemical_g_hl", "Chemical, per hectolitre", "g/hL", 0],
        ],
        "sources": ["iapws-if97", "kell-1975", "mass-balance"],
        "assumptions": ["Heat kept with recovered charge is not taken off."],
        "function": clean_footprint,
    },
]
