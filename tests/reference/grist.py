"""Grist, mash, run-off and extract against balances solved apart, old trade units, IAPWS and models of solutions."""

from collections.abc import Iterator

import numpy as np
from molmass import Formula
from scipy import constants
from scipy.optimize import brentq

from tests.reference.brewhouse import NBS_C440, sugar_density
from tests.reference.case import Case, close, near
from tests.reference.liquid import steam
from vesselside.core.sums.brewhouse import chlorine, colour, extract, gravity, mash, mash_ph, planning, runoff

WATER_20 = steam(20).rho / 1000
SUGAR = "Laliberté, sucrose (thermo)"
BARREL_L = 36 * constants.gallon_imp * 1000
DRY_MALT, WATER_HEAT = 1.55, 4.184


def solution_sg(kilograms: float, litres: float) -> float:
    """Specific gravity 20/20 of so much sugar in so many litres at 20 °C, by the model's density."""
    plato = brentq(lambda p: litres * sugar_density(p, 20) * p / 100 - kilograms, 0, 40)
    return float(sugar_density(plato, 20) / WATER_20)


def share_cases() -> Iterator[Case]:
    """The grist shared out, and the liquor of an old copy-book brew."""
    shares = np.array([78.5, 12, 6, 3.5])
    weights = np.linalg.solve(
        np.vstack([np.eye(4)[:3] - shares[:3, None] / 100, np.ones(4)]), [0, 0, 0, 250.0]
    )
    for share, weight in zip(shares, weights, strict=True):
        yield near(
            "planning.grist_share", "weights whose shares of their own sum these are (numpy.linalg.solve)",
            f"{share} %", planning.grist_share(malt_kg=250, share_pct=share), weight, within=1e-9,
            why="the same balance",
        )  # fmt: skip
    for minutes in (45, 60, 90):
        yield near(
            "planning.boil_clock", "scipy.constants.minute", f"{minutes} min", planning.boil_clock(boil_min=minutes),
            minutes * constants.minute, within=0, why="by definition",
        )  # fmt: skip
    # A quarter of malt is 336 lb (from memory); the old measure of a mash is barrels to the quarter.
    quarter = 336 * constants.lb
    for quarters, barrels in [(1, 2.0), (8, 1.75), (20, 2.5)]:
        got = planning.mash_liquor(malt_kg=quarters * quarter, ratio_l_kg=barrels * BARREL_L / quarter)
        yield close(
            "planning.mash_liquor", "barrels to the quarter of 336 lb (from memory; scipy.constants)",
            (quarters, barrels), got, quarters * barrels * 36 * 4.54609, within=1e-9, why="units by definition",
        )  # fmt: skip


def colour_cases() -> Iterator[Case]:
    """The fit between the two straight lines it was drawn through, in old units; a laboratory mash balanced."""
    for kilograms, ebc, litres in [(25, 30, 100), (30, 40, 100), (20, 80, 100), (120, 55, 500)]:
        lovibond = (ebc + 1.2) / 2.65
        mcu = kilograms / constants.lb * lovibond / (litres / 1000 / constants.gallon_US)
        got = colour.beer_colour(grist=[[kilograms, ebc]], volume_l=litres, efficiency_pct=80)
        yield close(
            "colour.beer_colour", "Daniels 0.2 MCU + 8.4 and Mosher 0.3 MCU + 4.7, their mean (from memory)",
            f"MCU {mcu:.0f}", got["ebc"] / 1.97, (0.25 * mcu + 6.55), within=0.2, why="a fifth, as the sum itself says",
        )  # fmt: skip
    # 50 g of malt, 78 % extract as-is and 5 % water, brought to 450 g
    water, extracted = 400 + 50 * 0.05, 50 * 0.78
    plato = 100 * extracted / (water + extracted)
    litres = (water + extracted) / sugar_density(plato, 20) / 1000
    got = colour.beer_colour(grist=[[0.05, 4.0], [0.0001, 4.0]], volume_l=litres, efficiency_pct=100)
    yield close(
        "colour.beer_colour", "a laboratory mash balanced; Laliberté, sucrose (thermo)", "its own colour",
        got["lab_ebc"], 4.0, within=0.02, why="malts give from 76 to 82 %",
    )  # fmt: skip


def chlorine_cases() -> Iterator[Case]:
    """Electrons balanced: sulphur +4 to +6, chlorine +1 to -1; and a field guide's dose."""
    for salt, formula in (("sodium", "Na2S2O5"), ("potassium", "K2S2O5")):
        got = chlorine.chlorine_removal(volume_l=1200, chlorine_mg_l=0.8, salt=salt, more_pct=0)
        taken = 1200 * 0.8e-3 / Formula("Cl2").mass * 2
        given = taken / (2 * 2)
        for key, wanted in (
            ("salt_g", given * Formula(formula).mass), ("sulphate", 2 * given * Formula("SO4").mass / 1.2),
            ("chloride", taken / 2 * Formula("Cl").mass / 1.2),
        ):  # fmt: skip
            yield close(
                "chlorine.chlorine_removal", "electrons balanced, atomic weights (molmass)", (salt, key), got[key],
                wanted, within=3e-4, why="rounding of atomic weights",
            )  # fmt: skip
    # Field guide to the disinfection of pipelines and storage facilities, table 7-2, read: 1.47 mg/mg at pH 7
    got = chlorine.chlorine_removal(volume_l=1000, chlorine_mg_l=1, salt="sodium", more_pct=12)
    yield close(
        "chlorine.chlorine_removal", "field guide to disinfection of pipelines, table 7-2 (read)", "12 % more",
        got["salt_g"], 1.47, within=0.03, why="found in the field",
    )  # fmt: skip


def correction_cases() -> Iterator[Case]:
    """A missed mash balanced by IAPWS; wort that a wet mash gives by the volumes of sugar solutions."""
    for malt, litres, now, goal, added in [
        (100, 300, 64, 66, 95),
        (250, 650, 62, 67, 92),
        (400, 1200, 69, 66, 15),
        (180, 450, 66, 76, 98),
    ]:
        got = mash.mash_correction(
            malt_kg=malt, liquor_l=litres, mash_temp_c=now, target_temp_c=goal, added_temp_c=added, moisture_pct=4
        )  # fmt: skip
        grain = malt * (0.96 * DRY_MALT + 0.04 * WATER_HEAT) * (goal - now)
        held = litres * steam(now).rho / 1000 * (steam(goal).h - steam(now).h)
        wanted = (grain + held) / (steam(added).rho / 1000 * (steam(added).h - steam(goal).h))
        yield close(
            "mash.mash_correction", "IAPWS-IF97 (iapws); dry malt 1.55 kJ/(kg K) from memory", (now, goal, added),
            got["volume_l"], wanted, within=0.025, why="a litre counts as a kilogram; hot it is 2 to 4 % less",
        )  # fmt: skip
    for malt, litres, won, kept, left in [
        (100, 280, 62, 1.35, 10),
        (250, 700, 150, 1.4, 25),
        (60, 240, 38, 1.3, 0),
    ]:
        plato = 100 * won / (litres * WATER_20 + won)
        swollen = (litres * WATER_20 + won) / sugar_density(plato, 20)
        first = swollen - malt * kept - left
        got = runoff.runoff_sparge(
            malt_kg=malt, mash_liquor_l=litres, copper_l=2 * litres, absorbed_l_kg=kept - (swollen - litres) / malt,
            left_l=left,
        )  # fmt: skip
        for key, wanted in (("first_l", first), ("sparge_l", 2 * litres - first)):
            yield close(
                "runoff.runoff_sparge", f"a wet mash by volume: {SUGAR}", f"{malt} kg, {key}", got[key], wanted,
                within=1e-9, why="absorption is net of what the extract adds, by definition",
            )  # fmt: skip


def ph_cases() -> Iterator[Case]:
    """The pH at which the malts take up what alkalinity the liquor brings, by scipy; carbonate by atomic weights."""
    for grist, litres, residual, acid in [
        ([[100.0, 5.75, 35.0]], 300, 50, 0), ([[180.0, 5.70, 38.0], [12.0, 4.7, 65.0]], 560, 120, 800),
        ([[240.0, 5.8, 32.0], [20.0, 5.3, 50.0], [10.0, 4.6, 70.0]], 700, -40, 300),
    ]:  # fmt: skip
        brought = residual * litres / (Formula("CaCO3").mass / 2) - acid

        def open_charge(ph: float, grist: list[list[float]] = grist, brought: float = brought) -> float:
            return sum(kilos * buffer * (ph - own) for kilos, own, buffer in grist) - brought

        got = mash_ph.mash_ph(grist=grist, liquor_l=litres, residual_mg_l=residual, acid_meq=acid)
        yield near(
            "mash_ph.mash_ph", "charge balance (scipy.optimize.brentq), atomic weights (molmass)", (litres, residual),
            got["ph"], brentq(open_charge, 3, 8), within=1e-3, why="rounded equivalents of chalk",
        )  # fmt: skip


def conversion_cases() -> Iterator[Case]:
    """Degrees Plato and specific gravity by the printed table, grams in a litre by the model."""
    for plato, sg in NBS_C440[3:20:4]:
        got = gravity.convert_to_plato(sg=sg)
        yield near(
            "gravity.convert_to_plato", "NBS C440 table (from memory)", sg, got["plato"], plato,
            within=0.025, why="the cubic was fitted to this table; worst at 20 °P",
        )  # fmt: skip
        yield close(
            "gravity.convert_to_plato", SUGAR, f"{sg}, g/L", got["g_l"], sugar_density(plato, 20) * plato * 10,
            within=2e-3, why="the cubic's 0.02 °P",
        )  # fmt: skip
        yield near(
            "gravity.convert_to_sg", "NBS C440 table (from memory)", plato,
            gravity.convert_to_sg(plato=plato)["degrees"], (sg - 1) * 1000, within=0.12,
            why="degrees; as for the cubic",
        )  # fmt: skip


def extract_cases() -> Iterator[Case]:
    """What a grist gives, by the density of sugar solutions; cane sugar's litre-degrees from memory."""
    for kilograms, litres in [(50, 500), (100, 1000), (260, 2400)]:
        # 386 L°/kg is the usual figure for cane sugar
        got = extract.grist_gravity(grist=[[kilograms, 386.0]], efficiency_pct=100, volume_l=litres)
        yield near(
            "extract.grist_gravity", f"cane sugar, 386 L°/kg (from memory): {SUGAR}", (kilograms, litres), got["sg"],
            solution_sg(kilograms, litres), within=4e-4, why="degrees of a kilogram fall a little with strength",
        )  # fmt: skip
    for grist, percent, litres in [
        ([[100.0, 78.0]], 80, 500), ([[210.0, 79.5], [18.0, 74.0], [9.0, 70.0]], 76, 1200),
        ([[450.0, 80.5], [40.0, 82.0]], 85, 1900), ([[90.0, 80.0]], 70, 900),
    ]:  # fmt: skip
        held = sum(kilograms * share / 100 for kilograms, share in grist)
        sg = solution_sg(held * percent / 100, litres)
        got = extract.grist_extract(grist=grist, efficiency_pct=percent, volume_l=litres)
        yield near(
            "extract.grist_extract", SUGAR, (held, litres), got["sg"], sg, within=1.2e-4,
            why="a tenth of a hydrometer's degree",
        )  # fmt: skip
        got = extract.brewhouse_efficiency(grist=grist, volume_l=litres, sg=sg)
        yield near(
            "extract.brewhouse_efficiency", SUGAR, (held, litres), got["efficiency_pct"], percent, within=0.17,
            why="the cubic's 0.02 °P of ten",
        )  # fmt: skip
    for percent in (60, 70, 78, 82, 100):
        yield close(
            "extract.extract_units", SUGAR, f"{percent} %", extract.extract_units(extract_pct=percent)["degrees"],
            (solution_sg(percent / 100, 10) - 1) * 10000, within=2e-3, why="the cubic's 0.02 °P",
        )  # fmt: skip


def cases() -> Iterator[Case]:
    """All of them."""
    for group in (
        share_cases,
        colour_cases,
        chlorine_cases,
        correction_cases,
        ph_cases,
        conversion_cases,
        extract_cases,
    ):
        yield from group()
