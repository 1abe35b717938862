"""Laws of mass, charge and heat that join sums of different subjects, beyond those of `test_properties`."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from vesselside.core.ground import days
from vesselside.core.ground.errors import CoreError
from vesselside.core.sums.brewhouse import (
    bitterness,
    copper,
    extract,
    gravity,
    isomerisation,
    mash,
    mash_ph,
    runoff,
    wort,
)
from vesselside.core.sums.cellar import alcohol, fermentation, hops, yeast
from vesselside.core.sums.cleaning import caustic_gas, effluent, peracetic
from vesselside.core.sums.office import losses
from vesselside.core.sums.packaging import control, oxygen, quantity

gravities = st.floats(1.005, 1.110)
litres = st.floats(50, 10000)


@given(st.floats(5, 120), st.floats(1.03, 1.1), st.floats(0.5, 25), litres)
def test_hops_for_a_bitterness_give_it_and_ask_for_the_same_boil(minutes, sg, alpha, volume):
    kilos = bitterness.hop_addition(
        target_ibu=30, other_ibu=0, alpha_pct=alpha, minutes=minutes, volume_l=volume, sg=sg
    )["hops_kg"]
    got = bitterness.boil_bitterness(hops=[[kilos, alpha, minutes]], volume_l=volume, sg=sg)
    assert got["ibu"] == pytest.approx(30)
    boil = bitterness.hop_minutes(target_ibu=30, hops_kg=kilos, alpha_pct=alpha, volume_l=volume, sg=sg)
    assert boil["minutes"] == pytest.approx(minutes, abs=1e-6)


@given(st.floats(0.2, 3), litres, st.floats(4, 25), st.floats(800, 3000), st.floats(60, 100))
def test_slurry_pitched_gives_the_rate_over_the_whole(rate, wort_l, plato, cells, viability):
    got = yeast.pitch(
        rate_m_ml_plato=rate,
        wort_l=wort_l,
        plato=plato,
        slurry_m_ml=cells,
        viability_pct=viability,
        slurry_kg_l=1.06,
    )
    live = got["slurry_l"] * cells * viability / 100
    assert live / (wort_l + got["slurry_l"]) / plato == pytest.approx(rate)


@given(st.floats(20, 3000), st.floats(0.05, 0.99), st.floats(1, 1440))
def test_a_sanitiser_that_falls_to_the_least_in_a_time_keeps_for_that_time(start, share, minutes):
    end = start * share
    got = peracetic.peracetic_left(start_mg_l=start, end_mg_l=end, minutes=minutes, least_mg_l=end)
    assert got["minutes"] == pytest.approx(minutes)


@given(litres, st.floats(1.005, 1.08), st.floats(0.75, 0.99))
def test_boiling_down_keeps_the_extract(start, sg, share):
    got = wort.boil_off(start_l=start, end_l=start * share, minutes=60, start_sg=sg)
    kept = gravity.extract_kg(volume_l=start * share, sg=got["sg"])
    assert kept == pytest.approx(gravity.extract_kg(volume_l=start, sg=sg))


@given(litres, st.floats(1.02, 1.08), st.floats(0.85, 1.2))
def test_what_the_copper_is_told_to_do_meets_the_gravity(volume, sg, share):
    target = 1 + (sg - 1) * share
    got = copper.end_of_boil(volume_l=volume, sg=sg, target_sg=target, rate_l_h=volume / 10)
    end = volume + got["liquor_l"] - volume / 10 * got["minutes"] / 60
    assert extract.sg_of_extract(extract=got["extract_kg"], volume_l=end) == pytest.approx(target, abs=1e-8)
    assert got["liquor_l"] == 0 or got["minutes"] == 0


BREW = st.tuples(
    st.floats(50, 400), st.floats(2.2, 3.8), st.floats(5, 25), st.floats(10, 70), st.floats(62, 70)
)


@given(st.lists(BREW, min_size=4, max_size=8), st.floats(0, 60), st.floats(0, 20))
def test_a_tuns_heat_is_found_again_from_brews_that_obey_it(brews, tun, slaking):
    rows = []
    for malt, ratio, malt_temp, tun_temp, goal in brews:
        got = mash.strike_temperature(
            malt_kg=malt,
            liquor_l=malt * ratio,
            mash_temp_c=goal,
            malt_temp_c=malt_temp,
            tun_temp_c=tun_temp,
            tun_heat_l=tun,
            moisture_pct=4,
            slaking_kj_kg=slaking,
        )
        rows.append([malt, malt * ratio, got["strike_c"], malt_temp, tun_temp, goal])
    spread = [tun_temp for _, _, _, tun_temp, _ in brews]
    sizes = [malt for malt, _, _, _, _ in brews]
    assume(max(spread) - min(spread) > 15)
    assume(max(sizes) - min(sizes) > 50)
    got = mash.tun_fit(brews=rows, moisture_pct=4)
    assert got["tun_heat_l"] == pytest.approx(tun, abs=1e-4)
    assert got["slaking_kj_kg"] == pytest.approx(slaking, abs=1e-4)


@given(litres, gravities, st.floats(0, 1))
def test_fermented_extract_is_alcohol_carbon_dioxide_and_yeast(volume, original, share):
    present = original - (original - 1) * share
    got = fermentation.gas_and_heat(volume_l=volume, original_sg=original, present_sg=present, temp_c=18)
    formed = got["co2_kg"] / 0.9565
    assert got["fermented_kg"] == pytest.approx(formed * (1 + 0.9565 + 0.11), rel=1e-6, abs=1e-12)


@given(st.floats(0, 100), st.floats(0, 100), st.floats(1, 400), st.floats(0.1, 1000), st.floats(1, 1e4))
def test_live_cells_are_no_more_than_cells_and_lie_in_their_interval(live, dead, squares, drop, dilution):
    assume(live + dead > 0)
    got = yeast.cell_count(live=live, dead=dead, squares=squares, square_nl=drop, dilution=dilution)
    assert got["low_m_ml"] <= got["live_m_ml"] <= min(got["high_m_ml"], got["cells_m_ml"] * (1 + 1e-9))
    assert 0 <= got["viability_pct"] <= 100 + 1e-9


@given(litres, litres, litres, litres)
def test_losses_of_the_stages_make_the_whole(one, two, three, four):
    got = losses.beer_losses(copper_l=one, fermenter_l=two, bright_l=three, packed_l=four)
    assert got["cast_l"] + got["cellar_l"] + got["pack_l"] == pytest.approx(got["total_l"], abs=1e-6)


@given(st.floats(70, 100), st.floats(10, 90), st.floats(0.1, 0.9))
def test_a_reading_on_the_straight_line_changes_nothing(end, minutes, share):
    log = [[0, 99.0], [minutes, end]]
    between = [minutes * share, 99 + (end - 99) * share]
    kilos = [[0.0, 1.0, 10.0], [minutes / 3, 0.5, 8.0]]
    plain = isomerisation.isomerised(log=log, hops=kilos, volume_l=500, loss_factor=0.5)
    split = isomerisation.isomerised(log=[log[0], between, log[1]], hops=kilos, volume_l=500, loss_factor=0.5)
    assert split["iso_mg_l"] == pytest.approx(plain["iso_mg_l"], abs=4e-3)


@given(gravities, st.floats(0, 0.9), st.floats(0.01, 0.1))
def test_a_lower_gravity_is_a_stronger_beer(original, share, further):
    present = original - (original - 1) * share
    lower = original - (original - 1) * (share + further)
    one = alcohol.attenuation(original_sg=original, present_sg=present)
    other = alcohol.attenuation(original_sg=original, present_sg=lower)
    assert other["abv"] > one["abv"]
    assert other["apparent_pct"] > one["apparent_pct"]
    assert other["real_pct"] < other["apparent_pct"]


@given(st.floats(0.1, 500), st.floats(5, 2000), st.floats(0.1, 30), st.floats(1.1, 3))
def test_more_air_is_cleaner_air_and_never_a_clearance(gas, room, changes, more):
    def settled(air):
        return fermentation.ventilation(co2_kg_h=gas, room_m3=room, changes_h=air, outside_ppm=420, temp_c=15)

    assert settled(changes * more)["settled_ppm"] < settled(changes)["settled_ppm"]
    assert settled(changes)["settled_ppm"] < 1e6
    assert any("never a clearance" in mark for mark in settled(changes * more)["marks"])


@given(st.floats(1, 100000), st.floats(0, 100), st.floats(0, 3), st.floats(0, 90), st.floats(0.05, 5))
def test_gas_shut_in_with_caustic_never_raises_the_pressure_and_always_warns(tank, gas, gauge, temp, free):
    got = caustic_gas.caustic_in_gas(
        tank_l=tank,
        gas_pct=gas,
        gauge_bar=gauge,
        temp_c=temp,
        charge_l=200,
        free_pct=free,
        vacuum_mbar=0,
        air_bar=1.013,
    )
    assert -1013.0 - 1e-6 <= got["lowest_mbar"] <= gauge * 1000 + 1e-6
    assert 0 <= got["lost_pct"] <= 100 + 1e-9
    assert any("vent" in mark for mark in got["marks"])


@given(
    litres,
    st.floats(0, 5),
    st.floats(0, 5),
    st.sampled_from(["hydrochloric", "nitric", "sulphuric", "citric"]),
)
def test_neutralising_takes_a_charge_for_each_base(spent, free, carbonate, acid):
    got = effluent.neutralisation(
        spent_l=spent, free_pct=free, carbonate_pct=carbonate, acid=acid, acid_pct_ww=50, acid_kg_l=1.2
    )
    twice = effluent.neutralisation(
        spent_l=2 * spent, free_pct=free, carbonate_pct=carbonate, acid=acid, acid_pct_ww=50, acid_kg_l=1.2
    )
    assert twice["stock_l"] == pytest.approx(2 * got["stock_l"])
    assert any("meter decides" in mark for mark in got["marks"])


@given(st.floats(-200, 400), st.floats(10, 100))
def test_alkaline_liquor_raises_mash_ph_and_the_estimate_keeps_its_spread(residual, more):
    def ph(mg_l):
        return mash_ph.mash_ph(grist=[[100, 5.75, 40]], liquor_l=280, residual_mg_l=mg_l, acid_meq=0)

    low, high = ph(residual), ph(residual + more)
    assert high["ph"] > low["ph"]
    assert low["low"] <= low["ph"] - 0.16 + 1e-9
    assert low["high"] >= low["ph"] + 0.16 - 1e-9


@given(st.floats(1, 30), st.floats(0, 1000), st.floats(0, 100))
def test_oxygen_in_all_is_at_least_what_is_dissolved(temp, dissolved, head):
    got = oxygen.total_oxygen(dissolved_ug_l=dissolved, beer_ml=440, head_ml=head, temp_c=temp)
    assert got["total_ug_l"] >= dissolved
    assert got["total_ug_l"] == pytest.approx(dissolved + got["head_ug_l"])


@given(st.floats(1, 50000), st.floats(0.1, 30), st.sampled_from(["pellets", "whole"]))
def test_dry_hops_keep_beer_and_creep_is_told(beer, dose, form):
    got = hops.dry_hop(beer_l=beer, dose_g_l=dose, form=form, kept_l_kg=None)
    assert got["out_l"] == pytest.approx(beer - got["kept_l"])
    assert any("Hop creep" in mark for mark in got["marks"])


@given(st.floats(50, 500), st.floats(2, 4), st.floats(0.5, 1.2), st.floats(0, 50))
def test_what_runs_off_and_what_stays_is_the_liquor(malt, ratio, absorbed, left):
    mashed = malt * ratio
    assume(mashed - malt * absorbed - left > 0)
    got = runoff.runoff_sparge(
        malt_kg=malt, mash_liquor_l=mashed, copper_l=mashed * 2, absorbed_l_kg=absorbed, left_l=left
    )
    assert got["first_l"] + got["kept_l"] + left == pytest.approx(mashed)
    assert got["total_l"] == pytest.approx(mashed * 2 + got["kept_l"] + left)


@given(st.floats(5, 25000), st.floats(0.01, 100), st.floats(0, 50))
def test_the_filler_is_never_set_below_nominal(nominal, spread, wander):
    got = quantity.fill_target(nominal_ml=nominal, spread_ml=spread, wander_ml=wander)
    assert got["target_ml"] >= nominal
    assert got["target_ml"] >= got["for_t1_ml"]
    assert got["target_ml"] >= got["for_t2_ml"]


@given(st.lists(st.lists(st.floats(400, 480), min_size=5, max_size=5), min_size=10, max_size=30))
def test_chart_limits_lie_about_the_centre_of_the_samples(samples):
    got = control.chart_limits(samples=samples)
    assert got["centre_ml"] == pytest.approx(sum(map(sum, samples)) / (5 * len(samples)))
    assert got["low_ml"] <= got["warn_low_ml"] <= got["centre_ml"] <= got["warn_high_ml"] <= got["high_ml"]
    assert got["top_ml"] >= got["range_ml"]


@pytest.mark.parametrize("text", ["2026-02-29", "2026-13-01", "26-01-01", "2026-1-1", "", "2026-04-31", None])
def test_what_is_no_day_is_refused(text):
    with pytest.raises(CoreError) as refused:
        days.parse(text)
    assert refused.value.code == "not-a-date"
