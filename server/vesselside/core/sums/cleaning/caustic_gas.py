"""Caustic against carbon dioxide, and cooling: what is destroyed, and how far pressure in a closed tank can fall."""

from vesselside.core.ground.errors import CoreError
from vesselside.core.sums import water
from vesselside.core.sums.cellar.fermentation import CO2_G_MOL, GAS_J_MOL_K
from vesselside.core.sums.inputs import number

from .caustic import NA2CO3_G_MOL, NAOH_G_MOL


def caustic_in_gas(
    *,
    tank_l: float,
    gas_pct: float,
    gauge_bar: float,
    temp_c: float,
    charge_l: float,
    free_pct: float,
    vacuum_mbar: float,
    air_bar: float,
    cooled_c: float | None = None,
) -> dict:
    """Caustic destroyed by the carbon dioxide in a tank [kg], and the lowest pressure if the tank is shut [mbar gauge].

    Formula: CO2 + 2 NaOH = carbonate + water; moles of gas by the gas law; each mole taken up lowers the pressure by
    its share. Cooled to `cooled_c` the dry gas left falls with its absolute temperature, and the water vapour,
    saturated over a wet wall, to what it is there. Range 1 to 100000 [L of gas space], 0 to 100 [%], 0 to 3 [bar
    gauge], 0 to 90 [°C], 1 to 20000 [L], 0.05 to 5 [% w/v], 0 to 1000 [mbar of vacuum allowed]. Always marked; below
    what the tank allows it says collapse. Raises CoreError `order` when it cools to more than it was. Sources:
    gas-law, molar-masses, iapws-sr1. Example: 2000 L of pure gas at 15 °C destroys 6.7 kg of caustic, near a vacuum;
    damp air alone, cooled from 65 to 15 °C, falls to 346 mbar below the air outside.
    """
    absolute_kpa = (gauge_bar + air_bar) * 100.0
    vapour = water.vapour_pressure(temp_c=temp_c)
    dry = max(0.0, absolute_kpa - vapour)
    kelvin = temp_c + water.ZERO_C
    gas_mol = dry * gas_pct / 100.0 * tank_l / (GAS_J_MOL_K * kelvin)
    naoh_mol = charge_l * free_pct * 10.0 / NAOH_G_MOL
    # carbonate goes on to bicarbonate, so each NaOH can take up one CO2 in the end
    taken = min(gas_mol, naoh_mol)
    destroyed = min(2.0 * gas_mol, naoh_mol)
    dry_left = dry - dry * gas_pct / 100.0 * (taken / gas_mol if gas_mol > 0.0 else 0.0)
    left_kpa = absolute_kpa - dry + dry_left
    marks = ["Open the vent and see it open before any caustic, whatever this says."]
    if cooled_c is None:
        marks.append("Cooling is left out: say how cold the tank may get.")
    elif cooled_c > temp_c:
        raise CoreError("order", "The tank cannot cool to more than it is at.", field="cooled_c")
    else:
        left_kpa = dry_left * (cooled_c + water.ZERO_C) / kelvin + min(
            absolute_kpa, water.vapour_pressure(temp_c=cooled_c)
        )
    lowest = (left_kpa - air_bar * 100.0) * 10.0
    if -lowest > vacuum_mbar:
        marks.append("Shut, this tank would collapse.")
    if destroyed >= naoh_mol * (1.0 - 1e-9):
        marks.append("The gas would use up all the caustic: vent the gas off first.")
    return {
        "destroyed_kg": destroyed * NAOH_G_MOL / 1000.0,
        "lost_pct": 100.0 * destroyed / naoh_mol,
        "lowest_mbar": lowest,
        "gas_kg": gas_mol * CO2_G_MOL / 1000.0,
        "carbonate_kg": min(gas_mol, destroyed / 2.0) * NA2CO3_G_MOL / 1000.0,
        "absolute_mbar": left_kpa * 10.0,
        "load_kn_m2": max(0.0, -lowest / 10.0),
        "marks": marks,
    }


ROWS = [
    {
        "name": "caustic-in-gas",
        "title": "Caustic into a tank with carbon dioxide",
        "place": "cellar",
        "inputs": [
            number("tank_l", "Gas space of the tank", "L", "1", "100000", 0),
            number("gas_pct", "Carbon dioxide in it", "% vol", "0", "100", 0, "100"),
            number("gauge_bar", "Gauge pressure", "bar", "0", "3", 2, "0"),
            number("temp_c", "Tank at", "°C", "0", "90", 1),
            number("charge_l", "Caustic charge", "L", "1", "20000", 0),
            number("free_pct", "Free caustic", "% w/v", "0.05", "5", 2),
            number("vacuum_mbar", "Vacuum the tank's maker allows", "mbar", "0", "1000", 0, "0"),
            number("air_bar", "Air pressure", "bar", "0.8", "1.1", 3, "1.013"),
            number("cooled_c", "Coldest it may get, shut", "°C", "0", "90", 1, optional=True),
        ],
        "formula": "Two of caustic take up one of carbon dioxide, and the carbonate goes on taking up more; "
        "the pressure falls by the share of gas taken up, then, cooled, with the absolute temperature, "
        "and the damp turns to water.",
        "steps": [
            ["gas_kg", "Carbon dioxide in the tank", "kg", 2],
            ["carbonate_kg", "Carbonate made", "kg", 2],
            ["lost_pct", "Of the caustic", "%", 0],
            ["absolute_mbar", "Lowest pressure, absolute", "mbar", 0],
            ["load_kn_m2", "Load on the shell", "kN/m²", 1],
        ],
        "results": [
            ["lowest_mbar", "Lowest pressure if shut, gauge", "mbar", 0],
            ["destroyed_kg", "Caustic destroyed", "kg", 2],
        ],
        "sources": ["gas-law", "molar-masses", "iapws-sr1"],
        "assumptions": [
            "The tank is shut and no relief opens: the worst there is. A vent must be open and seen to be open.",
            "The gas in it is as damp as it can be: a wet wall.",
            "Venting moves the gas into the room: extraction and the monitor first.",
        ],
        "function": caustic_in_gas,
    },
]
