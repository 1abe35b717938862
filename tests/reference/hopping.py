"""Hops in the copper, late and dry, against the table's exponential, scipy, EBC's absorbance and old trade units."""

import math
from collections.abc import Iterator

import numpy as np
from scipy import constants
from scipy.integrate import quad, solve_ivp
from scipy.interpolate import RegularGridInterpolator

from tests.reference.case import Case, close, near
from tests.reference.grist import BARREL_L
from vesselside.core.sums.brewhouse import bitterness, isomerisation, planning
from vesselside.core.sums.cellar import hops

EXPONENTIAL = "the exponential the table follows (from memory)"


def used(minutes: float, sg: float) -> float:
    """Share utilised by the published exponential, from memory."""
    return 1.65 * 0.000125 ** (sg - 1) * (1 - math.exp(-0.04 * minutes)) / 4.15


def utilisation_cases() -> Iterator[Case]:
    """The utilisation table by its exponential; isomerisation by scipy's integrator and by the published energies."""
    for minutes in (5, 10, 15, 30, 60, 90):
        for sg in (1.030, 1.050, 1.080, 1.100):
            yield near(
                "bitterness.utilisation", EXPONENTIAL, (minutes, sg),
                bitterness.utilisation(minutes=minutes, sg=sg), 100 * used(minutes, sg), within=0.06,
                why="the table has one decimal",
            )  # fmt: skip
    grid = RegularGridInterpolator(
        (bitterness.MINUTES, bitterness.GRAVITIES), np.array(bitterness._TABLE), method="linear"
    )
    for minutes, sg in [(7, 1.033), (25, 1.047), (52, 1.061), (70, 1.079), (101, 1.096)]:
        yield near(
            "bitterness.utilisation", "scipy.interpolate, bilinear", (minutes, sg),
            bitterness.utilisation(minutes=minutes, sg=sg), grid([[minutes, sg]])[0], within=1e-9,
            why="the same surface",
        )  # fmt: skip
    # Malowicki and Shellhammer state activation energies beside the rate constants: 98.6 and 108.0 kJ/mol.
    for place, energy in ((0, 98.6), (1, 108.0)):
        low, high = isomerisation.rates(temp_c=90)[place], isomerisation.rates(temp_c=130)[place]
        slope = math.log(high / low) / (1 / 363.15 - 1 / 403.15) * 8.314462618 / 1000
        yield near(
            "isomerisation.rates", "Malowicki and Shellhammer 2005, abstract", f"energy of k{place + 1}", slope, energy,
            within=0.06, why="stated to one decimal",
        )  # fmt: skip
    yield from _profile_cases()
    pairs = np.array([[60, 28], [90, 41], [120, 52], [45, 22]], float)
    wanted = np.linalg.lstsq(pairs[:, :1], pairs[:, 1], rcond=None)[0][0]
    yield close(
        "isomerisation.loss_factor", "numpy.linalg.lstsq", "4 beers",
        isomerisation.loss_factor(beers=pairs.tolist())["factor"], wanted, within=1e-12, why="the same equations",
    )  # fmt: skip


def _profile_cases() -> Iterator[Case]:
    profiles = {
        "boil": ([[0, 100], [60, 100]], [[0, 1.0, 10]]),
        "whirlpool": ([[0, 100], [5, 96], [25, 91], [45, 80]], [[0, 2.0, 12]]),
        "both": (
            [[0, 99], [60, 101], [70, 97], [95, 88], [120, 70], [140, 30]],
            [[0, 0.6, 9], [55, 1, 12], [75, 3, 13]],
        ),
        "pressure": ([[0, 100], [10, 108], [40, 108], [50, 98]], [[0, 1.5, 8], [20, 1.5, 8]]),
    }
    for name, (log, added) in profiles.items():
        times, temps = np.array(log, float).T

        def slope(
            minute: float, state: np.ndarray, times: np.ndarray = times, temps: np.ndarray = temps
        ) -> list[float]:
            kelvin = np.interp(minute, times, temps) + 273.15
            k1, k2 = 7.9e11 * math.exp(-11858 / kelvin), 4.1e12 * math.exp(-12994 / kelvin)
            return [-k1 * state[0], k1 * state[0] - k2 * state[1]]

        state, now = np.zeros(2), times[0]
        for stop in sorted({*times, *(hop[0] for hop in added)}):
            if stop > now:
                state = solve_ivp(slope, (now, stop), state, rtol=1e-11, atol=1e-11).y[:, -1]
                now = stop
            state = state + np.array([sum(kg * pct * 20 for minute, kg, pct in added if minute == stop), 0])
        got = isomerisation.isomerised(log=log, hops=added, volume_l=500, loss_factor=0.46)
        for key, value in (("iso_mg_l", state[1]), ("left_mg_l", state[0])):
            yield near(
                "isomerisation.isomerised", "scipy.integrate.solve_ivp, rates of Malowicki and Shellhammer 2005",
                f"{name}, {key}", got[key], value, within=2e-3, why="mg/L; the error it states is 1e-3",
            )  # fmt: skip


def boil_cases() -> Iterator[Case]:
    """Milligrams in a litre by the exponential: what hops give, how many, and how long."""
    for additions, litres, sg in [
        ([[1.0, 10.0, 60]], 500, 1.050),
        ([[2.4, 5.4, 90], [1.1, 12.5, 15], [3.0, 8.0, 5]], 1200, 1.040),
        ([[6.0, 14.0, 45], [4.0, 7.2, 10]], 2400, 1.080),
    ]:
        milligrams = sum(kilos * 1e6 * alpha / 100 * used(minutes, sg) for kilos, alpha, minutes in additions)
        got = bitterness.boil_bitterness(hops=additions, volume_l=litres, sg=sg)
        yield close(
            "bitterness.boil_bitterness", EXPONENTIAL, (len(additions), sg), got["ibu"], milligrams / litres,
            within=0.006, why="the table has one decimal, 0.05 of the least entry's 10",
        )  # fmt: skip
    for target, other, alpha, minutes, sg in [
        (30, 0, 10, 60, 1.050),
        (45, 12, 6.5, 90, 1.060),
        (25, 5, 13, 15, 1.040),
    ]:
        got = bitterness.hop_addition(
            target_ibu=target, other_ibu=other, alpha_pct=alpha, minutes=minutes, volume_l=800, sg=sg
        )
        wanted = (target - other) * 800 / 1e6 / (alpha / 100) / used(minutes, sg)
        yield close(
            "bitterness.hop_addition", EXPONENTIAL, (target, minutes), got["hops_kg"], wanted, within=0.006,
            why="the table has one decimal",
        )  # fmt: skip
    for minutes, sg in [(8, 1.040), (17, 1.050), (45, 1.070), (70, 1.060)]:
        target = 0.8 * 1e6 * 0.09 * used(minutes, sg) / 600
        got = bitterness.hop_minutes(target_ibu=target, hops_kg=0.8, alpha_pct=9, volume_l=600, sg=sg)
        yield close(
            "bitterness.hop_minutes", EXPONENTIAL, (minutes, sg), got["minutes"], minutes, within=0.03,
            why="straight lines between entries, one decimal",
        )  # fmt: skip


def share_cases() -> Iterator[Case]:
    """Bitterness shared out and added up: EBC 9.8 (from memory) reads 50 times an absorbance, and those add."""
    for total, late, shares in [(32, 4, (80, 20)), (55, 17.5, (50, 30, 20))]:
        kinds = len(shares)
        ratios = np.array(shares[1:]) / shares[0]
        system = np.vstack([np.column_stack([-ratios, np.eye(kinds - 1)]), np.ones(kinds)])
        wanted = np.linalg.solve(system, [0.0] * (kinds - 1) + [total - late])
        for share, value in zip(shares, wanted, strict=True):
            got = planning.bitterness_share(total_ibu=total, late_ibu=late, share_pct=share)
            yield near(
                "planning.bitterness_share", "additions in these ratios that make up the rest (numpy.linalg.solve)",
                (total, share), got["ibu"], value, within=1e-9, why="the same balance",
            )  # fmt: skip
    for boil, late in [(28, 4), (41.5, 17)]:
        light = 10 ** -(boil / 50) * 10 ** -(late / 50)
        yield near(
            "planning.bitterness_total", "EBC 9.8 with Beer and Lambert's law (from memory)", (boil, late),
            planning.bitterness_total(boil_ibu=boil, late_ibu=late), -50 * math.log10(light), within=1e-9,
            why="absorbances add",
        )  # fmt: skip


def _late_iso(log: list[list[float]], minute: float) -> float:
    """Share of alpha acids that are iso-alpha acids when the log ends, by quadrature of the published rates."""
    times, temps = np.array(log, float).T
    knots = [float(t) for t in times if t > minute]

    def total(factor: float, energy: float, start: float, stop: float) -> float:
        inside = [knot for knot in knots if start < knot < stop]
        return quad(
            lambda t: factor * math.exp(-energy / (np.interp(t, times, temps) + 273.15)), start, stop,
            points=inside or None,
        )[0]  # fmt: skip

    def formed(t: float) -> float:
        made = 7.9e11 * math.exp(-11858 / (np.interp(t, times, temps) + 273.15))
        return made * math.exp(-total(7.9e11, 11858, minute, t) - total(4.1e12, 12994, t, times[-1]))

    return quad(formed, minute, times[-1], points=knots[:-1] or None, epsabs=1e-10)[0]


def late_cases() -> Iterator[Case]:
    """Late hops by the published kinetics; doses in pounds to the barrel."""
    for name, log, minute, alpha, target, other in [
        ("held", [[0, 95], [20, 95]], 0, 12, 10, 0), ("cooling", [[0, 99], [10, 92], [40, 78]], 5, 9, 38, 30),
    ]:  # fmt: skip
        got = isomerisation.late_addition(
            log=log,
            minute=minute,
            alpha_pct=alpha,
            target_ibu=target,
            other_ibu=other,
            volume_l=500,
            loss_factor=0.46,
        )
        wanted = (target - other) * 500 / 1e6 / (0.46 * alpha / 100 * _late_iso(log, minute))
        yield close(
            "isomerisation.late_addition", "scipy.integrate.quad, rates of Malowicki and Shellhammer 2005", name,
            got["hops_kg"], wanted, within=1e-4, why="both integrate; it states 1e-3 mg/L",
        )  # fmt: skip
    for barrels, pounds in [(5, 0.25), (20, 0.5), (60, 1.0)]:
        dose = pounds * constants.lb * 1000 / BARREL_L
        for function, got in (
            ("planning.late_hops", planning.late_hops(volume_l=barrels * BARREL_L, dose_g_l=dose)),
            (
                "hops.dry_hop",
                hops.dry_hop(beer_l=barrels * BARREL_L, dose_g_l=dose, form="whole", kept_l_kg=7)["hops_kg"],
            ),
        ):
            yield close(
                function, "pounds to the barrel (scipy.constants)", (barrels, pounds), got,
                barrels * pounds * 0.45359237, within=1e-9, why="units by definition",
            )  # fmt: skip
    # 5 and 8 L/kg kept: the trade's rule by memory, weighed here in pounds and gallons
    for form, kept in (("pellets", 5.0), ("whole", 8.0)):
        got = hops.dry_hop(beer_l=10 * BARREL_L, dose_g_l=4, form=form, kept_l_kg=None)
        gallons = 360 - 360 * 4 / 1000 * kept
        yield close(
            "hops.dry_hop", "hops keep 5 L/kg as pellets, 8 L/kg whole (common practice, no source)", form,
            got["out_l"] / (constants.gallon_imp * 1000), gallons, within=1e-9, why="units by definition",
        )  # fmt: skip


def cases() -> Iterator[Case]:
    """All of them."""
    for group in (utilisation_cases, boil_cases, share_cases, late_cases):
        yield from group()
