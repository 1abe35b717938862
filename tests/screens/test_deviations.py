"""All deviations at the desk: answered where they stand, followed up, closed, and still in the list."""

import re

import pytest
from playwright.sync_api import expect

from tests.api.outside import Phone, new_run
from tests.screens.screen import DESK, PHONE, SECRETS

TEXT = "The hose to the drain burst, half the charge ran onto the floor."


@pytest.fixture
def raised(demo):
    """A run with a deviation that nobody has answered; its id."""
    phone = Phone(demo.url, demo.code("Loft"), "Loft phone")
    phone.sign_in("tomasz", SECRETS["Tomasz Wren"])
    phone.pull()
    held = [row for row in phone.get("/api/reference").json()["procedures"] if row["id"] == "brew-dumped"]
    procedure = max(held, key=lambda row: row["version"])
    run = new_run()
    named = {name: procedure[name] for name in ("version", "sha256")}
    opening = {"procedure": procedure["id"], **named, "vessel": "fv4", "inputs": {}}
    events = [
        phone.make(run, "run.opened", opening, person="tomasz"),
        phone.make(run, "deviation.raised", {"text": f"{TEXT} {run}"}, person="tomasz"),
    ]
    assert {row["status"] for row in phone.push(events)} == {"stored"}
    return run


@pytest.fixture
def desk(manager):
    manager.size(DESK)
    manager.go()
    yield manager
    manager.size(PHONE)


def test_a_deviation_is_answered_where_it_is_listed_followed_up_and_closed_and_stays(desk, raised):
    page = desk.page
    desk.go("record", "deviations")
    card = page.locator(".deviation", has_text=raised)
    expect(card).to_contain_text("Not answered")
    expect(card).to_contain_text("by Tomasz Wren")
    card.get_by_role("button", name="Answer it").click()
    assert desk.faults(enhanced=False) == []
    card.get_by_label("What was done about it").fill("Hosed down, the charge made up and held again.")
    card.get_by_label("Where it came from").fill("A hose of 2019.")
    card.get_by_role("button", name="Answer it, and follow it up").click()
    expect(card.get_by_role("alert")).to_contain_text("Say what is to keep it from coming again.")
    card.get_by_label("What keeps it from coming again").fill("Hoses dated, changed yearly.")
    card.get_by_label("Who sees to that").select_option(label="Owen Calloway")
    card.get_by_label("By", exact=True).fill("2020-02-03")
    card.get_by_role("button", name="Answer it, and follow it up").click()
    expect(card).to_contain_text("Followed up", timeout=30_000)
    expect(card).to_contain_text("Owen Calloway, by 3 Feb 2020: that day is over")

    card.get_by_role("button", name="Close it, or answer again").click()
    expect(card.get_by_label("Where it came from")).to_have_value("A hose of 2019.")
    card.get_by_role("button", name="Answer and close it").click()
    expect(card).to_contain_text("Closed", timeout=30_000)
    page.get_by_label("State").select_option(label="Closed")
    desk.settled()
    expect(card).to_contain_text("Hoses dated, changed yearly.")
    page.get_by_label("State").select_option(label="Not answered")
    expect(card).to_have_count(0)

    desk.go("record", "run", raised)
    story = page.locator(".story")
    expect(story).to_contain_text("came from: A hose of 2019.")
    expect(story).to_contain_text("Owen Calloway sees to it, by 3 Feb 2020")
    answer = page.request.get(f"{desk.origin}/api/runs/{raised}").json()
    given = [event["data"] for event in answer["events"] if event["type"] == "deviation.answered"]
    assert [data.get("pending") for data in given] == [True, None]
    assert re.search(TEXT, answer["run"]["deviations"][0]["text"])


def test_what_cannot_wait_leads_from_the_first_page_to_its_place_in_one_press(desk, raised):
    page = desk.page
    desk.go("record")
    expect(page.get_by_role("heading", name="Today")).to_be_visible()
    line = page.locator(".wrong-list a", has_text=raised)
    expect(line).to_contain_text("FV 4")
    line.click()
    expect(page.locator(".deviation", has_text=raised)).to_be_visible()
    vessels = page.locator(".deviation h2").all_inner_texts()
    assert {text.split(" · ")[0] for text in vessels} == {"FV 4"}
