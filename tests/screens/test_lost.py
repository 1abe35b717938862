"""A phone whose browser threw its database away, with no signal: it says so, goes on, and is enrolled again later."""

import re

from playwright.sync_api import expect

from tests.pwa.journal import DELETED
from tests.screens.screen import PHONE, SMALL, Screens

WAIT = 60_000
PULL = 90_000  # a new phone has all the demo to pull
CLEAN = "Fermenter caustic clean"
BRIGHT = "Bright beer tank caustic clean, gas off"
LOST = "The browser lost this phone’s records"


def lose_the_database(one: Screens) -> None:
    """From a picture of the app's, so that no page of it holds the database open; then the app is opened again."""
    one.page.goto(f"{one.origin}/icons/icon-192.png")
    one.page.evaluate(DELETED)
    one.page.goto(one.origin)


KEPT = """async (told) => {
    const folder = await (await navigator.storage.getDirectory()).getDirectoryHandle("journal");
    for await (const [name, file] of folder.entries())
        if (name.startsWith("others") && (await (await file.getFile()).text()).includes(told)) return true;
    return false;
}"""


def wait_until_kept(one: Screens, text: str) -> None:
    """Wait until what a phone needs of others, with that text in it, stands beside its journal."""
    for _ in range(400):
        if one.page.evaluate(KEPT, text):
            return
        one.page.wait_for_timeout(300)
    raise AssertionError("it was never kept")


def looks(one: Screens) -> list[str]:
    """What is wrong with the screen as it stands, also on a small phone."""
    found = []
    for size in (SMALL, PHONE):
        one.size(size)
        found += one.faults(enhanced=True)
        assert one.overflow() == 0
    return found


def note(one: Screens, run: str, text: str) -> None:
    """Write a note into a run."""
    one.go("run", run, "note")
    one.page.get_by_label("Note").fill(text)
    one.press("Record the note")
    one.settled()


def test_a_phone_that_lost_its_database_goes_on_with_no_signal_and_is_enrolled_again(demo, phones, manager):
    colleague = phones("colleague", "Dele Marchbank")
    theirs = colleague.start("BBT 1", BRIGHT)
    note(colleague, theirs, "The colleague’s note.")
    expect(colleague.page.locator(".standing")).to_contain_text("All records sent", timeout=WAIT)
    phone = phones("losing phone", "Tomasz Wren")
    own = phone.start("FV 4", CLEAN)
    expect(phone.page.locator(".standing")).to_contain_text("All records sent", timeout=WAIT)
    phone.go()
    expect(phone.page.locator(f"a[href='#/run/{theirs}']")).to_be_visible(timeout=PULL)
    phone.reload()
    wait_until_kept(phone, f"/runs/{theirs}")
    assert phone.context
    phone.context.set_offline(True)
    note(phone, own, "Not sent before the loss.")

    lose_the_database(phone)
    page = phone.page
    expect(page.get_by_role("heading", name=LOST)).to_be_visible(timeout=WAIT)
    told = page.locator(".panel")
    expect(told).to_contain_text(re.compile(r"[2-9] records came back from the journal"))
    assert page.get_by_role("button", name="Ishbel Tarrant").count() == 0, (
        "no manager goes on without a password"
    )
    assert looks(phone) == []
    phone.press("Tomasz Wren")
    expect(page.get_by_role("button", name="Walk me through")).to_be_visible(timeout=WAIT)
    for run in (own, theirs):
        expect(page.locator(f"a[href='#/run/{run}']")).to_be_visible(timeout=WAIT)
    note(phone, own, "Made after the loss.")
    note(phone, theirs, "On the colleague’s run.")
    expect(page.locator(".standing")).to_contain_text("records wait here")
    phone.go("phone")
    expect(page.locator(".panel").first).to_contain_text("came back from the journal", timeout=WAIT)
    expect(page.locator("main")).to_contain_text("Each record is written down twice here.")
    assert looks(phone) == []

    phone.follow("Hand out what is not sent")
    page.get_by_text("The text", exact=True).click()
    assert page.locator(".carried").inner_text().count("specversion") >= 4
    assert looks(phone) == []
    phone.go("phone")
    phone.context.set_offline(False)
    phone.follow("Enter a code")
    expect(page.get_by_label("Name of this phone")).to_have_value("losing phone")
    phone.enrol(demo.code("again"), "found phone")
    phone.enter_as("Tomasz Wren")
    expect(page.locator(".standing")).to_contain_text("All records sent", timeout=WAIT)
    phone.go("phone")
    expect(page.get_by_text("came back from the journal")).to_have_count(0)
    for run, texts in (
        (own, ["Not sent before the loss.", "Made after the loss."]),
        (theirs, ["The colleague’s note.", "On the colleague’s run."]),
    ):
        manager.go("record", "run", run)
        for text in texts:
            expect(manager.page.get_by_text(text)).to_be_visible(timeout=WAIT)
        expect(manager.page.get_by_text("1 record; no sign-in proves it")).to_be_visible()
    manager.go("record", "administration")
    expect(manager.page.locator("main")).to_contain_text(
        re.compile(r"New phone: found phone.*thrown away the records of .*[2-9] came back"), timeout=WAIT
    )


def test_a_phone_that_is_locked_after_the_loss_asks_who_goes_on(phones):
    phone = phones("locked phone", "Tomasz Wren")
    run = phone.start("FV 4", CLEAN)
    wait_until_kept(phone, "")
    assert phone.context
    phone.context.set_offline(True)
    lose_the_database(phone)
    phone.press("Dele Marchbank")
    expect(phone.page.locator(f"a[href='#/run/{run}']")).to_be_visible(timeout=WAIT)
    phone.press("Sign out")
    expect(phone.page.get_by_role("heading", name=LOST)).to_be_visible(timeout=WAIT)
