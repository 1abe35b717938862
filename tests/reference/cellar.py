"""Yeast, alcohol, fermentation and carbonation against OIML R 22, IAPWS, CoolProp, heats of formation and scipy."""

import math
from collections.abc import Iterator

import chemicals
import numpy as np
from CoolProp.CoolProp import PropsSI
from iapws import IAPWS97
from iapws._iapws import _Henry, _Liquid
from molmass import Formula
from scipy import constants, stats
from scipy.integrate import solve_ivp
from scipy.optimize import brentq, fsolve, least_squares

from tests.reference.brewhouse import NBS_C440
from tests.reference.case import Case, close, near
from vesselside.core.sums.brewhouse import gravity
from vesselside.core.sums.cellar import alcohol, carbonation, fermentation, forecast, yeast
from vesselside.core.sums.office import duty

PASCAL = 101325.0

# OIML R 22 (1975), density of ethanol and water at 20 °C [kg/m³] by mass fraction: coefficients of its formula.
OIML_R22 = (
    998.20123, -192.9769495, 389.1238958, -1668.103923, 13522.15441, -88292.78388, 306287.4042, -613838.1234,
    747017.2998, -547846.1354, 223446.0334, -39032.85426,
)  # fmt: skip


def spirit_density(share: float) -> float:
    """Density [kg/L] of ethanol and water at 20 °C by OIML R 22."""
    return sum(factor * share**n for n, factor in enumerate(OIML_R22)) / 1000


def yeast_cases() -> Iterator[Case]:
    """A count's interval by Poisson's law."""
    for live in (200, 400, 1000):
        got = yeast.cell_count(live=live, dead=10, squares=5, square_nl=4, dilution=1)
        for key, share in (("low_m_ml", 0.025), ("high_m_ml", 0.975)):
            wanted = (
                stats.chi2.ppf(share, 2 * live) / 2
                if share < 0.5
                else stats.chi2.ppf(share, 2 * live + 2) / 2
            )
            yield close(
                "yeast.cell_count", "exact Poisson interval (scipy.stats.chi2)", (live, key), got[key] * 20, wanted,
                within=0.012, why="the root of the count is Poisson's limit; 1 % at 200 cells",
            )  # fmt: skip


def pitch_cases() -> Iterator[Case]:
    """Cells kept through mixing; a crop counted in cells."""
    # 1 million live cells for each mL and °P is the trade's rule, 0.75 for ales; the slurry is part of the brew
    rule = "live cells to each mL and °P of the whole (common practice, no source), by scipy.optimize.brentq"
    for rate, litres, plato, cells, viability in [
        (0.75, 1000, 12, 1000, 95),
        (1.5, 2400, 11.2, 1400, 90),
        (1.0, 500, 18, 800, 82),
    ]:
        live = cells * viability / 100

        def short(
            slurry: float, live: float = live, litres: float = litres, wanted: float = rate * plato
        ) -> float:
            return slurry * live / (litres + slurry) - wanted

        got = yeast.pitch(
            rate_m_ml_plato=rate, wort_l=litres, plato=plato, slurry_m_ml=cells, viability_pct=viability,
            slurry_kg_l=1.06,
        )  # fmt: skip
        slurry = brentq(short, 0, litres)
        for key, wanted in (
            ("slurry_l", slurry),
            ("slurry_kg", 1.06 * slurry),
            ("cells_1e12", slurry * live / 1000),
        ):
            yield close(
                "yeast.pitch", rule, (rate, plato, key), got[key], wanted, within=1e-9, why="the same balance"
            )
    for litres, millions, viability, pitched in [(60, 1200, 92, 9.1), (150, 900, 85, 20.0)]:
        live = litres * constants.liter / constants.centi**3 * millions * constants.mega * viability / 100
        got = yeast.crop(
            slurry_l=litres,
            slurry_m_ml=millions,
            viability_pct=viability,
            pitched_1e12=pitched,
            generation=3,
            most=8,
        )
        brew = 0.75 * constants.mega * 12 / constants.centi**3
        for key, wanted in (
            ("live_1e12", live / constants.tera),
            ("growth", live / (pitched * constants.tera)),
            ("reach_l", live / brew / constants.liter),
        ):
            yield close(
                "yeast.crop", "cells by SI prefixes (scipy.constants); 0.75 million/mL/°P at 12 °P, common practice",
                (litres, key), got[key], wanted, within=1e-9, why="units by definition",
            )  # fmt: skip


def alcohol_cases() -> Iterator[Case]:
    """Balling's sums closed by density: residual extract and alcohol must give the beer's own gravity (Tabarié)."""
    for original, present in [(1.036, 1.008), (1.048, 1.010), (1.060, 1.014), (1.075, 1.018)]:
        got = alcohol.attenuation(original_sg=original, present_sg=present)
        spirit = spirit_density(got["abw"] / 100) / spirit_density(0)
        beer = gravity.sg_from_plato(plato=got["real_plato"]) + spirit - 1
        yield near(
            "alcohol.attenuation", "Tabarié's rule with OIML R 22 (ethanol and water)", (original, present), beer,
            present, within=8e-4, why="a rule of thumb: 0.8 degrees is 0.1 % ABV",
        )  # fmt: skip
    yield near(
        "alcohol.ETHANOL_KG_L", "OIML R 22 at 100 %", "20 °C", alcohol.ETHANOL_KG_L, spirit_density(1),
        within=2e-5, why="rounded to five places",
    )  # fmt: skip
    yield close(
        "alcohol.ETHANOL_KG_L", "CoolProp, ethanol", "20 °C", alcohol.ETHANOL_KG_L,
        PropsSI("D", "T", 293.15, "P", PASCAL, "Ethanol") / 1000, within=1e-3, why="its equation of state's own error",
    )  # fmt: skip
    yield close(
        "alcohol.CO2_PER_ALCOHOL", "C6H12O6 = 2 C2H6O + 2 CO2 (molmass)", "g/g", alcohol.CO2_PER_ALCOHOL,
        Formula("CO2").mass / Formula("C2H6O").mass, within=3e-3,
        why="Balling measured it before atomic weights were sure",
    )  # fmt: skip
    for original, present in [(1036.0, 1008.0), (1048.0, 1010.0), (1060.0, 1014.0), (1075.0, 1018.0)]:
        got = duty.duty_strength(original=original, present=present)
        spirit = alcohol.attenuation(original_sg=original / 1000, present_sg=present / 1000)["abv"]
        yield near(
            "duty.duty_strength", "Balling's alcohol, worked apart", (original, present), got["exact"], spirit,
            within=0.25, why="the table and Balling differ by up to 0.2 % ABV",
        )  # fmt: skip
    # Notice 226, 30.3, from memory: factors by the fall in degrees, each band to this one; cut off after one decimal
    bands = (6.9, 10.4, 17.2, 26.1, 36.0, 46.5, 57.1, 67.9, 78.8, 89.7, 100.7)
    for n, fall in enumerate(bands):
        got = duty.duty_strength(original=1110.0, present=1110.0 - fall)
        yield near(
            "duty.duty_strength", "UK revenue's Notice 226, 30.3 (from memory)", fall, got["abv"],
            math.floor(round(fall * (125 + n) / 100, 6)) / 10, within=1e-9, why="law",
        )  # fmt: skip
    yield near(
        "duty.pure_alcohol", "HMRC technical guide, section 11: 7.59 % counts as 7.5 %", "7.59 %",
        duty.pure_alcohol(volume_l=100, abv=7.59, rate=None)["abv"], 7.5, within=1e-12, why="law",
    )  # fmt: skip


def fermentation_cases() -> Iterator[Case]:
    """Gas by CoolProp; a room by its differential equation; the forecast by scipy's robust fit."""
    for temp, kpa in [(0, 101.325), (20, 101.325), (35, 101.325), (2, 201.325), (15, 201.325), (20, 60.0)]:
        yield close(
            "fermentation.co2_m3_kg", "CoolProp, carbon dioxide", (temp, kpa),
            fermentation.co2_m3_kg(temp_c=temp, pressure_kpa=kpa),
            1 / PropsSI("D", "T", temp + 273.15, "P", kpa * 1000, "CarbonDioxide"), within=1.5e-3,
            why="two virial coefficients only",
        )  # fmt: skip
    for kilograms, room, changes in [(2.0, 200, 1.0), (0.5, 60, 0.5), (10.0, 1500, 3.0)]:
        gas = kilograms / PropsSI("D", "T", 288.15, "P", PASCAL, "CarbonDioxide")
        air = room * changes

        def slope(
            _: float, share: np.ndarray, gas: float = gas, air: float = air, room: float = room
        ) -> list[float]:
            return [(gas + air * 420e-6 - (gas + air) * share[0]) / room]

        settled = solve_ivp(slope, (0, 60 / changes), [420e-6], rtol=1e-10, atol=1e-14).y[0, -1] * 1e6
        got = fermentation.ventilation(
            co2_kg_h=kilograms, room_m3=room, changes_h=changes, outside_ppm=420, temp_c=15
        )
        yield close(
            "fermentation.ventilation", "scipy.integrate.solve_ivp, a mixed room; CoolProp", (kilograms, room),
            got["settled_ppm"], settled, within=1e-3, why="the gas's density",
        )  # fmt: skip
    for freedom in (2, 3, 5, 8, 12, 13, 15, 20, 30, 60, 120):
        yield close(
            "forecast.student", "scipy.stats.t", freedom, forecast.student(freedom=freedom),
            stats.t.ppf(0.975, freedom), within=3e-4, why="a table of three decimals, then two corrections",
        )  # fmt: skip
    yield from _forecast_cases()


def _alcohol_formed(original: float, present: float) -> tuple[float, float]:
    """Alcohol [g per 100 g of wort] and wort [kg/L]: a beer of Tabarié's rule and OIML R 22 closed by its chemistry."""
    platos, gravities = zip(*NBS_C440, strict=True)
    wort = float(np.interp(original, gravities, platos))

    def misses(beer: np.ndarray) -> list[float]:
        formed, left = beer
        kept = 100 - formed * (Formula("CO2").mass / Formula("C2H6O").mass + 0.11)
        thin = float(np.interp(100 * left / kept, platos, gravities))
        spirit = spirit_density(formed / kept) / spirit_density(0)
        sugar = Formula("C6H12O6").mass / Formula("C2H6O").mass / 2 + 0.11
        return [thin + spirit - 1 - present, wort - left - formed * sugar]

    return float(fsolve(misses, [wort / 3, wort / 3])[0]), original * spirit_density(0)


def given_off_cases() -> Iterator[Case]:
    """Gas of a whole fermentation and of a day by Tabarié's rule, OIML R 22 and chemistry; heat by 140 kcal/kg."""
    chemistry = "Tabarié's rule, OIML R 22; C6H12O6 = 2 C2H6O + 2 CO2 (molmass)"
    kcal = 140 * constants.calorie
    gas = Formula("CO2").mass / Formula("C2H6O").mass
    for original, present in [(1.040, 1.008), (1.048, 1.010), (1.060, 1.014), (1.075, 1.018)]:
        formed, density = _alcohol_formed(original, present)
        got = fermentation.gas_and_heat(volume_l=1000, original_sg=original, present_sg=present, temp_c=18)
        made = 10 * density * formed * gas
        thin = PropsSI("D", "T", 291.15, "P", PASCAL, "CarbonDioxide")
        for key, wanted in (("co2_kg", made), ("co2_m3", made / thin)):
            yield close(
                "fermentation.gas_and_heat", f"{chemistry}; CoolProp", (original, key), got[key], wanted, within=0.02,
                why="the rule of thumb: 0.5 degrees of 40",
            )  # fmt: skip
        yield close(
            "fermentation.gas_and_heat", "140 kcal to 1 kg of extract fermented (from memory of handbooks)",
            (original, "heat"), got["heat_mj"] / got["fermented_kg"] * 1000, kcal, within=5e-3, why="rounded",
        )  # fmt: skip
    for original, fall in [(1.048, 12), (1.060, 20), (1.040, 6)]:
        formed, density = _alcohol_formed(original, original - fall / 1000)
        got = fermentation.rate_of_gas_and_heat(
            volume_l=1000, original_sg=original, fall_deg_day=fall, temp_c=18
        )
        made = 10 * density * formed * gas / 24
        thin = PropsSI("D", "T", 291.15, "P", PASCAL, "CarbonDioxide")
        for key, wanted in (("co2_kg_h", made), ("co2_m3_h", made / thin)):
            yield close(
                "fermentation.rate_of_gas_and_heat", f"{chemistry}; CoolProp", (original, key), got[key], wanted,
                within=0.02, why="the rule of thumb, as for the whole",
            )  # fmt: skip
        yield close(
            "fermentation.rate_of_gas_and_heat", "140 kcal to 1 kg of extract fermented (from memory of handbooks)",
            (original, "heat"), got["heat_kw"] * 86400 / got["fermented_kg"], kcal, within=5e-3, why="rounded",
        )  # fmt: skip


def _forecast_cases() -> Iterator[Case]:
    rng = np.random.default_rng(11)
    for name, end, middle, pace, until, noise in [
        ("early", 1.010, 34, 9, 48, 0.0004), ("half", 1.012, 40, 12, 84, 0.0006), ("done", 1.009, 30, 8, 168, 0.0004),
        ("stray", 1.011, 36, 10, 120, 0.0005),
    ]:  # fmt: skip
        hours = np.arange(0, until + 1, 8.0)
        curve = (
            1.050 - (1.050 - end) / (1 + np.exp(-(hours - middle) / pace)) + rng.normal(0, noise, len(hours))
        )
        if name == "stray":
            curve[9] += 0.008
        readings = np.column_stack([hours, curve]).tolist()
        got = forecast.forecast(original_sg=1.050, readings=readings, expected_pct=78, spread_pct=5)
        sigma = got["scatter_deg"] / 1000
        usual, spread = np.array([0.78, 36, math.log(12), 0]), np.array([0.05, 30, 0.7, 0.6])

        def misses(
            at: np.ndarray,
            hours: np.ndarray = hours,
            curve: np.ndarray = curve,
            sigma: float = sigma,
            usual: np.ndarray = usual,
            spread: np.ndarray = spread,
        ) -> np.ndarray:
            power = np.exp(at[3])
            rise = (1 + np.exp(-(hours - at[1]) / np.exp(at[2]))) ** -power
            start = (1 + np.exp(at[1] / np.exp(at[2]))) ** -power
            away = (curve - 1.050 + 0.050 * at[0] * (rise - start) / (1 - start)) / sigma
            size = np.abs(away)
            huber = np.where(size <= 1.5, size, np.sqrt(1.5 * np.maximum(0, 2 * size - 1.5)))
            return np.concatenate([huber, (at - usual) / spread])

        best = min(
            (least_squares(misses, usual + np.array([0, move, 0, 0]), xtol=1e-12) for move in (-15, 0, 15)),
            key=lambda found: found.cost,
        )
        yield near(
            "forecast.forecast", "scipy.optimize.least_squares, the same wish", name, got["end_sg"],
            1.050 - 0.050 * best.x[0], within=1e-4, why="a tenth of a hydrometer's degree",
        )  # fmt: skip


def carbonation_cases() -> Iterator[Case]:
    """Beer between a second chart's equation and pure water; sugar by its chemistry; gas by CoolProp."""
    for temp in (2, 5, 10, 15, 20, 30):
        share = (200 - IAPWS97(T=temp + 273.15, x=0).P * 1000) / (_Henry(temp + 273.15, "CO2") * 1000)
        wanted = (
            share / (1 - share) * Formula("CO2").mass / Formula("H2O").mass * _Liquid(temp + 273.15)["rho"]
        )
        yield close(
            "carbonation.in_water", "IAPWS G7-04 and SR6-08 (iapws)", temp,
            carbonation.in_water(temp_c=temp, absolute_bar=2), wanted, within=1e-4, why="densities of water",
        )  # fmt: skip
    for temp, gauge in [(0, 0.7), (2, 1.0), (4, 0.8), (8, 1.2), (12, 1.5), (16, 1.9)]:
        # A chart in °F and psi, from memory.
        fahrenheit, psi = temp * 1.8 + 32, gauge * 14.5038
        volumes = (psi + 14.695) * (0.01821 + 0.090115 * math.exp(-(fahrenheit - 32) / 43.11)) - 0.003342
        got = carbonation.at_rest(temp_c=temp, gauge_bar=gauge, air_bar=1.01325)
        yield close(
            "carbonation.at_rest", "another beer chart's equation (from memory)", (temp, gauge), got["volumes"],
            volumes, within=0.04, why="charts of different beers differ by some per cent",
        )  # fmt: skip
        # 22.26 L/mol at 0 °C and one atmosphere, from memory
        got = carbonation.pressure(
            temp_c=temp, target_g_l=volumes * Formula("CO2").mass / 22.26, air_bar=1.01325
        )
        yield near(
            "carbonation.pressure", "another beer chart's equation (from memory)", (temp, gauge), got["gauge_bar"],
            gauge, within=0.05, why="bar; charts of different beers differ by some per cent",
        )  # fmt: skip
    yield close(
        "carbonation.VOLUME_G_L", "CoolProp, carbon dioxide at 0 °C", "g/L", carbonation.VOLUME_G_L,
        PropsSI("D", "T", 273.15, "P", PASCAL, "CarbonDioxide"), within=1e-3, why="its equation of state",
    )  # fmt: skip
    for sugar, formula, units in [
        ("sucrose", "C12H22O11", 2),
        ("glucose", "C6H12O6", 1),
        ("glucose-hydrate", "C6H14O7", 1),
    ]:
        got = carbonation.priming(
            beer_l=100,
            target_g_l=4,
            warmest_c=20,
            sugar=sugar,
            air_bar=1.01325,
            into="cask",
            head_bar=0,
            store_c=12,
        )
        pure = 2 * units * Formula("CO2").mass / Formula(formula).mass
        yield close(
            "carbonation.priming", "fermentation's equation (molmass), less what yeast keeps", sugar, got["made"],
            pure * 0.947, within=2e-3, why="Balling: 0.11 of 2.0665 goes to yeast",
        )  # fmt: skip
    got = carbonation.tank_gas(
        beer_l=2000, now_g_l=3.2, target_g_l=5, head_l=200, head_bar=1, temp_c=2, lost_pct=0
    )
    yield close(
        "carbonation.tank_gas", "CoolProp, carbon dioxide", "head space", got["head_kg"],
        0.2 * PropsSI("D", "T", 275.15, "P", 201325, "CarbonDioxide"), within=1.5e-3, why="as for the gas",
    )  # fmt: skip


def heat_bounds() -> tuple[float, float]:
    """Heat of fermenting 1 kg of glucose to liquid ethanol and gas [kJ], by heats of formation (library chemicals)."""
    ethanol, gas = chemicals.Hfl("64-17-5"), chemicals.Hfg("124-38-9")
    glucose = -1273.3e3  # solid glucose, CRC, from memory
    made = glucose - 2 * ethanol - 2 * gas
    return made / Formula("C6H12O6").mass, 1.6 * made / Formula("C6H12O6").mass


def cases() -> Iterator[Case]:
    """All of them."""
    for group in (
        yeast_cases,
        pitch_cases,
        alcohol_cases,
        fermentation_cases,
        given_off_cases,
        carbonation_cases,
    ):
        yield from group()
