"""Fixtures that every part of the suite may use: databases of both kinds, and the real server on each."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.databases import KINDS, Postgres
from tests.living import Living, found
from vesselside import store
from vesselside.app import create_app
from vesselside.settings import Settings
from vesselside.store import schema


def settings_for(folder: Path, url: str) -> Settings:
    """Settings on `url`, with their data in `folder`."""
    return Settings.from_environment({"VESSELSIDE_DATA": str(folder), "VESSELSIDE_DATABASE_URL": url})


def migrate(folder: Path, url: str) -> None:
    """Bring the database at `url` up to date."""
    with create_app(settings_for(folder, url)).app_context():
        schema.upgrade()
        store.release()


@pytest.fixture(scope="session")
def postgres() -> Iterator[Postgres]:
    """A PostgreSQL server of our own."""
    server = Postgres()
    yield server
    server.stop()


@pytest.fixture(scope="session")
def migrated_sqlite(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A migrated, empty SQLite file to copy."""
    folder = tmp_path_factory.mktemp("sqlite-template")
    migrate(folder, f"sqlite:///{folder / 'template.sqlite3'}")
    return folder / "template.sqlite3"


@pytest.fixture(scope="session")
def migrated_postgresql(postgres: Postgres, tmp_path_factory: pytest.TempPathFactory) -> str:
    """A migrated, empty PostgreSQL database to copy."""
    name = postgres.create()
    migrate(tmp_path_factory.mktemp("postgresql-template"), postgres.url(name))
    return name


def make_database(request: pytest.FixtureRequest, kind: str, folder: Path) -> str:
    """The address of a new, migrated database of `kind`."""
    if kind == "sqlite":
        copy = folder / "vesselside.sqlite3"
        shutil.copy(request.getfixturevalue("migrated_sqlite"), copy)
        return f"sqlite:///{copy}"
    server: Postgres = request.getfixturevalue("postgres")
    return server.url(server.create(request.getfixturevalue("migrated_postgresql")))


@pytest.fixture(params=KINDS)
def database_url(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """A new, migrated database of each kind."""
    return make_database(request, request.param, tmp_path)


@pytest.fixture
def fresh(database_url: str, tmp_path: Path) -> Iterator[Living]:
    """A server of this test's own, not started yet; its brewery is founded."""
    living = Living(tmp_path, database_url)
    found(living)
    yield living
    living.stop()


@pytest.fixture(scope="session", params=KINDS)
def server(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Living]:
    """A server that many tests share; each brings devices and runs of its own."""
    folder = tmp_path_factory.mktemp(f"server-{request.param}")
    living = Living(folder, make_database(request, request.param, folder))
    found(living)
    living.start()
    yield living
    living.stop()
