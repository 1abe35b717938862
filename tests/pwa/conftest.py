from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, Playwright, sync_playwright

from tests.conftest import make_database
from tests.living import Living, found
from tests.pwa.house import Scripted, build_page, enrol, launch, opened, scripted
from tests.pwa.line import Line, connect


@pytest.fixture(scope="session")
def built() -> None:
    """The page under test, built once from the sources as they are."""
    build_page()


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as driver:
        yield driver


@pytest.fixture(scope="session")
def browser(built, playwright, tmp_path_factory) -> Iterator[BrowserContext]:
    """One Chromium for all tests that do not kill it; each test has an origin, so a storage, of its own."""
    context = launch(playwright, tmp_path_factory.mktemp("profile"))
    yield context
    context.close()


@pytest.fixture
def network(built) -> Iterator[Scripted]:
    with scripted() as serving:
        yield serving


@pytest.fixture
def page(browser, network) -> Iterator[Page]:
    """A tab with the modules loaded, at an origin nobody has used."""
    tab = opened(browser, network.origin)
    yield tab
    tab.close()


@pytest.fixture(scope="session")
def brewery(request, tmp_path_factory) -> Iterator[Living]:
    """A real server with a small brewery; every test brings phones of its own."""
    living = founded(request, tmp_path_factory.mktemp("brewery"))
    yield living
    living.stop()


@pytest.fixture
def own_brewery(request, tmp_path) -> Iterator[Living]:
    """A real server for a test that ends it."""
    living = founded(request, tmp_path)
    yield living
    living.stop()


def founded(request: pytest.FixtureRequest, folder: Path) -> Living:
    """A server that has been started on a new brewery."""
    living = Living(folder, make_database(request, "sqlite", folder))
    found(living)
    living.start()
    return living


@pytest.fixture
def line(network, brewery) -> Line:
    """The real server, reached through a line that can be cut."""
    return connect(network, brewery.url)


@pytest.fixture
def phone(page, line, brewery) -> Page:
    """A phone enrolled with the real server; nothing exchanges by itself unless a test starts it."""
    enrol(page, brewery)
    return page
