"""What the desk says of administration, the page on what to trust, the phone of each line, the proof on paper."""

import re

import pytest
from playwright.sync_api import expect

from tests.api.outside import Phone, new_run
from tests.screens.screen import DESK, PHONE, SECRETS
from vesselside import store
from vesselside.store.site import founding, people

SIZES = [PHONE, DESK]


@pytest.fixture
def desk(manager):
    manager.size(DESK)
    manager.go()
    yield manager
    manager.size(PHONE)


def announced(desk):
    """The part of the desk's first page that announces."""
    return desk.page.locator("section", has=desk.page.get_by_role("heading", name=re.compile("announcement")))


def test_a_new_phone_a_secret_and_refused_sign_ins_are_announced_until_put_away(desk, demo):
    """They come by themselves, to a page that is open."""
    desk.go("record", "needs")
    phone = Phone(demo.url, demo.code("Malt loft"), "Loft phone")
    for _ in range(5):
        phone.post("/api/session", {"person": "owen", "pin": "111119"})
    with demo.inside():
        people.change_person(store.book(founding.breweries()[0][0]), "tomasz", pin="173205")
    desk.page.evaluate("() => dispatchEvent(new Event('online'))")
    part = announced(desk)
    expect(part).to_contain_text("New phone: Loft phone, by the code for Malt loft.", timeout=60_000)
    expect(part).to_contain_text("Tomasz Wren has a new PIN.")
    expect(part).to_contain_text("5 sign-ins in a row as Owen Calloway were refused on the phone Loft phone.")
    expect(part).to_contain_text("The command line")
    part.get_by_role("button", name="Put away what is shown").click()
    expect(announced(desk)).to_have_count(0)
    desk.reload()
    desk.go("record", "needs")
    expect(desk.page.get_by_role("heading", name="Today")).to_be_visible()
    expect(announced(desk)).to_have_count(0)
    desk.go("record", "administration")
    rows = desk.page.locator(".administrations > li")
    expect(rows.first).to_contain_text("Announcements were put away.")
    expect(rows.first).to_contain_text("Ishbel Tarrant")
    before = rows.count()
    desk.press("Show more")
    expect(rows.nth(before)).to_be_visible()
    assert "no words for" not in desk.page.locator(".administrations").inner_text()


@pytest.mark.parametrize("size", SIZES, ids=["phone", "desk"])
@pytest.mark.parametrize("where", ["needs", "administration", "devices"])
def test_the_desks_pages_fit_and_are_accessible(desk, demo, size, where):
    Phone(demo.url, demo.code("Gate"), "Gate phone")
    desk.size(size)
    desk.go("record", where)
    expect(desk.page.locator("h1")).to_be_visible()
    desk.settled()
    assert desk.overflow() <= 0
    assert desk.faults(enhanced=False) == []


@pytest.mark.parametrize("size", SIZES, ids=["phone", "desk"])
def test_what_to_trust_is_read_on_a_phone_and_led_to_from_the_desk(desk, size):
    desk.size(size)
    desk.go("record", "needs")
    desk.follow("What to trust")
    page = desk.page
    for heading in ("Signature", "Signed head", "Evidence file", "Sign-in", "What a stolen phone yields"):
        expect(page.get_by_role("heading", name=heading)).to_be_visible()
    assert desk.overflow() <= 0
    assert desk.faults(enhanced=False) == []
    desk.go("phone")
    expect(page.get_by_role("link", name=re.compile("^What to trust"))).to_be_visible()


def test_a_revoked_phone_reminds_of_the_pins(desk, demo):
    Phone(demo.url, demo.code("Old"), "Old phone")
    desk.go("record", "devices")
    row = desk.page.locator(".device", has=desk.page.get_by_role("heading", name="Old phone"))
    row.get_by_role("button", name="Revoke").click()
    expect(row).to_contain_text("needs a new PIN")
    row.get_by_label("Why?").fill("Stolen from the van.")
    desk.hold(row.locator(".hold"))
    expect(row).to_contain_text("a new PIN?")


def test_a_lines_phone_and_the_proof_on_paper(desk, demo):
    """What the square code says is what `check` takes."""
    one, two = (Phone(demo.url, demo.code(name), name) for name in ("Kettle phone", "Twin phone"))
    twin = Phone(demo.url, demo.code("Twin phone"), "Twin phone")
    run = new_run()
    procedure = one.get("/api/reference").json()["procedures"][0]
    said = {"procedure": procedure["id"], "version": procedure["version"], "sha256": procedure["sha256"]}
    one.push([one.make(run, "run.opened", {**said, "inputs": {}}, person="tomasz")])
    two.push([two.make(run, person="tomasz")])
    twin.push([twin.make(run, person="tomasz")])
    desk.reload()
    desk.page.evaluate("() => dispatchEvent(new Event('online'))")
    desk.go("record", "run", run)
    phones = desk.page.locator(".story-phone")
    expect(phones.nth(0)).to_have_text("Kettle phone", timeout=60_000)
    expect(phones.nth(1)).to_have_text(f"Twin phone …{two.id[-4:]}")
    expect(phones.nth(2)).to_have_text(f"Twin phone …{twin.id[-4:]}")
    paper = desk.page.locator(".on-paper")
    expect(paper).to_be_hidden()
    desk.page.emulate_media(media="print")
    expect(paper.get_by_role("img", name="Run, digest and head of the log")).to_be_visible()
    said = paper.locator(".hash").inner_text()
    desk.page.emulate_media(media="screen")
    assert said.split()[2] == run
    done = demo.command("check", "--printed", said)
    assert done.stdout == "ok\n"


def test_a_record_says_who_was_there_and_how_that_is_known(desk, demo):
    known, unknown = (Phone(demo.url, demo.code(name), name) for name in ("Known phone", "Unknown phone"))
    for phone in (known, unknown):
        phone.pull()
    run = new_run()
    procedure = known.get("/api/reference").json()["procedures"][0]
    said = {"procedure": procedure["id"], "version": procedure["version"], "sha256": procedure["sha256"]}
    known.sign_in("owen", SECRETS["Owen Calloway"])
    known.push([known.make(run, "run.opened", {**said, "inputs": {}}, person="owen")])
    known.push([known.make(run, person="owen")])
    unknown.push([unknown.make(run, person="owen")])
    desk.reload()
    desk.page.evaluate("() => dispatchEvent(new Event('online'))")
    desk.go("record", "run", run)
    facts = desk.page.locator(".record-facts")
    expect(facts).to_contain_text(
        "Owen Calloway, Known phone: 2 records; PIN, taken by the office", timeout=60_000
    )
    expect(facts).to_contain_text("Owen Calloway, Unknown phone: 1 record; no sign-in proves it")
    expect(desk.page.locator(".story")).to_contain_text("No sign-in on that phone proves this person")


def test_a_record_is_printed_without_what_is_pressed(desk):
    desk.go("record", "register")
    desk.page.get_by_label("Review").select_option(label="Not reviewed, or lapsed")
    desk.settled()
    desk.page.locator(".register a").first.click()
    expect(desk.page.locator(".review")).to_be_visible()
    desk.page.emulate_media(media="print")
    expect(desk.page.locator(".on-paper .qr")).to_be_visible()
    for part in (".review", ".desk-nav", ".record-foot", ".bar"):
        expect(desk.page.locator(part)).to_be_hidden()
    desk.page.emulate_media(media="screen")


def test_the_desks_part_is_there_with_no_signal_though_nobody_has_opened_it(phones):
    """It is none of what a phone waits for on installing."""
    new = phones("Spare phone", "Tomasz Wren")
    new.page.wait_for_function(
        """async () => {
            const names = (await (await caches.open("vesselside-office")).keys()).map((kept) => kept.url);
            return names.some((name) => name.endsWith(".js")) && names.some((name) => name.endsWith(".css"));
        }"""
    )
    new.context.set_offline(True)
    new.reload()
    new.go("record", "register")
    expect(new.page.get_by_label("Review")).to_be_visible()
