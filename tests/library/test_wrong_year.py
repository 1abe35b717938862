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


# -- stock and what is left over ---------------------------------------------


def test_stock_is_counted_standing_still_in_read_rooms_and_agreed_by_another() -> None:
    assert "still" in before("stock-count", "tanks")
    assert any(reads_gas(step("stock-count", key)) for key in before("stock-count", "tanks"))
    assert stops("stock-count", "still", "still") == {"moves"}
    assert {"closing", "moved", "balance"} <= before("stock-count", "agreed")
    assert step("stock-count", "agreed")["who"] == "second"


def test_a_stock_may_lack_or_be_over_by_the_sites_figures_alone() -> None:
    said = entry("stock-count", "balance", "share")
    assert said["works"]["calculation"] == "stock-balance"
    ends = [end for band in ("target", "stop") for end in said["limits"][band]]
    assert all(set(end) == {"setting"} for end in ends)


def test_nothing_that_touched_a_chemical_is_fed_and_yeast_is_dead_before_it_is() -> None:
    assert stops("by-products-and-waste", "sort", "feed") == {"doubt"}
    for key in ("heap", "yeast", "effluent", "drums"):
        assert "sort" in before("by-products-and-waste", key), key
    assert any(
        reads_gas(step("by-products-and-waste", key)) for key in before("by-products-and-waste", "yeast")
    )
    assert entry("by-products-and-waste", "yeast", "heat")["limits"]["stop"][0] == {
        "setting": "yeast-heat-stop"
    }
    assert "trace" in before("by-products-and-waste", "notes")


# -- water, seamer, taps -----------------------------------------------------


def test_standing_water_is_run_off_without_mist_before_any_is_read() -> None:
    for row in PROCEDURES["water-checks"]["steps"][1:]:
        assert "flush" in before("water-checks", row["id"]), row["id"]
    for key in ("flush", "tank", "hot", "cold", "cooling"):
        assert "legionella" in step("water-checks", key)["cautions"], key
    assert stops("water-checks", "backflow", "backflow") == {"bad"}
    assert "siphon-backflow" in step("water-checks", "backflow")["cautions"]


def test_a_seamer_is_opened_only_locked_empty_and_tried_dead() -> None:
    assert step("seamer-maintenance", "lock")["never_locked"]
    assert stops("seamer-maintenance", "lock", "locked") == {"not"}
    for key in ("guards", "chuck", "rolls", "timing", "grease"):
        assert {"lock", "empty", "trained"} <= before("seamer-maintenance", key), key
    assert "close" in before("seamer-maintenance", "prove")
    assert stops("seamer-maintenance", "grease", "grade") == {"other"}


def test_after_its_maintenance_a_seamer_has_no_pre_start_and_its_line_is_soiled() -> None:
    assert PROCEDURES["seamer-maintenance"]["leaves"] == "soiled"
    assert entry("seamer-maintenance", "hand-on", "pre-start")["renews"] == ["lapsed", "waits"]
    assert step("seamer-maintenance", "hand-on")["who"] == "second"


def test_every_tap_is_tagged_before_cleaner_is_made_and_untagged_by_another_after_its_rinse() -> None:
    assert before("taproom-lines", "close") == set()
    assert stops("taproom-lines", "close", "tagged") == {"not"}
    for key in ("make-up", "pull", "contact", "rinse"):
        assert {"room", "gas", "close", "wear", "off"} <= before("taproom-lines", key), key
    assert {"rinse", "nozzles"} <= before("taproom-lines", "beer")
    assert step("taproom-lines", "beer")["who"] == "second"


def test_no_cleaner_is_left_in_a_line_that_has_a_tap() -> None:
    assert stops("taproom-lines", "rinse", "left") == {"some"}
    assert "no night soak" in step("taproom-lines", "contact")["how"]
    assert {"caustic", "chlorine-with-acid", "chemical-to-water"} <= set(
        step("taproom-lines", "make-up")["cautions"]
    )
    assert entry("taproom-lines", "rinse", "ph")["limits"]["target"][0]["calculation"] == "rinse-ph-band"
