"""Packaging, duty and calendar against OIML, law, statistics, the calendar and scipy's constants."""

import statistics
from collections.abc import Iterator
from datetime import date, timedelta

import numpy as np
from CoolProp.CoolProp import PropsSI
from iapws import IAPWS97
from scipy import constants, integrate, stats

from tests.reference.case import Case, close, near
from vesselside.core import control, dating, days, fills, quantity, seams, units

INCH = 25.4 / 1000

# Directive 76/211/EEC, Annex I, 2.4, read as retained law: 5 to 50 mL 9 %; to 100 4.5 mL; to 200 4.5 %; to 300 9 mL; to
# 500 3 %; to 1000 15 mL; to 10000 1.5 %; to 15000 150 mL; above 1 %; percentages rounded up to a tenth.
DIRECTIVE = [
    (5, 0.5), (50, 4.5), (75, 4.5), (100, 4.5), (150, 6.8), (200, 9.0), (250, 9.0), (300, 9.0), (330, 9.9),
    (440, 13.2), (500, 15.0), (568, 15.0), (750, 15.0), (1000, 15.0), (5000, 75.0), (12000, 150.0), (20000, 200.0),
]  # fmt: skip


def seam_cases() -> Iterator[Case]:
    """21 CFR 113.60 (a)(1)(i): CH + BH + T - W, worked by hand in thousandths of an inch."""
    for hooks, wanted in [((80, 82, 9, 118), 53), ((75, 78, 8, 112), 49), ((64, 70, 9, 102), 41)]:
        cover, body, end, length = (figure * INCH for figure in hooks)
        got = seams.seam_overlap(
            cover_hook_mm=cover,
            body_hook_mm=body,
            end_thickness_mm=end,
            seam_length_mm=length,
            body_thickness_mm=0.15,
        )
        yield near(
            "seams.seam_overlap", "21 CFR 113.60 (a)(1)(i), by hand", hooks, got["overlap_mm"], wanted * INCH,
            within=1e-9, why="the same sum",
        )  # fmt: skip


def fill_cases() -> Iterator[Case]:
    """A balance set with steel weights (OIML D 28) in CoolProp's air over IAPWS's water."""
    air = PropsSI("D", "T", 293.15, "P", 101325, "Air") / 1000
    water = IAPWS97(T=293.15, P=0.101325).rho / 1000
    for sg in (1.000, 1.010, 1.020, 1.040):
        shown = 440 * (sg * water - air) / (1 - air / 8.0)
        got = fills.fill_volume(gross_g=13 + shown, tare_g=13, gravity_sg=sg)
        yield near(
            "fills.fill_volume", "OIML D 28; CoolProp, air; IAPWS-IF97, water", sg, got["volume_ml"], 440,
            within=0.02, why="air by the day's weather is 1.2 ± 0.05 g/L",
        )  # fmt: skip
        got = fills.target_weight(volume_ml=440, tare_g=13, gravity_sg=sg)
        yield near(
            "fills.target_weight", "OIML D 28; CoolProp, air; IAPWS-IF97, water", sg, got["gross_g"], 13 + shown,
            within=0.02, why="as for the volume",
        )  # fmt: skip
    empties = [12.93, 13.01, 12.97, 13.05, 12.99, 13.02, 12.95, 13.00, 13.06, 12.98]
    got = fills.tare_study(empties=[[weight] for weight in empties], error_ml=13.2)
    for key, wanted in (("mean_g", statistics.mean(empties)), ("spread_g", statistics.stdev(empties))):
        yield close(
            "fills.tare_study", "Python's statistics", key, got[key], wanted, within=1e-9, why="rounding"
        )


def quantity_cases() -> Iterator[Case]:
    """The directive's table, and the figures of its plans and rules from the distributions they stand for."""
    for nominal, error in DIRECTIVE:
        got = quantity.tolerable_negative_error(nominal_ml=nominal)
        yield near(
            "quantity.tolerable_negative_error", "Directive 76/211/EEC Annex I, 2.4", nominal, got["error_ml"], error,
            within=1e-9, why="law",
        )  # fmt: skip
    for size, factor in quantity._MEAN_FACTORS.values():
        yield near(
            "quantity.reference_test", "Student's t at 0.995 over root n (scipy.stats.t)", size, factor,
            stats.t.ppf(0.995, size - 1) / size**0.5, within=5e-4, why="the law gives three decimals",
        )  # fmt: skip
    got = quantity.fill_target(nominal_ml=440, spread_ml=10, wander_ml=0)
    for key, limit, share in (("for_t1_ml", 426.8, 1 / 40), ("for_t2_ml", 413.6, 1e-4)):
        yield near(
            "quantity.fill_target", "the normal law (scipy.stats.norm)", key, got[key],
            limit - 10 * stats.norm.ppf(share), within=0.01, why="rounded to three decimals",
        )  # fmt: skip


def control_cases() -> Iterator[Case]:
    """The range of five normal values, integrated; limits of samples by numpy."""
    size = control.FIVE

    # chance that the range is at most `wide`: 5 times the integral of the density by the chance that four lie in it
    wide, x = np.linspace(0, 12, 1201), np.linspace(-9, 9, 1801)
    inside = stats.norm.cdf(x + wide[:, None]) - stats.norm.cdf(x)
    beyond = 1 - integrate.simpson(size * stats.norm.pdf(x) * inside ** (size - 1), x=x, axis=1)
    mean = integrate.simpson(beyond, x=wide)
    square = integrate.simpson(2 * wide * beyond, x=wide)
    for name, got, wanted in (("D2", control.D2, mean), ("D3", control.D3, (square - mean**2) ** 0.5)):
        yield near(
            f"control.{name}", "range of five normal values (scipy.integrate)", name, got, wanted, within=5e-4,
            why="three decimals",
        )  # fmt: skip
    samples = np.random.default_rng(5).normal(441, 4, (25, 5))
    limits = control.chart_limits(samples=samples.tolist())
    spread = np.ptp(samples, axis=1).mean() / mean
    for key, wanted in (
        ("spread_ml", spread),
        ("centre_ml", samples.mean()),
        ("high_ml", samples.mean() + 3 * spread / 5**0.5),
    ):
        yield close(
            "control.chart_limits", "numpy", key, limits[key], wanted, within=2e-4, why="d2 to three decimals"
        )


def date_cases() -> Iterator[Case]:
    """The calendar by Python's datetime."""
    start = date(1970, 1, 1)
    for text in ("2000-02-29", "2024-12-31", "2026-11-25", "2100-03-01", "2199-12-31"):
        there = date.fromisoformat(text)
        yield near(
            "days.parse",
            "Python's datetime",
            text,
            days.parse(text),
            (there - start).days,
            within=0,
            why="whole days",
        )
        yield near(
            "days.day_of_year", "Python's datetime", text, days.day_of_year(days.parse(text)),
            there.timetuple().tm_yday, within=0, why="whole days",
        )  # fmt: skip
    packed = days.parse("2026-11-25")
    for life in (1, 30, 270, 400):
        got = dating.best_before(packed=packed, oldest=packed, life=life, unit="days")
        wanted = (date(2026, 11, 25) + timedelta(days=life) - start).days
        yield near(
            "dating.best_before",
            "Python's datetime",
            life,
            days.parse(got["date"]),
            wanted,
            within=0,
            why="whole days",
        )
    yield close(
        "units.barrels", "imperial gallon (scipy.constants)", "36 gallons",
        units.barrels(volume_l=36 * constants.gallon_imp * 1000)["barrels"], 1, within=1e-9, why="by definition",
    )  # fmt: skip


def cases() -> Iterator[Case]:
    """All of them."""
    for group in (seam_cases, fill_cases, quantity_cases, control_cases, date_cases):
        yield from group()
