"""An outside client pushes what once stopped the office, and real runs spoilt at random: no push and no list fails.

POISON=10000 pytest tests/api/test_poison.py     as many records as that instead of some hundreds
"""

import copy
import os
import random
import time
from typing import Any

import pytest

from tests.api.outside import Event, Phone, instant, new_run
from tests.core.mutated import spoilt
from tests.living import MANAGER
from vesselside.library import load

MANY = int(os.environ.get("POISON", "400"))
SEED = int(os.environ.get("POISON_SEED", "20261128"))
LIBRARY = {row["id"]: row for row in load().procedures}
LISTS = (
    "/api/vessels", "/api/runs", "/api/gyles", "/api/gyles/g1", "/api/instruments", "/api/reference",
    "/api/desk/needs", "/api/desk/quarantine", "/api/desk/devices", "/api/desk/procedures",
)  # fmt: skip


@pytest.fixture
def office(fresh):
    """A server of this test's own."""
    fresh.start()
    return fresh


@pytest.fixture
def desk(office) -> Phone:
    browser = Phone(office.url, office.code())
    assert browser.post("/api/session", MANAGER).status_code == 200
    return browser


def opening(procedure: str, **more: Any) -> dict[str, Any]:
    held = LIBRARY[procedure]
    named = {name: held[name] for name in ("version", "sha256")}
    return {"procedure": procedure, **named, "inputs": {}, **more}


def poisons() -> list[tuple[str, list[tuple[str, dict[str, Any], dict[str, Any]]]]]:
    """Each the records of one run: (kind, data, changes of the envelope)."""
    entry = {"step": "ph", "field": "buffer-7", "value": "9.9", "typed": "9.9", "how": "keyed", "verdict": "stop",
             "core": "2", "over": [], "instrument": "ph-1"}  # fmt: skip
    checks = LIBRARY["instrument-checks"]
    step = next(s for s in checks["steps"] if any(e.get("verifies") for e in s.get("entries", [])))
    field = next(e for e in step["entries"] if e.get("verifies"))
    mark = {**entry, "step": "x", "field": "y", "instrument": "x", "how": "worked"}
    mark["from"] = {"calculation": "lot-mark", "inputs": {"packed": "20²6-11-²5", "line": "1"}}
    late = {"time": "9999-12-31T23:59:59.999Z", "hlc": "e677d21fdbff-0000"}
    clean = opening("fermenter-caustic-clean", vessel="fv1")
    return [
        ("a null unit", [
            ("run.opened", opening("instrument-checks"), {}),
            ("entry.made", {**entry, "step": step["id"], "field": field["id"], "unit": None}, {}),
        ]),
        ("a day in superscripts", [("run.opened", clean, {}), ("entry.made", mark, {})]),
        ("a clean of the year 9999", [("run.opened", clean, late), ("run.finished", {}, late)]),
        ("a bad time", [("run.opened", opening("fermenter-check", vessel="fv1", gyle="g1"), {"time": "noon"})]),
        ("seen beyond the head", [("run.opened", clean, {"seen": "9999999999999999"})]),
        ("a step that is an object", [("run.opened", clean, {}), ("note.added", {"step": {}, "text": "x"}, {})]),
        ("inputs that are lists", [("run.opened", {**clean, "inputs": {"capacity": [1], "x": None}}, {})]),
    ]  # fmt: skip


def whole(desk: Phone) -> None:
    """Every list and every page of a run answers."""
    for path in LISTS:
        answer = desk.get(path)
        assert answer.status_code == 200 or path == "/api/gyles/g1", (path, answer.text)
        assert answer.status_code in (200, 404), (path, answer.text)


def sound_run(phone: Phone) -> str:
    run = new_run()
    data = opening("fermenter-caustic-clean", vessel="fv2")
    sent = [phone.make(run, "run.opened", data), phone.make(run, data={"text": "sound"})]
    assert {row["status"] for row in phone.push(sent)} == {"stored"}
    return run


def test_no_poisoned_record_stops_the_office(office, desk) -> None:
    phone = Phone(office.url, office.code())
    sound = sound_run(phone)
    digest = desk.get(f"/api/runs/{sound}").json()["run"]["digest"]
    for name, records in poisons():
        run = new_run()
        answer = phone.exchange([phone.make(run, kind, data, **changes) for kind, data, changes in records])
        assert answer.status_code == 200, name
        whole(desk)
        assert desk.get(f"/api/runs/{run}").status_code in (200, 404), name
    assert desk.get(f"/api/runs/{sound}").json()["run"]["digest"] == digest
    over: list[str] = []
    corrected = new_run()
    batch = [phone.make(corrected, "run.opened", opening("fermenter-caustic-clean", vessel="fv3"))]
    for number in range(195):
        data = {"step": "strength-start", "field": "first", "value": f"5.{number}", "typed": f"5.{number}",
                "unit": "mL", "how": "keyed", "verdict": "target", "core": "2", "over": over}  # fmt: skip
        batch.append(phone.make(corrected, "entry.made", data))
        over = [*over, batch[-1]["id"]]
    for at in range(0, len(batch), 15):
        assert phone.exchange(batch[at : at + 15]).status_code == 200
    codes = {row["code"] for row in desk.get(f"/api/runs/{corrected}").json()["run"]["findings"]}
    assert {"bad-data", "too-many"} <= codes
    whole(desk)
    for command in ("check", "rebuild", "migrate"):
        done = office.command(command)
        assert "Traceback" not in done.stderr, (command, done.stderr[-2000:])
        assert done.returncode in (0, 1), command


def test_thousands_of_spoilt_records_stop_nothing(office, desk) -> None:
    print(f"POISON_SEED={SEED}")
    dice = random.Random(SEED)
    phone = Phone(office.url, office.code())
    sound = sound_run(phone)
    digest = desk.get(f"/api/runs/{sound}").json()["run"]["digest"]
    sent, runs, slowest = 0, [], 0.0
    while sent < MANY:
        run = new_run()
        runs.append(run)
        events = [stamped(phone, run, event, dice) for event in spoilt(dice.choice(sorted(LIBRARY)), dice)]
        answer = phone.exchange(events)
        assert answer.status_code == 200, answer.text
        sent += len(events)
        begun = time.monotonic()
        for path in (dice.choice(LISTS), f"/api/runs/{run}", f"/api/vessels?x={sent}"):
            assert desk.get(path).status_code in (200, 404), path
        slowest = max(slowest, (time.monotonic() - begun) / 3)
    whole(desk)
    print(f"{sent} records in {len(runs)} runs; the slowest three answers took {slowest:.2f} s each")
    for run in runs:
        assert desk.get(f"/api/runs/{run}").status_code in (200, 404)
    assert desk.get(f"/api/runs/{sound}").json()["run"]["digest"] == digest
    for command in ("check", "rebuild", "migrate"):
        done = office.command(command)
        assert "Traceback" not in done.stderr, (command, done.stderr[-2000:])


def stamped(phone: Phone, run: str, event: Event, dice: random.Random) -> Event:
    """A spoilt record as this phone signs it: its own chain and moment, else as it was spoilt."""
    data = copy.deepcopy(event["data"])
    changes = {
        name: event[name] for name in ("time", "seen", "person") if not str(event[name]).startswith("2026-09")
    }
    if changes.get("person") == "bay":
        changes["person"] = "dora"
    changes.pop("seen", None) if dice.random() < 0.9 else None
    if "time" in changes and dice.random() < 0.5:
        changes["time"] = instant(int(time.time() * 1000))
    kind = event["type"] if isinstance(event["type"], str) else "note.added"
    return phone.make(run, kind, data, **changes)
