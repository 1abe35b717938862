"""`deploy/run`: the one command a newcomer types, run as they would."""

import json
import os
import re
import shutil
import signal
import socket
import subprocess
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
CODE = re.compile(r"\b[0-9A-HJKMNP-TV-Z]{10}\b")  # Crockford's base 32 leaves out I, L, O and U


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def environment(data: Path, port: int) -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if not name.startswith("VESSELSIDE_")}
    return {**kept, "VESSELSIDE_DATA": str(data), "VESSELSIDE_PORT": str(port)}


@contextmanager
def serving(data: Path, port: int, *how: str) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """The running command and what it printed up to serving; ended with its whole group if it still runs."""
    with (data / "words").open("w") as words:
        process = subprocess.Popen(
            [ROOT / "deploy" / "run", *how],
            env=environment(data, port),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=words,
            text=True,
            start_new_session=True,
        )
    assert process.stdout
    try:
        said = ""
        for line in process.stdout:
            said += line
            if "Ctrl-C stops it" in line:
                break
        yield process, said
    finally:
        if process.poll() is None:
            os.killpg(process.pid, signal.SIGKILL)
        process.communicate()


def get(url: str, process: subprocess.Popen[str]) -> tuple[int, str, str]:
    """Status, media type and body, asked for again until the server listens or has ended."""
    while True:
        try:
            asked = urllib.request.Request(url, headers={"Accept": "text/html"})
            with urllib.request.urlopen(asked) as answer:
                return answer.status, answer.headers.get_content_type(), answer.read().decode()
        except urllib.error.HTTPError:
            raise
        except urllib.error.URLError:
            with pytest.raises(subprocess.TimeoutExpired):
                process.wait(0.2)


@pytest.fixture(scope="module")
def data(tmp_path_factory) -> Path:
    return tmp_path_factory.mktemp("data")


def test_serves_the_demo_brewery_and_says_how_to_get_in(data):
    port = free_port()
    with serving(data, port) as (process, said):
        assert f"http://localhost:{port}" in said
        demo = subprocess.run(
            [ROOT / ".venv/bin/vesselside", "demo", "--json"],
            env=environment(data, port),
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        people = json.loads(demo)["people"]
        assert {"starter", "brewer", "manager"} <= {person["role"] for person in people}
        for person in people:
            assert person["name"] in said
            assert person.get("pin", "") in said
            assert person.get("password", "") in said
        assert len(set(CODE.findall(said))) == 2
        assert get(f"http://127.0.0.1:{port}/healthz", process)[0] == 200
        status, kind, body = get(f"http://127.0.0.1:{port}/", process)
        assert (status, kind) == (200, "text/html")
        assert '<script type="module"' in body
        os.killpg(process.pid, signal.SIGINT)
        assert process.wait(30) == 0


def test_starts_again_with_the_same_people_and_fresh_codes(data):
    port = free_port()
    with serving(data, port) as (process, first):
        get(f"http://127.0.0.1:{port}/healthz", process)
    with serving(data, port) as (process, second):
        get(f"http://127.0.0.1:{port}/healthz", process)
    assert not set(CODE.findall(first)) & set(CODE.findall(second))
    assert [line for line in first.splitlines() if "pin" in line] == [
        line for line in second.splitlines() if "pin" in line
    ]


def test_own_serves_no_demo_and_says_where_a_brewery_is_begun(tmp_path):
    port = free_port()
    with serving(tmp_path, port, "own") as (process, said):
        assert not CODE.findall(said)
        assert json.loads(get(f"http://127.0.0.1:{port}/api/brewery", process)[2]) == {"begun": False}
        assert re.search(rf"http://localhost:{port}/#/begin/{CODE.pattern}", (tmp_path / "words").read_text())


def test_enrol_prints_a_code_alone(data):
    done = subprocess.run(
        [ROOT / "deploy" / "run", "enrol", "second phone"],
        env=environment(data, free_port()),
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert CODE.fullmatch(done.stdout.strip())
    assert "·" not in done.stderr, "what is set up already is not set up again"


def test_a_taken_port_is_named_with_the_way_out(data):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        done = subprocess.run(
            [ROOT / "deploy" / "run"],
            env=environment(data, port),
            capture_output=True,
            text=True,
            check=False,
        )
    assert done.returncode == 1
    assert f"Port {port} is taken" in done.stderr
    assert "VESSELSIDE_PORT=" in done.stderr


def test_a_machine_without_python_is_told_what_to_install(tmp_path):
    bash, dirname = shutil.which("bash"), shutil.which("dirname")
    assert bash
    assert dirname
    (tmp_path / "dirname").symlink_to(dirname)
    old = tmp_path / "python3"
    old.write_text(f"#!{bash}\nexit 1\n")
    old.chmod(0o755)
    done = subprocess.run(
        [bash, ROOT / "deploy" / "run"],
        env={"PATH": str(tmp_path)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 2
    assert "Python 3.11" in done.stderr
    assert "apt-get install" in done.stderr
