"""Mash, wort, copper and the numerical methods against IAPWS, NBS C440, models of sugar solutions, numpy and scipy."""

from collections.abc import Iterator

import numpy as np
from scipy.optimize import brentq
from thermo.electrochem import Laliberte_density

from tests.reference.case import Case, close, near
from tests.reference.liquid import steam
from vesselside.core.ground import linear, solve
from vesselside.core.sums import water
from vesselside.core.sums.brewhouse import copper, extract, gravity, mash, mash_ph, planning, runoff, wort

SUCROSE = "57-50-1"

# NBS Circular 440, Table 114 (Plato): sucrose % by weight and specific gravity 20/20 °C. From memory of the printed
# table, to its five places; it is also what Laliberté's model gives within 1e-4.
NBS_C440 = [
    (1, 1.00390), (2, 1.00779), (3, 1.01172), (4, 1.01567), (5, 1.01965), (6, 1.02366), (7, 1.02770), (8, 1.03176),
    (9, 1.03586), (10, 1.03998), (11, 1.04413), (12, 1.04831), (13, 1.05252), (14, 1.05677), (15, 1.06104),
    (16, 1.06534), (17, 1.06968), (18, 1.07404), (19, 1.07844), (20, 1.08287),
]  # fmt: skip


def sugar_density(plato: float, temp_c: float) -> float:
    """Density [kg/L] of a sucrose solution by Laliberté and Cooper's model (library thermo)."""
    return float(Laliberte_density(temp_c + 273.15, [plato / 100], [SUCROSE])) / 1000


def mash_cases() -> Iterator[Case]:
    """Strike balanced by IAPWS, a tun found again by numpy, pH by its charge."""
    for malt, litres, goal, grain in [(100, 280, 66, 18), (250, 650, 68, 12), (400, 1100, 64, 20)]:
        got = mash.strike_temperature(
            malt_kg=malt, liquor_l=litres, mash_temp_c=goal, malt_temp_c=grain, tun_temp_c=goal, tun_heat_l=0,
            moisture_pct=4, slaking_kj_kg=0,
        )  # fmt: skip
        taken = malt * (0.96 * 1.55 + 0.04 * 4.184) * (goal - grain)

        def left(temp: float, litres: float = litres, goal: float = goal, taken: float = taken) -> float:
            mass = litres * steam(temp).rho / 1000
            return float(mass * (steam(temp).h - steam(goal).h) - taken)

        yield near(
            "mash.strike_temperature", "IAPWS-IF97 (iapws); dry malt 1.55 kJ/(kg K) from memory", f"{malt} kg",
            got["strike_c"], brentq(left, goal, 99), within=0.1, why="a division of the mash thermometer",
        )  # fmt: skip
    rng = np.random.default_rng(7)
    brews, design, wanted = [], [], []
    for tun in (15, 18, 40, 55, 62, 65):
        malt, litres = 100 + 20 * rng.random(), 290 + 20 * rng.random()
        capacity = mash.malt_heat(moisture_pct=4)
        whole = litres * water.density(temp_c=70) * 4.184
        settled = 66 + rng.normal(0, 0.2)
        strike = (
            settled + (malt * capacity * (settled - 18) + 22 * 4.184 * (settled - tun) - malt * 6) / whole
        )
        brews.append([malt, litres, strike, 18.0, tun, settled])
        every = whole + malt * capacity
        design.append([4.184 * (settled - tun) / every, -malt / every])
        wanted.append((whole * (strike - settled) - malt * capacity * (settled - 18)) / every)
    found = np.linalg.lstsq(np.array(design), np.array(wanted), rcond=None)[0]
    got = mash.tun_fit(brews=brews, moisture_pct=4)
    for key, value, true in (("tun_heat_l", found[0], 22.0), ("slaking_kj_kg", found[1], 6.0)):
        yield close(
            "mash.tun_fit",
            "numpy.linalg.lstsq",
            key,
            got[key],
            value,
            within=1e-8,
            why="the same normal equations",
        )
        yield close(
            "mash.tun_fit",
            "brews made with a known tun",
            key,
            got[key],
            true,
            within=1e-8,
            why="no noise was added",
        )
    # Kolbach and Haas, from memory: 10 °dH of residual alkalinity (178.5 mg/L as CaCO3) raise the pH by 0.3.
    usual = [[100.0, 5.75, 38.0]]
    rise = (
        mash_ph.mash_ph(grist=usual, liquor_l=350, residual_mg_l=178.5, acid_meq=0)["ph"]
        - mash_ph.mash_ph(grist=usual, liquor_l=350, residual_mg_l=0, acid_meq=0)["ph"]
    )
    yield near(
        "mash_ph.mash_ph", "Kolbach: 10 °dH raise pH by 0.3 (from memory)", "10 °dH", rise, 0.3,
        within=0.08, why="the estimate's own spread, a quarter of the shift",
    )  # fmt: skip
    volumes = np.array([100.0, 180, 260, 330, 400])
    platos = np.array([14.0, 9.6, 6.9, 5.0, 3.7])
    got = runoff.last_runnings(
        runnings=[[v, gravity.sg_from_plato(plato=p)] for v, p in zip(volumes, platos, strict=True)],
        stop_sg=1.010, ph=5.5, stop_ph=5.8,
    )  # fmt: skip
    slope, level = np.polyfit(volumes, np.log(platos), 1)
    stop = (np.log(gravity.plato_from_sg(sg=1.010)) - level) / slope
    yield near(
        "runoff.last_runnings",
        "numpy.polyfit",
        "litres more",
        got["more_l"],
        stop - 400,
        within=1e-3,
        why="the same line",
    )


def gravity_cases() -> Iterator[Case]:
    """°Plato by the printed table; readings warm and cold, and on the old scale, by a model of sugar solutions."""
    for plato, sg in NBS_C440:
        yield near(
            "gravity.plato_from_sg", "NBS C440 table (from memory)", sg, gravity.plato_from_sg(sg=sg), plato,
            within=0.025, why="the cubic was fitted to this table; worst at 20 °P",
        )  # fmt: skip
        yield near(
            "gravity.sg_from_plato", "NBS C440 table (from memory)", plato, gravity.sg_from_plato(plato=plato), sg,
            within=1.2e-4, why="as for the cubic",
        )  # fmt: skip
    for plato in (4, 8, 12, 16, 20):
        for temp in (10, 15.5, 25, 30, 40, 50):
            yield near(
                "gravity.sugar_expansion", "Laliberté, sucrose (thermo)", f"{plato} °P, {temp} °C",
                gravity.sugar_expansion(plato=plato, temp_c=temp),
                sugar_density(plato, 20) / sugar_density(plato, temp), within=4e-5, why="the fit, and its own water",
            )  # fmt: skip
        for temp in (10, 15, 25, 30, 40):
            reading = sugar_density(plato, temp) / (water.density(temp_c=20) * (1 - 25e-6 * (temp - 20)))
            got = gravity.hydrometer_correction(reading_sg=reading, temp_c=temp, calibration_c=20)
            yield near(
                "gravity.hydrometer_correction", "Laliberté, sucrose (thermo)", f"{plato} °P, {temp} °C", got["sg"],
                sugar_density(plato, 20) / water.density(temp_c=20), within=1e-4, why="a tenth of a degree",
            )  # fmt: skip
        old = sugar_density(plato, 15.5) / water.density(temp_c=15.5)
        yield near(
            "gravity.sg_15_to_20", "Laliberté, sucrose (thermo)", plato, gravity.sg_15_to_20(sg_15=old)["sg"],
            sugar_density(plato, 20) / water.density(temp_c=20), within=1e-4, why="a tenth of a hydrometer's degree",
        )  # fmt: skip


def wort_cases() -> Iterator[Case]:
    """Extract, cooling, letting down, boiling off and the corrections, by the density of sugar solutions."""
    for plato in (6, 10, 14, 18):
        yield close(
            "gravity.extract_kg", "Laliberté, sucrose (thermo)", plato,
            gravity.extract_kg(volume_l=100, sg=sugar_density(plato, 20) / water.density(temp_c=20)),
            sugar_density(plato, 20) * plato, within=2e-3, why="the cubic's 0.02 °P",
        )  # fmt: skip
        held = sugar_density(plato, 20) * plato
        yield near(
            "extract.sg_of_extract", "Laliberté, sucrose (thermo)", plato,
            extract.sg_of_extract(extract=held, volume_l=100),
            sugar_density(plato, 20) / water.density(temp_c=20), within=1.2e-4, why="a tenth of a hydrometer's degree",
        )  # fmt: skip
    for temp in (40, 60, 80, 98):
        yield close(
            "wort.cooled_volume", "IAPWS-IF97 (iapws)", temp, wort.cooled_volume(hot_l=1000, temp_c=temp)["cooled_l"],
            1000 * steam(temp).rho / steam(20).rho, within=5e-5, why="as for the density of water",
        )  # fmt: skip
    for plato, thinner in [(15, 12), (12, 10), (18, 11)]:
        one, other = (sugar_density(p, 20) / water.density(temp_c=20) for p in (plato, thinner))
        got = wort.dilution(volume_l=500, sg=one, target_sg=other)
        mass = 500 * sugar_density(plato, 20)
        yield close(
            "wort.dilution", "Laliberté, sucrose (thermo)", (plato, thinner), got["liquor_l"],
            mass * (plato / thinner - 1) / water.density(temp_c=20), within=0.01, why="0.02 °P of a few",
        )  # fmt: skip
        yield close(
            "wort.dilution", "Laliberté, sucrose (thermo)", f"{plato} to {thinner}, volume", got["final_l"],
            mass * plato / thinner / sugar_density(thinner, 20), within=3e-3, why="0.02 °P of a few",
        )  # fmt: skip
        reach = mass * plato / thinner / sugar_density(thinner, 20)
        got = copper.end_of_boil(volume_l=500, sg=one, target_sg=other, rate_l_h=40)
        yield close(
            "copper.end_of_boil", "Laliberté, sucrose (thermo)", (plato, thinner), got["liquor_l"], reach - 500,
            within=0.02, why="0.02 °P of a few",
        )  # fmt: skip
        got = copper.copper_up(
            volume_l=reach, sg=other, boil_min=60, rate_l_h=reach - 500, target_l=500, target_sg=one
        )
        yield near(
            "copper.copper_up", "Laliberté, sucrose (thermo)", (plato, thinner), got["end_sg"], one,
            within=1.5e-4, why="a tenth of a hydrometer's degree",
        )  # fmt: skip
        got = wort.boil_off(start_l=reach, end_l=500, minutes=60, start_sg=other)
        yield near(
            "wort.boil_off", "Laliberté, sucrose (thermo)", (plato, thinner), got["sg"], one,
            within=1.5e-4, why="a tenth of a hydrometer's degree",
        )  # fmt: skip
        blend = wort.blend_brews(brews=[[500.0, one], [300.0, other]])
        masses = 500 * sugar_density(plato, 20), 300 * sugar_density(thinner, 20)
        mixed = (masses[0] * plato + masses[1] * thinner) / sum(masses)
        yield near(
            "wort.blend_brews", "Laliberté, sucrose (thermo)", (plato, thinner), blend["sg"],
            sugar_density(mixed, 20) / water.density(temp_c=20), within=2e-4, why="volumes do not quite add",
        )  # fmt: skip


def planning_cases() -> Iterator[Case]:
    """A brew planned: malt and copper by a model of sugar solutions, hot volume by IAPWS, attenuation by C440."""
    for plato, litres in [(8, 1200), (11, 500), (16, 2400)]:
        density = sugar_density(plato, 20)
        sg = density / water.density(temp_c=20)
        grist = [[90.0, 80.0], [10.0, 74.0]]
        got = planning.grist_for_gravity(grist=grist, efficiency_pct=76, volume_l=litres, sg=sg)
        wanted = litres * density * plato / 100
        yield close(
            "planning.grist_for_gravity", "Laliberté, sucrose (thermo)", (plato, litres), got["malt_kg"],
            wanted / 0.76 / 0.794, within=2e-3, why="the cubic against the model",
        )  # fmt: skip
        volumes = planning.copper_volumes(collected_l=litres, left_l=40, boil_min=75, rate_l_h=90, sg=sg)
        start = litres + 40 + 112.5
        extract_there = (litres + 40) * density * plato / 100
        thin = brentq(
            lambda p, start=start, held=extract_there: start * sugar_density(p, 20) * p / 100 - held, 0.1, 30
        )
        yield near(
            "planning.copper_volumes", "Laliberté, sucrose (thermo)", (plato, litres), volumes["start_sg"],
            sugar_density(thin, 20) / water.density(temp_c=20), within=1e-4, why="the cubic against the model",
        )  # fmt: skip
    for temp in (60, 75, 95, 99):
        yield close(
            "planning.hot_volume", "IAPWS-IF97 (iapws)", f"{temp} °C",
            planning.hot_volume(cooled_l=1000, temp_c=temp)["hot_l"], 1000 * steam(20).rho / steam(temp).rho,
            within=1e-4, why="Kell's density against the industrial formulation",
        )  # fmt: skip
    platos, gravities = zip(*NBS_C440, strict=True)
    for original, attenuation in [(10, 80), (12, 75), (16, 70)]:
        sg = float(np.interp(original, platos, gravities))
        yield near(
            "planning.final_gravity", "NBS C440 table (from memory)", (original, attenuation),
            planning.final_gravity(original_sg=sg, attenuation_pct=attenuation)["present_sg"],
            float(np.interp(original * (1 - attenuation / 100), platos, gravities)),
            within=1.2e-4, why="as for the cubic",
        )  # fmt: skip


def method_cases() -> Iterator[Case]:
    """The numerical methods against scipy and numpy."""
    curves = {
        "cubic": (lambda x: x**3 - 2 * x - 5, 2.0, 3.0),
        "flat": (lambda x: (x - 1.0) ** 9, 0.0, 3.0),
        "exponential": (lambda x: np.exp(x) - 40, 0.0, 10.0),
        "steep": (lambda x: np.tanh(80 * (x - 0.3)), 0.0, 1.0),
    }
    for name, (curve, low, high) in curves.items():
        flat = name == "flat"
        yield near(
            "solve.root", "scipy.optimize.brentq", name, solve.root(curve, low, high),
            brentq(curve, low, high, maxiter=2000), within=2e-2 if flat else 1e-9,
            why="a ninefold root is flat to the last bit over 0.02" if flat else "both solve fully",
        )  # fmt: skip
    rng = np.random.default_rng(3)
    for size in (2, 4):
        matrix, right = rng.random((size, size)), rng.random(size)
        wanted = np.linalg.solve(matrix, right)
        for n, value in enumerate(linear.solve(matrix.tolist(), right.tolist())):
            yield close(
                "linear.solve",
                "numpy.linalg.solve",
                (size, n),
                value,
                wanted[n],
                within=1e-9,
                why="conditioning",
            )


def cases() -> Iterator[Case]:
    """All of them."""
    for group in (mash_cases, gravity_cases, wort_cases, planning_cases, method_cases):
        yield from group()
