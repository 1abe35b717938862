"""What must hold whatever the numbers: inverse pairs, conservation, order, extremes."""

import math
from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from molmass import Formula

from vesselside.core.ground import days, numbers
from vesselside.core.ground.errors import CoreError
from vesselside.core.sums import calculations, water
from vesselside.core.sums.brewhouse import bitterness, gravity, isomerisation, liquor, mash, salts, wort
from vesselside.core.sums.cellar import alcohol, carbonation, forecast
from vesselside.core.sums.cleaning import caustic, caustic_heat, contact, rinse
from vesselside.core.sums.office import duty
from vesselside.core.sums.packaging import fills, quantity


def texts(low: str, high: str, places: int) -> st.SearchStrategy[str]:
    """Decimal texts of a range, its ends among them more often than not."""
    least, most = (round(float(end) * 10**places) for end in (low, high))
    return st.one_of(st.sampled_from([least, most]), st.integers(least, most)).map(
        lambda units: numbers.text(units / 10**places, places)
    )


def in_order(rows: list) -> list:
    return sorted(rows, key=lambda row: float(row[0]))


def given_for(field: dict) -> st.SearchStrategy:
    match field.get("kind", "number"):
        case "choice":
            return st.sampled_from([key for key, _ in field["options"]])
        case "date":
            return st.dates(date(2000, 1, 1), date(2199, 12, 31)).map(str)
        case "series":
            columns = [texts(column["min"], column["max"], column["places"]) for column in field["columns"]]
            rows = st.lists(
                st.tuples(*columns),
                min_size=field["rows"],
                max_size=field["rows"] + 6,
                unique_by=(lambda row: float(row[0])) if field.get("rising") else None,
            )
            return rows.map(
                lambda found: sorted(found, key=lambda row: float(row[0])) if field.get("rising") else found
            )
    number = texts(field["min"], field["max"], field["places"])
    return st.one_of(st.none(), number) if field.get("optional") else number


@pytest.mark.parametrize("row", calculations.listing(), ids=lambda row: row["name"])
@settings(max_examples=40, deadline=None)
@given(data=st.data())
def test_within_its_ranges_a_sum_answers_or_says_why_not(row, data):
    inputs = {field["id"]: data.draw(given_for(field)) for field in row["inputs"]}
    try:
        working = calculations.work(row["name"], inputs)
    except CoreError:
        return
    for line, spec in zip(working["results"], row["results"], strict=True):
        assert spec[3] is None or math.isfinite(float(line["value"]))


@given(st.floats(1, 60), st.floats(5, 39), st.floats(0.02, 0.98))
def test_blend_either_way_returns_to_the_start(cold, gap, share):
    hot, target = cold + gap, cold + share * gap
    volumes = liquor.liquor_blend(hot_temp_c=hot, cold_temp_c=cold, target_temp_c=target, target_l=500)
    back = liquor.liquor_blend_temperature(
        hot_l=volumes["hot_l"], hot_temp_c=hot, cold_l=volumes["cold_l"], cold_temp_c=cold
    )
    assert back["temp_c"] == pytest.approx(target, abs=1e-6)
    assert back["volume_l"] == pytest.approx(500, rel=1e-9)


BLEND = ("hot_l", "hot_temp_c", "cold_l", "cold_temp_c", "target_l", "target_temp_c")


@given(
    st.floats(70, 98), st.floats(2, 30), st.floats(0.1, 0.9),
    st.sampled_from([
        (a, b) for a in BLEND for b in BLEND if a < b and not (a.endswith("temp_c") and b.endswith("temp_c"))
    ]),
)  # fmt: skip
def test_any_two_figures_left_out_of_a_blend_are_found_again(hot, cold, share, hidden):
    target = cold + share * (hot - cold)
    made = liquor.liquor_blend(hot_temp_c=hot, cold_temp_c=cold, target_temp_c=target, target_l=800)
    whole = {
        "hot_l": made["hot_l"], "hot_temp_c": hot, "cold_l": made["cold_l"], "cold_temp_c": cold, "target_l": 800.0,
        "target_temp_c": target,
    }  # fmt: skip
    found = liquor.liquor_blend_any(**{key: None if key in hidden else value for key, value in whole.items()})
    for key, value in whole.items():
        assert found[key] == pytest.approx(value, abs=1e-3), key


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


@given(st.floats(0.991, 1.1299))
def test_plato_and_gravity_return_to_the_start(sg):
    assert gravity.sg_from_plato(plato=gravity.plato_from_sg(sg=sg)) == pytest.approx(sg, abs=1e-9)


@given(st.floats(0, 99), st.floats(0.01, 1))
def test_warmer_water_holds_more_heat_and_flows_more_easily(temp, more):
    assert water.enthalpy(temp_c=temp + more) > water.enthalpy(temp_c=temp)
    assert water.viscosity(temp_c=temp + more) < water.viscosity(temp_c=temp)


@given(st.floats(10, 5000), st.floats(1.01, 1.12), st.floats(0.3, 0.95))
def test_letting_down_keeps_the_extract(volume, sg, share):
    target = 1 + (sg - 1) * share
    got = wort.dilution(volume_l=volume, sg=sg, target_sg=target)
    assert gravity.extract_kg(volume_l=got["final_l"], sg=target) == pytest.approx(
        got["extract_kg"], rel=1e-9
    )


@given(st.lists(st.tuples(st.floats(1, 5000), st.floats(1.0, 1.12)), min_size=1, max_size=4))
def test_a_blend_of_brews_lies_between_them_and_keeps_the_mass(brews):
    got = wort.blend_brews(brews=[list(brew) for brew in brews])
    assert min(sg for _, sg in brews) - 1e-12 <= got["sg"] <= max(sg for _, sg in brews) + 1e-12
    assert got["sg"] * got["volume_l"] == pytest.approx(sum(litres * sg for litres, sg in brews))


@given(st.lists(st.floats(0, 300), min_size=10, max_size=10))
def test_salts_never_go_below_zero_nor_end_worse_than_they_began(ions):
    names = ("calcium", "magnesium", "sodium", "sulphate", "chloride")
    now = {f"{name}_mg_l": ion for name, ion in zip(names, ions[:5], strict=True)}
    wanted = {f"target_{name}_mg_l": ion for name, ion in zip(names, ions[5:], strict=True)}
    got = salts.liquor_salts_target(volume_l=1000, **now, **wanted)
    assert min(got[key] for key in ("gypsum_g", "calcium_chloride_g", "epsom_g", "salt_g")) >= 0

    def miss(have):
        return sum(
            ((have[name] - wanted[f"target_{name}_mg_l"]) / charge) ** 2
            for name, charge in zip(names, salts._CHARGE_G_MOL, strict=True)
        )

    assert miss(got) <= miss({name: now[f"{name}_mg_l"] for name in names}) + 1e-9


@given(st.floats(1, 119), st.floats(0.1, 1), st.floats(1.03, 1.1))
def test_longer_boils_use_more_and_stronger_wort_less(minutes, more, sg):
    used = bitterness.utilisation(minutes=minutes, sg=sg)
    assert bitterness.utilisation(minutes=minutes + more, sg=sg) >= used
    assert bitterness.utilisation(minutes=minutes, sg=sg + 0.001) <= used


@settings(deadline=None, max_examples=30)
@given(st.floats(30, 105), st.floats(5, 120))
def test_alpha_acids_turn_into_no_more_than_themselves(temp, minutes):
    got = isomerisation.isomerised(
        log=[[0.0, temp], [minutes, temp]], hops=[[0.0, 1.0, 10.0]], volume_l=500, loss_factor=1
    )
    made, lost = isomerisation.rates(temp_c=temp)
    # the chain's closed form at one temperature
    wanted = 200 * made / (lost - made) * (math.exp(-made * minutes) - math.exp(-lost * minutes))
    assert got["iso_mg_l"] == pytest.approx(wanted, abs=2e-3)
    assert got["iso_mg_l"] + got["left_mg_l"] <= 200 + 2e-3
    assert [mark[:12] for mark in got["marks"]] == ["Extrapolated"] * (temp < 90) + ["A model: mor"]


@given(st.floats(0, 15), st.floats(4, 20), st.floats(1, 60))
def test_late_hops_make_the_bitterness_they_are_weighed_for(minute, alpha, wanted):
    log = [[0.0, 98.0], [10.0, 94.0], [30.0, 82.0]]
    shared = {"log": log, "volume_l": 800, "loss_factor": 0.46}
    got = isomerisation.late_addition(
        minute=minute, alpha_pct=alpha, target_ibu=wanted, other_ibu=0, **shared
    )
    made = isomerisation.isomerised(hops=[[minute, got["hops_kg"], alpha]], **shared)
    # each integration states an error of 1e-3 mg/L, the first of one kilogram only
    assert made["ibu"] == pytest.approx(wanted, abs=1e-3 * (1 + got["hops_kg"]))


@given(st.floats(1.02, 1.10), st.floats(0.0, 1.0))
def test_balling_loses_no_mass(original, share):
    present = original - share * (original - 1)
    start, now = gravity.plato_from_sg(sg=original), gravity.plato_from_sg(sg=present)
    formed = alcohol.per_wort(original_plato=start, apparent_plato=now)
    beer = 100 - formed * (alcohol.CO2_PER_ALCOHOL + alcohol.YEAST_PER_ALCOHOL)
    left = start - formed * alcohol.EXTRACT_PER_ALCOHOL
    assert left / beer * 100 == pytest.approx(
        alcohol.real_extract(original_plato=start, apparent_plato=now), abs=1e-9
    )


@given(st.integers(10000, 11000), st.integers(0, 1007))
def test_duty_strength_is_cut_off_and_never_rounded_up(original, fall):
    got = duty.duty_strength(original=original / 10, present=(original - fall) / 10)
    # tenths of a per cent, worked on whole numbers: fall in tenths of a degree by the factor in thousandths
    exact = fall * round(got["factor"] * 1000)
    assert numbers.quantise(got["abv"], 1) == exact // 1000
    assert got["abv"] <= got["exact"] + 1e-12 < got["abv"] + 0.1 + 1e-9


@given(st.integers(0, 2200), st.floats(0, 1e5))
def test_pure_alcohol_never_counts_a_hundredth_more(hundredths, volume):
    got = duty.pure_alcohol(volume_l=volume, abv=hundredths / 100, rate=None)
    assert got["abv"] == pytest.approx(hundredths // 10 / 10)
    assert got["litres"] == pytest.approx(volume * (hundredths // 10) / 1000)


@given(st.floats(0, 30), st.floats(1.1, 8), st.floats(0.9, 1.05))
def test_pressure_and_gas_return_to_the_start(temp, grams, air):
    got = carbonation.pressure(temp_c=temp, target_g_l=grams, air_bar=air)
    assert carbonation.equilibrium(temp_c=temp, absolute_bar=got["absolute_bar"]) == pytest.approx(grams)
    assert carbonation.equilibrium(temp_c=temp + 0.1, absolute_bar=got["absolute_bar"]) < grams


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


@given(st.floats(10, 5000), st.floats(0, 1.9), st.floats(5, 50))
def test_make_up_keeps_the_caustic(charge, free, stock):
    got = caustic.caustic_make_up(
        charge_l=charge, free_pct=free, target_pct_wv=2, stock_pct_ww=stock, stock_kg_l=1.3
    )
    held = charge * free + got["stock_l"] * stock * 1.3
    assert held / got["charge_l"] == pytest.approx(2)


@given(st.floats(0.1, 50), st.floats(1, 50), st.floats(0, 50), st.floats(0, 90))
def test_diluting_caustic_never_cools_what_is_equally_warm(kilograms, percent, temp, gap):
    warm = min(temp + gap, 90)
    got = caustic_heat.dilution_heat(
        stock_kg=kilograms, stock_pct_ww=percent, stock_c=temp, water_l=200, water_c=warm
    )
    assert got["worst_c"] >= warm
    assert got["final_c"] <= got["worst_c"] + 0.2
    if percent >= 25 and gap == 0:
        assert got["final_c"] >= warm - 0.05


@given(st.lists(st.tuples(st.floats(1, 15), st.floats(30, 90)), min_size=2, max_size=20))
def test_contact_time_logged_is_the_sum_of_its_pairs(steps):
    log, minute, total = [], 0.0, 0.0
    for gap, temp in steps:
        minute += gap
        log.append([minute, temp, 2.0])
    for before, after in pairwise(log):
        total += contact.contact_time(
            first_c=before[1],
            second_c=after[1],
            low_c=50,
            high_c=70,
            minutes=after[0] - before[0],
            before_min=0,
        )["credited_min"]
    got = contact.contact_time_logged(log=log, low_c=50, high_c=70, low_pct=0, most_gap_min=240)
    assert got["credited_min"] == pytest.approx(total)
    assert got["longest_min"] <= got["credited_min"] + 1e-9 <= got["span_min"] + 2e-9


@given(st.floats(0, 5000))
def test_rinse_limit_is_the_larger_and_never_below_the_mains(mains):
    limit = rinse.rinse_conductivity_limit(mains_us_cm=mains)["limit_us_cm"]
    assert limit >= mains + 50 - 1e-9
    assert limit == pytest.approx(mains * 1.1) or limit == pytest.approx(mains + 50)


@given(st.floats(5, 25000), st.floats(1, 5000), st.floats(0.99, 1.06))
def test_weight_and_volume_return_to_the_start(volume, tare, sg):
    gross = fills.target_weight(volume_ml=volume, tare_g=tare, gravity_sg=sg)["gross_g"]
    assert fills.fill_volume(gross_g=gross, tare_g=tare, gravity_sg=sg)["volume_ml"] == pytest.approx(volume)


@given(st.integers(5, 25000))
def test_tolerable_error_is_whole_tenths_and_never_below_its_percentage(nominal):
    error = quantity.tolerable_negative_error(nominal_ml=nominal)["error_ml"]
    share = {50: 0.09, 200: 0.045, 500: 0.03, 10000: 0.015, 25000: 0.01}
    fixed = {100: 4.5, 300: 9.0, 1000: 15.0, 15000: 150.0}
    top = min(limit for limit in share | fixed if nominal <= limit)
    assert error == fixed[top] if top in fixed else error - share[top] * nominal < 0.1 - 1e-9
    assert error * 10 == pytest.approx(round(error * 10))
    assert top in fixed or error >= share[top] * nominal - 1e-9


def plan(below: int, size: int, batch: int, way: str = "whole") -> str:
    """The verdict on `size` packages of 440 mL of which `below` are under T1."""
    contents = [[426.0]] * below + [[444.0]] * (size - below)
    return quantity.reference_test(nominal_ml=440, batch=batch, way=way, contents=contents)["verdict"]


@pytest.mark.parametrize(
    ("below", "size", "batch", "way", "verdict"),
    # Directive 76/211/EEC, Annex II, 2.2.1 and 2.2.2, read as retained law; SI 2006/659, Schedule 2, 3.3 to 3.6, read.
    [
        (1, 30, 400, "whole", "Accepted"), (2, 30, 400, "whole", "A second sample is to be measured"),
        (3, 30, 400, "whole", "Rejected on single packages"), (4, 60, 500, "whole", "Accepted"),
        (5, 60, 500, "whole", "Rejected on single packages"), (2, 50, 501, "whole", "Accepted"),
        (4, 50, 3200, "whole", "A second sample is to be measured"),
        (5, 50, 3200, "whole", "Rejected on single packages"),
        (6, 100, 2000, "whole", "Accepted"), (7, 100, 2000, "whole", "Rejected on single packages"),
        (3, 80, 3201, "whole", "Accepted"), (7, 80, 9000, "whole", "Rejected on single packages"),
        (8, 160, 9000, "whole", "Accepted"), (9, 160, 9000, "whole", "Rejected on single packages"),
        (8, 160, 60000, "whole", "Accepted"), (3, 50, 500, "single", "Accepted"),
        (4, 50, 500, "single", "Rejected on single packages"), (5, 80, 501, "single", "Accepted"),
        (7, 125, 60000, "single", "Accepted"), (8, 125, 60000, "single", "Rejected on single packages"),
        (4, 99, 99, "whole", "Accepted"), (5, 99, 99, "single", "Rejected on single packages"),
        (1, 20, 400, "opened", "Accepted"), (2, 20, 400, "opened", "Rejected on single packages"),
    ],
)  # fmt: skip
def test_the_reference_test_follows_the_plans_of_the_law(below, size, batch, way, verdict):
    assert plan(below, size, batch, way) == verdict


@given(st.dates(date(2000, 1, 1), date(2190, 12, 31)), st.integers(0, 120))
def test_months_are_added_by_the_calendar(start, months):
    end = days.text(days.add_months(days.parse(str(start)), months))
    year, month = divmod(start.year * 12 + start.month - 1 + months, 12)
    last = (date(year + (month + 1) // 12, (month + 1) % 12 + 1, 1) - timedelta(days=1)).day
    assert end == str(date(year, month + 1, min(start.day, last)))


@settings(deadline=None, max_examples=60)
@given(
    st.floats(0.70, 0.86), st.floats(26, 50), st.floats(6, 14), st.floats(-0.6, 0.6), st.integers(40, 160),
    st.randoms(use_true_random=False),
)  # fmt: skip
def test_the_end_lies_in_the_interval_forecast_for_it(share, middle, pace, lean, until, dice):
    # A fermentation made up with a known end, other than the curve fitted: two humps joined, with a reading's noise.
    def gravity_at(hours):
        first = 1 / (1 + math.exp(-(hours - middle) / pace))
        later = 1 - math.exp(-max(0, hours - middle) / (3 * pace))
        weight = 0.85 + 0.1 * lean
        return 1.050 - 0.050 * share * (weight * first + (1 - weight) * later)

    readings = [[float(h), gravity_at(h) + dice.gauss(0, 0.0004)] for h in range(0, until + 1, 8)]
    got = forecast.forecast(original_sg=1.0505, readings=readings, expected_pct=78, spread_pct=5)
    assert got["low_sg"] - 0.001 <= 1.050 - 0.050 * share <= got["high_sg"] + 0.001
