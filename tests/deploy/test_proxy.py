"""The page over https, behind a real Caddy that runs the file that ships."""

import json
import os
import shutil
import socket
import ssl
import subprocess
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
import requests

from tests.api.outside import Phone
from tests.databases import free_port
from tests.living import MANAGER, Living

CADDYFILE = Path(__file__).resolve().parents[2] / "deploy" / "Caddyfile"
HALVES = {
    "half a head": b"GET /healthz HTTP/1.1\r\nHost: localhost\r\n",
    "half a body": b"POST /api/devices HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
    b"Content-Length: 60000\r\n\r\n{",
    "half of a photo": b"PUT /api/photos/0 HTTP/1.1\r\nHost: localhost\r\nContent-Length: 4000000\r\n\r\n\0",
}
MANY = 60


@dataclass
class Fronted:
    """A server, and the Caddy in front of it."""

    server: Living
    port: int
    root: Path

    @property
    def url(self) -> str:
        return f"https://localhost:{self.port}"

    def caller(self) -> requests.Session:
        """Somebody who trusts the root that this Caddy has made, as a phone has to."""
        one = requests.Session()
        one.verify = str(self.root)
        one.trust_env = False  # the environment may name other roots
        return one

    def half(self, sent: bytes) -> ssl.SSLSocket:
        """Somebody who has sent so much and no more."""
        trusted = ssl.create_default_context(cafile=self.root)
        line = socket.create_connection(("localhost", self.port), timeout=60)
        one = trusted.wrap_socket(line, server_hostname="localhost")
        one.sendall(sent)
        return one


def as_it_ships(folder: Path, port: int, behind: int) -> Path:
    """The shipped file as Caddy reads it; only port 80, which a test may not have, is not listened on."""
    caddy = shutil.which("caddy")
    assert caddy, "apt-get install caddy"
    environment = {**os.environ, "VESSELSIDE_HOST": f"localhost:{port}", "VESSELSIDE_PORT": str(behind)}
    read = subprocess.run(
        [caddy, "adapt", "--config", str(CADDYFILE)],
        env=environment,
        capture_output=True,
        text=True,
        check=True,
    )
    meant = json.loads(read.stdout)
    (site,) = meant["apps"]["http"]["servers"].values()
    site["automatic_https"] = {"disable_redirects": True}
    file = folder / "caddy.json"
    file.write_text(json.dumps(meant))
    return file


@pytest.fixture(scope="module")
def fronted(templates, tmp_path_factory) -> Iterator[Fronted]:
    folder = tmp_path_factory.mktemp("fronted")
    server = Living(folder, templates.of("sqlite", founded=True).copy(folder), workers=2)
    server.start()
    port = free_port()
    with (folder / "caddy.log").open("w") as words:
        caddy = subprocess.Popen(
            ["caddy", "run", "--config", str(as_it_ships(folder, port, server.port))],
            env={**os.environ, "XDG_DATA_HOME": str(folder), "XDG_CONFIG_HOME": str(folder)},
            stdout=words,
            stderr=words,
        )
    one = Fronted(server, port, folder / "caddy" / "pki" / "authorities" / "local" / "root.crt")
    try:
        answers(one, caddy)
        yield one
    finally:
        caddy.kill()
        caddy.wait()
        server.leave()


def answers(one: Fronted, caddy: subprocess.Popen[bytes]) -> None:
    """Wait until it has made its certificates and answers with them."""
    end = time.monotonic() + 60
    while time.monotonic() < end and caddy.poll() is None:
        try:
            if one.root.exists() and one.caller().get(f"{one.url}/healthz", timeout=5).ok:
                return
        except requests.exceptions.SSLError:
            raise
        except requests.ConnectionError:
            pass  # not yet
        time.sleep(0.1)
    raise RuntimeError("Caddy did not answer")


def test_the_page_comes_over_https_alone_and_says_so(fronted):
    answer = fronted.caller().get(fronted.url)
    assert answer.ok
    assert answer.headers["Content-Type"].startswith("text/html")
    assert int(answer.headers["Strict-Transport-Security"].removeprefix("max-age=")) > 31_536_000  # a year
    plain = requests.get(f"http://localhost:{fronted.port}", timeout=10)
    assert plain.status_code == 400, "no page without https"


def test_a_desk_signs_in_with_cookies_that_only_this_host_over_https_gives(fronted):
    desk = Phone(fronted.url, fronted.server.code("desk"), verify=str(fronted.root))
    answer = desk.post("/api/session", MANAGER)
    assert answer.status_code == 200, answer.text
    assert len(desk.http.cookies) > 0
    for cookie in desk.http.cookies:
        assert cookie.name.startswith("__Host-")
        assert cookie.secure
        assert cookie.path == "/"


def test_what_is_larger_than_a_photo_goes_no_further(fronted):
    answer = fronted.caller().put(f"{fronted.url}/api/photos/{'0' * 64}", data=b"\0" * 6_000_000, timeout=60)
    # the proxy cuts it off; which of the two hangs up first decides what is said
    assert answer.status_code in (413, 502)


def test_a_head_beyond_its_limit_is_refused(fronted):
    answer = fronted.caller().get(f"{fronted.url}/healthz", headers={"X-Long": "a" * 80_000}, timeout=60)
    assert answer.status_code == 431


@pytest.mark.parametrize("half", HALVES)
def test_half_sent_requests_stop_nobody(fronted, half):
    waiting = [fronted.half(HALVES[half]) for _ in range(MANY)]
    caller = fronted.caller()
    for _ in range(20):
        # far above the second it should take, since this machine has others to serve
        assert caller.get(f"{fronted.url}/healthz", timeout=5).ok
    for one in waiting:
        one.close()


def test_a_head_that_is_never_finished_is_let_go(fronted):
    one = fronted.half(HALVES["half a head"])
    assert b"HTTP/1.1 200" not in one.recv(4096)
    one.close()


def test_nobody_on_this_machine_changes_what_caddy_serves(fronted):
    """Its admin endpoint is off."""
    with pytest.raises(requests.ConnectionError):
        requests.get("http://localhost:2019/config/", timeout=5)
