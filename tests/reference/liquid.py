"""Water, liquor and what is dissolved in it against IAPWS, scipy, atomic weights and balances of charge."""

from collections.abc import Iterator

import numpy as np
from iapws import IAPWS97
from iapws._iapws import _Henry, _Kw, _Liquid
from molmass import Formula
from scipy.optimize import brentq, fsolve, nnls

from tests.reference.case import Case, close, near
from vesselside.core.sums import water
from vesselside.core.sums.brewhouse import liquor, salts

ATMOSPHERE_MPA = 0.101325


def steam(temp_c: float) -> IAPWS97:
    """Liquid water at atmospheric pressure by IAPWS-IF97."""
    return IAPWS97(T=temp_c + 273.15, P=ATMOSPHERE_MPA)


def water_cases() -> Iterator[Case]:
    """Density, heat, viscosity, vapour and dissolved gases."""
    for temp in range(1, 100, 7):
        yield close(
            "water.density", "IAPWS-IF97 (iapws)", f"{temp} °C", water.density(temp_c=temp), steam(temp).rho / 1000,
            within=2e-5, why="Kell's equation is older by 20 years; the two agree within 20 ppm",
        )  # fmt: skip
        yield near(
            "water.enthalpy", "IAPWS-IF97 (iapws)", f"{temp} °C", water.enthalpy(temp_c=temp), steam(temp).h,
            within=0.012, why="a fit; 0.012 kJ/kg is 3 mK",
        )  # fmt: skip
        yield close(
            "water.viscosity", "IAPWS SR6-08 (iapws)", f"{temp} °C", water.viscosity(temp_c=temp),
            _Liquid(temp + 273.15)["mu"] * 1000, within=1e-9, why="the same equation, written apart",
        )  # fmt: skip
        yield close(
            "water.vapour_pressure", "IAPWS-IF97 (iapws)", f"{temp} °C", water.vapour_pressure(temp_c=temp),
            IAPWS97(T=temp + 273.15, x=0).P * 1000, within=2e-4, why="two IAPWS equations differ by 1 in 10 000",
        )  # fmt: skip
    for temp in (2, 5, 10, 20, 30, 40, 60):
        for gas in ("CO2", "O2"):
            yield close(
                f"water.henry {gas}", "IAPWS G7-04 (iapws)", f"{temp} °C", water.henry(gas=gas, temp_c=temp),
                _Henry(temp + 273.15, gas) * 1000, within=1e-9, why="the same equation, written apart",
            )  # fmt: skip


def liquor_cases() -> Iterator[Case]:
    """Blends balanced and heated by IAPWS."""
    for hot, cold, target in [(80, 12, 68), (95, 8, 40), (90, 5, 76), (60, 20, 30), (85, 15, 84)]:
        share = (steam(target).h - steam(cold).h) / (steam(hot).h - steam(cold).h)
        mass = 1000 * steam(target).rho / 1000
        got = liquor.liquor_blend(hot_temp_c=hot, cold_temp_c=cold, target_temp_c=target, target_l=1000)
        for key, wanted in (
            ("hot_l", mass * share / steam(hot).rho * 1000),
            ("cold_l", mass * (1 - share) / steam(cold).rho * 1000),
        ):
            yield near(
                "liquor.liquor_blend", "IAPWS-IF97 (iapws)", f"{hot}, {cold} to {target} °C, {key}", got[key], wanted,
                within=0.5, why="of 1000 L: less than a sight glass's division",
            )  # fmt: skip
        back = liquor.liquor_blend_temperature(
            hot_l=got["hot_l"], hot_temp_c=hot, cold_l=got["cold_l"], cold_temp_c=cold
        )
        yield near(
            "liquor.liquor_blend_temperature", "IAPWS-IF97 (iapws)", f"{hot}, {cold} to {target} °C", back["temp_c"],
            target, within=0.01, why="a tenth of a thermometer's division",
        )  # fmt: skip
    for cold, hot, power in [(12, 80, 50), (8, 95, 30), (60, 78, 24)]:
        got = liquor.heating_time(volume_l=1000, from_c=cold, to_c=hot, power_kw=power, efficiency_pct=85)
        wanted = steam(cold).rho * (steam(hot).h - steam(cold).h) / (power * 0.85) / 60
        yield close(
            "liquor.heating_time", "IAPWS-IF97 (iapws)", f"{cold} to {hot} °C", got["minutes"], wanted,
            within=2e-4, why="the fit of the enthalpy",
        )  # fmt: skip


def any_blend_cases() -> Iterator[Case]:
    """Two figures of a blend left out, found by scipy from mass and enthalpy by IAPWS."""
    names = ("hot_l", "hot_temp_c", "cold_l", "cold_temp_c", "target_l", "target_temp_c")
    for figures, start in [
        ((None, 80, 400, 12, None, 68), (1500, 1500)), ((None, 90, None, 15, 1000, 76), (500, 500)),
        ((600, 82, None, 10, None, 65), (500, 500)), ((None, 80, 300, None, 1200, 66), (800, 20)),
        ((700, None, None, 12, 950, 60), (78, 250)), ((500, 85, 250, 11, None, None), (700, 60)),
    ]:  # fmt: skip
        hidden = [n for n, figure in enumerate(figures) if figure is None]

        def short(
            tried: np.ndarray, figures: tuple[float | None, ...] = figures, hidden: list[int] = hidden
        ) -> list[float]:
            whole = list(figures)
            for at, value in zip(hidden, tried, strict=True):
                whole[at] = float(value)
            hot, cold, blend = (
                (whole[n] * steam(whole[n + 1]).rho, steam(whole[n + 1]).h) for n in (0, 2, 4)
            )
            return [
                (hot[0] + cold[0] - blend[0]) / 1e5,
                (hot[0] * hot[1] + cold[0] * cold[1] - blend[0] * blend[1]) / 1e7,
            ]

        wanted = fsolve(short, start)
        got = liquor.liquor_blend_any(**dict(zip(names, figures, strict=True)))
        for at, value in zip(hidden, wanted, strict=True):
            yield near(
                "liquor.liquor_blend_any", "IAPWS-IF97 (iapws), scipy.optimize.fsolve", (figures, names[at]),
                got[names[at]], value, within=0.05 if at % 2 else 0.5, why="half of what is shown",
            )  # fmt: skip


def salt_cases() -> Iterator[Case]:
    """Shares of ions by atomic weights; targets by scipy's own non-negative least squares; acid by charge balance."""
    yield from _share_cases()
    masses = [Formula(ion).mass for ion in ("Ca", "Mg", "Na", "SO4", "Cl")]
    charge = np.array(masses) / np.array([2, 2, 1, 2, 1])
    share = np.array([
        [masses[0], 0, 0, masses[3], 0], [masses[0], 0, 0, 0, 2 * masses[4]], [0, masses[1], 0, masses[3], 0],
        [0, 0, masses[2], 0, masses[4]],
    ]) / np.array([[Formula(salt).mass] for salt in ("CaSO4(H2O)2", "CaCl2(H2O)2", "MgSO4(H2O)7", "NaCl")])  # fmt: skip
    for target in [
        (100, 0, 0, 240, 0), (120, 10, 20, 150, 160), (50, 5, 60, 30, 90), (180, 20, 10, 400, 50), (60, 60, 5, 10, 10)
    ]:  # fmt: skip
        wanted, _ = nnls((share / charge).T, np.array(target) / charge)
        names = ("calcium", "magnesium", "sodium", "sulphate", "chloride")
        got = salts.liquor_salts_target(
            volume_l=1000,
            **{f"{name}_mg_l": 0 for name in names},
            **{f"target_{name}_mg_l": value for name, value in zip(names, target, strict=True)},
        )
        for key, value in zip(("gypsum_g", "calcium_chloride_g", "epsom_g", "salt_g"), wanted, strict=True):
            yield near(
                "salts.liquor_salts_target", "scipy.optimize.nnls, atomic weights (molmass)", f"{target} {key}",
                got[key], value, within=0.2, why="of some hundred grams: rounding of atomic weights",
            )  # fmt: skip
    for calcium, magnesium in [(100, 10), (40, 30), (250, 5)]:
        hardness = (
            (calcium / Formula("Ca").mass + magnesium / Formula("Mg").mass / 2) * Formula("CaCO3").mass / 3.5
        )
        yield near(
            "salts.residual_alkalinity", "Kolbach: (Ca + Mg / 2) / 3.5 in equivalents (molmass)", (calcium, magnesium),
            salts.residual_alkalinity(alkalinity_mg_l=200, calcium_mg_l=calcium, magnesium_mg_l=magnesium),
            200 - hardness, within=0.5, why="1.4 and 1.7 are rounded figures",
        )  # fmt: skip
    yield from _acid_cases()
    yield from _soft_cases()


def _share_cases() -> Iterator[Case]:
    ions = {
        "gypsum_g": ("CaSO4(H2O)2", {"calcium": "Ca", "sulphate": "SO4"}),
        "calcium_chloride_g": ("CaCl2(H2O)2", {"calcium": "Ca", "chloride": "Cl2"}),
        "epsom_g": ("MgSO4(H2O)7", {"magnesium": "Mg", "sulphate": "SO4"}),
        "salt_g": ("NaCl", {"sodium": "Na", "chloride": "Cl"}),
    }
    for salt, (formula, parts) in ions.items():
        nothing = dict.fromkeys(
            ["calcium_mg_l", "magnesium_mg_l", "sodium_mg_l", "sulphate_mg_l", "chloride_mg_l", *ions], 0.0
        )
        got = salts.liquor_salts(**{**nothing, "volume_l": 1000, salt: 100})
        for ion, atoms in parts.items():
            yield close(
                "salts.liquor_salts", "atomic weights (molmass)", f"{salt} {ion}", got[ion],
                100 * Formula(atoms).mass / Formula(formula).mass, within=3e-4, why="rounding of atomic weights",
            )  # fmt: skip


def _acid_cases() -> Iterator[Case]:
    """A beaker in scipy: charge balance of carbonate, acid and water, solved for pH, titrated to 4.5."""
    carbonic = (10**-6.35, 10**-10.33)
    constants = {
        "lactic": [10**-3.86],
        "phosphoric": [10**-2.15, 10**-7.2, 10**-12.35],
        "sulphuric": [1e3, 10**-1.99],
    }

    def charges(total: float, steps: tuple[float, ...] | list[float], proton: float) -> float:
        weights = [1.0]
        for step in steps:
            weights.append(weights[-1] * step / proton)
        return total * sum(n * weight for n, weight in enumerate(weights)) / sum(weights)

    def surplus(ph: float, cations: float, carbonate: float, acid: float, kind: str) -> float:
        proton = 10**-ph
        return (
            cations
            + proton
            - 1e-14 / proton
            - charges(carbonate, carbonic, proton)
            - charges(acid, constants[kind], proton)
        )

    # A water of 3 mmol/L carbonate at pH 7.6, its alkalinity titrated to 4.5.
    carbonate = 3e-3
    cations = charges(carbonate, carbonic, 10**-7.6) + 10**-6.4 - 10**-7.6

    def alkalinity(acid: float, kind: str) -> float:
        return surplus(4.5, cations, carbonate, acid, kind) * 50043.5

    for kind, strength, density in [("lactic", 80, 1.185), ("phosphoric", 75, 1.58), ("sulphuric", 20, 1.14)]:
        start = alkalinity(0.0, kind)
        got = salts.alkalinity_acid(
            volume_l=1000,
            alkalinity_mg_l=start,
            target_mg_l=40,
            acid=kind,
            acid_pct_ww=strength,
            acid_kg_l=density,
        )
        added = got["acid_g"] / salts._ACIDS[kind][0] / 1000
        yield near(
            "salts.alkalinity_acid", "charge balance (scipy)", kind, alkalinity(added, kind), 40,
            within=0.2, why="mg/L as CaCO3; free protons at the end point are in both titrations",
        )  # fmt: skip


# Plummer and Busenberg, Geochim. Cosmochim. Acta 46 (1982) 1011 (from memory): log K of carbonic acid by temperature.
_PLUMMER = (
    (-356.3094, -0.06091964, 21834.37, 126.8339, -1684915.0),
    (-107.8871, -0.03252849, 5151.79, 38.92561, -563713.9),
)


def _soft_cases() -> Iterator[Case]:
    """Waters made up from carbonate and pH, their alkalinity titrated with strong acid to 4.5, then brought to a pH."""
    kelvin = 298.15
    k1, k2 = (
        10 ** (a + b * kelvin + c / kelvin + d * np.log10(kelvin) + e / kelvin**2)
        for a, b, c, d, e in _PLUMMER
    )
    kw = 10 ** -_Kw(steam(25).rho, kelvin)

    def anions(ph: float, carbonate: float, lactic: float) -> float:
        h = 10.0**-ph
        return (
            carbonate * (k1 * h + 2 * k1 * k2) / (h * h + k1 * h + k1 * k2)
            + lactic / (1 + h / 10**-3.86)
            + kw / h
            - h
        )

    for carbonate, ph in [
        (5e-5, 6.8), (1e-4, 7.0), (3e-4, 7.2), (5e-4, 9.4), (1e-3, 7.6), (3e-3, 7.6), (6e-3, 7.2)
    ]:  # fmt: skip
        cations = anions(ph, carbonate, 0.0)
        alkalinity = (cations - anions(4.5, carbonate, 0.0)) * 50043.5
        for target in (5.2, 5.8, 6.5):
            wanted = brentq(lambda x, t=target, c=carbonate, n=cations: anions(t, c, x) - n, 0, 0.05)
            got = salts.liquor_ph_acid(
                volume_l=1000, alkalinity_mg_l=alkalinity, ph=ph, target_ph=target, acid="lactic", acid_pct_ww=80,
                acid_kg_l=1.185,
            )  # fmt: skip
            yield close(
                "salts.liquor_ph_acid",
                "charge balance (scipy), Plummer and Busenberg 1982 (from memory), IAPWS Kw",
                f"{alkalinity:.0f} mg/L, pH {ph} to {target}", got["acid_g"] / salts._ACIDS["lactic"][0] / 1000,
                wanted, within=0.01, why="two decimals of pK against four; on soft liquor they were 10 % and more off",
            )  # fmt: skip


def cases() -> Iterator[Case]:
    """All of them."""
    for group in (water_cases, liquor_cases, any_blend_cases, salt_cases):
        yield from group()
