"""Packaging, its losses and the calendar against OIML, law, statistics, the calendar and scipy's constants."""

import statistics
from collections.abc import Iterator
from datetime import date, timedelta
from itertools import pairwise

import numpy as np
from CoolProp.CoolProp import PropsSI
from iapws import IAPWS97
from iapws._iapws import _Henry, _Liquid
from molmass import Formula
from scipy import constants, integrate, stats

from tests.reference.case import Case, close, near
from tests.reference.grist import BARREL_L
from vesselside.core.ground import days
from vesselside.core.sums.office import losses, units
from vesselside.core.sums.packaging import control, dating, fills, oxygen, quantity, seams

INCH = 25.4 / 1000

# Directive 76/211/EEC, Annex I, 2.4, read as retained law: 5 to 50 mL 9 %; to 100 4.5 mL; to 200 4.5 %; to 300 9 mL; to
# 500 3 %; to 1000 15 mL; to 10000 1.5 %; to 15000 150 mL; above 1 %; percentages rounded up to a tenth.
DIRECTIVE = [
    (5, 0.5), (50, 4.5), (75, 4.5), (100, 4.5), (150, 6.8), (200, 9.0), (250, 9.0), (300, 9.0), (330, 9.9),
    (440, 13.2), (500, 15.0), (568, 15.0), (750, 15.0), (1000, 15.0), (5000, 75.0), (12000, 150.0), (20000, 200.0),
]  # fmt: skip
# Directive 76/211/EEC, Annex I, 3.1 (from memory): 6 mm above 1 L, 4 mm down to but not with 200 mL, 3 mm down to but
# not with 50 mL, 2 mm from there.
HEIGHTS = [(5, 2), (50, 2), (51, 3), (200, 3), (201, 4), (330, 4), (440, 4), (1000, 4), (1001, 6), (5000, 6)]


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
    # thickness - 3 ends - 2 bodies, the seam examiner's rule (from memory), worked by hand in thousandths of an inch
    for seam, end, body, wanted in [(46, 9, 6, 7), (52, 10, 7, 8), (41, 9, 7, 0), (43, 8, 6, 7)]:
        got = seams.seam_free_space(
            seam_thickness_mm=seam * INCH, end_thickness_mm=end * INCH, body_thickness_mm=body * INCH
        )
        yield near(
            "seams.seam_free_space", "seam examiner's rule (from memory), by hand in 1/1000 inch", (seam, end, body),
            got["free_mm"], wanted * INCH, within=1e-9, why="the same sum",
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
    for nominal, height in HEIGHTS:
        got = quantity.marking_height(nominal_ml=nominal)
        yield near(
            "quantity.marking_height", "Directive 76/211/EEC Annex I, 3.1 (from memory)", nominal, got["height_mm"],
            height, within=0, why="law",
        )  # fmt: skip
    for size, factor in quantity._MEAN_FACTORS.values():
        yield near(
            "quantity.reference_test", "Student's t at 0.995 over root n (scipy.stats.t)", size, factor,
            stats.t.ppf(0.995, size - 1) / size**0.5, within=5e-4, why="the law gives three decimals",
        )  # fmt: skip
    # Directive 76/211/EEC Annex II, 2.2.1 and 2.2.2, from memory: accepted up to, rejected from
    plans = "Directive 76/211/EEC Annex II (from memory); scipy.stats.t"
    for batch, way, size, of, accept, reject in [
        (400, "whole", 30, 30, 1, 3), (500, "whole", 60, 30, 4, 5), (501, "whole", 50, 50, 2, 5),
        (3200, "whole", 100, 50, 6, 7), (3201, "whole", 80, 50, 3, 7), (10000, "whole", 160, 50, 8, 9),
        (900, "opened", 20, 20, 1, 2), (500000, "whole", 80, 50, 3, 7),
    ]:  # fmt: skip
        contents = np.random.default_rng(size).normal(441, 7, size).round(1)
        got = quantity.reference_test(
            nominal_ml=440, batch=batch, way=way, contents=[[value] for value in contents.tolist()]
        )
        spread = statistics.stdev(contents[:of].tolist())
        for key, wanted, within in (
            ("defective", (contents < 426.8).sum(), 0), ("accept", accept, 0), ("reject", reject, 0),
            ("least_ml", 440 - stats.t.ppf(0.995, of - 1) / of**0.5 * spread, 0.005),
        ):  # fmt: skip
            yield near(
                "quantity.reference_test", plans, (batch, size, key), got[key], wanted, within=within,
                why="mL; the law gives three decimals",
            )  # fmt: skip
    yield from _single_cases()
    got = quantity.fill_target(nominal_ml=440, spread_ml=10, wander_ml=0)
    for key, limit, share in (("for_t1_ml", 426.8, 1 / 40), ("for_t2_ml", 413.6, 1e-4)):
        yield near(
            "quantity.fill_target", "the normal law (scipy.stats.norm)", key, got[key],
            limit - 10 * stats.norm.ppf(share), within=0.01, why="rounded to three decimals",
        )  # fmt: skip


# SI 2006/659, Schedule 2, 3.3 to 3.6, read: batch, measured, accepted up to, rejected from; below 100 all of them, of
# which 5 % may be defective.
SINGLE = [
    (100, 50, 3, 4), (500, 50, 3, 4), (501, 80, 5, 6), (3200, 80, 5, 6), (3201, 125, 7, 8), (40000, 125, 7, 8),
    (99, 99, 4, 5), (60, 60, 3, 4), (21, 21, 1, 2),
]  # fmt: skip


def _single_cases() -> Iterator[Case]:
    for batch, size, accept, reject in SINGLE:
        got = quantity.reference_test(
            nominal_ml=440,
            batch=batch,
            way="single",
            contents=[[441.0], [439.0]] * (size // 2) + [[440.0]] * (size % 2),
        )
        for key, wanted in (("accept", accept), ("reject", reject)):
            yield near(
                "quantity.reference_test", "SI 2006/659 Schedule 2, 3.3 to 3.6", (batch, key), got[key], wanted,
                within=0, why="law",
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


def sample_cases() -> Iterator[Case]:
    """One sample against a chart by the printed factors for five, A2 0.577 and D4 2.114 (ISO 7870-2, from memory)."""
    factors = "ISO 7870-2, A2 0.577 and D4 2.114 for five (from memory)"
    keys = ("one_ml", "two_ml", "three_ml", "four_ml", "five_ml")
    centre, mean_range = 440.0, 9.304
    spread = mean_range / 2.326

    def judged(values: np.ndarray, before: int = 0) -> dict[str, float | str]:
        given = dict(zip(keys, values.tolist(), strict=True))
        return control.chart_sample(**given, centre_ml=centre, spread_ml=spread, before=before)

    scatter = np.array([-1.0, 0.5, 1.5, -2.0, 1.0])
    for share in (-1.0, -0.4, 0.7, 1.0):
        values = centre + scatter + share * 0.577 * mean_range
        got = judged(values)
        for key, wanted in (("mean_ml", values.mean()), ("range_ml", np.ptp(values))):
            yield close(
                "control.chart_sample", "numpy", (share, key), got[key], wanted, within=1e-9, why="rounding"
            )
        yield near(
            "control.chart_sample", factors, (share, "off"), got["off"], 3 * share, within=0.01,
            why="three decimals of A2; off is in thirds of its reach",
        )  # fmt: skip
    wide = 2.114 * mean_range / 2 * np.array([-1, 1, 0.2, -0.3, 0.1])
    for label, values, before, acts in [
        ("mean in", centre + scatter + 0.99 * 0.577 * mean_range, 0, False),
        ("mean out", centre + scatter - 1.01 * 0.577 * mean_range, 0, True),
        ("range in", centre + 0.995 * wide, 0, False), ("range out", centre + 1.005 * wide, 0, True),
        ("second warning", centre + scatter + 0.8 * 0.577 * mean_range, 1, True),
        ("warned on the other side", centre + scatter + 0.8 * 0.577 * mean_range, -1, False),
    ]:  # fmt: skip
        verdict = judged(values, before)["verdict"]
        yield near(
            "control.chart_sample", factors, f"{label}: acts", str(verdict).startswith("Act"), acts, within=0,
            why="the rule",
        )  # fmt: skip


def oxygen_cases() -> Iterator[Case]:
    """A package at rest: moles in its head by the gas law at Henry's pressure, and those in the beer."""
    molar = Formula("O2").mass
    for reading, beer, head, temp in [(30, 440, 12, 20), (85, 330, 20, 5), (12, 30000, 600, 12)]:
        kelvin, liquid = temp + 273.15, _Liquid(temp + 273.15)["rho"]
        share = reading * 1e-6 / molar / (liquid / Formula("H2O").mass)
        pressure = share * _Henry(kelvin, "O2") * 1e6
        above = pressure * head * 1e-6 / (constants.R * kelvin) * molar * 1e6
        got = oxygen.total_oxygen(dissolved_ug_l=reading, beer_ml=beer, head_ml=head, temp_c=temp)
        yield close(
            "oxygen.total_oxygen", "IAPWS G7-04 and SR6-08 (iapws), the gas law", (reading, beer, temp),
            got["total_ug_l"], reading + above * 1000 / beer, within=1e-4, why="densities of water",
        )  # fmt: skip


def loss_cases() -> Iterator[Case]:
    """Losses by what is kept of each stage, in barrels; a run by the manufacturing figures of ISO 22400-2."""
    chain = np.array([40.0, 37.2, 35.2, 34.0])
    kept = chain[1:] / chain[:-1]
    for start, end in pairwise(chain.tolist()):
        got = losses.stage_loss(into_l=start * BARREL_L, out_l=end * BARREL_L)
        yield near(
            "losses.stage_loss", "gallons lost of 36 to the barrel (scipy.constants)", (start, end),
            got["lost_l"] / (constants.gallon_imp * 1000), (start - end) * 36, within=1e-9, why="units by definition",
        )  # fmt: skip
        yield near(
            "losses.stage_loss", "numpy, by the logarithm of what is kept", (start, end), got["lost_pct"],
            -100 * np.expm1(np.log(end) - np.log(start)), within=1e-9, why="rounding",
        )  # fmt: skip
    for moved in [(40, 50, 10, 55, 3, 41), (12.5, 0, 6.25, 9.75, 0.5, 9)]:
        keys = ("opening_l", "made_l", "received_l", "sent_l", "lost_l", "closing_l")
        got = losses.stock_balance(**dict(zip(keys, moved, strict=True)))
        wanted = np.dot(moved, (1, 1, 1, -1, -1, -1))
        yield near(
            "losses.stock_balance",
            "a signed sum (numpy.dot)",
            moved,
            got["lacks_l"],
            wanted,
            within=1e-9,
            why="rounding",
        )
        yield near(
            "losses.stock_balance", "what is found of what was held (numpy.cumsum)", moved, got["lacks_pct"],
            100 - 100 * np.cumsum(moved[3:])[-1] / np.cumsum(moved[:3])[-1], within=1e-9, why="rounding",
        )  # fmt: skip
    copper, fermenter, bright, packed = (chain * BARREL_L).tolist()
    got = losses.beer_losses(copper_l=copper, fermenter_l=fermenter, bright_l=bright, packed_l=packed)
    for key, wanted in (
        ("total_pct", 100 * (1 - kept.prod())), ("cast_pct", 100 * (1 - kept[0])), ("cellar_pct", 100 * (1 - kept[1])),
        ("pack_pct", 100 * (1 - kept[2])),
    ):  # fmt: skip
        yield near(
            "losses.beer_losses", "yields of stages in a row multiply (numpy.prod)", key, got[key], wanted, within=1e-9,
            why="rounding",
        )  # fmt: skip
    for beer, good, fill, rejected, run, stopped, rated in [
        (1900, 4200, 441, 60, 240, 30, 1500),
        (950, 2800, 332, 14, 150, 5, 1200),
    ]:
        got = losses.canning_yield(
            beer_l=beer,
            good=good,
            fill_ml=fill,
            rejected=rejected,
            run_min=run,
            stopped_min=stopped,
            rated_h=rated,
        )
        made = got["available_pct"] * got["speed_pct"] * (100 - got["reject_pct"]) / 1e6
        yield close(
            "losses.canning_yield", "ISO 22400-2 (from memory): availability, effectiveness and quality multiply",
            good, made, good / (rated * run / 60), within=1e-9, why="by definition",
        )  # fmt: skip
        yield close(
            "losses.canning_yield", "cans that the beer would have filled", good, got["yield_pct"],
            100 * good / (beer * 1000 / fill), within=1e-9, why="by definition",
        )  # fmt: skip


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
    # Directive 2011/91/EU (from memory) asks for a mark led by L; ours holds the ISO 8601 ordinal date, %y%j
    for text, run in [
        ("2026-11-25", 1),
        ("2024-12-31", 12),
        ("2026-01-01", 3),
        ("2100-03-01", 99),
        ("2028-02-29", 2),
    ]:
        got = dating.lot_mark(packed=days.parse(text), run=run)
        leads, code = date.fromisoformat(text).strftime("L%y%j-") + str(run), str(got["mark"])
        yield near(
            "dating.lot_mark", "Python's datetime, ISO 8601 ordinal date", text, code == leads, True, within=0,
            why="text",
        )  # fmt: skip
        yield near(
            "dating.lot_mark", "Python's datetime, ISO 8601 ordinal date", (text, "day"), got["day"],
            date.fromisoformat(text).timetuple().tm_yday, within=0, why="whole days",
        )  # fmt: skip
    yield close(
        "units.barrels", "imperial gallon (scipy.constants)", "36 gallons",
        units.barrels(volume_l=36 * constants.gallon_imp * 1000)["barrels"], 1, within=1e-9, why="by definition",
    )  # fmt: skip


def cases() -> Iterator[Case]:
    """All of them."""
    for group in (
        seam_cases,
        fill_cases,
        quantity_cases,
        control_cases,
        sample_cases,
        oxygen_cases,
        loss_cases,
        date_cases,
    ):
        yield from group()
