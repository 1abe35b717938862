"""The demo brewery: a week of records that a server takes in whole and that shows a manager what there is to see."""

from datetime import UTC, datetime
from typing import Any

import pytest

from vesselside import store
from vesselside.app import create_app
from vesselside.library import demo
from vesselside.settings import Settings
from vesselside.store.base import schema
from vesselside.store.read import receipt, register
from vesselside.store.site import instruments


def _ms(text: str) -> int:
    return int(datetime.fromisoformat(text).replace(tzinfo=UTC).timestamp() * 1000)


# A midday, and a quarter past midnight, when the open run began on the day before.
@pytest.fixture(scope="module", params=["2026-11-25T12:00", "2027-03-01T00:15"])
def week(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """The demo loaded at a moment: `{now, brewery, people, runs: {id: as answered}, board: {vessel: row}}`."""
    now = _ms(request.param)
    app = create_app(Settings.from_environment({"VESSELSIDE_DATA": str(tmp_path_factory.mktemp("demo"))}))
    with app.app_context():
        schema.upgrade()
        told = demo.load(store, now)
        rows, _ = register.runs(told["brewery"], register.Filters(limit=200))
        runs = {row["id"]: receipt.run(told["brewery"], row["id"]) for row in rows}
        board = {row["id"]: row for row in register.board(told["brewery"], now=now)}
        standing = instruments.standing(told["brewery"], now=now)
        assert demo.told(told["brewery"]) == told
        store.release()
    states = {key: run.state for key, run in runs.items() if run}
    return {**told, "now": now, "runs": states, "board": board, "instruments": standing}


def _findings(week: dict[str, Any]) -> dict[str, list[str]]:
    return {key: sorted({row["code"] for row in run["findings"]}) for key, run in week["runs"].items()}


def test_every_role_is_there_with_a_way_to_sign_in(week: dict[str, Any]) -> None:
    assert {person["role"] for person in week["people"]} == {"starter", "brewer", "duty", "manager"}
    assert all(person["pin"].isdigit() and len(person["pin"]) >= 6 for person in week["people"])
    assert all("password" in person for person in week["people"] if person["role"] == "manager")


def test_nothing_of_it_was_made_or_received_after_now(week: dict[str, Any]) -> None:
    for run in week["runs"].values():
        for mark in (run["opened"], run["finished"], run["review"]):
            assert mark is None or _ms(mark["time"].removesuffix("Z")) <= week["now"]


def test_the_only_findings_are_of_the_clean_received_a_day_late(week: dict[str, Any]) -> None:
    found = {key: codes for key, codes in _findings(week).items() if codes}
    assert list(found.values()) == [["received-late"]]
    (late,) = (week["runs"][key] for key in found)
    assert (late["procedure"], late["status"]) == ("fermenter-caustic-clean", "finished")


def test_every_finished_clean_is_proved(week: dict[str, Any]) -> None:
    cleans = [run for run in week["runs"].values() if run["procedure"] == "fermenter-caustic-clean"]
    assert len(cleans) == 5
    for run in cleans:
        proofs = ["look", "process", "residue", "sanitised"] if run["status"] == "finished" else []
        assert run["proofs"] == proofs


def test_a_strike_is_followed_by_the_right_reading(week: dict[str, Any]) -> None:
    (run,) = (run for run in week["runs"].values() if run["strikes"])
    (strike,) = run["strikes"]
    entries = [entry for step in run["steps"].values() for entry in step["entries"].values()]
    (struck,) = (entry for entry in entries if any(row["event"] == strike["target"] for row in entry["all"]))
    assert [row["state"] for row in struck["all"]] == ["struck", "live"]
    assert struck["verdict"] == "target"


def test_a_deviation_is_answered_by_another_person(week: dict[str, Any]) -> None:
    (run,) = (run for run in week["runs"].values() if run["deviations"])
    (row,) = run["deviations"]
    assert row["value"] == "8.05"
    assert row["answered"]["person"] != row["person"]
    assert row["answered"]["action"].startswith("Port opened")


def test_the_starters_critical_steps_are_signed_by_another(week: dict[str, Any]) -> None:
    cleans = [run for run in week["runs"].values() if run["opened"]["person"] == "nina"]
    signed = [step["signed"] for run in cleans for step in run["steps"].values() if step["signed"]]
    assert len(signed) >= 6
    assert {mark["person"] for mark in signed} <= {"owen", "dele"}


def test_some_runs_are_reviewed_some_wait_and_one_is_open(week: dict[str, Any]) -> None:
    closed = [run for run in week["runs"].values() if run["status"] == "finished"]
    reviewed = [run for run in closed if run["review"]]
    assert len(reviewed) >= 3
    assert all(run["review"]["digest"] and run["review"]["verdict"] == "accepted" for run in reviewed)
    assert len(closed) > len(reviewed)
    (open_run,) = (run for run in week["runs"].values() if run["status"] == "open")
    assert open_run["next"] == "contact"


def test_the_board_shows_a_working_brewery(week: dict[str, Any]) -> None:
    states = {key: row["state"] for key, row in week["board"].items()}
    assert (states["fv1"], states["fv2"], states["fv3"]) == ("filled", "filled", "cleaning")
    assert states["fv4"] in ("clean", "sanitised")
    assert (states["bbt1"], week["board"]["bbt1"]["gyle"]) == ("filled", "g309")
    assert week["board"]["fv1"]["gyle"] == "g311"
    assert (states["mash-tun"], states["copper"], states["whirlpool"]) == ("soiled", "soiled", "soiled")


def test_its_readings_name_the_instruments_that_the_weeks_checks_found_good(week: dict[str, Any]) -> None:
    read = [row["instrument"] for run in week["runs"].values() for row in run["instruments"]["read"]]
    assert {"ph-1", "ph-2", "conductivity-1", "probe-1", "probe-2", "hydrometer-4"} <= set(read)
    assert "ph-3" not in read
    standing = {row["id"]: row["state"] for row in week["instruments"]}
    assert [name for name in standing if standing[name] != "good"] == ["ph-3", "gauge-1"]
    assert (standing["ph-3"], standing["gauge-1"]) == ("out", "due")


def test_its_week_was_done_under_the_interlocks_with_nothing_overridden(week: dict[str, Any]) -> None:
    fills = [row for run in week["runs"].values() for row in run["life"] if row["what"] == "filled"]
    assert len(fills) >= 4
    assert [row["override"] for row in fills] == [None] * len(fills)
    assert [row["trouble"] for row in week["board"].values()] == [[]] * len(week["board"])
