"""The desk: a code that enrols, a register that filters, a record that reads as a story, a review that is signed."""

import hashlib
import io
import re

import pytest
from PIL import Image
from playwright.sync_api import expect

from tests.api.outside import Phone, new_run
from tests.screens.screen import DESK, Screens
from vesselside.core import VERSION


@pytest.fixture
def desk(manager):
    manager.size(DESK)
    manager.go()
    return manager


def test_a_code_made_at_the_desk_enrols_a_phone_however_it_is_typed(desk, playwright, demo, tmp_path):
    desk.go("record", "devices")
    desk.page.get_by_label("Who or what is it for?").fill("Loading bay phone")
    desk.press("Make a code")
    code = desk.page.locator(".code-letters").inner_text()
    assert re.fullmatch(r"[0-9A-HJKMNP-TV-Z]{5} [0-9A-HJKMNP-TV-Z]{5}", code)

    one = Screens(playwright, tmp_path / "bay", demo.url.replace("127.0.0.1", "localhost"))
    one.open()
    one.enrol(code.lower().replace("0", "o").replace("1", "l"), "Loading bay phone")
    one.close()
    desk.go()
    desk.go("record", "devices")
    expect(desk.page.get_by_role("heading", name="Loading bay phone")).to_be_visible()


def test_a_lost_phone_is_revoked_with_a_reason(desk, phones):
    lost = phones("Lost phone", "Tomasz Wren")
    desk.go()
    desk.go("record", "devices")
    row = desk.page.locator(".device", has=desk.page.get_by_role("heading", name="Lost phone"))
    row.get_by_role("button", name="Revoke").click()
    row.get_by_label("Why?").fill("Fell into the mash tun.")
    desk.hold(row.locator(".hold"))
    expect(row).to_contain_text("Revoked")
    # It hears of it when it next asks, which it does by itself: at the latest when it is opened.
    lost.go()
    lost.go("phone")
    expect(
        lost.page.get_by_role("heading", name="Enrol this phone").or_(lost.page.locator(".wrong"))
    ).to_be_visible()


def test_the_register_shows_completed_cleaning_and_filters_it(desk):
    page = desk.page
    desk.go("record", "register")
    rows = page.locator(".register tbody tr")
    expect(rows.first).to_be_visible()
    everything = rows.count()
    vessel = rows.first.locator("td").nth(1).inner_text()
    page.get_by_label("Vessel").select_option(label=vessel)
    desk.settled()
    assert 0 < rows.count() <= everything
    assert {row.locator("td").nth(1).inner_text() for row in rows.all()} == {vessel}
    page.get_by_label("From").fill("2019-01-01")
    page.get_by_label("To").fill("2019-01-02")
    desk.settled()
    expect(page.get_by_text("No run fits.")).to_be_visible()


def test_a_record_reads_as_a_story_and_a_review_of_it_is_signed(desk):
    page = desk.page
    desk.go("record", "register")
    page.get_by_label("Review").select_option(label="Not reviewed, or lapsed")
    page.get_by_label("How it ended").select_option(label="Finished")
    desk.settled()
    page.locator(".register a").first.click()
    desk.settled()
    story = page.locator(".story")
    expect(story).to_contain_text("Opened the run.")
    expect(story).to_contain_text("Finished the run.")
    times = page.locator(".story time").evaluate_all("all => all.map((each) => each.dateTime)")
    assert times == sorted(times)
    expect(story.locator(".story-received").first).to_contain_text("received")

    run = re.search(r"/record/run/([^/]+)", page.url)[1]
    desk.hold(page.get_by_role("button", name=re.compile("^Accept")))
    expect(page.locator(".record-facts")).to_contain_text("Accepted · Ishbel Tarrant", timeout=60_000)
    answer = page.request.get(f"{desk.origin}/api/runs/{run}").json()
    signed = [event for event in answer["events"] if event["type"] == "run.reviewed"]
    assert signed[-1]["data"]["verdict"] == "accepted"
    assert signed[-1]["data"]["digest"] != answer["run"]["digest"], "the review covers the record before it"
    assert answer["run"]["review"]["person"] == signed[-1]["person"]


@pytest.fixture
def photographed(demo):
    """A run whose photo is still on the phone that took it; the run, and what sends the photo."""
    phone = Phone(demo.url, demo.code("Camera"))
    phone.pull()
    made, run = io.BytesIO(), new_run()
    # a picture of its own: one that was taken out of a record is never taken again
    Image.linear_gradient("L").resize((1600, 1200)).convert("RGB").save(made, "JPEG", comment=run.encode())
    photo = made.getvalue()
    sha256 = hashlib.sha256(photo).hexdigest()
    procedures = phone.get("/api/reference").json()["procedures"]
    dumped = max((row for row in procedures if row["id"] == "brew-dumped"), key=lambda row: row["version"])
    named = {
        "procedure": dumped["id"],
        "version": dumped["version"],
        "sha256": dumped["sha256"],
        "inputs": {},
    }
    entry = {"step": "why", "field": "photo", "value": sha256, "typed": sha256, "how": "keyed", "over": []}
    added = {"step": "why", "sha256": sha256, "mime": "image/jpeg", "bytes": len(photo)}
    records = (
        ("run.opened", named),
        ("photo.added", added),
        ("entry.made", {**entry, "verdict": "target", "core": VERSION}),
    )
    results = phone.push([phone.make(run, kind, data, person="tomasz") for kind, data in records])
    assert [result["status"] for result in results] == ["stored"] * 3, results

    def send() -> None:
        image = {"Content_Type": "image/jpeg"}
        assert phone.send(f"/api/photos/{sha256}", photo, method="PUT", **image).status_code == 201

    return run, send


def test_a_photo_stands_small_beside_its_line_and_opens_whole(desk, photographed):
    run, send = photographed
    page = desk.page
    desk.go("record", "run", run)
    title = "Write why, with the readings: Photo"
    expect(page.get_by_text(f"The photo is not with the office yet. {title}")).to_be_visible()
    send()
    desk.go()
    desk.go("record", "run", run)
    photo = page.get_by_role("button", name=title)
    expect(photo).to_have_count(1)
    expect(page.locator(".story-line", has=photo)).to_contain_text("Photo:")
    assert photo.bounding_box()["width"] < 300
    photo.click()
    whole = page.get_by_role("dialog", name=title)
    expect(whole.get_by_role("img", name=title)).to_be_visible()
    width = whole.get_by_role("img").evaluate("img => [img.naturalWidth, img.getBoundingClientRect().width]")
    assert width[0] == 1600
    assert 900 < width[1] <= DESK["width"]
    assert desk.faults(enhanced=False) == []
    whole.get_by_role("button", name="Close").click()
    expect(whole).to_be_hidden()


def test_rejecting_needs_words(desk):
    page = desk.page
    desk.go("record", "register", "status", "finished")
    page.locator(".register a").first.click()
    desk.settled()
    desk.hold(page.get_by_role("button", name=re.compile("^Reject")))
    expect(page.locator(".review .wrong")).to_contain_text("Say why")


def test_the_desk_shows_a_brewer_records_gyles_recipes_and_instruments_and_no_more(brewer):
    brewer.go("record")
    expect(brewer.page.get_by_role("heading", name="Register")).to_be_visible()
    links = brewer.page.locator(".desk-nav").get_by_role("link").all_inner_texts()
    assert links == [
        "Start",
        "Register",
        "Gyles",
        "Recipes",
        "Instruments",
        "What to trust",
    ]
    brewer.go("record", "recipe", "lantern-field")
    expect(brewer.page.locator(".brew-sheet")).to_be_visible()
    assert brewer.page.get_by_role("button", name="Keep as version").count() == 0


def test_the_desk_is_not_loaded_at_the_vessel(phones):
    one = phones("Light phone", "Tomasz Wren")
    one.go("plant")
    loaded = one.page.evaluate("() => performance.getEntriesByType('resource').map((each) => each.name)")
    assert not [name for name in loaded if "/Desk-" in name and name.endswith(".js")]
