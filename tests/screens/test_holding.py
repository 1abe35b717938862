"""A hold counts down from the moment it was started: over a reload, on the lock screen, to its end and past it."""

import re
import time
from collections.abc import Iterator

import pytest
from playwright.sync_api import Locator, expect

from tests.api.outside import Phone
from tests.screens.screen import SECRETS, Screens

MINUTES_AWAY = "16:00"  # the app locks after 15 idle minutes


@pytest.fixture(scope="module")
def hand(demo) -> Phone:
    """A phone without screens, that puts an end to what a test began."""
    one = Phone(demo.url, demo.code())
    one.sign_in("dele", SECRETS["Dele Marchbank"])
    return one


@pytest.fixture
def holding(phones, hand) -> Iterator[Screens]:
    """A phone with a hold just started, its clock in the test's hand; no other test's phone is called by that hold."""
    one = phones("holding phone", "Dele Marchbank")
    one.page.clock.install()
    one.waits = True
    one.reload()
    one.go()
    one.press("Walk me through")
    one.go("start", "small-parts-soak")
    one.set_going()
    one.run_id = one.page.url.split("/run/")[1].split("/")[0]
    one.onward("Start the hold")
    one.hold()
    expect(one.page.locator(".countdown")).to_be_visible()
    expect(one.page.locator(".standing")).to_contain_text("All records sent")
    yield one
    hand.pull()
    ended = {"reason": "The test is over.", "left": "soiled"}
    assert hand.push([hand.make(one.run_id, "run.abandoned", ended, person="dele")])[0]["status"] == "stored"


def shown(one: Screens) -> int:
    """The seconds on the clock."""
    parts = [int(part) for part in one.page.locator(".countdown-number").inner_text().split(":")]
    return sum(part * 60**place for place, part in enumerate(reversed(parts)))


def passed(begun: float) -> float:
    """At most the seconds a clock went on since `begun`, whatever else the machine did meanwhile."""
    return time.monotonic() - begun + 3


def test_a_hold_goes_on_over_a_reload_and_on_the_lock_screen_to_its_end(holding):
    begun, whole = time.monotonic(), shown(holding)
    holding.page.clock.fast_forward("02:00")
    holding.settled()
    before = shown(holding)
    assert whole - 120 - passed(begun) <= before <= whole - 120

    begun = time.monotonic()
    holding.reload()
    expect(holding.page.locator(".countdown")).to_be_visible()
    assert before - passed(begun) <= shown(holding) <= before

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


# -- holds that call --------------------------------------------------------------------

LISTEN = """() => {
    window.calls = [];
    const vibrate = navigator.vibrate.bind(navigator);
    navigator.vibrate = (how) => { window.calls.push(["vibration", [].concat(how).length]); return vibrate(how); };
    const start = OscillatorNode.prototype.start;
    OscillatorNode.prototype.start = function (at) { window.calls.push(["sound"]); return start.call(this, at); };
}"""


def called(one: Screens) -> list:
    """What the phone was told to sound and vibrate since this was asked last."""
    one.settled()
    return one.page.evaluate("() => window.calls.splice(0)")


def strip(one: Screens) -> Locator:
    """This phone's own hold among those of the whole brewery."""
    return one.page.locator(f".bar .hold-strip[href*='{one.run_id}']")


def test_every_screen_has_a_strip_of_the_holds_that_run_each_leading_to_its_step(holding):
    address = holding.page.url.split("#")[1]
    for place in ([], ["plant"], ["vessel", "fv1"], ["sums"], ["phone"]):
        holding.go(*place)
        expect(strip(holding)).to_have_count(1)
        expect(strip(holding)).to_contain_text(re.compile(r"\d\d:\d\d\s+left"))
    assert holding.faults(enhanced=True) == []
    assert holding.overflow() == 0
    box = strip(holding).bounding_box()
    assert box
    assert box["height"] >= 56
    strip(holding).click()
    expect(holding.page.locator(".step-body .countdown")).to_be_visible()
    assert holding.page.url.split("#")[1].startswith(address.split("/step")[0])


def test_the_last_minute_and_the_end_are_called_once_each_and_the_end_again(holding):
    holding.page.evaluate(LISTEN)
    holding.page.mouse.click(5, 300)
    holding.page.clock.fast_forward(shown(holding) * 1000 - 50_000)
    first = called(holding)
    assert [call for call in first if call[0] == "vibration"] == [["vibration", 1]]
    holding.page.clock.fast_forward(52_000)
    assert ["vibration", 5] in called(holding)


def test_an_end_that_the_phone_slept_through_is_called_when_it_wakes(holding):
    holding.page.evaluate(LISTEN)
    holding.page.clock.fast_forward((shown(holding) + 3600) * 1000)
    assert ["vibration", 5] in called(holding)
    holding.page.clock.fast_forward(60_000)
    assert called(holding) == []


def test_how_it_calls_is_chosen_once_and_tried_on_the_phones_page(holding):
    holding.go("phone")
    holding.page.evaluate(LISTEN)
    holding.press("Try it")
    tried = called(holding)
    sounds = "This phone sounds" in holding.page.inner_text("main")  # a machine without a loudspeaker may not
    assert (tried.count(["sound"]), ["vibration", 5] in tried) == (3 if sounds else 0, True)
    holding.press("It only vibrates")
    holding.press("Try it")
    assert called(holding) == [["vibration", 5]]
    holding.reload()
    expect(holding.page.get_by_role("button", name="It only vibrates")).to_have_attribute(
        "aria-pressed", "true"
    )
    assert holding.faults(enhanced=False) == []
    strip(holding).click()
    expect(holding.page.locator(".hold-part .help")).to_contain_text(
        "This phone only vibrates, as was chosen"
    )
