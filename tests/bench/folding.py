"""How long the phone takes to open a long run and to fold one more tap, beside CPython doing the same.

The run is the demo brewery's longest clean, cut to 150 events with ten of them kept back as taps. Prints medians on
CPython, on MicroPython under Node and in Chromium four times slowed, where 300 ms to open and 15 ms a tap are to be
reached. Run as `python -m tests.bench.folding`.
"""

import json
import tempfile
from statistics import median
from time import perf_counter, time
from typing import Any

from tests.bench.phone import SLOWED, Calls, measured
from vesselside import store
from vesselside.app import create_app
from vesselside.core import bridge
from vesselside.library import demo
from vesselside.settings import Settings
from vesselside.store.base import schema
from vesselside.store.fold import folding, projections
from vesselside.store.read import receipt, register, sought

ROUNDS, EVENTS, TAPS = 7, 150, 10
NOW_MS = 1_800_000_000_000


def longest() -> tuple[dict[str, Any], list[dict[str, Any]]]:
    """What `open` is given for the longest run of the demo brewery, and its events."""
    with tempfile.TemporaryDirectory() as folder:
        app = create_app(Settings.from_environment({"VESSELSIDE_DATA": folder}))
        with app.app_context():
            schema.upgrade()
            brewery = demo.load(store, int(time() * 1000))["brewery"]
            rows = register.runs(brewery, sought.Filters(limit=200)).runs
            runs = [run for row in rows if (run := receipt.run(brewery, row["id"]))]
            found = max(runs, key=lambda run: len(run.events))
            events = sorted(map(json.loads, found.events), key=lambda event: (event["hlc"], event["id"]))
            _, admin = projections.administration(brewery)
            procedure = folding.procedure_of(brewery, events[0])
            cautions = [
                {"id": row["id"], "version": row["version"]} for row in projections.cautions_of(brewery)
            ]
            store.release()
    given = {"run": found.state["id"], "procedure": procedure, "cautions": cautions, "admin": admin}
    return given, events


def in_cpython(calls: Calls) -> list[float]:
    """Milliseconds of each call of the series on CPython."""
    rounds = []
    for _ in range(ROUNDS):
        row = []
        for name, args in calls:
            start = perf_counter()
            answer = json.loads(bridge.call(name, args))
            row.append((perf_counter() - start) * 1000)
            if "error" in answer:
                raise SystemExit(f"{name}: {answer['error']['text']}")
        rounds.append(row)
    return [median(times) for times in zip(*rounds, strict=True)]


def main() -> None:
    """Measure and print."""
    given, events = longest()
    events = events[:EVENTS]
    held, taps = events[:-TAPS], events[-TAPS:]
    calls = [("open", json.dumps({**given, "events": held}))]
    calls += [
        ("taken", json.dumps({"run": given["run"], "events": [event], "now": NOW_MS})) for event in taps
    ]
    columns = [in_cpython(calls), *measured(calls, rounds=ROUNDS)]
    print(f"{len(held)} events of {given['procedure']['id']}, {len(given['admin'])} of administration")
    print("milliseconds, and times CPython in this run")
    print(f"{'':30}{'CPython':>10}{'MicroPython':>15}{f'Chromium, {SLOWED}x slower':>27}")
    print(_line("open", *(column[0] for column in columns)))
    print(_line("one tap", *(median(column[1:]) for column in columns)))


def _line(name: str, ours: float, node: float, page: float) -> str:
    return f"{name:30}{ours:10.3f}{node:10.2f}{node / ours:5.0f}x{page:20.2f}{page / ours:6.0f}x"


if __name__ == "__main__":
    main()
