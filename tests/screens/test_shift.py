"""The end of a shift, with no signal: what can hurt, what runs, and what was noticed, for whoever comes next."""

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import expect

from tests.screens.screen import PHONE


def section(one, title):
    """One part of the page."""
    return one.page.locator("section", has=one.page.get_by_role("heading", name=title, exact=True))


@pytest.fixture
def offline(brewer) -> Iterator[None]:
    """No signal, as soon as the app is kept."""
    brewer.page.evaluate("() => navigator.serviceWorker.ready")
    brewer.context.set_offline(True)
    yield
    brewer.context.set_offline(False)


def test_whoever_comes_next_reads_what_runs_what_hurts_and_what_was_noticed(brewer, offline):
    brewer.size(PHONE)
    run = brewer.start("Whirlpool", "Whirlpool and late hops")
    brewer.go("run", run, "note")
    note = f"The gasket of the lower port weeps a little ({run[-4:]})."
    brewer.page.get_by_label("Note").fill(note)
    brewer.press("Record the note")
    brewer.settled()
    brewer.go()
    brewer.follow("End of shift")
    running = section(brewer, "Running now").locator(f"a[href$='{run}']")
    expect(running).to_contain_text("Whirlpool and late hops")
    expect(running).to_contain_text(re.compile("Tomasz Wren opened it"))
    said = section(brewer, "Noticed in the last twelve hours").locator("li", has_text=note)
    expect(said).to_contain_text("Tomasz Wren")
    expect(said).to_contain_text("Whirlpool")
    for part in ("What can hurt now", "Waits for an answer"):
        expect(section(brewer, part)).to_be_visible()
    said.get_by_role("link").click()
    expect(brewer.page).to_have_url(re.compile(f"#/run/{run}/more$"))
