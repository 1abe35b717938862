"""How long each calculation takes, asked through the bridge as the phone asks it.

Prints the median of each on CPython, on MicroPython under Node, and on MicroPython in Chromium with the processor
slowed four times, which stands for a middling phone. Run as `python -m tests.bench.calculations [name …]`.
"""

import json
import subprocess
import sys
import tempfile
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import Any

from playwright.sync_api import Route, sync_playwright

from tests.parity.runtimes import MICROPYTHON, ROOT
from tests.parity.sessions import swept
from tests.pwa.house import CHROMIUM, CHROMIUM_ARGS
from vesselside.core import bridge, calculations

HERE = Path(__file__).resolve().parent
ROUNDS, EACH = 7, 10
SLOWED = 4
ORIGIN = "http://bench.invalid"

Calls = list[tuple[str, str]]

IN_PAGE = """async ({ calls, rounds, each }) => {
    const { times } = await import("/engine.mjs");
    const { loadMicroPython } = await import("/micropython.mjs");
    const pack = new Uint8Array(await (await fetch("/core.pack")).arrayBuffer());
    return times({ loadMicroPython, url: "/micropython.wasm", pack, calls, rounds, each });
}"""


def chosen(row: dict[str, Any]) -> tuple[str, str]:
    """The first call of a calculation's sweep that it answers."""
    for call in swept(row).calls:
        text = json.dumps(call.args)
        if "ok" in json.loads(bridge.call(call.name, text)):
            return call.name, text
    raise SystemExit(f"nothing in its ranges makes {row['name']} answer")


def in_cpython(calls: Calls) -> list[list[float]]:
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
        found.append(rounds)
    return found


def in_node(pack: Path, calls: Calls) -> list[list[float]]:
    """Milliseconds a call on MicroPython under Node."""
    given = {
        "micropython": (MICROPYTHON / "micropython.mjs").as_uri(),
        "wasm": str(MICROPYTHON / "micropython.wasm"),
        "pack": str(pack),
        "calls": calls,
        "rounds": ROUNDS,
        "each": EACH,
    }
    node = Path(sys.executable).parent / "node"
    done = subprocess.run(
        [node, HERE / "node.mjs"], input=json.dumps(given), capture_output=True, text=True, check=True
    )
    times: list[list[float]] = json.loads(done.stdout)
    return times


def in_chromium(pack: Path, calls: Calls) -> list[list[float]]:
    """Milliseconds a call on MicroPython in a page of Chromium, its processor slowed."""
    files = {
        "/engine.mjs": (HERE / "engine.mjs", "text/javascript"),
        "/micropython.mjs": (MICROPYTHON / "micropython.mjs", "text/javascript"),
        "/micropython.wasm": (MICROPYTHON / "micropython.wasm", "application/wasm"),
        "/core.pack": (pack, "application/octet-stream"),
    }

    def serve(route: Route) -> None:
        path = route.request.url.removeprefix(ORIGIN)
        if path in files:
            file, kind = files[path]
            route.fulfill(body=file.read_bytes(), content_type=kind)
        else:
            route.fulfill(body="<!doctype html>", content_type="text/html")

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=CHROMIUM_ARGS)
        page = browser.new_page()
        page.route("**/*", serve)
        page.goto(f"{ORIGIN}/")
        page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
        times: list[list[float]] = page.evaluate(IN_PAGE, {"calls": calls, "rounds": ROUNDS, "each": EACH})
        browser.close()
    return times


def main(names: list[str]) -> None:
    """Measure and print."""
    rows = [row for row in calculations.listing() if not names or row["name"] in names]
    calls = [chosen(row) for row in rows]
    with tempfile.TemporaryDirectory() as folder:
        pack = Path(folder) / "core.pack"
        subprocess.run([sys.executable, ROOT / "pwa/tools/pack_core.py", "-o", pack], check=True)
        measured = [in_cpython(calls), in_node(pack, calls), in_chromium(pack, calls)]
    medians = [tuple(median(times[at]) for times in measured) for at in range(len(rows))]
    print("milliseconds, and times CPython in this run")
    print(f"{'calculation':30}{'CPython':>10}{'MicroPython':>15}{f'Chromium, {SLOWED}x slower':>27}")
    for row, found in sorted(zip(rows, medians, strict=True), key=lambda pair: -pair[1][2]):
        print(_line(row["name"], *found))
    print(_line("the middle of them", *(median(column) for column in zip(*medians, strict=True))))


def _line(name: str, ours: float, node: float, page: float) -> str:
    return f"{name:30}{ours:10.3f}{node:10.2f}{node / ours:5.0f}x{page:20.2f}{page / ours:6.0f}x"


if __name__ == "__main__":
    main(sys.argv[1:])
