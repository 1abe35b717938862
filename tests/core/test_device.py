"""A tap is one question and one answer: what it drafts, what it folds, and what a screen shows after it."""

from typing import Any

import pytest

from tests.core.builder import CAUTIONS, PROCEDURE, SEEN, START, Pen, administration
from tests.core.walker import RefusedError, ask
from tests.core.world import cleaned

BAY = {"id": "bay", "role": "brewer"}
VESSELS = [
    {"id": name, "name": name.upper(), "kind": "fermenter", "place": "Tank room"} for name in ("fv1", "fv2")
]
NOW = START + 3_600_000


def tap(number: int, action: str, step: str | None = None, **given: Any) -> dict[str, Any]:
    at = NOW + number * 1000
    stamp = {
        "time": "2026-09-21T15:00:00.000Z", "hlc": f"{at:012x}-0000", "source": "/devices/tap", "seen": SEEN,
        "ids": [f"tap-{number}-{n}" for n in range(4)],
    }  # fmt: skip
    where = {} if step is None else {"step": step}
    answer: dict[str, Any] = ask(
        "act", run="r1", action=action, person=BAY, now=at, stamp=stamp, **where, **given
    )
    return answer


def written(answer: dict[str, Any], number: int) -> list[dict[str, Any]]:
    """The records the log writes of a tap, as far as the core reads them."""
    at = NOW + number * 1000
    return [
        {
            **draft, "id": f"tap-{number}-{n}", "hlc": f"{at:012x}-{n:04x}", "time": "2026-09-21T15:00:00.000Z",
            "source": "/devices/tap", "seen": SEEN, "person": "bay", "subject": "/runs/r1",
        }
        for n, draft in enumerate(answer["drafts"])
    ]  # fmt: skip


def opened(events: list[dict[str, Any]]) -> dict[str, Any]:
    given = {"run": "r1", "procedure": PROCEDURE, "cautions": CAUTIONS, "admin": administration()}
    view: dict[str, Any] = ask("open", events=events, **given)
    return view


@pytest.fixture
def events() -> list[dict[str, Any]]:
    ask("load", vessels=VESSELS, runs=[cleaned("c2", "fv2", START)], settings={}, now=NOW)
    made = Pen().clean()[:4]
    opened(made)
    return made


def test_a_tap_leaves_the_run_as_opening_it_from_the_log_does(events: list[dict[str, Any]]) -> None:
    for number, (action, step, given) in enumerate(
        [
            ("enter", "strength", {"field": "percent", "typed": "2.0", "how": "keyed"}),
            ("done", "strength", {}),
            ("hold-start", "soak", {}),
            ("note", None, {"text": "Foam at the vent"}),
        ]
    ):
        answer = tap(number, action, step, **given)
        events = [*events, *written(answer, number)]
        seen = ask("view", run="r1")
        assert seen == opened(events)
        assert answer["after"]["line"] == ask("line", run="r1")
        changed = answer["after"]["run"]["steps"]
        assert changed == {name: seen["steps"][name] for name in changed}
        assert answer["after"]["run"]["findings"] == seen["findings"]


def test_a_tap_tells_what_stands_before_its_step_and_the_next(events: list[dict[str, Any]]) -> None:
    answer = tap(1, "enter", "strength", field="percent", typed="2.9", how="keyed")
    looks = answer["after"]["looks"]
    assert looks["strength"]["cautions"] == [{"caution": "strong", "show": "full"}]
    assert looks["strength"] == ask("look", run="r1", step="strength", person=BAY, now=NOW + 1000)
    assert answer["judgement"]["raises"] == ["strong"]


def test_only_the_rows_of_the_plant_that_changed_come_back(events: list[dict[str, Any]]) -> None:
    first = tap(1, "enter", "strength", field="percent", typed="2.0", how="keyed")["after"]["vessels"]
    assert {row["id"] for row in first} == {"fv1", "fv2"}
    assert tap(2, "done", "strength")["after"]["vessels"] == []
    ended = tap(3, "abandon", reason="leak", left="soiled")["after"]["vessels"]
    assert [(row["id"], row["state"]) for row in ended] == [("fv1", "soiled")]
    board = ask("stand", now=NOW + 3000)["vessels"]
    assert (
        board
        == ask(
            "load", vessels=VESSELS, runs=[ask("line", run="r1"), cleaned("c2", "fv2", START)], now=NOW + 3000
        )["vessels"]
    )


def test_a_refused_tap_folds_nothing(events: list[dict[str, Any]]) -> None:
    before = ask("view", run="r1")
    with pytest.raises(RefusedError):
        tap(1, "done", "strength", sight=["pressure"])
    assert ask("view", run="r1") == before


def test_what_is_in_sight_and_still_so_is_confirmed_by_the_record(events: list[dict[str, Any]]) -> None:
    steps = [
        {**row, "cautions": ["pressure"]} if row["id"] == "strength" else row for row in PROCEDURE["steps"]
    ]
    given = {
        "run": "r1",
        "procedure": {**PROCEDURE, "steps": steps},
        "cautions": CAUTIONS,
        "admin": administration(),
    }
    moved = [{**event, "time": "2026-09-21T15:00:00.000Z"} for event in events]
    ask("open", events=moved, **given)
    now = 1_790_002_800_000
    ask("look", run="r1", step="strength", person=BAY, met=[], now=now)
    stamp = {
        "time": "2026-09-21T15:10:00.000Z",
        "hlc": f"{now:012x}-0000",
        "source": "/devices/tap",
        "seen": SEEN,
    }
    stamp["ids"] = [f"tap-{n}" for n in range(4)]
    act = {
        "run": "r1",
        "action": "enter",
        "step": "strength",
        "field": "percent",
        "typed": "2.0",
        "how": "keyed",
    }
    shows = ask("look", run="r1", step="strength", person=BAY, now=now)["cautions"]
    met = [{"caution": "pressure", "version": 1, "at": now}]
    still = ask("look", run="r1", step="strength", person=BAY, met=met, now=now)["cautions"]
    assert [row["show"] for row in shows + still] == ["still", "still"]
    answer = ask("act", person=BAY, now=now, stamp=stamp, sight=["pressure"], **act)
    assert [draft["type"] for draft in answer["drafts"]] == ["caution.met", "entry.made"]
    assert "caution-unmet" not in [row["code"] for row in answer["after"]["run"]["findings"]]
