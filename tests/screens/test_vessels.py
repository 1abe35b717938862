"""Vessels at the desk: one is listed, used at once on the plant board, changed, and put out of use."""

import pytest
from playwright.sync_api import expect

from tests.screens.screen import DESK, PHONE


@pytest.fixture
def desk(manager):
    manager.size(DESK)
    yield manager
    manager.size(PHONE)


def listed(desk, name):
    """Its line in the list."""
    return desk.page.locator(".need", has_text=name)


def typed(desk, label, text):
    desk.page.get_by_label(label, exact=True).fill(text)


def test_a_vessel_is_listed_and_stands_on_the_board_with_what_fits_it(desk):
    page = desk.page
    desk.go("record", "vessels")
    expect(listed(desk, "FV 1")).to_contain_text("Fermenter")
    desk.follow("List a vessel or a line")
    typed(desk, "Name, as on the vessel", "BBT 7")
    page.get_by_label("Kind", exact=True).select_option(label="Bright beer tank")
    typed(desk, "Where it stands", "Annex")
    typed(desk, "Volume of the whole vessel, L", "2400")
    desk.press("Keep")
    expect(page.get_by_role("heading", name="Annex")).to_be_visible()
    expect(listed(desk, "BBT 7")).to_contain_text("2400 L")
    desk.go("plant")
    expect(page.get_by_role("link", name="BBT 7")).to_be_visible()
    desk.go("start", "bright-caustic-clean", "bbt-7")
    expect(page.locator("main")).to_contain_text("BBT 7")


def test_what_is_wrong_stands_at_its_field_and_nothing_typed_is_lost(desk):
    page = desk.page
    desk.go("record", "vessels")
    desk.follow("List a vessel or a line")
    typed(desk, "Where it stands", "Annex")
    typed(desk, "Inside diameter, m", "wide")
    typed(desk, "Brews that fill it", "0")
    desk.press("Keep")
    expect(page.get_by_text("Enter its name as written on the vessel.")).to_be_visible()
    expect(page.get_by_text("This is not a number: wide")).to_be_visible()
    expect(page.get_by_text("From 1 to 9.")).to_be_visible()
    expect(page.get_by_label("Where it stands", exact=True)).to_have_value("Annex")
    typed(desk, "Inside diameter, m", "1.1")
    typed(desk, "Brews that fill it", "1")
    typed(desk, "Name, as on the vessel", "fv 1")
    desk.press("Keep")
    expect(page.get_by_text("Another vessel is called so")).to_be_visible()


def test_a_vessel_goes_out_of_use_and_leaves_the_board_and_its_records_keep_its_name(desk):
    page = desk.page
    desk.go("record", "vessel")
    typed(desk, "Name, as on the vessel", "FV 70")
    desk.press("Keep")
    listed(desk, "FV 70").click()
    typed(desk, "Where it stands", "Yard")
    page.get_by_label("Use", exact=True).select_option(label="Out of use")
    expect(page.get_by_text("First empty it, rinse it and leave it safe.")).to_be_visible()
    desk.press("Keep")
    expect(page.get_by_role("heading", name="Out of use")).to_be_visible()
    expect(page.locator("section", has_text="Out of use").locator(".need")).to_contain_text(["FV 70"])
    desk.go("plant")
    expect(page.get_by_role("link", name="FV 1", exact=False).first).to_be_visible()
    expect(page.get_by_role("link", name="FV 70")).to_have_count(0)
    desk.go("record", "administration")
    expect(page.get_by_text("Vessel fv-70 was changed.").first).to_be_visible()
