"""A hold counts down from the moment it was started: over a reload, on the lock screen, to its end and past it."""

import re

import pytest
from playwright.sync_api import expect

from tests.screens.screen import SECRETS, Screens

MINUTES_AWAY = "16:00"  # the app locks after 15 idle minutes


@pytest.fixture
def holding(phones) -> Screens:
    """A phone with a hold just started, its clock in the test's hand."""
    one = phones("holding phone", "Dele Marchbank")
    one.page.clock.install()
    one.reload()
    one.go()
    one.press("Walk me through")
    one.go("start", "small-parts-soak")
    one.press("Start")
    one.page.wait_for_url(re.compile("#/run/"))
    one.onward("Start the hold")
    one.hold()
    expect(one.page.locator(".countdown")).to_be_visible()
    return one


def shown(one: Screens) -> int:
    """The seconds on the clock."""
    parts = [int(part) for part in one.page.locator(".countdown-number").inner_text().split(":")]
    return sum(part * 60**place for place, part in enumerate(reversed(parts)))


def test_a_hold_goes_on_over_a_reload_and_on_the_lock_screen_to_its_end(holding):
    whole = shown(holding)
    holding.page.clock.fast_forward("02:00")
    holding.settled()
    before = shown(holding)
    assert whole - 125 <= before <= whole - 120

    holding.reload()
    expect(holding.page.locator(".countdown")).to_be_visible()
    assert before - 30 <= shown(holding) <= before

    holding.page.clock.fast_forward(MINUTES_AWAY)
    expect(holding.page.get_by_role("heading", name="Locked")).to_be_visible()
    expect(holding.page.locator(".running-hold .countdown")).to_be_visible()
    holding.give(SECRETS["Dele Marchbank"])
    holding.press("Sign in")
    expect(holding.page.locator(".step-body .countdown")).to_be_visible(timeout=60_000)

    holding.page.clock.fast_forward(shown(holding) * 1000 - 30_000)
    expect(holding.page.locator(".countdown")).to_have_attribute("data-stage", "last")
    holding.page.clock.fast_forward(40_000)
    expect(holding.page.locator(".countdown")).to_have_attribute("data-stage", "over")
    expect(holding.page.locator(".countdown")).to_contain_text("past the end of the hold")
    expect(holding.page.locator(".dock")).not_to_contain_text("The hold is not over")


def test_the_screen_says_what_this_phone_can_sound(holding):
    words = holding.page.locator(".hold-part .help")
    expect(words).to_contain_text(re.compile("This phone sounds|only vibrates|neither sound nor vibrate"))
    expect(words).to_contain_text(re.compile("The screen stays on|Keep the screen on"))


def test_a_hold_started_by_mistake_is_struck(holding):
    holding.follow("Started by mistake")
    holding.press("Keyed wrong")
    expect(holding.page.locator(".countdown")).to_have_count(0)
    expect(holding.page.locator(".dock")).to_contain_text("Start the hold")
