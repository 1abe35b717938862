"""Ingest over HTTP: batches of 100 signed events from 1, 4, 16 and 50 clients, beside a bare baseline in the same run.

    python -m tests.bench.ingest [--events 2000] [--rounds 5] [--database sqlite|postgresql]

Both servers are gunicorn with the same workers and threads, on databases of the same kind. Every signature is
verified, chained and logged; the baseline only inserts. What was stored is folded behind the answers: printed is also
how long after the last of them no run is stale any more. Medians over the rounds. No test.
"""

import argparse
import http.client
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import requests

from tests.api.outside import START, Phone, new_run
from tests.conftest import migrate
from tests.databases import Postgres, free_port
from tests.living import Living, found
from vesselside.app import THREADS

BATCH = 100
RUN_EVENTS = 150
CLIENTS = (1, 4, 16, 50)
WORKERS = 2


class Bare:
    """The baseline, served as the product is."""

    def __init__(self, url: str) -> None:
        self.port = free_port()
        self.url = f"http://127.0.0.1:{self.port}"
        command = [sys.executable, "-m", "gunicorn", "-b", f"127.0.0.1:{self.port}", "-k", "gthread"]
        command += ["-w", str(WORKERS), "--threads", str(THREADS), "--log-level", "warning"]
        self._process = subprocess.Popen(
            [*command, "tests.bench.bare:create_app()"], env={**os.environ, "BARE_URL": url}
        )
        while True:
            try:
                requests.get(f"{self.url}/healthz", timeout=5)
            except requests.ConnectionError:
                time.sleep(0.1)
            else:
                return

    def stop(self) -> None:
        """End it."""
        self._process.terminate()
        self._process.wait(30)


def batches(phone: Phone, events: int) -> list[bytes]:
    """Bodies of pushes, made beforehand, runs of a usual length."""
    made = []
    run = new_run()
    for at in range(events):
        if at % RUN_EVENTS == 0:
            run = new_run()
        made.append(phone.make(run, data={"text": f"reading {at} taken at the return, as keyed"}))
    return [
        json.dumps({"cursor": START, "limit": 1, "events": made[at : at + BATCH]}).encode()
        for at in range(0, events, BATCH)
    ]


def send(port: int, path: str, cookie: str, bodies: list[bytes]) -> list[float]:
    """Post every body over one connection; how long each took [s]."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=120)
    headers = {"Content-Type": "application/json", "Cookie": cookie}
    times = []
    for body in bodies:
        begun = time.perf_counter()
        connection.request("POST", path, body, headers)
        answer = connection.getresponse()
        text = answer.read()
        times.append(time.perf_counter() - begun)
        if answer.status != 200 or text.count(b'"stored"') != body.count(b'"specversion"'):
            raise RuntimeError(f"{answer.status}: {text[:300]!r}")
    connection.close()
    return times


def measure(port: int, path: str, work: list[tuple[str, list[bytes]]]) -> tuple[float, float]:
    """Wall time of all clients together, and the p95 of a call [s]."""
    with ThreadPoolExecutor(len(work)) as pool:
        begun = time.perf_counter()
        times = list(pool.map(lambda row: send(port, path, *row), work))
        wall = time.perf_counter() - begun
    every = sorted(time for row in times for time in row)
    return wall, every[int(len(every) * 0.95)]


def compare(living: Living, bare: Bare, clients: int, events: int, rounds: int) -> str:
    """One line of the table."""
    walls: dict[str, list[float]] = {"ours": [], "bare": []}
    tails: dict[str, list[float]] = {"ours": [], "bare": []}
    stale = []
    for _ in range(rounds):
        phones = [Phone(living.url, living.code()) for _ in range(clients)]
        work = []
        for phone in phones:
            cookie = "; ".join(f"{name}={value}" for name, value in phone.http.cookies.items())
            work.append((cookie, batches(phone, max(BATCH, events // clients))))
        for name, port, path in (("bare", bare.port, "/push"), ("ours", living.port, "/api/sync")):
            wall, tail = measure(port, path, work)
            walls[name].append(wall)
            tails[name].append(tail)
        begun = time.perf_counter()
        while phones[0].get("/api/runs", limit=1).json()["behind"]:
            time.sleep(0.01)
        stale.append(time.perf_counter() - begun)
    count = clients * max(BATCH, events // clients)
    rate = {name: count / statistics.median(values) for name, values in walls.items()}
    tail = {name: 1000 * statistics.median(values) for name, values in tails.items()}
    return (
        f"{clients:>7} {rate['bare']:>12.0f} {rate['ours']:>12.0f} {rate['ours'] / rate['bare']:>7.2f}"
        f" {tail['bare']:>12.0f} {tail['ours']:>12.0f} {tail['ours'] / tail['bare']:>7.2f}"
        f" {statistics.median(stale):>9.2f}"
    )


def main() -> None:
    """Run and print."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--events", type=int, default=2000)
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--database", choices=["sqlite", "postgresql"], default="sqlite")
    options = parser.parse_args()
    postgres = Postgres() if options.database == "postgresql" else None
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        if postgres:
            ours, theirs = postgres.url(postgres.create()), postgres.url(postgres.create())
        else:
            ours, theirs = f"sqlite:///{folder / 'ours.sqlite3'}", f"sqlite:///{folder / 'bare.sqlite3'}"
        migrate(folder, ours)
        living, bare = (
            Living(folder, ours, workers=WORKERS),
            Bare(theirs.replace("postgresql://", "postgresql+psycopg://")),
        )
        found(living)
        living.start()
        print(
            f"{options.database}: {options.events} events in batches of {BATCH}, medians of {options.rounds} rounds"
        )
        print("clients bare events/s ours events/s   ratio  bare p95 ms  ours p95 ms   ratio   folded s")
        for clients in CLIENTS:
            print(compare(living, bare, clients, options.events, options.rounds), flush=True)
        living.stop()
        bare.stop()
    if postgres:
        postgres.stop()


if __name__ == "__main__":
    main()
