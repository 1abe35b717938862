"""A brewery set up from nothing in the browser alone; then a clean on a phone enrolled to it, to its end."""

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Playwright, expect

from tests.conftest import Templates
from tests.e2e.hand import DESK, Hand, Phone
from tests.e2e.kept import knows
from tests.e2e.test_clean import READINGS, all_sent
from tests.living import Living

CLEAN = "Fermenter caustic clean"
MANAGER, BREWER, DUTY = "Edda Quist", "Piet Marlow", "Sanna Birk"
PASSWORD = "three-larches-hum"
PINS = {MANAGER: "926471", BREWER: "385741", DUTY: "857394"}
PLATE = {
    "Volume of the whole vessel, L": "1300",
    "Volume of a cleaning charge, L": "160",
    "Inside diameter, m": "1.10",
}
SHORT = {"caustic-contact": "4", "peracetic-contact": "3"}
"""Seconds of holds that last half an hour as shipped, so that the test does not."""


@pytest.fixture
def empty(templates: Templates, tmp_path) -> Iterator[Living]:
    """A server with nothing in it."""
    folder = tmp_path / "server"
    folder.mkdir()
    living = Living(folder, templates.of("sqlite", founded=False).copy(folder))
    living.start()
    yield living
    living.leave()


@pytest.fixture
def browsers(playwright: Playwright, empty, tmp_path):
    """Makes browsers that know nothing of the server yet."""
    made = []

    def make(name: str, **size) -> Phone:
        one = Phone(playwright, tmp_path / name, empty.url.replace("127.0.0.1", "localhost"), **size)
        made.append(one)
        one.open()
        return one

    yield make
    for one in made:
        one.close()
        assert one.trouble == []


def begin(desk: Phone, living: Living) -> None:
    """Follow the address that the server printed, and sign in as the first manager."""
    page = desk.page
    expect(page.get_by_text("There is no brewery on this server yet.")).to_be_visible()
    said = (living.folder / "serve.log").read_text()
    page.goto(re.search(r"http://localhost:\d+/#/begin/\w+", said)[0])
    page.reload()
    page.get_by_label("Name of the brewery").fill("Saltmarsh Brewery")
    page.get_by_label("Your name").fill(MANAGER)
    page.get_by_label("PIN").fill(PINS[MANAGER])
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Begin").click()
    expect(page.get_by_role("heading", name="Who are you?")).to_be_visible()
    desk.sign_in(MANAGER, PASSWORD)
    expect(page.get_by_role("heading", name="Set up")).to_be_visible()


def list_vessel(desk: Phone) -> None:
    page = desk.page
    page.locator("main, .desk").get_by_role("link", name=re.compile("^Vessels Each")).click()
    page.get_by_role("link", name="List a vessel or a line").click()
    page.get_by_label("Name, as on the vessel").fill("FV 1")
    page.get_by_label("Where it stands").fill("Tank room")
    for label, value in PLATE.items():
        page.get_by_label(label).fill(value)
    page.get_by_role("button", name="Keep").click()
    expect(page.get_by_role("heading", name="Tank room")).to_be_visible()


def add_person(desk: Phone, name: str, role: str) -> None:
    page = desk.page
    desk.go("record", "people")
    page.get_by_role("link", name="Add a person").click()
    page.get_by_label("Name", exact=True).fill(name)
    page.get_by_label("Role", exact=True).select_option(label=role)
    page.get_by_label("PIN", exact=True).fill(PINS[name])
    page.get_by_role("button", name="Add").click()
    expect(page.locator(".need", has_text=name)).to_contain_text(role)


def sign_figures(desk: Phone) -> None:
    """Give the holds a few seconds, and sign whatever else the clean asks for as it is shipped."""
    page = desk.page
    desk.go("record", "figures")
    page.get_by_text("By procedure").click()
    page.get_by_role("link", name=re.compile(f"^{CLEAN}")).click()
    page.get_by_label("Show", exact=True).select_option("all")
    for label, value in (("Caustic contact time", "4"), ("Peracetic contact time", "3")):
        row = page.locator(".site-figure", has=page.get_by_label(re.compile(f"^{label}"))).first
        row.get_by_role("textbox").fill(value)
        row.get_by_role("button", name="Keep").click()
        expect(row.get_by_text(re.compile(f"^Signed by {MANAGER}"))).to_be_visible()
    desk.hold(page.get_by_role("button", name=re.compile("^Sign (it|these)")))
    expect(page.get_by_text(re.compile("^0 of "))).to_be_visible()


def code_for(desk: Phone, name: str) -> str:
    page = desk.page
    desk.go("record", "devices")
    page.get_by_label("Who or what is it for?").fill(name)
    page.get_by_role("button", name="Make a code").click()
    letters = page.locator(".code-letters")
    expect(letters).to_be_visible()
    return re.sub(r"\s", "", letters.inner_text())


def test_a_brewery_is_set_up_from_nothing_in_the_browser_and_a_clean_is_done_there(empty, browsers):
    desk = browsers("desk", size=DESK)
    begin(desk, empty)
    list_vessel(desk)
    add_person(desk, BREWER, "Brewer")
    add_person(desk, DUTY, "Duty brewer")
    sign_figures(desk)

    cellar = browsers("cellar")
    cellar.enrol(code_for(desk, "Cellar phone"), "Cellar phone")
    cellar.sign_in(BREWER, PINS[BREWER])
    all_sent(cellar)
    knows(cellar, SHORT)
    hand = Hand(cellar, dict(READINGS), second=(DUTY, PINS[DUTY]))
    hand.start("FV 1", CLEAN, {})
    hand.finish()
    all_sent(cellar)

    page = desk.page
    desk.go("record", "cleanings")
    row = page.get_by_role("row", name=re.compile("FV 1")).first
    expect(row).to_contain_text(CLEAN)
    expect(row).to_contain_text(BREWER)
    empty.stop()
    checked = empty.command("check")
    assert checked.returncode == 0, checked.stdout
