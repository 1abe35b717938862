"""The desk's first page: what may be filled, and the queue of reviews, walked through and taken together."""

import re

import pytest
from playwright.sync_api import expect

from tests.screens.screen import DESK, PHONE


@pytest.fixture
def desk(manager):
    manager.size(DESK)
    manager.go()
    yield manager
    manager.size(PHONE)


def told(desk, path):
    return desk.page.request.get(f"{desk.origin}{path}").json()


def test_the_first_page_says_what_may_be_filled_and_why_not(desk):
    desk.go("record")
    page = desk.page
    expect(page.get_by_role("heading", name="May be filled")).to_be_visible()
    columns = {}
    for column in page.locator(".filling > div").all():
        columns[column.locator("h3").inner_text()] = column
    assert list(columns) == ["Now", "After a sanitise", "Not now"]
    for row in told(desk, "/api/desk/needs")["filling"]:
        title = {"now": "Now", "sanitise": "After a sanitise", "no": "Not now"}[row["ready"]]
        shown = columns[title].locator("li", has_text=re.compile(rf"^{re.escape(row['name'])}\b"))
        expect(shown).to_have_count(1)
        if row["ready"] == "no":
            expect(shown).to_contain_text(row["why"][0])
    assert page.locator(".desk-nav a[aria-current]").all_inner_texts() == ["Today"]


def test_the_queue_is_walked_one_run_after_another_and_keeps_its_order_as_runs_are_reviewed(desk):
    page = desk.page
    waiting = [
        row for row in told(desk, "/api/desk/reviews?limit=200")["reviews"] if row["kind"] != "cleaning"
    ]
    desk.go("record")
    group = page.locator(".review-group", has=page.get_by_role("heading", name="Daily checks"))
    group.get_by_role("link", name=re.compile("one after another")).click()
    place = page.get_by_role("navigation", name="Runs to review")
    expect(place).to_contain_text(f"1 of {len(waiting)}")
    expect(page.locator("h1")).to_contain_text(waiting[0]["title"])
    desk.settled()
    desk.hold(page.get_by_role("button", name=re.compile("^Accept")))
    expect(page.locator(".record-facts")).to_contain_text("Accepted · Ishbel Tarrant", timeout=30_000)
    place.get_by_role("link", name="Next").click()
    expect(place).to_contain_text(f"2 of {len(waiting)}")
    expect(page).to_have_url(re.compile(waiting[1]["id"]))
    assert desk.faults(enhanced=False) == []
    place.get_by_role("link", name="Before").click()
    expect(place).to_contain_text(f"1 of {len(waiting)}")
    signed = told(desk, f"/api/runs/{waiting[0]['id']}")["run"]["review"]
    assert (signed["verdict"], signed["digest"]) == ("accepted", waiting[0]["digest"])


def test_runs_with_nothing_found_are_accepted_together_each_with_a_review_of_its_own(desk):
    page = desk.page
    desk.go("record")
    group = page.locator(".review-group", has=page.get_by_role("heading", name="Daily checks"))
    group.locator("summary").click()
    boxes = group.get_by_role("checkbox")
    before = boxes.count()
    assert before >= 3
    rows = told(desk, "/api/desk/reviews?limit=200")["reviews"]
    routine = [row for row in rows if row["kind"] != "cleaning" and not row["findings"]]
    for box in boxes.all()[2:]:
        box.uncheck()
    assert desk.faults(enhanced=False) == []
    chosen = [
        re.search(r"run/([0-9a-f-]+)", link.get_attribute("href"))[1]
        for link in group.get_by_role("link", name="Open the record").all()[:2]
    ]
    desk.hold(group.get_by_role("button", name=re.compile("^Accept 2 runs")))
    expect(boxes).to_have_count(before - 2, timeout=60_000)
    expect(group.locator(".wrong")).to_have_count(0)
    for run in chosen:
        answer = told(desk, f"/api/runs/{run}")
        reviews = [event for event in answer["events"] if event["type"] == "run.reviewed"]
        (digest,) = [row["digest"] for row in routine if row["id"] == run]
        assert [event["data"] for event in reviews] == [{"verdict": "accepted", "digest": digest, "text": ""}]
    left = {row["id"] for row in told(desk, "/api/desk/reviews?limit=200")["reviews"]}
    assert left.isdisjoint(chosen)
    assert {row["id"] for row in routine} - set(chosen) <= left
