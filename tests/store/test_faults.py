"""When the database cannot be written or the process dies: nothing is acknowledged that is not kept."""

import os
import resource
from pathlib import Path

import psycopg
import pytest
import requests

from tests.api.outside import Phone, new_run


def workers(pid: int) -> list[int]:
    """The processes that really write: the children of the one that was started."""
    return [int(child) for child in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]


@pytest.fixture
def started(fresh):
    """A server of this test's own."""
    fresh.start()
    return fresh


def is_refused_for_now(answer: requests.Response) -> None:
    assert answer.status_code == 503, answer.text
    assert answer.headers["Content-Type"] == "application/problem+json"
    assert int(answer.headers["Retry-After"]) >= 1


def stop_writing(living) -> None:
    """A disk that takes nothing more: a limit on file size for SQLite, a read-only database for PostgreSQL."""
    if "sqlite" in living.settings.database_url:
        for worker in workers(living.pid):
            _, most = resource.prlimit(worker, resource.RLIMIT_FSIZE)
            resource.prlimit(worker, resource.RLIMIT_FSIZE, (1, most))
        return
    _set_read_only(living, "on")


def write_again(living) -> None:
    if "sqlite" in living.settings.database_url:
        for worker in workers(living.pid):
            _, most = resource.prlimit(worker, resource.RLIMIT_FSIZE)
            resource.prlimit(worker, resource.RLIMIT_FSIZE, (most, most))
        return
    _set_read_only(living, "off")


def _set_read_only(living, value: str) -> None:
    url = living.environment["VESSELSIDE_DATABASE_URL"]
    name = url.rpartition("/")[2]
    with psycopg.connect(url.replace(name, "postgres"), autocommit=True) as connection:
        connection.execute(f'ALTER DATABASE "{name}" SET default_transaction_read_only = {value}')
        connection.execute(
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = %s", [name]
        )


def test_a_database_that_cannot_be_written_acknowledges_nothing(started):
    phone, run = Phone(started.url, started.code()), new_run()
    first, second = phone.make(run), phone.make(run)
    assert phone.push([first])[0]["status"] == "stored"
    stop_writing(started)
    for _ in range(3):
        is_refused_for_now(phone.exchange([second]))
    is_refused_for_now(requests.get(f"{started.url}/readyz", timeout=30))
    assert requests.get(f"{started.url}/healthz", timeout=30).status_code == 200
    write_again(started)
    assert [row["status"] for row in phone.push([first, second])] == ["repeat", "stored"]
    assert requests.get(f"{started.url}/readyz", timeout=30).status_code == 200
    assert started.command("check").stdout == "ok\n"


def test_what_was_acknowledged_survives_a_killed_server(started):
    phone, run = Phone(started.url, started.code()), new_run()
    events = [phone.make(run) for _ in range(50)]
    for at in range(0, 50, 10):
        assert {row["status"] for row in phone.push(events[at : at + 10])} == {"stored"}
    started.kill()
    with pytest.raises(requests.ConnectionError):
        phone.exchange()
    started.start()
    assert {row["status"] for row in phone.push(events)} == {"repeat"}
    assert [event["id"] for event in phone.get(f"/api/runs/{run}").json()["events"]] == [
        e["id"] for e in events
    ]


def test_the_servers_key_and_secret_are_for_its_owner_only(started):
    for name in ("server-key.pem", "secret-key"):
        path = started.folder / name
        assert path.stat().st_mode & 0o777 == 0o600
        assert path.stat().st_uid == os.geteuid()
