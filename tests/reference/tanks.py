"""Pressure on a door, and priming of casks and kegs, against sums of strips, a printed table and IAPWS."""

from collections.abc import Iterator

import numpy as np
from iapws import IAPWS97
from iapws._iapws import _Henry
from molmass import Formula
from scipy import constants, integrate

from tests.reference.case import Case, close
from vesselside.core.sums.cellar import carbonation, doors

# Carbon dioxide that beer keeps at the air's pressure by its warmest [°C, volumes], a brewers' library's table, read.
LEFT = [
    (0, 1.7),
    (4, 1.5),
    (8, 1.3),
    (10, 1.2),
    (12, 1.12),
    (14, 1.05),
    (16, 0.99),
    (18, 0.93),
    (20, 0.88),
    (22, 0.83),
]


def primed_cases() -> Iterator[Case]:
    """What is left from the warmest by a printed table; the pressure it comes to by pure water."""
    for warmest, volumes in LEFT:
        got = carbonation.priming(
            beer_l=40.9, target_g_l=4.5, warmest_c=warmest, sugar="glucose", air_bar=1.01325, into="keg", head_bar=0,
            store_c=12,
        )  # fmt: skip
        yield close(
            "carbonation.priming", "table of gas left by the warmest, 0 to 22 °C (read)", f"{warmest} °C",
            got["left_g_l"] / carbonation.VOLUME_G_L, volumes, within=0.07, why="printed as of pure water",
        )  # fmt: skip
    for store, target in [(5, 5.0), (12, 4.5), (20, 5.5)]:
        got = carbonation.priming(
            beer_l=30, target_g_l=target, warmest_c=18, sugar="sucrose", air_bar=1.01325, into="keg", head_bar=0.2,
            store_c=store,
        )  # fmt: skip
        moles = target / Formula("CO2").mass
        share = moles / (moles + IAPWS97(T=store + 273.15, P=0.101325).rho / Formula("H2O").mass)
        water = share * _Henry(store + 273.15, "CO2") * 10 + IAPWS97(T=store + 273.15, x=0).P * 10
        yield close(
            "carbonation.priming", "IAPWS G7-04, pure water (iapws)", f"{target} g/L at {store} °C",
            got["stored_bar"] + 1.01325, water, within=0.07, why="beer holds up to 7 % less than water",
        )  # fmt: skip


def door_cases() -> Iterator[Case]:
    """Pressure summed over a door strip by strip, and over a hemisphere in the direction of its axis (scipy)."""
    for gauge, wide, tall in [(0.5, 450, 450), (1.2, 400, 300), (-0.05, 600, 600), (3.0, 1500, 1500)]:
        strips, _ = integrate.quad(
            lambda x, w=wide, h=tall: h * np.sqrt(1 - (2 * x / w) ** 2), -wide / 2, wide / 2
        )
        dish, _ = integrate.quad(
            lambda angle, r=wide / 2000: 2 * np.pi * r**2 * np.sin(angle) * np.cos(angle), 0, np.pi / 2
        )
        for source, area in (("strips over an oval", strips / 1e6), ("a hemisphere, along its axis", dish)):
            if source.startswith("a hemi") and wide != tall:
                continue
            got = doors.door_force(gauge_bar=gauge, width_mm=wide, height_mm=tall)
            for key, wanted in (("force_n", abs(gauge) * constants.bar * area), ("load_kg", None)):
                yield close(
                    "doors.door_force", f"{source} (scipy.integrate, scipy.constants)", (gauge, wide, tall, key),
                    got[key], wanted if wanted is not None else abs(gauge) * constants.bar * area / constants.g,
                    within=1e-6, why="the quadrature",
                )  # fmt: skip


def cases() -> Iterator[Case]:
    """All of them."""
    for group in (primed_cases, door_cases):
        yield from group()
