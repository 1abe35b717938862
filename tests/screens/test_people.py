"""People at the desk: added, renamed, given another role and PIN, gone, back again, and their name forgotten."""

import re

import pytest
from playwright.sync_api import expect

from tests.api.outside import Phone
from tests.screens.screen import DESK, PHONE

PIN, ANOTHER = "264951", "591624"


@pytest.fixture
def desk(manager):
    manager.size(DESK)
    yield manager
    manager.size(PHONE)


def listed(desk, name):
    """Their line in the list."""
    return desk.page.locator(".need", has_text=name)


def opened(desk, name):
    desk.go("record", "people")
    listed(desk, name).click()
    expect(desk.page.get_by_role("heading", name=name, exact=True)).to_be_visible()


def added(desk, name, role="Brewer", pin=PIN):
    """Add a person with the form."""
    page = desk.page
    desk.go("record", "people")
    desk.follow("Add a person")
    page.get_by_label("Name", exact=True).fill(name)
    page.get_by_label("Role", exact=True).select_option(label=role)
    page.get_by_label("PIN", exact=True).fill(pin)
    desk.press("Add")


def person_id(desk, name):
    opened(desk, name)
    return re.search(r"#/record/person/([0-9a-z-]+)", desk.page.url)[1]


def signs_in(demo, code, person, pin):
    """Whether a phone of its own lets them in."""
    return (
        Phone(demo.url, demo.code(code), code)
        .post("/api/session", {"person": person, "pin": pin})
        .status_code
    )


def test_somebody_is_added_and_signs_in_on_a_phone_with_the_pin_given(desk, demo):
    added(desk, "Marit Oldshaw")
    expect(listed(desk, "Marit Oldshaw")).to_contain_text("Brewer")
    assert signs_in(demo, "Marit's phone", person_id(desk, "Marit Oldshaw"), PIN) == 200


def test_what_is_lacking_or_weak_is_said_and_nothing_that_was_typed_is_lost(desk):
    page = desk.page
    told = page.locator(".wrong[role=alert]")
    added(desk, "", pin="")
    expect(told).to_have_text("Give the name.")
    page.get_by_label("Name", exact=True).fill("Piers Halloran")
    desk.press("Add")
    expect(told).to_have_text("Give a PIN.")
    page.get_by_label("PIN", exact=True).fill("123456")
    desk.press("Add")
    expect(told).to_contain_text("PIN")
    expect(told).not_to_have_text("Give a PIN.")
    page.get_by_label("Role", exact=True).select_option(label="Manager")
    page.get_by_label("PIN", exact=True).fill(PIN)
    desk.press("Add")
    expect(told).to_have_text("A manager needs a password as well.")
    expect(page.get_by_label("Name", exact=True)).to_have_value("Piers Halloran")
    desk.go("record", "people")
    expect(listed(desk, "Ishbel Tarrant")).to_be_visible()
    expect(listed(desk, "Piers Halloran")).to_have_count(0)


def test_a_name_a_role_and_a_pin_are_changed(desk, demo):
    page = desk.page
    added(desk, "Corin Vale", role="New starter")
    expect(listed(desk, "Corin Vale")).to_contain_text("New starter")
    person = person_id(desk, "Corin Vale")
    page.get_by_label("Name", exact=True).fill("Corin Vale-Ashby")
    page.get_by_label("Role", exact=True).select_option(label="Duty brewer")
    desk.press("Keep")
    expect(page.get_by_role("heading", name="Corin Vale-Ashby")).to_be_visible()
    page.get_by_label("PIN", exact=True).fill(ANOTHER)
    desk.press("Set it")
    expect(page.get_by_text("Set. Tell it in person")).to_be_visible()
    expect(page.get_by_label("PIN", exact=True)).to_have_value("")
    desk.go("record", "people")
    expect(listed(desk, "Corin Vale-Ashby")).to_contain_text("Duty brewer")
    assert signs_in(demo, "Corin's phone", person, PIN) == 403
    assert signs_in(demo, "Corin's other phone", person, ANOTHER) == 200


def test_who_has_left_signs_in_no_more_comes_back_and_their_name_is_forgotten_at_last(desk, demo):
    page = desk.page
    added(desk, "Wilf Sandering")
    expect(listed(desk, "Wilf Sandering")).to_be_visible()
    person = person_id(desk, "Wilf Sandering")
    desk.hold(page.get_by_role("button", name=re.compile("^Wilf Sandering has left")))
    expect(page.get_by_text("Has left. Was: Brewer.")).to_be_visible()
    assert signs_in(demo, "Wilf's phone", person, PIN) == 403
    desk.press("Works here again")
    expect(page.get_by_label("Name", exact=True)).to_have_value("Wilf Sandering")
    assert signs_in(demo, "Wilf's second phone", person, PIN) == 200
    desk.hold(page.get_by_role("button", name=re.compile("^Wilf Sandering has left")))
    desk.hold(page.get_by_role("button", name=re.compile("^Forget the name for good")))
    expect(page.get_by_text("The name is forgotten.")).to_be_visible()
    desk.go("record", "people")
    expect(listed(desk, person)).to_contain_text("Name forgotten")
    expect(listed(desk, "Wilf Sandering")).to_have_count(0)


def test_nobody_puts_themselves_out_and_the_last_manager_stays_one(desk):
    page = desk.page
    opened(desk, "Ishbel Tarrant")
    expect(page.get_by_role("button", name="Set it")).to_be_visible()
    expect(page.get_by_role("button", name=re.compile("has left"))).to_have_count(0)
    page.get_by_label("Role", exact=True).select_option(label="Brewer")
    desk.press("Keep")
    expect(page.locator(".wrong[role=alert]")).to_have_text(
        "This is the last manager. Make someone else a manager first."
    )
