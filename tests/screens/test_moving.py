"""A phone that is enrolled at another brewery: nothing of the first is shown or sent there, and nothing is lost."""

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import expect

from tests.living import PINS, Living
from tests.screens.screen import Screens
from vesselside import store
from vesselside.store.read import attention
from vesselside.store.site import devices, founding

WAIT = 60_000
PIN = "402917"


@pytest.fixture
def office(templates, tmp_path) -> Iterator[Living]:
    """A server of two breweries."""
    living = Living(tmp_path, templates.of("sqlite", founded=True).copy(tmp_path))
    with living.inside():
        other = store.create_brewery("Alderholt brewery")
        store.add_person(other, "Nell", "brewer", person="nell", pin=PIN)
    living.start()
    yield living
    living.leave()


def enter(one: Screens, code: str, person: str, pin: str) -> None:
    """Enrol and sign in."""
    one.page.get_by_label("Code").fill(code)
    one.page.get_by_label("Name of this phone").fill("Phone")
    one.press("Enrol")
    expect(one.page.get_by_role("button", name=person)).to_be_visible(timeout=WAIT)
    one.press(person)
    one.give(pin)
    one.press("Sign in")
    expect(one.page.get_by_role("button", name="Walk me through")).to_be_visible(timeout=WAIT)


def test_what_waits_for_the_first_brewery_is_told_and_goes_to_it_alone(playwright, office, tmp_path):
    one = Screens(playwright, tmp_path / "phone", office.url.replace("127.0.0.1", "localhost"))
    one.open()
    enter(one, office.code(), "Bern", PINS["bern"])
    one.context.set_offline(True)
    run = one.start("FV 1", "Power cut with wort in hand")
    with office.inside():
        (home, _), (other, _) = founding.breweries()
        (device,) = (row["id"] for row in attention.devices(home))
        devices.revoke(store.book(home), device, "lent to the neighbours", by="mara")
        code = store.make_code(other, "Phone")
    one.context.set_offline(False)
    expect(one.page.get_by_role("heading", name="Enrol this phone")).to_be_visible(timeout=WAIT)
    one.go()
    enter(one, code, "Nell", PIN)
    one.go("phone")
    told = one.page.get_by_text(re.compile("records? of another brewery waits? here"))
    expect(told).to_be_visible(timeout=WAIT)
    one.press("Send now")
    expect(one.page.get_by_text("All records sent").first).to_be_visible(timeout=WAIT)
    expect(one.page.get_by_text("The office's record does not fit")).to_have_count(0)
    one.reload()
    one.go()
    expect(one.page.get_by_role("button", name="Walk me through")).to_be_visible(timeout=WAIT)
    expect(one.page.locator(f"a[href*='{run}']")).to_have_count(0)
    with office.inside():
        assert attention.quarantine(other, before=None, limit=9) == []
    one.close()
