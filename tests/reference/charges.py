"""Caustic, sanitiser, rinse and drain against stoichiometry, equilibria, heats of formation, kinetics and practice."""

import math
from collections.abc import Iterator

import numpy as np
from molmass import Formula
from scipy import constants, integrate
from scipy.optimize import brentq
from thermo.electrochem import Laliberte_density, Laliberte_heat_capacity

from tests.reference.case import Case, close, near
from tests.reference.liquid import steam
from vesselside.core.sums.cleaning import (
    caustic,
    caustic_heat,
    circuit,
    contact,
    effluent,
    peracetic,
    rinse,
)

NAOH = "1310-73-2"
CAUSTIC, SODA = Formula("NaOH").mass, Formula("Na2CO3").mass
WATER = Formula("H2O").mass
GALLON_US = constants.gallon_US * 1000

# Acid constants at 25 °C, from memory of the tables.
PK_CARBONIC, PK_WATER = (6.35, 10.33), 14.0
ACIDS: dict[str, tuple[str, tuple[float, ...]]] = {
    "hydrochloric": ("HCl", (-7.0,)), "nitric": ("HNO3", (-1.4,)), "sulphuric": ("H2SO4", (-3.0, 1.99)),
    "phosphoric": ("H3PO4", (2.15, 7.20, 12.35)), "citric": ("C6H8O7", (3.13, 4.76, 6.40)),
    "carbon-dioxide": ("CO2", PK_CARBONIC),
}  # fmt: skip

# Heat of formation of NaOH in n of water [kcal/mol] at 25 °C, NBS Circular 500, from memory; the crystal is -101.99.
FORMATION = [
    (3, -108.89), (4, -110.22), (5, -111.01), (10, -112.15), (20, -112.23), (50, -112.15), (100, -112.11),
    (200, -112.09),
]  # fmt: skip


def protons(ph: float, constants_p: tuple[float, ...]) -> float:
    """Protons that one molecule of an acid has given up at this pH, by its constants."""
    terms = [10 ** (n * ph - sum(constants_p[:n])) for n in range(len(constants_p) + 1)]
    return sum(n * term for n, term in enumerate(terms)) / sum(terms)


def make_up_cases() -> Iterator[Case]:
    """Stock into a worked charge until its sodium hydroxide is right; a titration of a made-up sample."""
    for litres, free, target, percent in [(200, 1.4, 2.0, 32), (1500, 0.9, 1.8, 25), (80, 0.0, 3.0, 40)]:
        density = Laliberte_density(293.15, [percent / 100], [NAOH]) / 1000

        def short(
            stock: float, litres: float = litres, free: float = free, target: float = target,
            strong: float = percent * density,
        ) -> float:  # fmt: skip
            return (litres * free + stock * strong) / (litres + stock) - target

        got = caustic.caustic_make_up(
            charge_l=litres, free_pct=free, target_pct_wv=target, stock_pct_ww=percent, stock_kg_l=density
        )
        yield close(
            "caustic.caustic_make_up", "scipy.optimize.brentq; Laliberté, sodium hydroxide (thermo)", (litres, target),
            got["stock_l"], brentq(short, 0, litres), within=1e-6, why="the same balance, solved",
        )  # fmt: skip
    for free, soda in [(2.0, 0.2), (1.2, 0.9), (0.6, 0.05)]:
        hydroxide, carbonate = free * 10 / CAUSTIC, soda * 10 / SODA

        def acid_ml(ph: float, hydroxide: float = hydroxide, carbonate: float = carbonate) -> float:
            # mL of 1 mol/L on 10 mL: charge of sodium less that of carbonate, both as if nothing were thinned
            sodium = hydroxide + 2 * carbonate
            return 10 * (sodium - carbonate * protons(ph, PK_CARBONIC))

        got = caustic.caustic_titration(
            first_ml=acid_ml(8.34), second_ml=acid_ml(4.0), sample_ml=10, acid_mol_l=1
        )
        for key, wanted in (("free_pct", free), ("carbonate_pct", soda)):
            yield near(
                "caustic.caustic_titration", "charge balance at pH 8.34 and 4.0; molar masses (molmass)",
                (free, soda, key), got[key], wanted, within=0.03, why="carbonate passes its end points within 2 %",
            )  # fmt: skip


def heat_cases() -> Iterator[Case]:
    """Caustic let down, by heats of formation and Laliberté's heat capacities; the sharpest mixture by a sweep."""
    moles, formed = zip(*FORMATION, strict=True)

    def given_off(share: float) -> float:
        at = (1 - share) / WATER / (share / CAUSTIC)
        return float(-(np.interp(at, moles, formed) + 101.99) * constants.calorie)

    def held(share: float, temp: float) -> float:
        return float(Laliberte_heat_capacity(temp + 273.15, [share], [NAOH])) / 1000

    def mixed(stock: float, share: float, cold: float, water: float, warm: float) -> float:
        final = stock * share / (stock + water)
        heat = stock * share / CAUSTIC * 1000 * (given_off(final) - given_off(share))
        start = stock * held(share, 50) * cold + water * 4.184 * warm
        return (start + heat) / ((stock + water) * held(final, 50))

    for stock, percent, cold, litres, warm in [
        (12.5, 32, 15, 190, 60),
        (60, 32, 20, 400, 20),
        (150, 40, 20, 300, 40),
    ]:
        kilograms = litres * steam(warm).rho / 1000
        got = caustic_heat.dilution_heat(
            stock_kg=stock, stock_pct_ww=percent, stock_c=cold, water_l=litres, water_c=warm
        )
        source = "NBS Circular 500, formation (from memory); Laliberté, heat capacity (thermo)"
        yield near(
            "caustic_heat.dilution_heat", source, (stock, percent), got["final_c"],
            mixed(stock, percent / 100, cold, kilograms, warm), within=0.3, why="two tables read between entries",
        )  # fmt: skip
        worst = max(
            mixed(part, percent / 100, cold, 1 - part, warm) for part in np.linspace(0.001, 0.999, 400)
        )
        yield near(
            "caustic_heat.dilution_heat", source, (stock, percent, "worst"), got["worst_c"], worst, within=0.4,
            why="its table is read between entries where it bends most",
        )  # fmt: skip


def contact_cases() -> Iterator[Case]:
    """The rule of practice, both readings in band or nothing, counted minute by minute with numpy."""
    rule = (
        "minutes between two readings both in band, no others (common practice, no source), counted by numpy"
    )
    for first, second, minutes in [(58, 56, 10), (50, 65, 12), (49.9, 60, 10), (60, 65.1, 7)]:
        got = contact.contact_time(
            first_c=first, second_c=second, low_c=50, high_c=65, minutes=minutes, before_min=4
        )
        inside = np.clip([first, second], 50, 65) == [first, second]
        yield near(
            "contact.contact_time", rule, (first, second), got["total_min"], 4 + minutes * inside.prod(),
            within=1e-12, why="the rule",
        )  # fmt: skip
    log = np.array([
        [0, 40, 2.0], [5, 58, 2.0], [10, 62, 1.9], [20, 63, 1.6], [28, 61, 1.4], [36, 60, 1.7], [66, 60, 1.7],
        [71, 66, 1.8], [80, 62, 1.8], [90, 59, 1.8],
    ])  # fmt: skip
    got = contact.contact_time_logged(log=log.tolist(), low_c=50, high_c=65, low_pct=1.5, most_gap_min=15)
    good = (log[:, 1] >= 50) & (log[:, 1] <= 65) & (log[:, 2] >= 1.5)
    steps = np.diff(log[:, 0])
    both = good[1:] & good[:-1] & (steps <= 15)
    ticks = [minute for at in np.flatnonzero(both) for minute in range(int(log[at, 0]), int(log[at + 1, 0]))]
    runs = np.split(np.array(ticks), np.flatnonzero(np.diff(ticks) > 1) + 1)
    for key, wanted in (
        ("credited_min", len(ticks)), ("longest_min", max(map(len, runs))), ("refused_min", 90 - len(ticks)),
        ("mean_c", integrate.trapezoid(log[:, 1], log[:, 0]) / 90),
    ):  # fmt: skip
        source = "scipy.integrate.trapezoid" if key == "mean_c" else rule
        yield near(
            "contact.contact_time_logged", source, key, got[key], wanted, within=1e-9, why="whole minutes"
        )


def rinse_cases() -> Iterator[Case]:
    """Rinse against the mains: pH within 0.3; conductivity 50 µS/cm or 10 % over, whichever is larger."""
    rule = "within 50 µS/cm or 10 % of the mains, whichever is larger (common practice, no source)"
    for mains, wanted in [(60, 110), (400, 450), (500, 550), (501, 551.1), (800, 880), (1200, 1320)]:
        yield near(
            "rinse.rinse_conductivity_limit", rule, mains,
            rinse.rinse_conductivity_limit(mains_us_cm=mains)["limit_us_cm"], wanted, within=1e-9, why="by hand",
        )  # fmt: skip
    # 0.3 of pH is a factor of two in protons: 10 ** 0.30103
    for mains in (6.8, 7.4, 8.9):
        got = rinse.rinse_ph_band(mains_ph=mains, band_ph=0.3)
        for key, factor in (("low", 2.0), ("high", 0.5)):
            yield near(
                "rinse.rinse_ph_band", "half to twice the protons of the mains, pH ± 0.3 (common practice, no source)",
                (mains, key), got[key], -math.log10(10**-mains * factor), within=2e-3, why="log 2 is 0.301",
            )  # fmt: skip
    for feet, rate in [(4, 2.0), (5, 2.5), (8, 2.5)]:
        diameter = feet * constants.foot
        got = circuit.spray_flow(diameter_m=diameter, per_metre_l_min=rate * GALLON_US / constants.foot)
        yield close(
            "circuit.spray_flow", "2 to 2.5 US gallons a minute to the foot round (from memory; scipy.constants)",
            (feet, rate), got["flow_m3_h"], rate * feet * math.pi * 231 * constants.inch**3 * 60, within=1e-9,
            why="units by definition",
        )  # fmt: skip


def sanitiser_cases() -> Iterator[Case]:
    """Peracetic acid by moles: dosed, titrated with permanganate and thiosulphate, and falling by the first order."""
    acid, peroxide = Formula("C2H4O3").mass, Formula("H2O2").mass
    for litres, target, percent, density in [(200, 150, 5, 1.12), (1200, 300, 15, 1.15), (35, 80, 2.5, 1.05)]:
        got = peracetic.peracetic_dose(
            volume_l=litres, target_mg_l=target, stock_pct_ww=percent, stock_kg_l=density
        )
        # strength of the stock in moles, and how many times it is thinned
        molar = density * 1000 * percent / 100 / acid
        thinned = molar / (target / 1000 / acid)
        yield close(
            "peracetic.peracetic_dose", "thinned by moles (molmass)", (litres, target), got["stock_ml"],
            litres * 1000 / thinned, within=1e-9, why="the same moles",
        )  # fmt: skip
    for milligrams, other in [(148, 300), (90, 40), (1000, 2500)]:
        # 5 H2O2 + 2 MnO4- + 6 H+ = 5 O2 + 2 Mn++ + 8 H2O; C2H4O3 + 2 I- + 2 H+ frees I2, which takes 2 S2O3--
        permanganate = _mmol(other, peroxide) * 2 / 5 / 0.02
        thiosulphate = _mmol(milligrams, acid) * 2 / 0.1
        got = peracetic.peracetic_titration(
            peroxide_ml=permanganate, peroxide_mol_l=0.02 * 5, iodine_ml=thiosulphate, thiosulphate_mol_l=0.1,
            sample_ml=100,
        )  # fmt: skip
        for key, wanted in (("acid_mg_l", milligrams), ("peroxide_mg_l", other)):
            yield close(
                "peracetic.peracetic_titration", "stoichiometry of permanganate and thiosulphate (molmass)",
                (wanted, key), got[key], wanted, within=1e-4, why="atomic weights",
            )  # fmt: skip
    for start, end, minutes, least in [(200, 160, 60, 120), (300, 290, 30, 150), (1000, 400, 600, 100)]:
        rate = -np.polyfit([0, minutes], np.log([start, end]), 1)[0]

        def reached(_: float, strength: np.ndarray, least: float = least) -> float:
            return float(strength[0] - least)

        reached.terminal = True  # type: ignore[attr-defined]
        fall = integrate.solve_ivp(
            lambda _, strength, rate=rate: -rate * strength, (0, 1e5), [start], events=reached, rtol=1e-10
        )
        got = peracetic.peracetic_left(start_mg_l=start, end_mg_l=end, minutes=minutes, least_mg_l=least)
        yield close(
            "peracetic.peracetic_left", "first-order fall (scipy.integrate.solve_ivp)", (start, end, least),
            got["minutes"], fall.t_events[0][0], within=1e-6, why="both solve it",
        )  # fmt: skip


def _mmol(milligrams_l: float, molar: float) -> float:
    """Millimoles in a sample of 100 mL."""
    return milligrams_l / molar / 10


def drain_cases() -> Iterator[Case]:
    """Acid to spent caustic until its charges balance at pH 8.3, each acid by its constants; heat by IAPWS."""
    for kind, (formula, constants_p) in ACIDS.items():
        for free, soda in [(2.0, 0.3), (0.6, 0.8)]:
            hydroxide, carbonate = free * 10 / CAUSTIC, soda * 10 / SODA
            strength, density = (100, 1.0) if kind == "carbon-dioxide" else (50, 1.2)
            got = effluent.neutralisation(
                spent_l=200,
                free_pct=free,
                carbonate_pct=soda,
                acid=kind,
                acid_pct_ww=strength,
                acid_kg_l=density,
            )
            base = hydroxide + carbonate * (2 - protons(8.3, PK_CARBONIC))
            wanted = base / protons(8.3, constants_p) * Formula(formula).mass * 0.2
            yield close(
                "effluent.neutralisation", "charge balance at pH 8.3; molar masses (molmass)", (kind, free, soda),
                got["acid_kg"], wanted, within=0.02, why="whole protons, but 1.9 of phosphoric",
            )  # fmt: skip
            if kind == "hydrochloric":
                # H+ + OH- = H2O, CRC heats of formation (from memory), warming what is there as water
                warmed = (200 + got["stock_kg"]) * steam(25).cp
                yield close(
                    "effluent.neutralisation", "heats of formation, CRC (from memory); IAPWS-IF97 (iapws)",
                    (free, soda, "rise"), got["rise_c"], 200 * hydroxide * (285.83 - 229.99) / warmed, within=3e-3,
                    why="heat capacity of water, 4.18",
                )  # fmt: skip


def cases() -> Iterator[Case]:
    """All of them."""
    for group in (make_up_cases, heat_cases, contact_cases, rinse_cases, sanitiser_cases, drain_cases):
        yield from group()
