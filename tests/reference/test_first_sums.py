"""The sums of the first path against something outside the project; each names its source and tolerance."""

import math

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st
from iapws import IAPWS97
from molmass import Formula
from thermo.electrochem import Laliberte_density

from vesselside.core import calculations, caustic, fills, gravity, liquor, mash, quantity, rinse, seams, water

# NBS Circular 440, Table 114 (Plato), sucrose % by weight to specific gravity 20/20 °C; from memory of the printed
# table, to its five places.
NBS_C440 = [
    (1, 1.00390), (2, 1.00779), (3, 1.01172), (4, 1.01567), (5, 1.01965), (6, 1.02366), (7, 1.02770), (8, 1.03176),
    (9, 1.03586), (10, 1.03998), (11, 1.04413), (12, 1.04831), (13, 1.05252), (14, 1.05677), (15, 1.06104),
    (16, 1.06534), (17, 1.06968), (18, 1.07404), (19, 1.07844), (20, 1.08287),
]  # fmt: skip


@pytest.mark.parametrize("temp_c", range(1, 100, 7))
def test_density_of_water_against_iapws(temp_c):
    # IAPWS-IF97 (library iapws): Kell's equation is older by 20 years; they agree within 20 ppm.
    wanted = IAPWS97(T=temp_c + 273.15, P=0.101325).rho / 1000
    assert water.density(temp_c=temp_c) == pytest.approx(wanted, rel=2e-5)


@pytest.mark.parametrize("temp_c", range(1, 100, 7))
def test_heat_of_water_against_iapws(temp_c):
    # IAPWS-IF97 (library iapws): the polynomial is fitted to it; 0.012 kJ/kg is 3 mK.
    wanted = IAPWS97(T=temp_c + 273.15, P=0.101325).h
    assert water.enthalpy(temp_c=temp_c) == pytest.approx(wanted, abs=0.012)


@pytest.mark.parametrize(
    ("hot", "cold", "target"), [(80, 12, 68), (95, 8, 40), (90, 5, 76), (60, 20, 30), (85, 15, 84)]
)
def test_blend_conserves_heat_and_mass_by_iapws(hot, cold, target):
    # IAPWS-IF97 heat and density of the three waters; 0.1 % of the volume is below a sight glass's division.
    got = liquor.liquor_blend(hot_temp_c=hot, cold_temp_c=cold, target_temp_c=target, target_l=1000)
    water = {t: IAPWS97(T=t + 273.15, P=0.101325) for t in (hot, cold, target)}
    hot_kg, cold_kg = got["hot_l"] * water[hot].rho / 1000, got["cold_l"] * water[cold].rho / 1000
    assert hot_kg + cold_kg == pytest.approx(water[target].rho, rel=1e-3)
    heat = hot_kg * water[hot].h + cold_kg * water[cold].h
    assert heat == pytest.approx((hot_kg + cold_kg) * water[target].h, rel=1e-3)


@given(st.floats(1, 60), st.floats(5, 39), st.floats(0.02, 0.98))
def test_blend_either_way_returns_to_the_start(cold, gap, share):
    hot = cold + gap
    target = cold + share * gap
    volumes = liquor.liquor_blend(hot_temp_c=hot, cold_temp_c=cold, target_temp_c=target, target_l=500)
    back = liquor.liquor_blend_temperature(
        hot_l=volumes["hot_l"], hot_temp_c=hot, cold_l=volumes["cold_l"], cold_temp_c=cold
    )
    assert back["temp_c"] == pytest.approx(target, abs=1e-6)
    assert back["volume_l"] == pytest.approx(500, rel=1e-9)


@pytest.mark.parametrize(("plato", "sg"), NBS_C440)
def test_plato_against_the_nbs_table(plato, sg):
    # The ASBC cubic was fitted to this table; it follows within 0.025 °P, worst at 20.
    assert gravity.plato_from_sg(sg=sg) == pytest.approx(plato, abs=0.025)
    assert gravity.sg_from_plato(plato=plato) == pytest.approx(sg, abs=1.2e-4)


@given(st.floats(1.0001, 1.0829))
def test_plato_and_gravity_return_to_the_start(sg):
    assert gravity.sg_from_plato(plato=gravity.plato_from_sg(sg=sg)) == pytest.approx(sg, abs=1e-9)


@pytest.mark.parametrize("temp_c", [5, 10, 15, 25, 30, 35, 40])
def test_hydrometer_in_water_reads_back_to_one(temp_c):
    # Water has SG 1.000 at 20 °C by definition. At another temperature a 20 °C hydrometer of glass 25e-6 /°C reads
    # IAPWS density(t)/density(20) over its own change of volume; corrected it must be 1 again within 0.0001.
    density = IAPWS97(T=temp_c + 273.15, P=0.101325).rho / IAPWS97(T=293.15, P=0.101325).rho
    reading = density / (1 - 25e-6 * (temp_c - 20))
    got = gravity.hydrometer_correction(reading_sg=reading, temp_c=temp_c, calibration_c=20)
    assert got["sg"] == pytest.approx(1.0, abs=1e-4)


@pytest.mark.parametrize(
    ("malt", "litres", "goal", "grain"), [(100, 280, 66, 18), (250, 650, 68, 12), (400, 1100, 64, 20)]
)
def test_strike_liquor_and_malt_settle_at_the_mash_temperature(malt, litres, goal, grain):
    # IAPWS heat of the liquor at strike and at mash against malt of 4 % moisture (dry malt 1.55 kJ/kg K, from
    # memory): the balance closes within 0.15 °C, the spread of one mash thermometer.
    got = mash.strike_temperature(
        malt_kg=malt, liquor_l=litres, mash_temp_c=goal, malt_temp_c=grain, tun_temp_c=goal, tun_heat_l=0,
        moisture_pct=4, slaking_kj_kg=0,
    )  # fmt: skip
    hot = IAPWS97(T=got["strike_c"] + 273.15, P=0.101325)
    mass = litres * hot.rho / 1000
    given_up = mass * (hot.h - IAPWS97(T=goal + 273.15, P=0.101325).h)
    taken = malt * (0.96 * 1.55 + 0.04 * 4.184) * (goal - grain)
    assert (given_up - taken) / (mass * 4.19) == pytest.approx(0, abs=0.15)


@given(st.floats(50, 500), st.floats(2.2, 4.0), st.floats(60, 66), st.floats(0.5, 4.0))
def test_mash_correction_conserves_heat(malt, ratio, now, rise):
    litres = malt * ratio
    got = mash.mash_correction(
        malt_kg=malt,
        liquor_l=litres,
        mash_temp_c=now,
        target_temp_c=now + rise,
        added_temp_c=95,
        moisture_pct=4,
    )
    heat = mash.malt_heat(moisture_pct=4) * malt + 4.184 * litres
    mixed = (heat * now + 4.184 * got["volume_l"] * 95) / (heat + 4.184 * got["volume_l"])
    assert mixed == pytest.approx(now + rise, abs=1e-9)


def test_molar_masses_against_molmass():
    # Library molmass (IUPAC atomic weights); a part in 10 000 is far below a burette's division.
    assert Formula("NaOH").mass == pytest.approx(caustic.NAOH_G_MOL, rel=1e-4)
    assert Formula("Na2CO3").mass == pytest.approx(caustic.NA2CO3_G_MOL, rel=1e-4)


@pytest.mark.parametrize("percent", [10, 20, 25, 30, 32, 40])
def test_caustic_charge_against_laliberte_density(percent):
    # Density of aqueous NaOH at 20 °C by Laliberté and Cooper (library thermo); the charge then holds the sodium
    # hydroxide wanted to the last digit, whatever the stock.
    density = Laliberte_density(293.15, [percent / 100], ["1310-73-2"]) / 1000
    got = caustic.caustic_charge(
        final_volume_l=200, target_pct_wv=2.0, stock_pct_ww=percent, stock_kg_l=density
    )
    assert got["stock_l"] * density * percent / 100 == pytest.approx(4.0, rel=1e-9)


def test_default_stock_density_is_that_of_32_percent_caustic():
    # The same model at 32 %: the default 1.350 kg/L agrees within 0.5 %, the spread of a supplier's sheet.
    density = Laliberte_density(293.15, [0.32], ["1310-73-2"]) / 1000
    row = next(row for row in calculations.listing() if row["name"] == "caustic-charge")
    default = next(field["default"] for field in row["inputs"] if field["id"] == "stock_kg_l")
    assert float(default) == pytest.approx(density, rel=5e-3)


@given(st.floats(0.2, 5.0), st.floats(0, 1.0), st.floats(5, 50), st.floats(0.1, 1.0))
def test_charge_and_titration_return_to_the_start(naoh_pct, carbonate_pct, sample_ml, acid):
    # Stoichiometry with molmass: hydroxide takes one acid, carbonate one to the first end point and one more to the
    # second; a solution made up by weight titrates back to what went in.
    hydroxide = naoh_pct / 100 * sample_ml / Formula("NaOH").mass * 1000
    carbonate = carbonate_pct / 100 * sample_ml / Formula("Na2CO3").mass * 1000
    first, second = (hydroxide + carbonate) / acid, (hydroxide + 2 * carbonate) / acid
    got = caustic.caustic_titration(first_ml=first, second_ml=second, sample_ml=sample_ml, acid_mol_l=acid)
    assert got["free_pct"] == pytest.approx(naoh_pct, rel=2e-4)
    assert got["carbonate_pct"] == pytest.approx(carbonate_pct, rel=2e-4, abs=1e-9)


def test_all_carbonate_has_no_free_caustic_and_says_so():
    got = caustic.caustic_titration(first_ml=1, second_ml=5, sample_ml=10, acid_mol_l=1)
    assert got["free_pct"] == 0
    assert got["marks"]


@pytest.mark.parametrize(
    ("nominal", "error"),
    # Directive 76/211/EEC, Annex I, 2.4 (read as law): 5 to 50 mL 9 %; to 100 4.5 mL; to 200 4.5 %; to 300 9 mL; to
    # 500 3 %; to 1000 15 mL; to 10000 1.5 %; to 15000 150 mL; to 25000 1 %. From memory; percentages round up to 0.1.
    [
        (5, 0.5), (50, 4.5), (75, 4.5), (100, 4.5), (150, 6.8), (200, 9.0), (250, 9.0), (300, 9.0), (330, 9.9),
        (440, 13.2), (500, 15.0), (568, 15.0), (750, 15.0), (1000, 15.0), (5000, 75.0), (12000, 150.0), (20000, 200.0),
    ],
)  # fmt: skip
def test_tolerable_negative_error_against_the_directive(nominal, error):
    got = quantity.tolerable_negative_error(nominal_ml=nominal)
    assert got["error_ml"] == pytest.approx(error)
    assert got["t2_ml"] == pytest.approx(nominal - 2 * error)


@pytest.mark.parametrize("sg", [1.000, 1.010, 1.020])
def test_fill_volume_against_a_weighing_in_air(sg):
    # OIML D 28: a balance set with steel weights (8000 kg/m³) in air. Air density from library CoolProp (20 °C,
    # 101325 Pa); the can then weighs what 440 mL of beer would, within 0.02 mL.
    air = PropsSI("D", "T", 293.15, "P", 101325, "Air") / 1000
    density = sg * IAPWS97(T=293.15, P=0.101325).rho / 1000
    shown = 440 * (density - air) / (1 - air / 8.0)
    got = fills.fill_volume(gross_g=13 + shown, tare_g=13, gravity_sg=sg)
    assert got["volume_ml"] == pytest.approx(440, abs=0.02)


def test_overlap_follows_the_formula_of_21_cfr_113_60():
    # 21 CFR 113.60 (a)(1)(i): CH + BH + T - W, worked by hand in thousandths of an inch: 80 + 82 + 9 - 118 = 53.
    inch = 25.4 / 1000
    got = seams.seam_overlap(
        cover_hook_mm=80 * inch, body_hook_mm=82 * inch, end_thickness_mm=9 * inch, seam_length_mm=118 * inch,
        body_thickness_mm=0.15,
    )  # fmt: skip
    assert got["overlap_mm"] == pytest.approx(53 * inch)


@given(st.floats(0, 5000))
def test_rinse_limit_is_the_larger_and_never_below_the_mains(mains):
    limit = rinse.rinse_conductivity_limit(mains_us_cm=mains)["limit_us_cm"]
    assert limit >= mains + 50 - 1e-9
    assert limit == pytest.approx(mains * 1.1) or limit == pytest.approx(mains + 50)
    assert math.isfinite(limit)
