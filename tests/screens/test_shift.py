"""The end of a shift, with no signal: what can hurt, what runs, and what was noticed, for whoever comes next."""

import re

from playwright.sync_api import expect

from tests.screens.screen import PHONE

NOTE = "The gasket of the lower port weeps a little."


def section(one, title):
    """One part of the page."""
    return one.page.locator("section", has=one.page.get_by_role("heading", name=title, exact=True))


def test_whoever_comes_next_reads_what_runs_what_hurts_and_what_was_noticed(brewer):
    brewer.size(PHONE)
    run = brewer.start("FV 2", "Fermenter caustic clean")
    brewer.context.set_offline(True)
    brewer.go("run", run, "note")
    brewer.page.get_by_role("textbox").fill(NOTE)
    brewer.press("Record the note")
    brewer.settled()
    brewer.go()
    brewer.follow("End of shift")
    running = section(brewer, "Running now").locator("li", has_text="FV 2")
    expect(running).to_contain_text("Fermenter caustic clean")
    expect(running).to_contain_text(re.compile("Tomasz Wren opened it"))
    said = section(brewer, "Noticed in the last twelve hours").locator("li", has_text=NOTE)
    expect(said).to_contain_text("Tomasz Wren")
    expect(said).to_contain_text("FV 2")
    for part in ("What can hurt now", "Waits for an answer"):
        expect(section(brewer, part)).to_be_visible()
    said.get_by_role("link").click()
    expect(brewer.page).to_have_url(re.compile(f"#/run/{run}/more$"))
    brewer.context.set_offline(False)
