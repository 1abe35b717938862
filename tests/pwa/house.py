"""The page under test, something that serves it, and a browser that keeps its profile.

The page (`pwa/test`) puts the app's own inner modules on `window.parts`; it is built like the app and never shipped.
"""

import fcntl
import gzip
import json
import os
import subprocess
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any, ClassVar

from playwright.sync_api import BrowserContext, Page, Playwright

from tests.living import Living

ROOT = Path(__file__).resolve().parents[2]
BUILT = ROOT / "pwa" / "build" / "test"
CHROMIUM = "/usr/bin/chromium"
CHROMIUM_ARGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]

# A record as a screen hands it over, and scripts that several tests run.
DRAFT = {"type": "note.added", "subject": "/runs/run-1", "person": "ada", "data": {"text": "rinsed twice"}}
TAPS = """async ([count, run]) => {
    const made = [];
    for (let at = 0; at < count; at++) {
        const draft = { type: "note.added", subject: `/runs/${run}`, person: "ada", data: { text: `tap ${at}` } };
        made.push(await parts.log.append(draft));
    }
    return made;
}"""
ALL_OF = "(run) => parts.log.eventsOf(run)"


def build_page() -> None:
    """Build the page under test from the sources as they are now; once in a run of the suite, however many workers."""
    BUILT.parent.mkdir(parents=True, exist_ok=True)
    made = BUILT.parent / "test.made"
    with (BUILT.parent / "test.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        run = os.environ.get("PYTEST_XDIST_TESTRUNUID")
        if run and made.exists() and made.read_text() == run:
            return
        made.unlink(missing_ok=True)
        command = [ROOT / ".venv" / "bin" / "node", "tools/build-test.mjs"]
        done = subprocess.run(command, cwd=ROOT / "pwa", capture_output=True, text=True, check=False)
        assert done.returncode == 0, done.stderr[-3000:]
        if run:
            made.write_text(run)


@dataclass
class Reply:
    """What the scripted server says to one call."""

    status: int = 200
    body: object = b""
    kind: str = "application/json"
    headers: dict[str, str] = field(default_factory=dict)
    cut: bool = False
    """The line is cut when `share` of the body is out."""
    share: float = 0.5
    dropped: bool = False
    """The line is cut before the first byte."""
    cookies: list[str] = field(default_factory=list)
    slow: threading.Semaphore | None = None
    """The body goes out a fiftieth at a time, each when this is released."""

    def content(self) -> bytes:
        """The bytes of the body."""
        return self.body if isinstance(self.body, bytes) else json.dumps(self.body).encode()


@dataclass
class Called:
    """One call that reached the scripted server."""

    method: str
    path: str
    headers: dict[str, str]
    body: bytes

    def json(self) -> Any:
        """The body as JSON, unpacked."""
        return json.loads(
            gzip.decompress(self.body) if self.headers.get("content-encoding") == "gzip" else self.body
        )


Answering = Callable[[Called], Reply]


def problem(status: int, kind: str, **headers: str) -> Reply:
    """A refusal as the contract spells it."""
    body = {"type": f"urn:vesselside:{kind}", "title": kind, "status": status, "detail": f"it is {kind}"}
    return Reply(status, body, "application/problem+json", headers)


class Handler(SimpleHTTPRequestHandler):
    """Files of the built page; whatever a test says for /api."""

    extensions_map: ClassVar = {**SimpleHTTPRequestHandler.extensions_map, ".wasm": "application/wasm"}
    protocol_version = "HTTP/1.1"

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002 - the base class names it so
        """Says nothing: pytest's output is for results."""

    def do_GET(self) -> None:
        if self.path.startswith("/api/"):
            self._answer()
        else:
            super().do_GET()

    def do_POST(self) -> None:
        self._answer()

    def do_PUT(self) -> None:
        self._answer()

    def do_DELETE(self) -> None:
        self._answer()

    def _answer(self) -> None:
        body = self._body(int(self.headers.get("Content-Length", 0)))
        called = Called(self.command, self.path, {k.lower(): v for k, v in self.headers.items()}, body)
        server = self.server
        assert isinstance(server, Scripted)
        server.calls.append(called)
        reply = server.answer(called)
        if reply.dropped:
            self.close_connection = True
            return
        content = reply.content()
        self.send_response(reply.status)
        for name, value in reply.headers.items():
            self.send_header(name, value)
        for cookie in reply.cookies:
            self.send_header("Set-Cookie", cookie)
        if reply.status not in (204, 304):
            self.send_header("Content-Type", reply.kind)
            self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        try:
            kept = int(len(content) * reply.share) if reply.cut else len(content)
            for part in parts_of(content[:kept], reply.slow):
                self.wfile.write(part)
        except (BrokenPipeError, ConnectionResetError):
            self.close_connection = True  # the page gave up waiting
        if reply.cut:
            self.close_connection = True

    def _body(self, size: int) -> bytes:
        server = self.server
        assert isinstance(server, Scripted)
        if server.slow_in is None:
            return self.rfile.read(size)
        read = b""
        while len(read) < size:
            server.slow_in.acquire()
            read += self.rfile.read(min(size // 8, size - len(read)))
        return read


def parts_of(content: bytes, slow: threading.Semaphore | None) -> Iterator[bytes]:
    """All of it at once, or a fiftieth whenever `slow` is released."""
    if slow is None:
        yield content
        return
    size = len(content) // 50 + 1
    for at in range(0, len(content), size):
        slow.acquire()
        yield content[at : at + size]


class Scripted(ThreadingHTTPServer):
    """A server of our own on a free port: a network that behaves as badly as a test wants."""

    daemon_threads = True
    answer: Answering

    def __init__(self, folder: Path) -> None:
        super().__init__(("127.0.0.1", 0), partial(Handler, directory=str(folder)))
        self.calls: list[Called] = []
        self.slow_in: threading.Semaphore | None = None
        """What is sent here is read an eighth at a time, each when this is released."""
        self.answer = lambda _called: problem(404, "not-found")
        self.origin = f"http://localhost:{self.server_port}"


@contextmanager
def scripted(folder: Path = BUILT) -> Iterator[Scripted]:
    """A scripted server for as long as the block runs."""
    server = Scripted(folder)
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02})
    thread.start()
    try:
        yield server
    finally:
        server.shutdown()
        thread.join()
        server.server_close()


def launch(playwright: Playwright, profile: Path) -> BrowserContext:
    """Chromium on a profile that outlives it."""
    return playwright.chromium.launch_persistent_context(
        str(profile), executable_path=CHROMIUM, args=CHROMIUM_ARGS
    )


def browser_pid(profile: Path) -> int:
    """The process of the Chromium that holds `profile`."""
    return int((profile / "SingletonLock").readlink().name.rsplit("-", 1)[1])


def opened(context: BrowserContext, origin: str) -> Page:
    """A new tab with the modules loaded."""
    page = context.new_page()
    page.goto(f"{origin}/")
    page.wait_for_function("() => window.parts !== undefined")
    return page


def adopt(page: Page, device: str = "phone-a", brewery: str = "brewery-1") -> dict[str, Any]:
    """Give this origin an identity without a server; its public key."""
    key: dict[str, Any] = page.evaluate(
        """async ([device, brewery]) => {
            const { sign, shown } = await parts.record.makeKey();
            const identity = { device, brewery, name: "Test phone", offset: 0, reached: Date.now() };
            await parts.log.adopt(identity, sign);
            return shown;
        }""",
        [device, brewery],
    )
    return key


def enrol(page: Page, brewery: Living, name: str = "Test phone") -> str:
    """Enrol this origin with the real server, by a code made as the command line makes it; the device's id."""
    page.evaluate("([code, name]) => parts.identity.enrol(code, name)", [brewery.code(name), name])
    page.evaluate("() => parts.api.refreshReference(() => Promise.resolve(true))")
    device: str = page.evaluate("() => parts.identity.device.value.id")
    return device


def error_of(page: Page, script: str, given: object = None) -> dict[str, str]:
    """Name, code and text of what `script` throws; a test that expects an error fails without one."""
    found = page.evaluate(
        f"""async (given) => {{
            try {{ await ({script})(given); }}
            catch (error) {{ return {{ name: error.name, code: error.code ?? "", text: error.message }}; }}
            return null;
        }}""",
        given,
    )
    assert found is not None, "nothing was thrown"
    return found


def until(page: Page, condition: str) -> None:
    """Wait for an asynchronous condition; Playwright's own waiting takes a promise for an answer."""
    page.evaluate(
        f"""async () => {{
            for (let tries = 0; tries < 600; tries++) {{
                if (await ({condition})()) return;
                await new Promise((done) => setTimeout(done, 50));
            }}
            throw new Error({json.dumps("it never came true: " + condition)});
        }}"""
    )


def set_clock(page: Page, now: float) -> None:
    """Hold the page's clock at `now` [ms since 1970]; its timers go on."""
    page.clock.set_fixed_time(now / 1000)
