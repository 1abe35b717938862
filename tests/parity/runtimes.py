"""The three places the core runs in: CPython, MicroPython under Node, MicroPython in a browser's worker.

Node runs the pack that ships, the browser the worker that ships with it. Each takes sessions, lists of
(call, JSON text), and gives their answers as text.
"""

import json
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any, ClassVar

from playwright.sync_api import sync_playwright

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
DIST = ROOT / "pwa/dist"
MICROPYTHON = ROOT / "pwa/node_modules/@micropython/micropython-webassembly-pyscript"
CHROMIUM = "/usr/bin/chromium"
CHROMIUM_ARGS = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking"]

Sessions = list[list[tuple[str, str]]]
Answers = list[list[str]]


def _process(*command: str | Path, given: object) -> Any:
    done = subprocess.run(command, input=json.dumps(given), capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr[-2000:]
    return json.loads(done.stdout)


def in_cpython(sessions: Sessions) -> Answers:
    """As the server runs it."""
    answers: Answers = _process(sys.executable, HERE / "cpython.py", given=sessions)
    return answers


def in_node(pack: Path, sessions: Sessions, modules: list[str]) -> tuple[Answers, dict[str, str]]:
    """MicroPython under Node; also what each module says when imported alone."""
    given = {
        "micropython": (MICROPYTHON / "micropython.mjs").as_uri(),
        "wasm": str(MICROPYTHON / "micropython.wasm"),
        "pack": str(pack),
        "sessions": sessions,
        "modules": modules,
    }
    node = Path(sys.executable).parent / "node"
    out = _process(node, HERE / "node.mjs", given=given)
    return out["answers"], dict(zip(modules, out["imports"], strict=True))


# Each session has a worker of its own, the one that ships, spoken to as the page's engine does. Two run at a time.
ASK = """async ([script, sessions]) => {
    const session = (calls) => new Promise((resolve, reject) => {
        const worker = new Worker(script, { type: "module" });
        const answers = [];
        const end = (settle, value) => { worker.terminate(); settle(value); };
        const next = () => {
            if (answers.length === calls.length) return end(resolve, answers);
            const [name, args] = calls[answers.length];
            worker.postMessage({ id: answers.length, name, args });
        };
        worker.onerror = (event) => end(reject, new Error(event.message ?? "the worker did not start"));
        worker.onmessage = ({ data }) => {
            if (data.kind === "lost") return end(reject, new Error(data.text));
            if (data.kind === "answer") answers[data.id] = data.text;
            next();
        };
    });
    const all = [];
    const work = async (from) => {
        for (let at = from; at < sessions.length; at += 2) all[at] = await session(sessions[at]);
    };
    await Promise.all([work(0), work(1)]);
    return all;
}"""


def in_chromium(sessions: Sessions) -> Answers:
    """MicroPython in a web worker of Chromium, both as they ship in `pwa/dist`."""
    scripts = list((DIST / "assets").glob("worker-*.js"))
    assert len(scripts) == 1, "pwa/dist holds no engine worker: run deploy/run build"
    with _served(DIST) as origin, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=CHROMIUM_ARGS)
        page = browser.new_page()
        page.route(
            f"{origin}/", lambda route: route.fulfill(body="<!doctype html>", content_type="text/html")
        )
        page.goto(f"{origin}/")
        answers: Answers = page.evaluate(ASK, [f"/assets/{scripts[0].name}", sessions])
        browser.close()
    return answers


@contextmanager
def _served(folder: Path) -> Iterator[str]:
    """Serves a folder on a free port of this machine, as long as the block runs."""

    class Quiet(SimpleHTTPRequestHandler):
        extensions_map: ClassVar = {**SimpleHTTPRequestHandler.extensions_map, ".wasm": "application/wasm"}

        def log_message(self, format: str, *args: object) -> None:  # noqa: A002 - the base class names it so
            """Says nothing: pytest's output is for results."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(folder)))
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        thread.join()
        server.server_close()
