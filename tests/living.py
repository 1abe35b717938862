"""The real server, as a process of its own, and a small brewery in its database."""

import fcntl
import os
import shutil
import signal
import socket
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import requests

from tests import forking
from tests.databases import free_port
from vesselside import library, store
from vesselside.app import create_app
from vesselside.settings import Settings
from vesselside.store.base.db import db
from vesselside.store.base.turns import turn_of
from vesselside.store.fold import projections
from vesselside.store.site import founding

if TYPE_CHECKING:
    from multiprocessing.context import ForkServerProcess

    from flask import Flask

START_SECONDS = 60

MANAGER = {"person": "mara", "password": "quiet-copper-lid"}
PINS = {"mara": "240017", "bern": "530917", "stig": "274065", "dora": "861402"}


class Living:
    """A server that can be started, stopped and started again on the same data."""

    def __init__(self, folder: Path, database_url: str, workers: int = 1) -> None:
        self.folder = folder
        self._serve = ["serve", "--workers", str(workers)]
        self.port = free_port()
        self.url = f"http://127.0.0.1:{self.port}"
        self.environment = {
            **os.environ,
            "VESSELSIDE_DATA": str(folder),
            "VESSELSIDE_DATABASE_URL": database_url,
            "VESSELSIDE_PORT": str(self.port),
        }
        self._process: ForkServerProcess | None = None
        self._app: Flask | None = None

    @property
    def settings(self) -> Settings:
        """What the process is run with."""
        return Settings.from_environment(self.environment)

    def command(self, *arguments: str, stdin: str = "") -> subprocess.CompletedProcess[str]:
        """Run one command of the command line to its end."""
        return forking.run(arguments, self.environment, stdin)

    def start(self) -> None:
        """Start, and wait until it answers."""
        words = str(self.folder / "serve.log")
        self._process = forking.begin(
            self._serve, self.environment, stdin=os.devnull, stdout=os.devnull, stderr=words
        )
        end = time.monotonic() + START_SECONDS
        while time.monotonic() < end and self._process.is_alive():
            try:
                if requests.get(f"{self.url}/healthz", timeout=5).ok:
                    return
            except (requests.ConnectionError, requests.Timeout):
                time.sleep(0.05)
        raise RuntimeError("The server did not start")

    @property
    def pid(self) -> int:
        """The process that was started; the ones that serve are its children."""
        assert self._process
        assert self._process.pid
        return self._process.pid

    def stop(self) -> int | None:
        """Ask it to stop, and wait until it has; how it ended."""
        if self._process is None:
            return None
        self._process.terminate()
        return self._over(60)

    def leave(self) -> None:
        """For a test that is over: nobody waits for what an orderly stop waits for."""
        if self._process is not None:
            self.kill()

    def kill(self) -> None:
        """End it at once, with no chance to tidy up; over when nobody listens any more.

        All of it in one signal: of workers ended before their parent it would make new ones, which would outlive it
        and answer in place of the next server.
        """
        os.killpg(self.pid, signal.SIGKILL)
        self._over(30)
        while self._listens():
            time.sleep(0.01)

    def _over(self, seconds: float) -> int | None:
        """Wait for the process that was started, which must end by then; how it ended."""
        assert self._process
        self._process.join(seconds)
        ended = self._process.exitcode
        if ended is None:
            os.killpg(self.pid, signal.SIGKILL)
            raise RuntimeError("The server did not end")
        self._process.close()
        self._process = None
        return ended

    def _listens(self) -> bool:
        with socket.socket() as caller:
            return caller.connect_ex(("127.0.0.1", self.port)) == 0

    @contextmanager
    def inside(self) -> Iterator[None]:
        """The store of this server's data, in this process; what the server was still folding is folded."""
        if self._app is None:
            self._app = create_app(self.settings)
        with self._app.app_context():
            try:
                self._settle()
                yield
            finally:
                store.release()

    def _settle(self) -> None:
        """Wait until the server has folded what it is about to; what nobody woke it for stays."""
        for brewery, _ in founding.breweries() if self._process else ():
            mine = False
            while projections.behind(brewery) and not mine:
                db.session.commit()
                time.sleep(0.03)
                with turn_of("fold", brewery) as mine:
                    pass
        db.session.commit()

    def code(self, name: str = "phone") -> str:
        """A one-time code, made as the command line makes it."""
        with self.inside():
            return store.make_code(founding.breweries()[0][0], name)


def with_demo(folder: Path, shared: Path) -> Living:
    """A server on a copy of the demo brewery, which is made once, in `shared`, however many workers want one."""
    made = shared / "demo"
    with (shared / "demo.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not (made / "whole").exists():
            shutil.rmtree(made, ignore_errors=True)
            made.mkdir()
            living = Living(made, f"sqlite:///{made / 'vesselside.sqlite3'}")
            for command in ("migrate", "demo"):
                done = living.command(command)
                assert done.returncode == 0, done.stderr
            (made / "whole").touch()
    shutil.copytree(made, folder, dirs_exist_ok=True)
    return Living(folder, f"sqlite:///{folder / 'vesselside.sqlite3'}")


def found(living: Living) -> str:
    """Found a small brewery: people of every role, two vessels, the library that ships; its id."""
    shipped = library.load()
    with living.inside():
        brewery = store.create_brewery("Test brewery")
        for person, role in (("mara", "manager"), ("bern", "brewer"), ("stig", "starter"), ("dora", "duty")):
            password = MANAGER["password"] if role == "manager" else None
            store.add_person(
                brewery, person.title(), role, person=person, pin=PINS[person], password=password
            )
        for vessel in (
            {"id": "fv1", "name": "FV 1", "kind": "fermenter", "place": "Tank room"},
            {"id": "bbt1", "name": "BBT 1", "kind": "bright", "place": "Cold room"},
        ):
            store.change_vessel(brewery, vessel)
        store.publish_library(brewery, shipped.procedures, shipped.cautions)
    return brewery
