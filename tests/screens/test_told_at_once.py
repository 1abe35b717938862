"""What is asked only where it has an answer, and what is wrong told while it is keyed."""

import re

from playwright.sync_api import expect

from tests.screens.screen import DESK


def test_a_run_at_no_vessel_is_stopped_without_asking_how_its_vessel_is_left(phones):
    one = phones("Lock-up phone", "Tomasz Wren")
    page = one.page
    one.go("start", "lock-up")
    one.press("Start")
    page.wait_for_url(re.compile(r"#/run/"))
    one.settled()
    run = re.search(r"#/run/([0-9a-f-]+)", page.url)[1]
    one.go("run", run, "abandon")
    expect(page.get_by_label("Why does the run stop here?")).to_be_visible()
    expect(page.get_by_text("How is the vessel left?")).to_have_count(0)
    page.get_by_label("Why does the run stop here?").fill("Called away.")
    one.hold(page.get_by_role("button", name="Stop the run"))
    one.go("run", run)
    expect(page.get_by_role("heading", name="Stopped early")).to_be_visible()
    expect(page.get_by_text("Left as")).to_have_count(0)


def test_shares_that_miss_a_hundred_say_so_as_soon_as_one_is_keyed(manager):
    manager.size(DESK)
    manager.go()
    manager.go("record", "recipe", "lantern-field")
    shares = manager.page.get_by_label("Share of the grist (%)")
    expect(shares.nth(1)).to_be_visible()
    said = manager.page.get_by_text(re.compile("The shares of the grist make .* %, not 100 %"))
    expect(said).to_have_count(0)
    held = shares.nth(1).input_value()
    shares.nth(1).fill("1")
    expect(said.first).to_be_visible()
    shares.nth(1).fill(held)
    expect(said).to_have_count(0)
