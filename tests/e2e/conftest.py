"""The demo brewery on the real server, and phones to carry about in it."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Playwright, expect, sync_playwright

from tests.e2e.hand import PHONE, Phone
from tests.living import Living, with_demo
from vesselside import library, store
from vesselside.store.site import founding

# Holds of the demo brewery last half an hour; here a few seconds, by the site's own settings.
SHORT = {
    "caustic-contact": "4",
    "peracetic-contact": "3",
    "mash-stand": "3",
    "whirlpool-rest": "3",
}
PEOPLE = {
    "Ishbel Tarrant": "copper-lapwing-seven",
    "Owen Calloway": "583920",
    "Dele Marchbank": "141421",
    "Tomasz Wren": "173205",
    "Nina Fairweather": "161803",
}


def short_boil() -> dict[str, Any]:
    """The boil as this site has it: a few seconds, where the recipe's own time stands in what ships."""
    shipped = next(row for row in library.load().procedures if row["id"] == "copper-boil")
    steps = [
        {**step, "hold": {"seconds": "3"}} if step["id"] == "boil" else step for step in shipped["steps"]
    ]
    changed = {key: value for key, value in shipped.items() if key != "sha256"}
    changed |= {"version": shipped["version"] + 1, "steps": steps}
    made, faults = library.judge(changed, [caution["id"] for caution in library.load().cautions])
    assert faults == []
    return made


expect.set_options(timeout=60_000)  # a busy machine is no reason to fail


@pytest.fixture
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as running:
        yield running


@pytest.fixture
def brewery(shared_folder: Path, tmp_path: Path) -> Iterator[Living]:
    """The demo brewery, served; its holds are short."""
    living = with_demo(tmp_path / "server", shared_folder)
    with living.inside():
        site = founding.breweries()[0][0]
        for name, value in SHORT.items():
            store.set_setting(site, name, value)
        store.publish_procedure(site, short_boil())
    living.start()
    yield living
    living.leave()


@pytest.fixture
def phone(playwright: Playwright, brewery: Living, tmp_path: Path) -> Iterator[Callable[..., Phone]]:
    """Makes an enrolled phone with `person` signed in."""
    made: list[Phone] = []

    def make(name: str, person: str, size: dict = PHONE) -> Phone:
        # An address of its own for each, as localhost is: a secure context with its own storage.
        one = Phone(playwright, tmp_path / name, brewery.url.replace("127.0.0.1", "localhost"), size)
        made.append(one)
        one.open()
        one.enrol(brewery.code(name), name)
        one.sign_in(person, PEOPLE[person])
        return one

    yield make
    for one in made:
        one.close()
        assert one.trouble == []
