"""Beer let go by name, and casks and kegs sent out and taken back: what must be so before it, as data."""

import pytest

from vesselside.core.plant import fitness

from .test_dangerous import PROCEDURES, before, entries, entry, interlocks, reads_gas, step, verdicts

# -- release -----------------------------------------------------------------


@pytest.mark.parametrize("key", ["release", "release-cask"])
def test_beer_in_any_vessel_is_released_by_two_on_all_that_was_read_out(key: str) -> None:
    assert {"fermenter", "bright"} <= set(PROCEDURES["beer-release"]["vessel_kinds"])
    row = step("beer-release", key)
    assert row["shows"] == ["released"]
    assert row["who"] == "second"
    assert interlocks(row) == {key}
    read_out = {
        "hold", "gravity", "limit", "creep", "butter", "ph", "lots", "deviations", "micro", "taste",
    }  # fmt: skip
    assert read_out <= before("beer-release", key)


def test_only_a_release_to_can_or_keg_rests_on_carbonation() -> None:
    assert "carbonation" in before("beer-release", "release")
    assert "carbonation" not in before("beer-release", "release-cask")
    assert step("beer-release", "carbonation")["shows"] == ["carbonation"]


def test_a_release_shows_nothing_of_what_it_only_reads_from_the_record() -> None:
    shown = {fact for row in PROCEDURES["beer-release"]["steps"] for fact in row.get("shows", [])}
    assert shown == {"ph", "carbonation", "released"}
    assert set(fitness.NEEDED["release"]) - shown == {"stable", "limit", "diacetyl", "creep"}


@pytest.mark.parametrize(
    ("key", "field", "answer"),
    [
        ("hold", "hold", "held"), ("limit", "yeast", "open"), ("limit", "strength", "no-plan"),
        ("creep", "added", "going"), ("butter", "butter", "untested"), ("lots", "lots", "unknown"),
        ("micro", "micro", "wait"), ("micro", "micro", "fail"), ("taste", "taste", "apart"), ("taste", "taste", "off"),
    ],
)  # fmt: skip
def test_what_is_not_shown_stops_the_release(key: str, field: str, answer: str) -> None:
    assert verdicts("beer-release", key, field)[answer] == "stop"


def test_no_open_deviation_is_released_over() -> None:
    said = entry("beer-release", "deviations", "open")["limits"]
    assert said["stop"] == [None, "0"]


# -- sent out, taken back ----------------------------------------------------


def test_what_is_sent_out_is_released_and_known_by_number_and_lot() -> None:
    assert interlocks(step("cask-keg-dispatch", "released")) == {"package", "lots"}
    assert "released" in before("cask-keg-dispatch", "numbers")
    assert "numbers" in before("cask-keg-dispatch", "load")
    number, mark = (entry("cask-keg-dispatch", "numbers", field) for field in ("number", "mark"))
    assert (number["kind"], number["series"]) == ("lot", True)
    assert mark["kind"] == "lot"
    assert {"customer", "number"} <= set(entries(step("cask-keg-dispatch", "note")))


def test_a_number_has_one_form_going_out_and_coming_back() -> None:
    fields = ("kind", "series", "label")
    out = entry("cask-keg-dispatch", "numbers", "number")
    back = entry("cask-keg-return", "numbers", "number")
    assert [out[field] for field in fields] == [back[field] for field in fields]
    assert entry("cask-keg-return", "quarantine", "number")["kind"] == "lot"


def test_two_count_what_is_on_the_vehicle_against_the_note() -> None:
    assert step("cask-keg-dispatch", "count")["who"] == "second"
    said = entry("cask-keg-dispatch", "count", "counted")["limits"]
    assert said["target"] == [{"entry": "note.wanted"}] * 2


@pytest.mark.parametrize(
    ("name", "key", "later"),
    [("cask-keg-dispatch", "room", "take"), ("cask-keg-return", "vehicle", "unload")],
)
def test_the_air_round_casks_is_read_before_they_are_handled(name: str, key: str, later: str) -> None:
    assert reads_gas(step(name, key))
    assert key in before(name, later)


def test_a_hissing_keg_is_left_alone_at_once() -> None:
    assert step("cask-keg-return", "aside")["never_locked"]
    assert before("cask-keg-return", "aside") == set()
    assert {"pressurised-line", "co2-room"} <= set(step("cask-keg-return", "aside")["cautions"])


def test_nothing_is_washed_that_was_not_smelt_let_down_and_sorted() -> None:
    assert {"damage", "smell", "let-down", "quarantine"} <= before("cask-keg-return", "to-wash")
    assert verdicts("cask-keg-return", "smell", "smell")["foreign"] == "stop"
    assert {"residual-caustic", "co2-room"} <= set(step("cask-keg-return", "smell")["cautions"])
    assert "never put your nose to" in " ".join(step("cask-keg-return", "smell")["how"].split())
