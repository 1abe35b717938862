"""The heads of the record on the screen: handed out as `check` reads them, and what does not fit is told in sight."""

import json

from playwright.sync_api import expect

from tests.screens.screen import DESK
from vesselside import store
from vesselside.store.log import tree
from vesselside.store.site import founding

# A head that the office never signed is among those that this browser was shown.
DOUBT = """async () => {
    const db = await new Promise((resolve) => {
        const opening = indexedDB.open("vesselside");
        opening.onsuccess = () => resolve(opening.result);
    });
    const tx = db.transaction("kept", "readwrite");
    const asked = tx.objectStore("kept").get("heads");
    asked.onsuccess = () => {
        const { heads, checked } = asked.result;
        const last = { ...heads[heads.length - 1], root: "ab".repeat(32) };
        tx.objectStore("kept").put({ heads: [last], checked, doubt: undefined }, "heads");
    };
    await new Promise((resolve) => { tx.oncomplete = resolve; });
    db.close();
}"""


def signed(living) -> dict:
    """The head of the log as it stands, which the next exchange tells."""
    with living.inside():
        return tree.signed(store.book(founding.breweries()[0][0]), store.now_ms()).told()


def test_a_phone_hands_out_the_heads_it_keeps_as_check_reads_them(phones, demo, tmp_path):
    phone = phones("Head phone", "Tomasz Wren")
    head = signed(demo)
    phone.go("phone")
    phone.press("Send now")
    phone.page.get_by_role("link", name="Heads of the record").click()
    phone.page.get_by_text("The text", exact=True).click()
    carried = phone.page.locator("pre.carried")
    expect(carried).to_contain_text(head["signature"])
    expect(phone.page.get_by_text(f"{head['size']:,} records, signed").first).to_be_visible()
    file = tmp_path / "heads.json"
    file.write_text(carried.inner_text())
    assert head in json.loads(file.read_text())
    assert demo.command("check", "--head", str(file)).stdout == "ok\n"


def test_a_record_that_does_not_fit_is_told_on_the_phone_and_at_the_desk(phones, demo):
    desk = phones("Doubting desk", "Ishbel Tarrant")
    signed(demo)
    desk.go("phone")
    desk.press("Send now")
    desk.page.wait_for_timeout(500)
    desk.page.evaluate(DOUBT)
    desk.page.reload()
    expect(desk.page.get_by_text("The office's record does not fit: tell a manager").first).to_be_visible()
    desk.size(DESK)
    desk.go("record", "needs")
    expect(desk.page.get_by_role("alert")).to_contain_text("was shown another record before")
    desk.page.get_by_role("link", name="What it was shown").click()
    expect(desk.page.get_by_role("alert")).to_contain_text("does not go on from what it had shown before")
