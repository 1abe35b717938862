"""The three places the core runs in: CPython, MicroPython under Node, MicroPython in a browser's worker.

The last two run the pack that ships. Each takes sessions, lists of (call, JSON text), and gives their answers as text.
"""

import json
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

from playwright.sync_api import sync_playwright

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
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


def in_chromium(pack: Path, sessions: Sessions) -> Answers:
    """MicroPython in a web worker of Chromium."""
    files = {
        "/": (b"<!doctype html><title>parity</title>", "text/html"),
        "/worker.mjs": ((HERE / "worker.mjs").read_bytes(), "text/javascript"),
        "/engine.mjs": ((HERE / "engine.mjs").read_bytes(), "text/javascript"),
        "/micropython.mjs": ((MICROPYTHON / "micropython.mjs").read_bytes(), "text/javascript"),
        "/micropython.wasm": ((MICROPYTHON / "micropython.wasm").read_bytes(), "application/wasm"),
        "/core.pack": (pack.read_bytes(), "application/octet-stream"),
    }
    ask = """sessions => new Promise((resolve, reject) => {
        const worker = new Worker("/worker.mjs", { type: "module" });
        worker.onmessage = ({ data }) => data.error ? reject(new Error(data.error)) : resolve(data.answers);
        worker.onerror = (event) => reject(new Error(event.message ?? "the worker did not start"));
        worker.postMessage(sessions);
    })"""
    with _served(files) as origin, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=CHROMIUM_ARGS)
        page = browser.new_page()
        page.goto(origin)
        answers: Answers = page.evaluate(ask, sessions)
        browser.close()
    return answers


@contextmanager
def _served(files: dict[str, tuple[bytes, str]]) -> Iterator[str]:
    """Serves files from memory on a free port of this machine, as long as the block runs."""

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            body, kind = files.get(self.path, (b"", ""))
            self.send_response(200 if kind else 404)
            self.send_header("Content-Type", kind or "text/plain")
            self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            self.wfile.write(body)

        def log_message(self, format: str, *args: object) -> None:  # noqa: A002 - the base class names it so
            """Says nothing: pytest's output is for results."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}/"
    finally:
        server.shutdown()
        thread.join()
        server.server_close()
