"""A gyle: planned against actual by brew, what the readings say, what to correct, and the curve."""

import pytest

from tests.core.brewing import RECIPE, run
from tests.core.builder import PROCEDURE, SEEN, Pen, administration
from tests.core.walker import ask
from vesselside.core.brew import chart, gyles
from vesselside.core.ground import numbers

SITE = {"brewhouse-efficiency": "75"}
MASH = {
    "malt": "226.2", "mash-liquor": "611", "strike": "76.7", "malt-temperature": "15.0", "tun-temperature": "20.0",
    "mash-temperature": "66.0",
}  # fmt: skip
COPPER_UP = {"boil-hop-1-alpha": "8.0", "copper-start": "1330", "copper-start-gravity": "1.0392"}
END = {"copper-end": "1240", "copper-end-gravity": "1.0420"}
CAST = {"brew-volume": "1190", "brew-gravity": "1.0418"}


def page(*runs, recipe=RECIPE, mashes=()):
    return gyles.gyle(recipe, SITE, list(runs), list(mashes))


def row(answer, key):
    return next(row for row in answer["rows"] if row["id"] == key)


def by_id(rows):
    return {row["id"]: row for row in rows}


def test_planned_stands_beside_actual_with_the_exact_difference():
    answer = page(run("m", 0, MASH), run("c", 300, {**COPPER_UP, **END}), run("f", 400, CAST))
    mash = row(answer, "mash-temperature")
    assert (mash["planned"], mash["actual"][0]["value"], mash["actual"][0]["difference"]) == (
        "66",
        "66.0",
        "0.0",
    )
    cast = row(answer, "brew-gravity")["actual"][0]
    assert (cast["difference"], cast["run"], cast["field"]) == ("-0.0002", "f", "brew-gravity")
    assert row(answer, "malt-temperature")["planned"] is None
    assert row(answer, "sparge")["actual"] == []


def test_a_brew_as_planned_gives_the_efficiency_and_losses_it_was_planned_with():
    answer = page(
        run("m", 0, MASH), run("c", 300, {**COPPER_UP, **END}), run("f", 400, {**CAST, "brew-volume": "1200"})
    )
    results = by_id(answer["results"])
    assert numbers.value(results["efficiency"]["value"]) == pytest.approx(75.0, abs=0.1)
    assert results["efficiency"]["site"] == {"setting": "brewhouse-efficiency", "value": "75"}
    assert (results["boil-off"]["value"], results["cast-loss"]["value"]) == ("90.0", "40")
    assert results["efficiency"]["working"]["calculation"] == "brewhouse-efficiency"


def test_results_wait_for_their_readings():
    assert page(run("m", 0, MASH))["results"] == []
    assert page()["results"] == []


def test_the_next_correction_goes_once_its_stage_is_over():
    missed = {**MASH, "mash-temperature": "64.2"}
    asked = [
        set(by_id(page(*runs)["corrections"]))
        for runs in (
            [run("m", 0, MASH)],
            [run("m", 0, missed)],
            [run("m", 0, MASH), run("c", 300, COPPER_UP)],
            [run("m", 0, MASH), run("c", 300, {**COPPER_UP, **END})],
            [run("m", 0, MASH), run("c", 300, {**COPPER_UP, **END}), run("f", 400, CAST)],
        )
    ]
    assert asked == [
        set(),
        {"mash"},
        {"hops", "copper-up"},
        {"hops", "end-of-boil", "next-malt"},
        {"hops", "next-malt"},
    ]


def test_a_weak_copper_is_told_what_it_lacks():
    weak = page(run("c", 300, {**COPPER_UP, "copper-start-gravity": "1.0370"}))
    working = by_id(weak["corrections"])["copper-up"]["working"]
    results = by_id(working["results"])
    assert numbers.value(results["end_sg"]["value"]) < 1.042
    assert numbers.value(results["sugar_kg"]["value"]) > 0


def test_this_lots_alpha_gives_this_lots_weight():
    working = by_id(page(run("c", 300, COPPER_UP))["corrections"])["hops"]["working"]
    planned = row(page(), "boil-hop-1")["planned"]
    assert numbers.value(working["results"][0]["value"]) == pytest.approx(
        numbers.value(planned) * 9.1 / 8.0, abs=0.01
    )


def test_a_worse_efficiency_asks_for_more_malt_next_time():
    worse = page(run("m", 0, MASH), run("c", 300, {**COPPER_UP, **END, "copper-end-gravity": "1.0395"}))
    more = by_id(worse["corrections"])["next-malt"]["working"]["results"][0]["value"]
    assert numbers.value(more) > 235


def test_two_brews_of_one_gyle_are_told_apart_and_blended():
    two = {**RECIPE, "brews": "2"}
    answer = page(
        run("m1", 0, MASH),
        run("f1", 400, CAST),
        run("m2", 500, {**MASH, "malt": "228.0"}),
        run("f2", 900, {"brew-gravity": "1.0430", "collected": "2392"}),
        recipe=two,
    )
    assert [made["value"] for made in row(answer, "malt")["actual"]] == ["226.2", "228.0"]
    assert [made["value"] for made in row(answer, "brew-volume")["actual"]] == ["1190", "1202"]
    assert row(answer, "collected")["actual"][0]["value"] == "2392"
    assert row(answer, "original-gravity")["actual"][0]["value"] == "1.0424"


def test_a_run_given_up_before_it_read_anything_is_no_brew():
    given_up = run("x", 0, {}, "malt")
    given_up["run"]["status"] = "abandoned"
    two = page(given_up, run("m", 10, MASH), recipe={**RECIPE, "brews": "2"})
    assert [made["brew"] for made in row(two, "malt")["actual"]] == [1]


def test_weights_keyed_one_by_one_are_added_up_and_the_last_of_two_readings_counts():
    answer = page(
        run("w", 0, {"whirlpool-hop-1": ["0.90", "0.96"]}), run("m", 5, MASH), run("n", 9, {"malt": "225.0"})
    )
    assert row(answer, "whirlpool-hop-1")["actual"][0]["value"] == "1.86"
    assert row(answer, "malt")["actual"][0]["value"] == "225.0"


def checks():
    return [
        run(f"d{day}", 400 + 1440 * day, {"gravity-now": sg, "temperature-now": "19.2"})
        for day, sg in enumerate(["1.0360", "1.0170", "1.0104"], 1)
    ]


def test_the_curve_runs_in_hours_from_the_first_gravity_and_is_forecast():
    answer = page(run("f", 400, CAST), *checks())
    assert [(point["hours"], point["gravity"]) for point in answer["curve"]] == [
        ("0.0", "1.0418"), ("24.0", "1.0360"), ("48.0", "1.0170"), ("72.0", "1.0104"),
    ]  # fmt: skip
    forecast = by_id(answer["forecast"]["results"])
    low, end, high = (numbers.value(forecast[key]["value"]) for key in ("low_sg", "end_sg", "high_sg"))
    assert low < end < high < 1.0130
    results = by_id(answer["results"])
    assert numbers.value(results["attenuation"]["value"]) == pytest.approx(74.6, abs=0.3)
    assert results["alcohol"]["unit"] == "%"


def test_no_forecast_before_the_gravity_falls():
    assert page(run("f", 400, CAST))["forecast"] is None
    assert page(*checks())["forecast"] is None
    assert page()["curve"] == []


def test_the_gravity_in_the_bright_tank_goes_before_the_last_daily_one():
    moved = run("t", 9000, {"final-gravity": "1.0090", "bright-volume": "1150"})
    results = by_id(page(run("f", 400, CAST), *checks(), moved)["results"])
    assert numbers.value(results["attenuation"]["value"]) > 77
    assert results["cellar-loss"]["value"] == "3.4"


def test_the_tun_is_fitted_from_three_unlike_mashes():
    mashes = [
        {**MASH, "tun-temperature": tun, "strike": strike, "malt": malt}
        for tun, strike, malt in (("20.0", "77.5", "226"), ("60.0", "74.6", "226"), ("40.0", "75.6", "190"))
    ]
    fitted = page(mashes=mashes)["tun"]
    assert [row["setting"] for row in fitted["site"]] == ["mash-tun-heat", "malt-slaking"]
    assert fitted["working"]["calculation"] == "tun-fit"
    assert page(mashes=mashes[:2])["tun"] is None
    assert gyles.mash_of([run("m", 0, MASH)]) == MASH


def test_without_a_whole_recipe_the_readings_stand_alone():
    for recipe in (None, {"id": "old", "name": "Old card"}):
        answer = page(run("m", 0, MASH), *checks(), recipe=recipe)
        assert answer["sheet"] is None
        assert answer["rows"] == [row for row in answer["rows"] if row["planned"] is None]
        assert len(answer["readings"]) == len(MASH) + 6


def test_the_drawing_holds_every_reading_between_its_marks():
    before = page(run("f", 400, CAST), *checks())["curve"]
    answer = gyles.gyle(
        RECIPE, SITE, [run("g", 9000, CAST), run("h", 10500, {"gravity-now": "1.0361"})], [], before
    )
    drawn = answer["chart"]
    assert [mark["text"] for mark in drawn["gravity"]] == [
        "1.000",
        "1.010",
        "1.020",
        "1.030",
        "1.040",
        "1.050",
    ]
    assert [mark["at"] for mark in drawn["gravity"]] == [1000, 800, 600, 400, 200, 0]
    assert [mark["text"] for mark in drawn["days"]] == ["0", "1", "2", "3"]
    assert [line["id"] for line in drawn["lines"]] == ["now", "before"]
    assert drawn["lines"][0]["gravity"] == [(0, 164), (347, 278)]
    assert drawn["lines"][1]["gravity"][-1] == (1000, 792)
    assert drawn["lines"][1]["temperature"] == [(333, 160), (667, 160), (1000, 160)]
    assert (drawn["planned"], drawn["forecast"]) == (820, None)


def test_a_forecast_is_drawn_within_its_interval_and_nothing_without_a_gravity():
    drawn = page(run("f", 400, CAST), *checks())["chart"]
    assert drawn["forecast"]["high"] < drawn["forecast"]["end"] < drawn["forecast"]["low"] <= 1000
    assert page()["chart"] is None
    assert page(run("m", 0, MASH))["chart"] is None


def test_a_device_takes_the_figures_of_the_site_as_they_were_known_where_the_gyle_was_begun():
    def left_after(seen):
        given = [("0000000000000007", "55"), ("0000000000000008", "70")]
        admin = administration()
        for sequence, value in given:
            data = {"name": "whirlpool-left", "value": value}
            admin.append({**admin[0], "sequence": sequence, "type": "setting.changed", "data": data})
        records = {"run": "r1", "procedure": PROCEDURE, "admin": admin, "events": [Pen().opened(seen=seen)]}
        sheet = ask("gyle", recipe=RECIPE, runs=[records])["sheet"]
        return next(line["value"] for line in sheet["lines"] if line["id"] == "copper-end")

    usual = page()["sheet"]["lines"]
    assert left_after(SEEN) == next(line["value"] for line in usual if line["id"] == "copper-end")
    first, second = left_after("0000000000000007"), left_after("0000000000000008")
    assert numbers.plus(second, "-" + first) == "15"


def test_a_slip_of_the_thumb_is_left_out_of_the_drawing_and_spoils_nothing():
    right = [
        {"hours": str(at * 24), "gravity": gravity, "temperature": "19.0", "time": "", "run": f"r{at}"}
        for at, gravity in enumerate(("1.0420", "1.0300", "1.0150"))
    ]
    slips = [{**right[1], "gravity": "10300"}, {**right[2], "temperature": "9" * 24}]
    drawn, usual = chart.chart([*right, *slips], [], None, None), chart.chart(right, [], None, None)
    assert (drawn["gravity"], drawn["temperature"]) == (usual["gravity"], usual["temperature"])
    assert len(drawn["lines"][0]["temperature"]) == 4
    assert chart.chart([{**right[0], "gravity": "1042"}], [], None, None) is None
