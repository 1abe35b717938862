"""A manager writes a procedure in the browser, sees it as the phone does, publishes it; open runs keep theirs."""

import re
from pathlib import Path

import pytest
import yaml
from playwright.sync_api import Locator, Page, expect

from tests.screens.screen import DESK, Screens
from vesselside import library

TITLE = "Fermenter check, harbour tanks"
NAME = "fermenter-check-harbour-tanks"
WAIT = 60_000
COUNT = """() => new Promise((done, failed) => {
    const opening = indexedDB.open("vesselside");
    opening.onerror = failed;
    opening.onsuccess = () => {
        const asked = opening.result.transaction("events").objectStore("events").count();
        asked.onsuccess = () => { opening.result.close(); done(asked.result); };
    };
})"""


@pytest.fixture
def desk(manager):
    manager.size(DESK)
    manager.go()
    yield manager
    manager.size(DESK)


def unfold(page: Page, *names: str) -> None:
    """Open rows, the outer first."""
    for name in names:
        row = page.locator(".row-name", has_text=name).last
        if row.get_attribute("aria-expanded") == "false":
            row.click()


def publish(desk: Screens, version: int, note: str) -> None:
    """Publish the draft on the screen with a note."""
    desk.follow("Publish")
    expect(desk.page.get_by_role("heading", name=f"Publish version {version}")).to_be_visible()
    desk.page.get_by_label("What is new, and why").fill(note)
    desk.press(f"Publish version {version}")
    expect(desk.page.get_by_role("heading", name="Versions")).to_be_visible(timeout=WAIT)


def sent(phone: Screens) -> None:
    """Send what waits on a phone, and hear what is new."""
    phone.go("phone")
    phone.press("Send now")
    phone.settled()


def recorded(desk: Screens) -> int:
    """How many records this device keeps."""
    return desk.page.evaluate(COUNT)


def run_of(phone: Screens, run: str) -> dict:
    """A run as the office holds it."""
    return phone.page.request.get(f"{phone.origin}/api/runs/{run}").json()["run"]


class Writing:
    """A manager at the desk with a procedure of two versions: what is done to the second, in order."""

    def __init__(self, desk: Screens) -> None:
        self.desk, self.page = desk, desk.page

    def copy(self) -> None:
        """A copy of one that ships becomes a procedure of its own, its short name following its title."""
        self.desk.go("record", "procedures")
        self.desk.follow("Daily fermenter check")
        self.desk.press("Copy to a new procedure")
        expect(self.page.get_by_text("Nothing to mend.")).to_be_visible(timeout=WAIT)
        self.page.get_by_label("Title", exact=True).fill(TITLE)
        expect(self.page.get_by_label("Short name").first).to_have_value(NAME)
        expect(self.page.get_by_text(f"{NAME}, to become version 1")).to_be_visible()
        publish(self.desk, 1, "For the tanks at the harbour.")
        held = self.page.request.get(f"{self.desk.origin}/api/desk/procedures/{NAME}/versions/1").json()
        self.steps = held["procedure"]["steps"]
        self.rows = f"Step 1, {self.steps[0]['title']}", "Entry 1, Room CO2 on your monitor"

    def wrong_limit(self) -> None:
        """A limit that is no number says so at its field, and the summary leads there."""
        page = self.page
        self.desk.follow("Edit a copy as version 2")
        expect(page.get_by_text("Nothing to mend.")).to_be_visible(timeout=WAIT)
        unfold(page, *self.rows)
        self.limit().fill("rather much")
        expect(self.limit()).to_have_attribute("aria-invalid", "true")
        expect(page.locator("[id='at-steps.0.entries.0.limits.target.1']")).to_contain_text(
            "'rather much' is not a decimal number"
        )
        assert self.desk.faults(enhanced=False) == []
        page.get_by_label("Title", exact=True).focus()
        page.get_by_role("button", name=" · ".join([*self.rows, "Limits", "On target, to"])).click()
        expect(self.limit()).to_be_focused()

    def limit(self) -> Locator:
        """Where room CO2 stops being on target."""
        return self.page.locator("[id='at-steps.0.entries.0.limits.target.1']").get_by_label("Figure")

    def mend_after_a_closed_tab(self) -> None:
        """The draft is still there, with its fault; then it is mended."""
        self.desk.reload()
        self.desk.go("record", "procedures")
        self.page.locator(".procedure-list").first.get_by_role("link", name=TITLE).click()
        expect(self.page.get_by_text("One thing to mend.")).to_be_visible(timeout=WAIT)
        unfold(self.page, *self.rows)
        self.limit().fill("1200")
        expect(self.page.get_by_text("Nothing to mend.")).to_be_visible(timeout=WAIT)

    def reorder(self) -> None:
        """The second step goes up by the keyboard, which stays with it."""
        self.second = self.steps[1]["title"]
        self.page.get_by_role("button", name=f"Up Step 2, {self.second}").press("Enter")
        expect(self.page.get_by_text(f"Step moved to place 1 of {len(self.steps)}.")).to_be_attached()
        expect(self.page.get_by_role("button", name=f"Up Step 1, {self.second}")).to_be_focused()

    def save(self, folder: Path) -> None:
        """The file it makes is one the loader takes."""
        press = self.page.get_by_role("button", name="Save as a file")
        expect(press).to_have_attribute("aria-disabled", "false", timeout=WAIT)
        with self.page.expect_download() as saved:
            press.click()
        file = folder / saved.value.suggested_filename
        saved.value.save_as(file)
        assert file.name == f"{NAME}.yaml"
        assert library.check_files([file]) == []
        assert yaml.safe_load(file.read_text(encoding="utf-8"))["steps"][0]["id"] == self.steps[1]["id"]

    def preview(self) -> None:
        """As the phone shows it: 360 px wide, cautions before the step, and no press in it does anything."""
        self.desk.follow("Preview")
        shown = self.page.frame_locator(".phone-frame")
        expect(shown.get_by_role("heading", name="What can hurt you here")).to_be_visible(timeout=WAIT)
        assert shown.locator("body").evaluate("() => innerWidth") == 360
        before = recorded(self.desk)
        for _ in range(3):
            if shown.locator(".step-body").count():
                break
            self.desk.hold(shown.locator(".dock .hold"))
            self.desk.press("Next screen")
            self.desk.settled()
        expect(shown.get_by_role("heading", name=self.second)).to_be_visible()
        shown.get_by_role("button", name="Free").click()
        shown.locator(".dock").get_by_role("button").first.click()
        self.desk.settled()
        expect(shown.get_by_role("button", name="Free")).to_have_attribute("aria-pressed", "false")
        assert recorded(self.desk) == before
        assert self.page.url.endswith(f"/procedure-edit/{NAME}/preview")
        assert self.desk.faults(enhanced=False) == []
        self.desk.follow("Back to the draft")

    def publish(self) -> None:
        """What changes is shown before it is published, and afterwards between any two versions."""
        page, rows = self.page, self.page.locator(".difference tbody tr")
        self.desk.follow("Publish")
        expect(rows.filter(has_text="On target, to")).to_contain_text("1200")
        expect(rows.filter(has_text="Moved.")).to_have_count(1)
        self.desk.press("Publish version 2")
        expect(page.get_by_text("Say what is new, and why.")).to_be_visible()
        self.desk.follow("Back to the draft")
        publish(self.desk, 2, "The way out first; less CO2.")
        newest = page.locator(".version").first
        expect(newest).to_contain_text("The way out first; less CO2.")
        expect(newest).to_contain_text("Ishbel Tarrant")
        expect(rows.filter(has_text="On target, to")).to_contain_text("1500")
        page.get_by_label("From").select_option("2")
        expect(page.get_by_text("Nothing differs.")).to_be_visible()


def test_a_procedure_is_copied_edited_previewed_and_published_and_the_phones_follow(desk, phones, tmp_path):
    writing = Writing(desk)
    writing.copy()
    phone = phones("Harbour phone", "Tomasz Wren")
    first = phone.start("FV 2", TITLE)
    writing.wrong_limit()
    writing.mend_after_a_closed_tab()
    writing.reorder()
    writing.save(tmp_path)
    writing.preview()
    writing.publish()

    sent(phone)
    later = phone.start("FV 4", TITLE)
    sent(phone)
    assert run_of(phone, later)["version"] == 2
    assert run_of(phone, first)["version"] == 1
    rows = phone.page.request.get(f"{phone.origin}/api/reference").json()["procedures"]
    assert [row["version"] for row in rows if row["id"] == NAME] == [1, 2]


def test_a_file_opens_as_a_draft_and_says_what_is_wrong_with_it(desk, tmp_path: Path):
    page = desk.page
    text = (library.FOLDER / "procedures" / "keg-wash.yaml").read_text(encoding="utf-8")
    file = tmp_path / "keg-wash.yaml"
    file.write_text(text.replace("kind: cleaning", "kind: cleansing", 1), encoding="utf-8")
    desk.go("record", "procedures")
    page.get_by_label("Open a file").set_input_files(file)
    expect(page.get_by_text("One thing to mend.")).to_be_visible(timeout=WAIT)
    expect(page.locator("[id='at-kind'] .wrong")).to_contain_text("cleansing is not one of")
    page.get_by_label("Kind", exact=True).select_option("cleaning")
    expect(page.get_by_role("alert")).to_contain_text("has been published")
    page.get_by_role("button", name=re.compile("^Make this version")).click()
    expect(page.get_by_text("Nothing to mend.")).to_be_visible(timeout=WAIT)
    expect(page.get_by_role("alert")).to_have_count(0, timeout=WAIT)
    desk.press("Throw this draft away")
    desk.hold(page.locator(".hold.stop"))
    expect(page.get_by_role("heading", name="Procedures")).to_be_visible()
    file.write_text("steps: [", encoding="utf-8")
    page.get_by_label("Open a file").set_input_files(file)
    expect(page.get_by_role("alert")).to_contain_text("not YAML")
