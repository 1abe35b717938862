"""A text and a photo taken out of a record: an open run shows it at once, the desk says when, by whom and why."""

import re

from playwright.sync_api import expect

from tests.screens.screen import DESK
from tests.screens.test_desk import photographed

__all__ = ["photographed"]

WORD = "Quillfeather"
REASON = "names a person's injury"


def send(one) -> None:
    """Exchange with the office now, from the phone's own page, and come back."""
    there = one.page.evaluate("() => location.hash.slice(2)")
    one.go("phone")
    one.press("Send now")
    one.settled()
    one.go(*there.split("/"))


def redact(demo, event: str, *more: str) -> None:
    done = demo.command("redact", event, REASON, *more)
    assert done.returncode == 0, done.stderr


def test_an_open_run_shows_a_text_gone_and_the_desk_says_when_by_whom_and_why(phones, demo):
    phone, desk = phones("Note phone", "Tomasz Wren"), phones("Redacting desk", "Ishbel Tarrant")
    run = phone.start("FV 3", "Fermenter caustic clean")
    phone.go("run", run, "deviate")
    phone.page.get_by_role("textbox").fill(f"{WORD} slipped on the hose")
    phone.press("Raise it")
    phone.settled()
    phone.go("run", run, "more")
    expect(phone.page.get_by_text(WORD)).to_be_visible()
    send(phone)
    answer = phone.page.request.get(f"{phone.origin}/api/runs/{run}").json()
    raised = next(event for event in answer["events"] if event["type"] == "deviation.raised")
    manager = next(
        row["id"] for row in phone.page.request.get(f"{phone.origin}/api/reference").json()["people"]
        if row["name"] == "Ishbel Tarrant"
    )  # fmt: skip
    redact(demo, raised["id"], "--by", manager)
    send(phone)
    expect(phone.page.get_by_text("(taken out)")).to_be_visible()
    expect(phone.page.get_by_text(WORD)).to_have_count(0)
    phone.reload()
    phone.go("run", run, "more")
    expect(phone.page.get_by_text("(taken out)")).to_be_visible()
    expect(phone.page.get_by_text(WORD)).to_have_count(0)

    desk.size(DESK)
    desk.go("record", "run", run)
    line = desk.page.locator(".story-line", has_text="Raised a deviation")
    expect(line).to_contain_text("Raised a deviation: (taken out)")
    told = f"asked for by Ishbel Tarrant: {REASON}"
    expect(line.locator(".story-finding", has_text=told)).to_contain_text(
        re.compile(r"A text was taken out on \d{4}-\d\d-\d\d at the server's command line")
    )
    expect(desk.page.locator(".findings")).to_contain_text(told)
    desk.go("record", "administration")
    asked = f"A text was taken out of a record, as Ishbel Tarrant asked: {REASON}"
    expect(desk.page.get_by_text(asked)).to_be_visible()


def test_a_photo_that_was_taken_out_is_not_said_to_be_on_its_way(manager, demo, photographed):
    manager.size(DESK)
    run, put = photographed
    put()
    manager.go("record", "run", run)
    photos = manager.page.locator(".photo-small")
    expect(photos).to_have_count(1)
    answer = manager.page.request.get(f"{manager.origin}/api/runs/{run}").json()
    redact(demo, next(event["id"] for event in answer["events"] if event["type"] == "photo.added"))
    manager.reload()
    manager.go("record", "run", run)
    expect(manager.page.get_by_text(re.compile("The photo was taken out on")).first).to_be_visible()
    expect(photos).to_have_count(0)
    expect(manager.page.get_by_text("The photo is not with the office yet")).to_have_count(0)
