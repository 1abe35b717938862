from collections.abc import Iterator

import pytest
from playwright.sync_api import BrowserContext, Page, Playwright, sync_playwright

from tests.pwa.house import Scripted, build_page, launch, opened, scripted


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
