"""The demo brewery on the real server, and phones that open its screens."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Playwright, expect, sync_playwright

from tests.living import Living, with_demo
from tests.screens.screen import Screens

expect.set_options(timeout=60_000)  # a busy machine is no reason to fail


@pytest.fixture(scope="package")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as running:
        yield running


@pytest.fixture(scope="package")
def demo(shared_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Living]:
    """The demo brewery, served; every test brings phones and runs of its own."""
    living = with_demo(tmp_path_factory.mktemp("screens"), shared_folder)
    living.start()
    yield living
    living.leave()


def made(playwright: Playwright, demo: Living, folder: Path, name: str, person: str | None) -> Screens:
    """A phone on `folder`, enrolled; with `person` signed in unless that is None."""
    one = Screens(playwright, folder, demo.url.replace("127.0.0.1", "localhost"))
    one.open()
    one.enrol(demo.code(name), name)
    if person:
        one.enter_as(person)
    return one


@pytest.fixture(scope="package")
def shared() -> list[Screens]:
    """The phones that many tests look at, as far as they were made."""
    return []


@pytest.fixture(autouse=True)
def in_hand(shared: list[Screens]) -> None:
    """A phone locks after 15 idle minutes, and others' tests may well take as long."""
    for one in shared:
        one.touch()


@pytest.fixture(scope="package")
def brewer(playwright, demo, shared, tmp_path_factory) -> Iterator[Screens]:
    """A brewer's phone that many tests look at."""
    one = made(playwright, demo, tmp_path_factory.mktemp("brewer"), "Brewer's phone", "Tomasz Wren")
    shared.append(one)
    yield one
    one.close()


@pytest.fixture(scope="package")
def starter(playwright, demo, shared, tmp_path_factory) -> Iterator[Screens]:
    """A new starter's phone that many tests look at."""
    one = made(playwright, demo, tmp_path_factory.mktemp("starter"), "Starter's phone", "Nina Fairweather")
    shared.append(one)
    yield one
    one.close()


@pytest.fixture(scope="package")
def manager(playwright, demo, shared, tmp_path_factory) -> Iterator[Screens]:
    """A manager's desk that many tests look at."""
    one = made(playwright, demo, tmp_path_factory.mktemp("manager"), "Desk", "Ishbel Tarrant")
    shared.append(one)
    yield one
    one.close()


@pytest.fixture
def phones(playwright, demo, tmp_path):
    """Makes phones of a test's own."""
    all_made: list[Screens] = []

    def make(name: str, person: str | None = None) -> Screens:
        one = made(playwright, demo, tmp_path / name.replace(" ", "-"), name, person)
        all_made.append(one)
        return one

    yield make
    for one in all_made:
        one.close()
