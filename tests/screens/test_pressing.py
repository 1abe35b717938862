"""Presses: a drip makes none of them, a key makes all of them, and a screen reader can make them too."""

import re

import pytest
from playwright.sync_api import expect

from tests.screens.screen import Screens

HELD_MS = 950

CLEAN = "Fermenter caustic clean"


@pytest.fixture
def ready(brewer):
    """A run whose first step waits only for its tick, made by holding."""
    brewer.start("FV 3", CLEAN)
    brewer.meet_cautions()
    brewer.choose("The label on the vessel", "Same as this run")
    return brewer


def first_is_done(one) -> bool:
    one.settled()
    return one.title() != "Read the vessel's label aloud and match it"


def test_a_drip_does_no_step(ready):
    press = ready.page.locator(".dock .hold")
    press.click()
    expect(press).to_contain_text("Hold it a little longer")
    assert not first_is_done(ready)


def test_a_hand_does_the_step_by_holding(ready):
    ready.page.locator(".dock .hold").hover()
    ready.page.mouse.down()
    ready.page.wait_for_timeout(HELD_MS)
    ready.page.mouse.up()
    assert first_is_done(ready)


@pytest.mark.parametrize("key", ["Enter", " "])
def test_a_key_does_the_step_by_holding(ready, key):
    ready.page.locator(".dock .hold").focus()
    ready.page.keyboard.press(key)
    assert not first_is_done(ready)
    ready.page.keyboard.down(key)
    ready.page.wait_for_timeout(HELD_MS)
    ready.page.keyboard.up(key)
    assert first_is_done(ready)


def test_a_screen_reader_does_the_step_by_pressing_twice(ready):
    """Assistive technology sends clicks that no finger made."""
    press = ready.page.locator(".dock .hold")
    press.evaluate("press => press.click()")
    expect(press).to_contain_text("Press once more to confirm")
    assert not first_is_done(ready)
    press.evaluate("press => press.click()")
    assert first_is_done(ready)


def test_everything_on_a_step_is_reached_by_tab(ready):
    page = ready.page
    wanted = page.evaluate(
        """() => [...document.querySelectorAll("a[href], button, summary, input, select, textarea")]
            .filter((part) => part.checkVisibility()).length"""
    )
    page.evaluate("() => document.activeElement.blur()")
    reached = set()
    for _ in range(wanted + 5):
        page.keyboard.press("Tab")
        reached.add(
            page.evaluate(
                """() => [...document.querySelectorAll("a[href], button, summary, input, select, textarea")]
                    .indexOf(document.activeElement)"""
            )
        )
    assert len(reached - {-1}) == wanted


def test_the_focus_is_seen(ready):
    ready.page.keyboard.press("Tab")
    outline = ready.page.evaluate("() => getComputedStyle(document.activeElement).outlineWidth")
    assert int(re.sub(r"\D", "", outline)) >= 2


def test_numbers_are_keyed_from_a_keyboard_too(ready):
    ready.go("run", re.search(r"#/run/([^/]+)", ready.page.url)[1], "enter", "vent-open", "gauge")
    ready.meet_cautions()
    ready.page.keyboard.type("0.015")
    ready.page.keyboard.press("Backspace")
    expect(ready.page.locator(".typed-number")).to_have_text("0.01")


def test_the_heading_takes_the_focus_when_the_screen_changes(brewer):
    brewer.go("plant")
    assert brewer.page.evaluate("() => document.activeElement.tagName") == "H1"
    assert brewer.page.title().startswith("Plant board")


def test_back_leads_where_one_came_from_and_never_out_of_the_app(brewer):
    brewer.go("plant")
    brewer.follow("FV 3")
    brewer.settled()
    brewer.press("Back")
    expect(brewer.page.get_by_role("heading", name="Plant board")).to_be_visible()
    brewer.reload()
    brewer.page.evaluate("() => history.replaceState(null, '', '#/vessel/fv3')")
    brewer.reload()
    brewer.press("Back")
    expect(brewer.page.get_by_role("heading", name="Plant board")).to_be_visible()


def test_a_newcomer_finds_three_things_to_press(brewer):
    brewer.go()
    doors = brewer.page.locator(".door-name").all_inner_texts()
    assert doors == ["Work at a vessel", "Walk me through", "See the record"]


@pytest.mark.parametrize("screen", [[], ["plant"], ["phone"], ["record", "register"], ["nowhere"]])
def test_the_gas_alarm_is_one_press_from_anywhere_and_takes_the_whole_screen(brewer, screen):
    brewer.go(*screen)
    brewer.press("Gas alarm")
    expect(brewer.page.get_by_role("heading", name="Leave now.")).to_be_visible()
    expect(brewer.page.locator(".alarm")).to_contain_text("Do not go back for anyone")
    assert brewer.page.locator(".bar, .dock").count() == 0
    brewer.hold(brewer.page.locator(".alarm .hold"))
    expect(brewer.page.locator(".bar")).to_be_visible()


def test_the_gas_alarm_is_there_before_anyone_has_signed_in(playwright, demo, tmp_path):
    one = Screens(playwright, tmp_path / "new", demo.url.replace("127.0.0.1", "localhost"))
    one.open()
    one.press("Gas alarm")
    expect(one.page.get_by_role("heading", name="Leave now.")).to_be_visible()
    one.close()
