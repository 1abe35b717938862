"""The demo brewery: a week of records that a server takes in whole and that shows a manager what there is to see."""

from datetime import UTC, datetime
from itertools import pairwise
from typing import Any

import pytest

from vesselside import store
from vesselside.app import create_app
from vesselside.library import demo
from vesselside.settings import Settings
from vesselside.store.base import schema
from vesselside.store.read import attention, receipt, register, sought
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
        rows = register.runs(told["brewery"], sought.Filters(limit=200)).runs
        runs = {row["id"]: receipt.run(told["brewery"], row["id"]) for row in rows}
        board = {row["id"]: row for row in register.board(told["brewery"], now=now)}
        standing = instruments.standing(told["brewery"], now=now)
        needs = attention.needs(told["brewery"], 0, now=now)
        assert demo.told(told["brewery"]) == told
        store.release()
    states = {key: run.state for key, run in runs.items() if run}
    return {**told, "now": now, "runs": states, "board": board, "instruments": standing, "needs": needs}


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


def _found(week: dict[str, Any]) -> set[tuple[str, str]]:
    """Everything that the desk finds in the week: (what it is of, its kind)."""
    found = {(key, code) for key, codes in _findings(week).items() for code in codes}
    for key, run in week["runs"].items():
        for row in run["deviations"]:
            found.add((key, "deviation-answered" if row["answered"] else "deviation-open"))
        found |= {(key, "struck") for _ in run["strikes"]}
        made = [
            row
            for step in run["steps"].values()
            for field in step["entries"].values()
            for row in field["all"]
        ]
        found |= {(key, "off-target") for row in made if row["verdict"] in ("advise", "stop")}
        if run["status"] != "finished":
            rows = [row["what"] for row in run["life"] if row["what"].startswith("chemical")]
            found.add((key, "open-with-chemical" if rows[-1:] == ["chemical-in"] else run["status"]))
    for vessel in week["board"].values():
        found |= {(row["run"], row["code"]) for row in vessel["trouble"]}
        found |= {(vessel["id"], "doubt") for _ in vessel["doubt"]}
    for card in week["instruments"]:
        found |= {(card["id"], "instrument-due")} if card["state"] == "due" else set()
        found |= {(card["id"], "instrument-failed")} if card["failed"] else set()
        found |= {(row["run"], "instrument-doubt") for row in card["doubt"]}
    needs = week["needs"]
    found |= {(row["id"], "proof-ends") for row in needs["vessels"]}
    found |= {(name, "told") for name in ("doubts", "restores") for _ in needs[name]}
    waiting = ("faults", "deviations", "contested", "quarantine")
    return found | {(name, "waits") for name in waiting if needs["counts"][name]}


def _listed(week: dict[str, Any]) -> list[tuple[str, str]]:
    begun = {
        (run["procedure"], _ms(run["opened"]["time"].removesuffix("Z"))): key
        for key, run in week["runs"].items()
    }
    return [
        (row["instrument"] if "instrument" in row else begun[(row["procedure"], row["begun"])], row["kind"])
        for row in demo.faults(week["now"])
    ]


def test_the_desk_finds_the_faults_that_the_script_lists_and_no_other(week: dict[str, Any]) -> None:
    listed = _listed(week)
    assert len(listed) == len(set(listed))
    assert _found(week) == set(listed)
    assert all(row["text"] for row in demo.faults(week["now"]))


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
    rows = [row for run in week["runs"].values() for row in run["deviations"]]
    assert len(rows) == 3
    assert all(row["answered"]["person"] != row["person"] for row in rows)
    (rinse,) = (row for row in rows if row.get("value") == "8.05")
    assert rinse["answered"]["action"].startswith("Port opened")


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


def test_its_week_was_done_under_the_interlocks_and_one_was_overridden(week: dict[str, Any]) -> None:
    fills = [row for run in week["runs"].values() for row in run["life"] if row["what"] == "filled"]
    assert len(fills) >= 4
    assert [row["override"] for row in fills] == [None] * len(fills)
    assert [run["overrides"] for run in week["runs"].values() if run["overrides"]] == [["canning-run"]]
    assert [row["trouble"] for row in week["board"].values()] == [[]] * len(week["board"])


def _runs(week: dict[str, Any], procedure: str) -> list[dict[str, Any]]:
    """The runs of a procedure, in order of their beginning."""
    found = [run for run in week["runs"].values() if run["procedure"] == procedure]
    return sorted(found, key=lambda run: run["opened"]["time"])


def _value(run: dict[str, Any], step: str, field: str) -> Any:
    return run["steps"][step]["entries"][field]["value"]


def _done(run: dict[str, Any], step: str) -> int:
    return _ms(run["steps"][step]["done"]["time"].removesuffix("Z"))


def _finished(run: dict[str, Any]) -> int:
    return _ms(run["finished"]["time"].removesuffix("Z"))


HOUR = 3_600_000


def test_a_fermenter_was_proved_clean_before_a_mash_said_so(week: dict[str, Any]) -> None:
    names = {row["name"]: key for key, row in week["board"].items()}
    mashes = _runs(week, "grist-and-mash-in")
    assert len(mashes) == 2
    for mash in mashes:
        vessel = names[_value(mash, "vessel-for-wort", "fermenter")]
        said = _done(mash, "vessel-for-wort")
        cleans = [run for run in _runs(week, "fermenter-caustic-clean") if run["vessel"] == vessel]
        assert [run for run in cleans if run["finished"] and 0 < said - _finished(run) < 72 * HOUR]


def test_a_brew_has_its_liquor_treated_and_its_exchanger_cleaned_before_it(week: dict[str, Any]) -> None:
    for mash, cast in zip(_runs(week, "grist-and-mash-in"), _runs(week, "cast-and-pitch"), strict=True):
        treated = [run for run in _runs(week, "liquor-treatment") if run["gyle"] == mash["gyle"]]
        assert [run for run in treated if _finished(run) < _done(mash, "liquor-treated")]
        cleaned = [_done(cast, "flush") - _finished(run) for run in _runs(week, "heat-exchanger-clean")]
        assert [age for age in cleaned if 0 < age < 12 * HOUR]


def test_yeast_is_cropped_and_its_gyle_released_before_it_is_pitched(week: dict[str, Any]) -> None:
    lots = {}
    for cast in _runs(week, "cast-and-pitch"):
        lots[cast["gyle"]] = _value(cast, "yeast", "lot")
        if not lots[cast["gyle"]].startswith("Crop of "):
            continue
        source = lots[cast["gyle"]].removeprefix("Crop of ")
        pitched = _done(cast, "yeast")
        (crop,) = (run for run in _runs(week, "yeast-crop") if run["gyle"] == source)
        assert (_value(crop, "where", "gyle"), _done(crop, "where") < pitched) == (cast["gyle"], True)
        assert _value(crop, "source", "generation") == _value(cast, "yeast", "generation")
        released = [run["shows"].get("released") for run in week["runs"].values() if run["gyle"] == source]
        assert [at for at in released if at is not None and at < pitched]
    assert list(lots.values()) == ["QH-26-118", "Crop of g309"]


def test_the_canning_run_was_checked_on_the_clock(week: dict[str, Any]) -> None:
    (start,), (end,) = _runs(week, "canning-line-pre-start"), _runs(week, "canning-shut-down")
    checks = [_done(run, "good") for run in _runs(week, "canning-periodic-checks")]
    marks = [_done(start, "release"), *checks, _done(end, "last")]
    assert len(checks) == 3
    assert max(after - before for before, after in pairwise(marks)) <= HOUR // 2


def test_nobody_is_in_two_runs_at_once(week: dict[str, Any]) -> None:
    # The crop is left in the cold for two days between its steps.
    runs = [run for run in week["runs"].values() if run["procedure"] != "yeast-crop" and run["finished"]]
    spans: dict[str, list[tuple[int, int]]] = {}
    for run in runs:
        span = (_ms(run["opened"]["time"].removesuffix("Z")), _finished(run))
        spans.setdefault(run["opened"]["person"], []).append(span)
    for rows in spans.values():
        rows.sort()
        assert all(before[1] <= after[0] for before, after in pairwise(rows)), rows


def test_what_keeps_a_brewhouse_and_its_people_safe_was_looked_at(week: dict[str, Any]) -> None:
    washed = {run["vessel"] for run in _runs(week, "brewhouse-caustic-clean")}
    assert washed == {"mash-tun", "copper", "whirlpool"}
    assert len({run["opened"]["time"][:10] for run in _runs(week, "gas-monitor-check")}) == 3
    for procedure in ("eyewash-and-shower-check", "opening-up", "lock-up", "yeast-vessel-clean"):
        assert _runs(week, procedure), procedure
