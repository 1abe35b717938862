"""Throw-away databases: a SQLite file, or a PostgreSQL of our own in a temporary folder."""

import os
import pwd
import shutil
import socket
import subprocess
import tempfile
import uuid
from pathlib import Path

import psycopg

KINDS = ("sqlite", "postgresql")


def free_port() -> int:
    """A port nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


class Postgres:
    """A PostgreSQL server made by initdb and started by pg_ctl; never run as root."""

    def __init__(self) -> None:
        self.folder = Path(tempfile.mkdtemp(prefix="vesselside-pg-"))
        self.port = free_port()
        programs = shutil.which("initdb")
        self._programs = Path(programs).parent if programs else max(Path("/usr/lib/postgresql").glob("*/bin"))
        self._runner = []
        if os.geteuid() == 0:
            account = pwd.getpwnam("postgres")
            os.chown(self.folder, account.pw_uid, account.pw_gid)
            self._runner = ["runuser", "-u", "postgres", "--"]
        self._run("initdb", "-D", str(self.folder / "data"), "-U", "postgres", "-A", "trust", "--no-sync")
        options = f"-p {self.port} -k {self.folder} -c listen_addresses=127.0.0.1 -c fsync=off -c max_connections=200"
        self._run(
            "pg_ctl",
            "-D",
            str(self.folder / "data"),
            "-l",
            str(self.folder / "log"),
            "-o",
            options,
            "-w",
            "start",
        )

    def _run(self, program: str, *arguments: str) -> None:
        subprocess.run(
            [*self._runner, str(self._programs / program), *arguments],
            check=True,
            cwd=self.folder,
            stdout=subprocess.DEVNULL,
        )

    def create(self, template: str = "template1") -> str:
        """A new database copied from `template`; its name."""
        name = f"v{uuid.uuid4().hex}"
        with psycopg.connect(self.url("postgres"), autocommit=True) as connection:
            connection.execute(f'CREATE DATABASE "{name}" TEMPLATE "{template}"')
        return name

    def url(self, name: str) -> str:
        """The address of a database."""
        return f"postgresql://postgres@127.0.0.1:{self.port}/{name}"

    def stop(self) -> None:
        """Stop it and remove its files."""
        self._run("pg_ctl", "-D", str(self.folder / "data"), "-m", "immediate", "-w", "stop")
        shutil.rmtree(self.folder)
