"""Fixtures that every part of the suite may use: databases of both kinds, and the real server on each."""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import hypothesis
import pytest
from xdist.scheduler import LoadScopeScheduling

from tests.databases import KINDS, Postgres
from tests.living import Living, found
from vesselside import store
from vesselside.app import create_app
from vesselside.settings import Settings
from vesselside.store.base import schema

# A busy machine is no reason to fail: what is drawn is never timed, and what failed can be drawn again.
hypothesis.settings.register_profile("house", deadline=None, print_blob=True)
hypothesis.settings.load_profile("house")

# What runs longest goes first, so that no worker is left with it at the end.
LONG = (
    "tests/screens/",
    "tests/faults/",
    "tests/e2e/",
    "tests/cli/",
    "tests/pwa/",
    "tests/api/test_contract.py",
)


# What goes through a browser or kills processes depends on how a busy machine shares its time: what failed is tried
# once more, and the end of the run names it (-rR). It is a fault of the test, or of the product, all the same.
TIMED = ("tests/screens/", "tests/faults/", "tests/e2e/", "tests/pwa/", "tests/cli/", "tests/deploy/")


class ByFile(LoadScopeScheduling):
    """Shares the suite between workers by file: what a file's tests share is set up once.

    Files of screens share a brewery and its phones, in lots of about one length.
    """

    def _split_scope(self, nodeid: str) -> str:
        file = nodeid.partition("::")[0]
        if not file.startswith("tests/screens/"):
            return file
        first = file.removeprefix("tests/screens/test_")
        if first in ("accessible.py", "outlasting.py"):
            return f"screens, {first}"
        return f"screens, {'to i' if first < 'i' else 'to p' if first < 'p' else 'from p'}"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put what runs longest first, and let what a busy machine may upset be tried once more."""
    for item in items:
        if item.nodeid.startswith(TIMED):
            item.add_marker(pytest.mark.flaky(reruns=1))
    places = dict(enumerate(LONG))
    last = len(places)
    items.sort(key=lambda item: next((at for at, of in places.items() if item.nodeid.startswith(of)), last))


def pytest_xdist_auto_num_workers(config: pytest.Config) -> int:
    """Twice the cores: most of the suite waits for browsers, servers and time-outs."""
    return (os.cpu_count() or 1) * 2


def pytest_xdist_make_scheduler(config: pytest.Config, log: object) -> ByFile:
    """The scheduling of every run on several workers."""
    return ByFile(config, log)


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


class Template:
    """A database to copy, with the keys that go with it."""

    def __init__(self, kind: str, folder: Path, postgres: Postgres | None, *, founded: bool) -> None:
        self.folder = folder
        self._postgres = postgres
        self._name = postgres.create() if postgres else ""
        url = postgres.url(self._name) if postgres else f"sqlite:///{folder / 'vesselside.sqlite3'}"
        migrate(folder, url)
        if founded:
            found(Living(folder, url))

    def copy(self, folder: Path) -> str:
        """Copy database and keys; the address of the copy."""
        for file in self.folder.iterdir():
            shutil.copy(file, folder)
        if self._postgres:
            return self._postgres.url(self._postgres.create(self._name))
        return f"sqlite:///{folder / 'vesselside.sqlite3'}"


class Templates:
    """Every template, made when first asked for."""

    def __init__(self, request: pytest.FixtureRequest, folders: pytest.TempPathFactory) -> None:
        self._request, self._folders = request, folders
        self._made: dict[tuple[str, bool], Template] = {}

    def of(self, kind: str, *, founded: bool) -> Template:
        """A migrated database of `kind`, empty or with the small brewery founded in it."""
        if (kind, founded) not in self._made:
            postgres = self._request.getfixturevalue("postgres") if kind == "postgresql" else None
            folder = self._folders.mktemp(f"template-{kind}")
            self._made[(kind, founded)] = Template(kind, folder, postgres, founded=founded)
        return self._made[(kind, founded)]


@pytest.fixture(scope="session")
def templates(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Templates:
    """Databases to copy."""
    return Templates(request, tmp_path_factory)


@pytest.fixture(scope="session")
def shared_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that all workers of this run of the suite share."""
    mine = tmp_path_factory.getbasetemp()
    return mine.parent if os.environ.get("PYTEST_XDIST_WORKER") else mine


@pytest.fixture(params=KINDS)
def database_url(request: pytest.FixtureRequest, templates: Templates, tmp_path: Path) -> str:
    """A new, migrated, empty database of each kind; its data folder is `tmp_path`."""
    return templates.of(request.param, founded=False).copy(tmp_path)


@pytest.fixture(params=KINDS)
def fresh(request: pytest.FixtureRequest, templates: Templates, tmp_path: Path) -> Iterator[Living]:
    """A server of this test's own, not started yet; its brewery is founded."""
    living = Living(tmp_path, templates.of(request.param, founded=True).copy(tmp_path))
    yield living
    living.leave()


@pytest.fixture(scope="session", params=KINDS)
def server(
    request: pytest.FixtureRequest, templates: Templates, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Living]:
    """A server that many tests share; each brings devices and runs of its own."""
    folder = tmp_path_factory.mktemp(f"server-{request.param}")
    living = Living(folder, templates.of(request.param, founded=True).copy(folder), workers=2)
    living.start()
    yield living
    living.leave()
