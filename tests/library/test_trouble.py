"""When it goes wrong: what hurts is made safe first, causes are ranked, the cure is read, and there is a way out."""

from typing import Any

import pytest

from .test_dangerous import LIBRARY, PROCEDURES, before, entries, entry, reads_gas, step, verdicts
from .test_walk import Hand, asked_of, readings_of

TROUBLE = sorted(row["id"] for row in LIBRARY.procedures if row["kind"] == "trouble")
WANTED = {
    "stuck-mash", "missed-gravity", "slow-ferment", "hot-ferment", "foaming-filler", "low-carbonation", "failed-seam",
    "failed-micro",
}  # fmt: skip


def test_the_wrong_moments_have_their_page() -> None:
    assert set(TROUBLE) >= WANTED


@pytest.mark.parametrize("name", TROUBLE)
def test_making_safe_comes_first_and_waits_for_nothing(name: str) -> None:
    first = PROCEDURES[name]["steps"][0]
    assert first["id"] == "safe"
    assert first["never_locked"]
    assert first["critical"]
    assert before(name, "safe") == set()
    answers = [verdicts(name, "safe", made["id"]) for made in first["entries"] if made["kind"] == "choice"]
    assert any("stop" in found.values() for found in answers)


@pytest.mark.parametrize("name", TROUBLE)
def test_nothing_is_read_or_done_at_the_plant_before_it_is_safe(name: str) -> None:
    for key in ("read", "act", "again"):
        assert "safe" in before(name, key), key


@pytest.mark.parametrize("name", TROUBLE)
def test_the_causes_stand_in_order_each_with_its_sign_and_what_to_do(name: str) -> None:
    causes = entry(name, "cause", "cause")["options"]
    assert "in order" in step(name, "cause")["how"]
    assert len(causes) >= 5
    for row in causes:
        assert ": " in row["label"], row["id"]
        assert row["advice"], row["id"]
    # the false alarm is no cause: it stands last and alone on target
    assert [row["verdict"] for row in causes] == ["advise"] * (len(causes) - 1) + ["target"]


@pytest.mark.parametrize("name", TROUBLE)
def test_readings_come_before_the_cause_the_cause_before_the_cure_and_a_reading_after(name: str) -> None:
    assert "read" in before(name, "cause")
    assert "cause" in before(name, "act")
    assert "act" in before(name, "again")
    assert "again" in before(name, "outcome")
    assert {"did", "who"} <= set(entries(step(name, "act")))
    read = [made for made in step(name, "again")["entries"] if "limits" in made]
    assert read
    assert all("stop" in made["limits"] for made in read)
    assert any("raise a deviation here" in made["limits"]["halt"].lower() for made in read)


@pytest.mark.parametrize("name", TROUBLE)
def test_a_reading_of_the_trouble_itself_stops_nothing_but_where_it_can_hurt(name: str) -> None:
    """What is far out is why the page was opened: only pressure, and what may make ill, stops before the cure."""
    stopping = {
        made["id"]
        for key in ("read", "gravity")
        if any(row["id"] == key for row in PROCEDURES[name]["steps"])
        for made in step(name, key)["entries"]
        if "stop" in made.get("limits", {}) and made.get("label") != "Sample temperature"
    }
    assert stopping <= ({"samples", "ph"} if name == "failed-micro" else {"pressure"})


@pytest.mark.parametrize("name", TROUBLE)
def test_when_it_is_not_cured_a_hold_a_deviation_or_a_dump_is_named_by_a_brewer(name: str) -> None:
    row = step(name, "outcome")
    assert row["who"] in ("brewer", "second")
    stops = [
        option for made in row["entries"] for option in made.get("options", []) if option["verdict"] == "stop"
    ]
    assert "hold" in {option["id"] for option in stops}
    assert all(option["advice"].startswith("Raise a deviation") for option in stops)


@pytest.mark.parametrize("name", TROUBLE)
def test_a_manager_is_told_by_name(name: str) -> None:
    (told,) = [made for made in step(name, "told")["entries"] if made["id"] == "told"]
    assert told["kind"] == "text"
    assert not told.get("optional")
    assert "Manager" in told["label"]


@pytest.mark.parametrize("name", TROUBLE)
def test_a_run_that_did_not_cure_it_is_closed_with_a_deviation(name: str) -> None:
    procedure = PROCEDURES[name]
    walker = Hand(
        procedure, LIBRARY.cautions, inputs_given=asked_of(procedure), readings=readings_of(procedure)
    )
    while walker.view["next"] != "outcome":
        walker.do(walker.view["next"])
    walker.meet("outcome")
    for made in step(name, "outcome")["entries"]:
        answers = {row["id"]: row["verdict"] for row in made["options"]}
        worst = "hold" if answers.get("hold") == "stop" else next(iter(answers))
        walker.act("enter", step="outcome", field=made["id"], typed=worst, how="keyed")
    waits = {wait["code"] for wait in walker.view["steps"]["outcome"]["waits"]}
    assert "stop" in waits
    walker.act("deviate", step="outcome", text="Not cured; held.")
    walker.act("done", step="outcome")
    if any(wait["code"] == "second" for wait in walker.view["steps"]["outcome"]["waits"]):
        walker.as_second("sign", step="outcome")
    while walker.view["next"]:
        walker.do(walker.view["next"])
    walker.act("finish")
    assert walker.view["status"] == "finished"
    assert [row["step"] for row in walker.view["deviations"]] == ["outcome"]


@pytest.mark.parametrize("name", ["slow-ferment", "hot-ferment", "low-carbonation"])
def test_the_room_is_read_before_anybody_looks_at_a_tank_that_gives_gas(name: str) -> None:
    assert reads_gas(step(name, "safe"))
    assert "co2-room" in step(name, "safe")["cautions"]


@pytest.mark.parametrize("name", ["slow-ferment", "hot-ferment"])
def test_a_ferment_is_roused_fed_or_chilled_only_with_its_vent_seen_again(name: str) -> None:
    row = step(name, "act")
    assert entries(row)[0] == "vent"
    assert verdicts(name, "act", "vent") == {"open": "target", "shut": "stop"}
    assert {"fobbing", "vacuum"} & set(row["cautions"])


def test_gas_is_shut_before_its_leak_is_looked_for() -> None:
    assert entries(step("low-carbonation", "safe")) == ["gas", "room"]
    assert verdicts("low-carbonation", "act", "relief")["doubt"] == "stop"


def test_a_seamer_is_set_only_locked_and_its_cans_are_held_first() -> None:
    assert verdicts("failed-seam", "safe", "safe") == {"locked": "target", "not": "stop"}
    assert {"guards-isolation", "compressed-air"} <= set(step("failed-seam", "act")["cautions"])
    assert before("failed-seam", "hold") == set()
    assert "hold" in before("failed-seam", "told")
    order = [row["id"] for row in PROCEDURES["failed-seam"]["steps"]]
    assert order.index("told") < order.index("act")


@pytest.mark.parametrize(
    ("name", "renews"), [("failed-seam", ["lapsed"]), ("foaming-filler", ["long-stop", "joint"])]
)
def test_a_line_that_was_opened_or_stood_has_no_pre_start_left(name: str, renews: list[str]) -> None:
    assert entry(name, "act", "since")["renews"] == renews


def test_nobody_reaches_into_a_stuck_mash_and_its_liquor_is_read_first() -> None:
    safe = step("stuck-mash", "safe")
    assert {"mash-rakes", "confined-space", "hot-wort"} <= set(safe["cautions"])
    assert "nobody goes in the tun" in " ".join(safe["how"].split())
    assert "underlet" in before("stuck-mash", "act")
    top: dict[str, Any] = entry("stuck-mash", "underlet", "heat")["limits"]
    assert top["stop"][1] == {"setting": "underlet-temperature-stop"}


def test_sugar_and_liquor_go_in_with_the_heat_down_and_never_dry_into_a_fermenter() -> None:
    assert "boil-over" in step("missed-gravity", "act")["cautions"]
    assert "Nothing dry" in " ".join(step("missed-gravity", "at-cast")["how"].split())


def test_nobody_tastes_what_failed_and_a_clean_place_clears_no_beer() -> None:
    assert "Nobody tastes it" in step("failed-micro", "safe")["how"]
    assert step("failed-micro", "outcome")["who"] == "second"
    assert verdicts("failed-micro", "outcome", "place")["hold"] == "stop"
    assert verdicts("failed-micro", "outcome", "outcome")["hold"] == "stop"
