"""Cleaning, oxygen and energy against atomic weights, Laliberté, CoolProp, fluids and IAPWS."""

import math
from collections.abc import Iterator

import fluids
from CoolProp.CoolProp import PropsSI
from iapws import IAPWS97
from iapws._iapws import _Henry, _Liquid
from molmass import Formula
from thermo.electrochem import Laliberte_density, Laliberte_heat_capacity

from tests.reference.case import Case, close, near
from vesselside.core.ground import solve
from vesselside.core.sums.cellar import fermentation
from vesselside.core.sums.cleaning import (
    caustic,
    caustic_gas,
    caustic_heat,
    circuit,
    effluent,
    footprint,
    peracetic,
)
from vesselside.core.sums.packaging import oxygen

NAOH = "1310-73-2"
PASCAL = 101325.0
# Density of sodium hydroxide in water [kg/L] by mol/kg, at 10, 25, 40, 55 and 70 °C: a table of estimates consistent
# with IAPWS-95, advancedthermo.com, read.
WARM = {
    0.5: (1.02222, 1.01860, 1.01322, 1.00639, 0.99832), 1.0: (1.04340, 1.03911, 1.03323, 1.02610, 1.01790),
    2.0: (1.08315, 1.07787, 1.07114, 1.06343, 1.05503), 4.0: (1.15437, 1.14776, 1.13980, 1.13124, 1.12243),
    6.0: (1.21677, 1.20866, 1.20013, 1.19121, 1.18192),
}  # fmt: skip
# The same by % w/w, at 20, 40, 60 and 80 °C: International Critical Tables III, page 79, as a soap maker's page quotes
# them, read.
STRONG = {
    24: (1.2629, 1.2512, 1.2388, 1.2259), 28: (1.3064, 1.2942, 1.2814, 1.2682), 32: (1.3490, 1.3362, 1.3232, 1.3097),
    36: (1.3900, 1.3768, 1.3634, 1.3498), 40: (1.4300, 1.4164, 1.4027, 1.3889), 44: (1.4685, 1.4545, 1.4405, 1.4266),
    48: (1.5065, 1.4922, 1.4781, 1.4641), 50: (1.5253, 1.5109, 1.4967, 1.4827),
}  # fmt: skip


def density_cases() -> Iterator[Case]:
    """Caustic weak and strong, cold and hot, by two printed tables."""
    for molal, densities in WARM.items():
        salt = molal * Formula("NaOH").mass
        for temp, wanted in zip((10, 25, 40, 55, 70), densities, strict=True):
            got = caustic.caustic_density(stock_pct_ww=100 * salt / (1000 + salt), temp_c=temp)
            yield close(
                "caustic.caustic_density", "table of aqueous sodium hydroxide, advancedthermo.com (read)",
                f"{molal} mol/kg, {temp} °C", got["density_kg_l"], wanted, within=1e-3,
                why="two tables; read straight between 20 degrees",
            )  # fmt: skip
    for strength, densities in STRONG.items():
        for temp, wanted in zip((20, 40, 60, 80), densities, strict=True):
            got = caustic.caustic_density(stock_pct_ww=strength, temp_c=temp)
            yield close(
                "caustic.caustic_density", "International Critical Tables III, 79, as quoted (read)",
                f"{strength} % w/w, {temp} °C", got["density_kg_l"], wanted, within=4e-4,
                why="read straight between 5 and 10 %",
            )  # fmt: skip


def caustic_cases() -> Iterator[Case]:
    """Molar masses, stock densities, heat of caustic; the gas a tank holds."""
    for name, got, formula in [
        ("caustic.NAOH_G_MOL", caustic.NAOH_G_MOL, "NaOH"), ("caustic.NA2CO3_G_MOL", caustic.NA2CO3_G_MOL, "Na2CO3"),
        ("peracetic.PERACETIC_G_MOL", peracetic.PERACETIC_G_MOL, "C2H4O3"),
        ("peracetic.PEROXIDE_G_MOL", peracetic.PEROXIDE_G_MOL, "H2O2"),
        ("fermentation.CO2_G_MOL", fermentation.CO2_G_MOL, "CO2"), ("oxygen.OXYGEN_G_MOL", oxygen.OXYGEN_G_MOL, "O2"),
        ("effluent._ACIDS", effluent._ACIDS["hydrochloric"][0], "HCl"),
        ("effluent._ACIDS", effluent._ACIDS["nitric"][0], "HNO3"),
        ("effluent._ACIDS", effluent._ACIDS["sulphuric"][0], "H2SO4"),
        ("effluent._ACIDS", effluent._ACIDS["phosphoric"][0], "H3PO4"),
        ("effluent._ACIDS", effluent._ACIDS["citric"][0], "C6H8O7"),
    ]:  # fmt: skip
        yield close(
            name, "IUPAC atomic weights (molmass)", formula, got, Formula(formula).mass, within=1e-4,
            why="a part in 10 000 is far below a burette's division",
        )  # fmt: skip
    for percent in (10, 20, 25, 30, 32, 40):
        density = Laliberte_density(293.15, [percent / 100], [NAOH]) / 1000
        got = caustic.caustic_charge(
            final_volume_l=200, target_pct_wv=2.0, stock_pct_ww=percent, stock_kg_l=density
        )
        yield close(
            "caustic.caustic_charge", "Laliberté, sodium hydroxide (thermo)", f"{percent} %",
            got["stock_l"] * density * percent / 100, 4.0, within=1e-9, why="4 kg whatever the stock",
        )  # fmt: skip
    yield close(
        "caustic.STOCK_DENSITY", "Laliberté, sodium hydroxide (thermo)", "32 %",
        float(caustic.STOCK_DENSITY["default"]), Laliberte_density(293.15, [0.32], [NAOH]) / 1000, within=5e-3,
        why="the spread of suppliers' sheets",
    )  # fmt: skip
    for share in (0.01, 0.02, 0.05, 0.1, 0.2, 0.32, 0.5):
        yield close(
            "caustic_heat.heat_capacity", "Laliberté, sodium hydroxide (thermo)", share,
            caustic_heat.heat_capacity(share=share), Laliberte_heat_capacity(323.15, [share], [NAOH]) / 1000,
            within=0.012, why="straight lines between entries",
        )  # fmt: skip
    yield close(
        "caustic_heat.heat_of_solution", "Parker 1965 (NSRDS-NBS 2): 44.51 kJ/mol at infinite dilution", "thin",
        caustic_heat.heat_of_solution(share=0.005), 44.51, within=0.06, why="half a per cent is not infinite dilution",
    )  # fmt: skip
    for temp in (5, 15, 30):
        got = caustic_gas.caustic_in_gas(
            tank_l=2000,
            gas_pct=100,
            gauge_bar=0,
            temp_c=temp,
            charge_l=2000,
            free_pct=2,
            vacuum_mbar=0,
            air_bar=1.01325,
        )
        dry = PASCAL - IAPWS97(T=temp + 273.15, x=0).P * 1e6
        yield close(
            "caustic_gas.caustic_in_gas", "CoolProp, carbon dioxide", f"{temp} °C", got["gas_kg"],
            2 * PropsSI("D", "T", temp + 273.15, "P", dry, "CarbonDioxide"), within=7e-3,
            why="worked as an ideal gas",
        )  # fmt: skip
    # Damp air shut in hot and cooled: the dry air by CoolProp at constant volume, the damp by IAPWS-IF97.
    for hot, cold in [(65, 15), (60, 10), (80, 20)]:
        got = caustic_gas.caustic_in_gas(
            tank_l=1300,
            gas_pct=0,
            gauge_bar=0,
            temp_c=hot,
            charge_l=160,
            free_pct=2,
            vacuum_mbar=0,
            air_bar=1.01325,
            cooled_c=cold,
        )
        damp = {at: IAPWS97(T=at + 273.15, x=0).P * 1e6 for at in (hot, cold)}
        held = PropsSI("D", "T", hot + 273.15, "P", PASCAL - damp[hot], "Air")
        left = PropsSI("P", "T", cold + 273.15, "D", held, "Air") + damp[cold]
        yield near(
            "caustic_gas.caustic_in_gas", "CoolProp, air, and IAPWS-IF97", f"cooled {hot} to {cold} °C",
            got["lowest_mbar"], (left - PASCAL) / 100.0, within=1.0, why="worked as an ideal gas",
        )  # fmt: skip
    for strength in (1, 10, 25, 32, 40, 50):
        yield close(
            "caustic.caustic_density", "thermo, Laliberté's model", f"{strength} % w/w",
            caustic.caustic_density(stock_pct_ww=strength, temp_c=20)["density_kg_l"],
            Laliberte_density(293.15, [strength / 100], [NAOH]) / 1000, within=7e-3,
            why="the model and the table differ by up to 0.6 %, at 50 %",
        )  # fmt: skip
    # A dose out by a share is a charge out by that share in strength: by mass of the sodium hydroxide in it.
    for volume, share in [(40, 10), (160, 25)]:
        dose = caustic.caustic_charge(
            final_volume_l=volume, target_pct_wv=2, stock_pct_ww=32, stock_kg_l=1.35
        )["stock_l"]
        for key, factor in (("low_l", 1 - share / 100), ("high_l", 1 + share / 100)):
            yield close(
                "caustic.dose_band", "mass of sodium hydroxide in the charge", f"{volume} L, {share} %, {key}",
                caustic.dose_band(worked_l=dose, within_pct=share)[key] * 0.32 * 1.35 / volume * 100,
                2 * factor, within=1e-9, why="exact",
            )  # fmt: skip
    # H+ + OH- = H2O by heats of formation of water and hydroxide, -285.83 and -229.99.
    yield close(
        "effluent.NEUTRALISATION_KJ_MOL", "heats of formation, CRC (from memory)", "kJ/mol",
        effluent.NEUTRALISATION_KJ_MOL, 285.83 - 229.99, within=2e-3, why="rounded",
    )  # fmt: skip


def circuit_cases() -> Iterator[Case]:
    """Pipes by fluids and IAPWS; oxygen by IAPWS; energy of a clean by IAPWS."""
    for flow, bore, temp in [(200, 48, 60), (40, 22, 20), (600, 72.1, 75), (15, 48, 5)]:
        got = circuit.pipe_velocity(flow_l_min=flow, bore_mm=bore, temp_c=temp, least_m_s=1.5)
        speed = flow / 60000 / (math.pi * (bore / 2000) ** 2)
        liquid = _Liquid(temp + 273.15)
        yield close(
            "circuit.pipe_velocity", "fluids.Reynolds, IAPWS SR6-08 (iapws)", (flow, bore, temp), got["reynolds"],
            fluids.Reynolds(V=speed, D=bore / 1000, rho=liquid["rho"], mu=liquid["mu"]), within=5e-5, why="densities",
        )  # fmt: skip
    for temp in (2, 8, 20, 35):
        pascal = _Henry(temp + 273.15, "O2") * 1e6
        wanted = pascal * 0.01801527 / _Liquid(temp + 273.15)["rho"] / (8.314462618 * (temp + 273.15))
        yield close(
            "oxygen.partition", "IAPWS G7-04 (iapws)", temp, oxygen.partition(temp_c=temp), wanted, within=1e-4,
            why="densities of water",
        )  # fmt: skip
    got = footprint.clean_footprint(
        stages=[[200, 12, 0], [200, 65, 0], [150, 80, 100]], mains_c=12, efficiency_pct=85, chemical_kg=6, pump_kwh=0,
        vessel_hl=20,
    )  # fmt: skip
    base = IAPWS97(T=285.15, P=0.101325).h
    wanted = sum(
        litres * water.rho / 1000 * (water.h - base) / 3600
        for litres, water in ((200, IAPWS97(T=338.15, P=0.101325)), (150, IAPWS97(T=353.15, P=0.101325)))
    )
    yield close(
        "footprint.clean_footprint",
        "IAPWS-IF97 (iapws)",
        "heat",
        got["heat_kwh"],
        wanted,
        within=2e-4,
        why="the fit",
    )
    decay, error = solve.march(
        lambda _, state: [-0.3 * state[0], 0.3 * state[0] - 0.1 * state[1]],
        [1.0, 0.0],
        0.0,
        10.0,
        within=1e-7,
    )
    for n, wanted in ((0, math.exp(-3)), (1, 1.5 * (math.exp(-1) - math.exp(-3)))):
        yield near(
            "solve.march",
            "the chain's closed form",
            n,
            decay[n],
            wanted,
            within=max(error, 1e-9),
            why="the error it states",
        )


def cases() -> Iterator[Case]:
    """All of them."""
    for group in (caustic_cases, density_cases, circuit_cases):
        yield from group()
