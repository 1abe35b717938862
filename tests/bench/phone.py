"""The engine as a phone runs it, for benchmarks: MicroPython under Node, and in Chromium with its processor slowed."""

import json
import re
import subprocess
import sys
import tempfile
from pathlib import Path
from statistics import median
from typing import Any

from playwright.sync_api import Route, sync_playwright

from tests.parity.runtimes import MICROPYTHON, ROOT
from tests.pwa.house import CHROMIUM, CHROMIUM_ARGS

HERE = Path(__file__).resolve().parent
SLOWED = 4
ORIGIN = "http://bench.invalid"

Calls = list[tuple[str, str]]

IN_PAGE = """async (given) => {
    const { times } = await import("/engine.mjs");
    const { loadMicroPython } = await import("/micropython.mjs");
    const pack = new Uint8Array(await (await fetch("/core.pack")).arrayBuffer());
    return times({ ...given, loadMicroPython, url: "/micropython.wasm", pack });
}"""


def heap() -> int:
    """The first piece of the heap [bytes], as the app boots it."""
    boot = (ROOT / "pwa/src/engine/worker/boot.ts").read_text(encoding="utf-8")
    found = re.search(r"HEAP_BYTES = (\d+) \* 1024 \* 1024;", boot)
    if found is None:
        raise SystemExit("boot.ts no longer says how large the heap begins")
    return int(found[1]) * 1024 * 1024


def measured(calls: Calls, *, rounds: int, each: int = 0) -> tuple[list[float], list[float]]:
    """Medians [ms] of the calls under Node and in the slowed page.

    With `each`, a call is repeated that often in a round and stands for itself; without, a round is the whole series.
    """
    with tempfile.TemporaryDirectory() as folder:
        pack = Path(folder) / "core.pack"
        subprocess.run([sys.executable, ROOT / "pwa/tools/pack_core.py", "-o", pack], check=True)
        given = {"calls": calls, "rounds": rounds, "each": each, "heap": heap()}
        found = [_in_node(pack, given), _in_chromium(pack, given)]
    return tuple([median(times) for times in rows] for rows in found)  # type: ignore[return-value]


def _in_node(pack: Path, given: dict[str, Any]) -> list[list[float]]:
    where = {
        "micropython": (MICROPYTHON / "micropython.mjs").as_uri(),
        "wasm": str(MICROPYTHON / "micropython.wasm"),
        "pack": str(pack),
    }
    node = Path(sys.executable).parent / "node"
    done = subprocess.run(
        [node, HERE / "node.mjs"],
        input=json.dumps({**given, **where}),
        capture_output=True,
        text=True,
        check=True,
    )
    times: list[list[float]] = json.loads(done.stdout)
    return times


def _in_chromium(pack: Path, given: dict[str, Any]) -> list[list[float]]:
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
        times: list[list[float]] = page.evaluate(IN_PAGE, given)
        browser.close()
    return times
