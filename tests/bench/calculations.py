"""How long each calculation takes, asked through the bridge as the phone asks it.

Prints the median of each on CPython, on MicroPython under Node, and on MicroPython in Chromium with the processor
slowed four times, which stands for a middling phone. To reach there: 5 ms in the middle of them, 50 ms for a forecast
or an integration. Run as `python -m tests.bench.calculations [name …]`.
"""

import json
import sys
from statistics import median
from time import perf_counter
from typing import Any

from tests.bench.phone import SLOWED, Calls, measured
from tests.parity.sessions import swept
from vesselside.core import bridge
from vesselside.core.sums import calculations

ROUNDS, EACH = 7, 10


def chosen(row: dict[str, Any]) -> tuple[str, str]:
    """The first call of a calculation's sweep that it answers."""
    for call in swept(row).calls:
        text = json.dumps(call.args)
        if "ok" in json.loads(bridge.call(call.name, text)):
            return call.name, text
    raise SystemExit(f"nothing in its ranges makes {row['name']} answer")


def in_cpython(calls: Calls) -> list[float]:
    """Milliseconds a call on CPython."""
    found = []
    for name, args in calls:
        bridge.call(name, args)
        rounds = []
        for _ in range(ROUNDS):
            start = perf_counter()
            for _ in range(EACH):
                bridge.call(name, args)
            rounds.append((perf_counter() - start) / EACH * 1000)
        found.append(median(rounds))
    return found


def main(names: list[str]) -> None:
    """Measure and print."""
    rows = [row for row in calculations.listing() if not names or row["name"] in names]
    calls = [chosen(row) for row in rows]
    columns = [in_cpython(calls), *measured(calls, rounds=ROUNDS, each=EACH)]
    print("milliseconds, and times CPython in this run")
    print(f"{'calculation':30}{'CPython':>10}{'MicroPython':>15}{f'Chromium, {SLOWED}x slower':>27}")
    medians = zip(*columns, strict=True)
    for row, found in sorted(zip(rows, medians, strict=True), key=lambda pair: -pair[1][2]):
        print(_line(row["name"], *found))
    print(_line("the middle of them", *(median(column) for column in columns)))


def _line(name: str, ours: float, node: float, page: float) -> str:
    return f"{name:30}{ours:10.3f}{node:10.2f}{node / ours:5.0f}x{page:20.2f}{page / ours:6.0f}x"


if __name__ == "__main__":
    main(sys.argv[1:])
