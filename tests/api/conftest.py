"""What the API's tests share: phones, a desk, a run's name."""

from collections.abc import Callable

import pytest

from tests.api.outside import Phone, new_run
from tests.living import MANAGER, PINS, Living


@pytest.fixture
def enrol(server: Living) -> Callable[[], Phone]:
    """Enrols a new phone at the shared server, on which those sign in who make its records."""

    def made() -> Phone:
        found = Phone(server.url, server.code())
        for person in ("dora", "bern"):
            found.sign_in(person, PINS[person])
        return found

    return made


@pytest.fixture
def bare(server: Living) -> Phone:
    """A new phone on which nobody has signed in."""
    made = Phone(server.url, server.code())
    made.pull()
    return made


@pytest.fixture
def phone(enrol: Callable[[], Phone]) -> Phone:
    """A new phone."""
    return enrol()


@pytest.fixture
def other(enrol: Callable[[], Phone]) -> Phone:
    """Another new phone."""
    return enrol()


@pytest.fixture
def desk(enrol: Callable[[], Phone]) -> Phone:
    """A browser at the desk, the manager signed in."""
    browser = enrol()
    assert browser.post("/api/session", MANAGER).status_code == 200
    return browser


@pytest.fixture
def run() -> str:
    """A run nobody has."""
    return new_run()
