"""Micro, kept samples, fruit, a tank closed on its own gas, and caustic used again: what protects people, as data."""

import pytest

from vesselside.core.plant import fitness
from vesselside.core.run import limits

from .test_dangerous import PROCEDURES, before, entries, entry, interlocks, reads_gas, step, verdicts

SAFE = [
    ("forced-and-kept-samples", "burst"), ("adjuncts-and-fruit", "vent-open"), ("natural-carbonation", "let-down"),
    ("recovered-caustic-tank", "stop"), ("recovered-caustic-tank", "still"),
]  # fmt: skip


class Figures:
    """A procedure's own figures, with what was read."""

    def __init__(self, name: str, **read: str) -> None:
        self.figures = {row["id"]: row["default"] for row in PROCEDURES[name].get("settings", [])}
        self.read = {key.replace("__", "."): value for key, value in read.items()}

    def setting(self, key: str) -> str:
        return self.figures[key]

    def entry(self, field: str) -> str:
        return self.read[field]


def verdict(name: str, key: str, field: str, typed: str, **read: str) -> str:
    """How a reading is judged by the procedure's own figures."""
    said: str = limits.judge(entry(name, key, field), typed, Figures(name, **read))["verdict"]
    return said


@pytest.mark.parametrize(("name", "key"), SAFE)
def test_making_safe_waits_for_nothing(name: str, key: str) -> None:
    assert step(name, key)["never_locked"]
    assert before(name, key) == set()


# -- micro -------------------------------------------------------------------


def test_no_point_is_swabbed_that_is_not_safe_to_reach() -> None:
    assert "safe" in before("micro-plan", "swab")
    assert {"guards-isolation", "residual-caustic", "confined-space"} <= set(
        step("micro-plan", "safe")["cautions"]
    )


def test_plates_count_only_with_their_controls_and_a_failed_one_holds_what_it_touches() -> None:
    assert verdict("micro-plan", "read", "blank", "1") == "stop"
    assert verdicts("micro-plan", "read", "known")["not"] == "stop"
    assert verdicts("micro-plan", "failed", "held") == {"none": "target", "held": "advise", "loose": "stop"}
    assert {"swab", "read"} <= before("micro-plan", "failed")
    assert "failed" in before("micro-plan", "tell")
    assert step("micro-plan", "tell")["who"] == "second"


def test_plates_are_killed_away_from_acid_and_steam_is_seen_off() -> None:
    assert {"steam", "hypochlorite", "chlorine-with-acid"} <= set(step("micro-plan", "waste")["cautions"])


# -- forced and kept ---------------------------------------------------------


def test_no_warm_package_is_opened() -> None:
    assert "cool" in before("forced-and-kept-samples", "open")
    for typed, said in (("4", "target"), ("8", "advise"), ("20", "stop")):
        assert verdict("forced-and-kept-samples", "cool", "temperature", typed) == said
    assert {"pressurised-line", "jammed-cans"} <= set(step("forced-and-kept-samples", "open")["cautions"])


def test_a_gravity_that_falls_in_the_package_stops_and_is_signed_by_two() -> None:
    read = {"gravity__packed": "1.0090"}
    said = [
        verdict("forced-and-kept-samples", "gravity", "now", typed, **read)
        for typed in ("1.0090", "1.0080", "1.0070")
    ]
    assert said == ["target", "advise", "stop"]
    assert "gravity" in before("forced-and-kept-samples", "decide")
    assert step("forced-and-kept-samples", "decide")["who"] == "second"


def test_nobody_tastes_before_being_asked() -> None:
    assert "panel" in before("forced-and-kept-samples", "taste")
    assert verdicts("forced-and-kept-samples", "panel", "asked")["not"] == "stop"


# -- fruit -------------------------------------------------------------------


def test_fruit_goes_into_a_vented_tank_with_room_by_a_cupful_first() -> None:
    assert {"allergens", "apart", "headroom", "vent-open", "platform"} <= before(
        "adjuncts-and-fruit", "first"
    )
    assert {"first", "wait"} <= before("adjuncts-and-fruit", "rest")
    row = step("adjuncts-and-fruit", "vent-open")
    assert entries(row)[:2] == ["extraction", "room"]
    assert interlocks(step("adjuncts-and-fruit", "first")) == {"add"}


def test_what_ferments_again_is_left_a_way_out_and_is_not_released() -> None:
    assert step("adjuncts-and-fruit", "shut")["who"] == "second"
    assert entries(step("adjuncts-and-fruit", "shut")) == ["port", "way"]
    assert {"shut", "pressure", "clean"} <= before("adjuncts-and-fruit", "label")
    held = entry("adjuncts-and-fruit", "pressure", "pressure")["limits"]
    assert held["stop"] == [None, {"setting": "fermenter-pressure-stop"}]


def test_a_cupful_of_fruit_ends_all_that_a_release_rests_on() -> None:
    assert set(step("adjuncts-and-fruit", "first")["ends"]) == set(fitness.FACTS)


def test_hops_end_what_hop_creep_may_undo_and_other_beer_all_that_was_shown_of_this() -> None:
    assert set(step("dry-hop", "pinch")["ends"]) == {"stable", "limit", "diacetyl", "creep", "released"}
    assert set(step("blend-and-rework", "move")["ends"]) == set(fitness.FACTS)


def test_an_allergen_is_on_the_label_before_it_is_in_the_beer() -> None:
    assert verdicts("adjuncts-and-fruit", "allergens", "label")["lacks"] == "stop"
    assert verdicts("adjuncts-and-fruit", "apart", "kept")["shared"] == "stop"
    assert "rest" in before("adjuncts-and-fruit", "clean")


# -- closed on its own gas ---------------------------------------------------


def test_a_tank_is_closed_only_under_a_relief_valve_by_two() -> None:
    assert {"plate", "room", "free", "forced", "set", "gauge"} <= before("natural-carbonation", "close")
    assert step("natural-carbonation", "close")["who"] == "second"
    assert verdicts("natural-carbonation", "close", "closed") == {"valve": "target", "shut": "stop"}
    assert verdicts("natural-carbonation", "free", "path")["tap"] == "stop"


def test_one_figure_holds_the_pressure_and_it_is_never_above_the_plate() -> None:
    figure = {"setting": "fermenter-pressure-stop"}
    assert entry("natural-carbonation", "plate", "plate")["limits"]["stop"][0] == figure
    assert entry("natural-carbonation", "set", "lifts")["limits"]["stop"] == [None, figure]
    for key in ("first-hours", "daily"):
        assert entry("natural-carbonation", key, "pressure")["limits"]["stop"] == [None, figure]
    assert verdict("natural-carbonation", "plate", "plate", "0.9") == "stop"
    # a relief valve that opens above the plate guards nothing
    assert verdict("natural-carbonation", "plate", "opens", "1.6", plate__plate="1.5") == "stop"


def test_a_tank_is_not_closed_with_more_to_ferment_than_it_can_let_off() -> None:
    said = [
        verdict("natural-carbonation", "forced", "now", typed, forced__forced="1.0090")
        for typed in ("1.0070", "1.0095", "1.0120", "1.0140", "1.0200")
    ]
    assert said == ["stop", "advise", "target", "advise", "stop"]


def test_the_gas_that_is_let_off_is_read_and_led_outside_first() -> None:
    for key in ("let-down", "room"):
        assert reads_gas(step("natural-carbonation", key))
    assert verdicts("natural-carbonation", "room", "hose")["inside"] == "stop"
    assert "room" in before("natural-carbonation", "close")


# -- caustic used again ------------------------------------------------------


def test_used_caustic_is_sampled_with_pumps_locked_and_titrated_cool() -> None:
    assert {"wear", "still", "heat"} <= before("recovered-caustic-tank", "sample")
    assert "sample" in before("recovered-caustic-tank", "titrate")
    assert verdict("recovered-caustic-tank", "sample", "temperature", "55") == "stop"


def test_used_caustic_is_kept_by_strength_carbonate_soil_and_uses() -> None:
    assert {"log", "titrate", "soil"} <= before("recovered-caustic-tank", "decide")
    assert step("recovered-caustic-tank", "decide")["who"] == "second"
    assert verdict("recovered-caustic-tank", "titrate", "carbonate", "2.1") == "stop"
    assert verdict("recovered-caustic-tank", "soil", "settled", "50") == "stop"
    assert verdict("recovered-caustic-tank", "log", "uses", "21") == "stop"


def test_used_caustic_is_made_up_cold_and_titrated_again() -> None:
    said = [
        verdict("recovered-caustic-tank", "make-up", "temperature", typed) for typed in ("20", "38", "55")
    ]
    assert said == ["target", "advise", "stop"]
    assert "chemical-to-water" in step("recovered-caustic-tank", "make-up")["cautions"]
    assert {"make-up", "again"} <= before("recovered-caustic-tank", "tag")


def test_used_caustic_never_meets_acid_or_chlorine() -> None:
    assert verdicts("recovered-caustic-tank", "log", "tag")["other"] == "stop"
    assert verdicts("recovered-caustic-tank", "discard", "holding")["other"] == "stop"
    for key in ("log", "discard"):
        assert "chlorine-with-acid" in step("recovered-caustic-tank", key)["cautions"]
