"""A year's round of opening, locking, standing, starting again, looking, counting: order and hazards, as data."""

import pytest

from .test_dangerous import PROCEDURES, before, entries, entry, interlocks, reads_gas, step


def stops(name: str, key: str, field: str) -> set[str]:
    """The answers of a choice that stop the step."""
    return {row["id"] for row in entry(name, key, field)["options"] if row["verdict"] == "stop"}


# -- gas before rooms --------------------------------------------------------


@pytest.mark.parametrize("name", ["opening-up", "restart-after-shut-down"])
def test_the_monitor_is_read_outside_before_the_first_door_and_the_door_before_all_else(name: str) -> None:
    assert before(name, "monitor") == set()
    assert before(name, "door") == {"monitor"}
    assert reads_gas(step(name, "door"))
    for row in PROCEDURES[name]["steps"][2:]:
        assert "door" in before(name, row["id"]), row["id"]


def test_an_alarm_in_the_night_keeps_everybody_out() -> None:
    assert stops("opening-up", "door", "fan") == {"rang", "dead"}
    assert stops("restart-after-shut-down", "door", "smell") == {"smell"}


def test_nothing_is_heated_in_the_morning_before_its_level_is_seen() -> None:
    assert stops("opening-up", "water", "level") == {"low"}
    assert {"tanks", "gas"} <= before("opening-up", "water")


# -- the evening -------------------------------------------------------------


@pytest.mark.parametrize("key", ["heat", "gas", "vents"])
def test_heat_gas_and_vents_wait_for_nobody_at_night(key: str) -> None:
    assert step("lock-up", key)["never_locked"]
    assert before("lock-up", key) == set()


def test_people_are_counted_out_and_nobody_leaves_a_blocked_vent_or_a_dead_alarm() -> None:
    assert stops("lock-up", "people", "out") == {"missing"}
    assert stops("lock-up", "vents", "way") == {"blocked"}
    assert stops("lock-up", "alarms", "alarms") == {"one"}
    assert entries(step("lock-up", "vents"))[0] == "room"
    assert "people" in before("lock-up", "doors")


# -- weeks of standing -------------------------------------------------------


def test_a_tank_is_opened_to_dry_only_cleaned_vented_and_from_outside() -> None:
    assert {"clean", "room"} <= before("long-shut-down", "dry")
    assert "entry" in interlocks(step("long-shut-down", "dry"))
    assert stops("long-shut-down", "dry", "dry") == {"pressure"}
    assert {"pressure-manway", "vacuum", "confined-space"} <= set(step("long-shut-down", "dry")["cautions"])


@pytest.mark.parametrize("key", ["gas", "power"])
def test_gas_and_power_are_made_dead_whatever_else_waits(key: str) -> None:
    assert step("long-shut-down", key)["never_locked"]
    assert "gas" in before("long-shut-down", "notice")


def test_no_ferment_and_no_warm_water_is_left_to_itself() -> None:
    assert stops("long-shut-down", "beer", "ferment") == {"alone"}
    assert stops("long-shut-down", "water", "tank") == {"standing"}


def test_water_that_stood_is_flushed_without_mist_before_it_is_heated_or_sprayed() -> None:
    assert {"flush", "tank"} <= before("restart-after-shut-down", "hot")
    assert "hot" in before("restart-after-shut-down", "clean")
    for key in ("flush", "tank", "hot"):
        assert "legionella" in step("restart-after-shut-down", key)["cautions"], key
    assert "level over the element" in entry("restart-after-shut-down", "tank", "tank")["options"][0][
        "label"
    ].replace(",", "")


def test_nothing_starts_again_before_valves_seals_and_instruments_are_checked() -> None:
    assert {"pressure", "power", "seals", "checks", "hot"} <= before("restart-after-shut-down", "clean")
    assert {"clean", "sample", "stock"} <= before("restart-after-shut-down", "go")
    assert step("restart-after-shut-down", "go")["who"] == "second"


# -- rounds ------------------------------------------------------------------


def test_bait_and_droppings_are_met_gloved_wet_and_by_the_contractor() -> None:
    assert before("pest-round", "points") == {"wear"}
    for key in ("wear", "points", "signs", "clean"):
        assert "pest-dirt" in step("pest-round", key)["cautions"], key
    assert "Never swept" in step("pest-round", "clean")["how"]
    assert "spilt" in stops("pest-round", "points", "bait")


def test_a_break_of_glass_stops_holds_and_is_signed_by_another() -> None:
    assert step("glass-and-hard-plastic-round", "stop")["never_locked"]
    assert {"stop", "hold", "collect", "missing"} <= before("glass-and-hard-plastic-round", "clear")
    assert step("glass-and-hard-plastic-round", "clear")["who"] == "second"
    assert stops("glass-and-hard-plastic-round", "collect", "whole") == {"lacking"}
    assert "Never compressed air" in step("glass-and-hard-plastic-round", "collect")["how"]


def test_an_unknown_bottle_is_left_shut() -> None:
    assert stops("hygiene-round", "chemicals", "bottles") == {"unknown"}
    assert reads_gas(step("hygiene-round", "room"))


def test_help_comes_before_any_question_and_no_illness_is_written() -> None:
    assert step("illness-and-fitness-to-work", "now")["never_locked"]
    assert {"now", "others"} <= before("illness-and-fitness-to-work", "private") | {"now"}
    said = " ".join(step("illness-and-fitness-to-work", "private")["how"].split())
    assert "No name of an illness" in said
    hours = entry("illness-and-fitness-to-work", "back", "hours")["limits"]
    assert hours["stop"][0] == {"setting": "fit-hours-stop"}
    figures = {row["id"]: row["default"] for row in PROCEDURES["illness-and-fitness-to-work"]["settings"]}
    assert figures["fit-hours-stop"] == "48"
