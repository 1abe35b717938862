"""A brewery in which nothing is wrong yet."""

from typing import NamedTuple

import pytest

from tests.api.outside import Phone, new_run
from tests.living import Living
from vesselside.store.site import founding


class Sound(NamedTuple):
    """A served brewery with one folded run, and what they are called."""

    living: Living
    brewery: str
    run: str
    device: str


@pytest.fixture
def sound(fresh: Living) -> Sound:
    """A brewery of one run on a vessel, of which `check` has nothing to say."""
    fresh.start()
    phone, run = Phone(fresh.url, fresh.code()), new_run()
    opened = {"procedure": "none", "version": 1, "sha256": "0" * 64, "vessel": "fv1", "inputs": {}}
    phone.push([phone.make(run, "run.opened", opened), phone.make(run)])
    assert fresh.command("rebuild").returncode == 0
    assert fresh.command("check").stdout == "ok\n"
    with fresh.inside():
        brewery = founding.breweries()[0][0]
    return Sound(fresh, brewery, run, phone.id)
