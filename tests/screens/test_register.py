"""The register at the desk: true totals, every press of Show more, a view that stands in the address or is kept."""

import re
import time
import urllib.parse

import pytest
from playwright.sync_api import expect

from tests.api.outside import Phone, digest_of, instant, new_run
from tests.screens.screen import DESK, SECRETS

MANAGER = "ishbel"


@pytest.fixture
def desk(manager):
    manager.size(DESK)
    manager.go()
    return manager


@pytest.fixture
def office(demo):
    """A desk of the tests' own, the manager signed in with her password, which makes records as a phone does."""
    made = Phone(demo.url, demo.code("Second desk"))
    assert (
        made.post("/api/session", {"person": MANAGER, "password": SECRETS["Ishbel Tarrant"]}).status_code
        == 200
    )
    made.pull()
    return made


def push(phone, run, kind, data, person=MANAGER):
    event = phone.make(run, kind, data, person=person)
    assert phone.push([event])[0]["status"] == "stored"
    return event


def opening(phone, name="fermenter-caustic-clean", **more):
    offered = [row for row in phone.get("/api/reference").json()["procedures"] if row["id"] == name]
    newest = max(offered, key=lambda row: row["version"])
    named = {key: newest[key] for key in ("version", "sha256")}
    return {"procedure": name, **named, "inputs": {}, **more}


def asked(desk, **query):
    return desk.page.request.get(f"{desk.origin}/api/runs?{urllib.parse.urlencode(query)}").json()


def rows(desk):
    return desk.page.locator(".register tbody tr")


def settled_at(desk, count, total):
    expect(rows(desk)).to_have_count(count)
    expect(desk.page.get_by_role("status").filter(has_text="Showing")).to_contain_text(
        f"Showing {count} of {total} "
    )


@pytest.fixture(scope="module")
def many(demo):
    """So many runs that they fill more than two pages: of the evening before, at no vessel, each stopped again."""
    phone = Phone(demo.url, demo.code("Yesterday's phone"))
    phone.pull()
    at = int(time.time() * 1000) - 20 * 3_600_000
    named = opening(phone, "lock-up")
    events = []
    for _ in range(70):
        run = new_run()
        for kind, data in (
            ("run.opened", named),
            ("run.abandoned", {"reason": "Called away.", "left": "soiled"}),
        ):
            at += 1000
            moment = {"time": instant(at), "hlc": f"{at:012x}-0000"}
            events.append(phone.make(run, kind, data, person="tomasz", **moment))
    assert {row["status"] for row in phone.push(events)} == {"stored"}


@pytest.mark.usefixtures("many")
def test_the_totals_are_true_and_every_show_more_shows_more(desk):
    total = asked(desk, limit=1)["total"]
    assert total > 100
    desk.go("record", "register", "kind", "any")
    shown = 50
    while True:
        settled_at(desk, min(shown, total), total)
        if shown >= total:
            break
        desk.press("Show more")
        shown += 50
    expect(desk.page.get_by_role("button", name="Show more")).to_have_count(0)
    links = rows(desk).locator("a").evaluate_all("all => all.map((each) => each.getAttribute('href'))")
    assert len(set(links)) == total


@pytest.mark.usefixtures("many")
def test_back_from_a_record_leads_to_the_same_rows(desk):
    page = desk.page
    desk.go("record", "register")
    page.get_by_label("Kind").select_option(label="All")
    page.get_by_label("Order").select_option(label="Oldest first")
    page.get_by_label("How it ended").select_option(label="Finished or stopped early")
    desk.settled()
    desk.press("Show more")
    expect(rows(desk)).to_have_count(100)
    first = rows(desk).first.inner_text()
    address = page.url
    assert "/record/register/" in address
    assert "/sort/opened/" in address
    rows(desk).nth(70).locator("a").click()
    desk.settled()
    expect(page.locator(".story")).to_be_visible()
    page.go_back()
    expect(rows(desk)).to_have_count(100)
    assert (page.url, rows(desk).first.inner_text()) == (address, first)
    expect(page.get_by_label("Order")).to_have_value("opened")


def test_as_it_opens_the_register_hides_no_clean_that_was_stopped(desk, office):
    run = new_run()
    push(office, run, "run.opened", opening(office, vessel="fv1"), person="tomasz")
    push(office, run, "run.abandoned", {"reason": "Hose burst.", "left": "soiled"}, person="tomasz")
    desk.go()
    desk.go("record", "register")
    row = rows(desk).filter(has=desk.page.locator(f"a[href$='{run}']"))
    expect(row).to_contain_text("Stopped early")


def test_what_is_found_against_a_run_is_told_and_can_be_asked_for(desk, office):
    run = new_run()
    push(office, run, "run.opened", opening(office, vessel="fv1"), person="tomasz")
    push(office, run, "deviation.raised", {"text": "Foam at the vent."}, person="tomasz")
    desk.go()
    desk.go("record", "register", "found", "deviations-open")
    row = rows(desk).filter(has=desk.page.locator(f"a[href$='{run}']"))
    expect(row).to_contain_text("1 deviation not answered")
    expect(row).to_contain_text("by someone not signed in")
    desk.page.get_by_label("Found against it").select_option(label="Nothing")
    desk.settled()
    assert {each.locator("td").nth(4).inner_text() for each in rows(desk).all()} == {"Nothing"}


def test_a_view_is_kept_under_a_name_and_found_again(desk):
    page = desk.page
    desk.go("record", "register", "kind", "any", "review", "waiting", "sort", "vessel")
    desk.settled()
    total = asked(desk, review="waiting", limit=1)["total"]
    page.get_by_text("Saved views").click()
    page.get_by_label("Name for what is shown now").fill("To review, by vessel")
    desk.press("Keep this view")
    page.get_by_role("link", name="Back to all cleaning").click()
    expect(page.get_by_label("Review", exact=True)).to_have_value("")
    page.reload()
    page.get_by_text("Saved views: 1").click()
    page.get_by_role("link", name="To review, by vessel").click()
    expect(page.get_by_label("Review", exact=True)).to_have_value("waiting")
    settled_at(desk, min(50, total), total)
    expect(page).to_have_url(re.compile("/sort/vessel"))
    page.get_by_role("button", name="Remove the view To review, by vessel").click()
    expect(page.get_by_text("Saved views: 1")).to_have_count(0)


def test_a_review_that_lapsed_never_reads_as_accepted(desk, office):
    page, run = desk.page, new_run()
    events = [push(office, run, "run.opened", opening(office, vessel="fv1"), person="tomasz")]
    events.append(
        push(office, run, "run.abandoned", {"reason": "Hose burst.", "left": "soiled"}, person="tomasz")
    )
    push(office, run, "run.reviewed", {"verdict": "accepted", "digest": digest_of(events), "text": "Seen."})
    desk.go()
    desk.go("record", "register", "review", "accepted")
    row = rows(desk).filter(has=page.locator(f"a[href$='{run}']"))
    expect(row.locator("td").last).to_have_text("Accepted")
    push(office, run, "note.added", {"text": "Found a second split."}, person="tomasz")
    lapsed = re.compile(r"^Accepted \S.+, lapsed \S.+: 1 record added$")
    desk.go()
    desk.go("record", "register", "review", "waiting")
    expect(row.locator("td").last).to_have_text(lapsed)
    row.locator("a").click()
    fact = page.locator(".record-facts dd", has_text="1 record added")
    expect(fact).to_contain_text(re.compile(r"Accepted .+, lapsed .+: 1 record added · Ishbel Tarrant"))
