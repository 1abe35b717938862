"""What the API's tests share: phones, a desk, a run's name."""

from collections.abc import Callable

import pytest

from tests.api.outside import Phone, new_run
from tests.living import MANAGER, Living


@pytest.fixture
def enrol(server: Living) -> Callable[[], Phone]:
    """Enrols a new phone at the shared server."""
    return lambda: Phone(server.url, server.code())


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
