"""Reads sessions as JSON from standard input; writes their answers as the shipped worker gives them in Chromium."""

import json
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import ClassVar

from playwright.sync_api import sync_playwright

DIST = Path(__file__).resolve().parents[2] / "pwa/dist"
CHROMIUM = "/usr/bin/chromium"
CHROMIUM_ARGS = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking"]

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


def answers(sessions: list[list[list[str]]]) -> list[list[str]]:
    """The answers to each session, from a worker of its own."""
    # the journal's worker lies beside it
    scripts = [each for each in (DIST / "assets").glob("worker-*.js") if "micropython" in each.read_text()]
    assert len(scripts) == 1, "pwa/dist holds no engine worker: run deploy/run build"
    with served(DIST) as origin, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=CHROMIUM_ARGS)
        page = browser.new_page()
        page.route(
            f"{origin}/", lambda route: route.fulfill(body="<!doctype html>", content_type="text/html")
        )
        page.goto(f"{origin}/")
        given: list[list[str]] = page.evaluate(ASK, [f"/assets/{scripts[0].name}", sessions])
        browser.close()
    return given


@contextmanager
def served(folder: Path) -> Iterator[str]:
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


json.dump(answers(json.load(sys.stdin)), sys.stdout)
