import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, expect, sync_playwright

from tests.conftest import Templates
from tests.living import Living
from tests.pwa.exchange import SYNC, start
from tests.pwa.house import CHROMIUM, CHROMIUM_ARGS, Scripted, build_page, enrol, launch, opened, scripted
from tests.pwa.line import Line, connect

expect.set_options(timeout=60_000)  # a busy machine is no reason to fail


@pytest.fixture(scope="session")
def built() -> None:
    """The page under test, built once from the sources as they are."""
    build_page()


@pytest.fixture(scope="package")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as driver:
        yield driver


@pytest.fixture(scope="package")
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
def brewery(templates, tmp_path_factory) -> Iterator[Living]:
    """A real server with a small brewery; every test brings phones of its own."""
    living = started(templates, tmp_path_factory.mktemp("brewery"))
    yield living
    living.leave()


@pytest.fixture
def own_brewery(templates, tmp_path) -> Iterator[Living]:
    """A real server for a test that ends it; its data folder is `tmp_path`."""
    living = started(templates, tmp_path)
    yield living
    living.leave()


def started(templates: Templates, folder: Path) -> Living:
    """A server on a copy of the small brewery."""
    living = Living(folder, templates.of("sqlite", founded=True).copy(folder))
    living.start()
    return living


@pytest.fixture
def line(network, brewery) -> Line:
    """The real server, reached through a line that can be cut."""
    return connect(network, brewery.url)


@pytest.fixture
def own_line(network, own_brewery) -> Line:
    """The same to the server that a test may end."""
    return connect(network, own_brewery.url)


@pytest.fixture
def phones(browser, network, own_brewery, own_line) -> Iterator[Callable[[str], Page]]:
    """Makes phones of this test's own brewery, each with a host, so a storage, of its own."""
    made: list[Page] = []

    def make(host: str) -> Page:
        tab = opened(browser, network.origin.replace("localhost", host))
        enrol(tab, own_brewery, host)
        start(tab)
        tab.evaluate(SYNC)
        made.append(tab)
        return tab

    yield make
    for tab in made:
        tab.close()


@pytest.fixture
def phone(page, line, brewery) -> Page:
    """A phone enrolled with the real server; nothing exchanges by itself unless a test starts it."""
    enrol(page, brewery)
    return page


@pytest.fixture(scope="package")
def clocks(built, playwright) -> Iterator[Browser]:
    """A Chromium for the tests that set the clock, each in a context of its own: a clock is set for a whole context."""
    browser = playwright.chromium.launch(executable_path=CHROMIUM, args=CHROMIUM_ARGS)
    yield browser
    browser.close()


@pytest.fixture
def timed_page(clocks, network) -> Iterator[Page]:
    """A tab whose clock the test sets."""
    context = clocks.new_context()
    context.clock.install()
    yield opened(context, network.origin)
    context.close()


@pytest.fixture
def timed_phone(timed_page, line, brewery) -> Page:
    """An enrolled phone whose clock the test sets."""
    enrol(timed_page, brewery)
    return timed_page


@pytest.fixture
def run(request) -> str:
    """A run id that no other test uses on the shared server."""
    return f"run-{abs(hash(request.node.nodeid)) % 10**12}-{time.time_ns()}"


@pytest.fixture
def syncing(phone) -> Page:
    """An enrolled phone whose loop runs."""
    start(phone)
    phone.evaluate(SYNC)
    return phone


@pytest.fixture
def colleague(browser, network, line, brewery) -> Iterator[Page]:
    """A second phone: another host name, so another storage and other cookies, on the same line."""
    tab = opened(browser, network.origin.replace("localhost", "127.0.0.1"))
    enrol(tab, brewery, "Second phone")
    start(tab)
    yield tab
    tab.close()
