"""The gas alarm and the emergencies: one press from any screen, for anyone, and still there after the phone was not."""

import pytest
from playwright.sync_api import expect

from tests.screens.conftest import made
from tests.screens.screen import PHONE, Screens
from vesselside.library import load

IN_ORDER = [
    row["title"]
    for row in sorted(load().cautions, key=lambda row: row.get("emergency", 0))
    if "emergency" in row
]


def test_there_is_one_for_gas_chemical_burn_fire_crush_and_spill():
    words = ("GAS", "Chemical on", "Burn", "Fire", "Crushed", "spilt")
    assert [word for word, title in zip(words, IN_ORDER, strict=True) if word not in title] == []


@pytest.mark.parametrize("screen", [[], ["plant"], ["sums"], ["record", "register"], ["nowhere"]])
def test_the_emergencies_are_one_press_from_any_screen(brewer, screen):
    brewer.size(PHONE)
    brewer.go(*screen)
    brewer.press("SOS")
    expect(brewer.page.get_by_role("heading", name="Emergency")).to_be_visible()
    presses = brewer.page.locator(".emergency button")
    expect(presses).to_have_text([*IN_ORDER, "Write down what happened", "Close"])
    assert brewer.page.locator(".bar, .dock").count() == 0
    brewer.press("Close")
    expect(brewer.page.locator(".bar")).to_be_visible()


def test_each_says_its_first_minute_and_whom_to_call_with_no_signal(brewer):
    brewer.go()
    brewer.page.context.set_offline(True)
    brewer.press("SOS")
    for row in load().cautions:
        if "emergency" not in row or row["alarm"]:
            continue
        brewer.page.get_by_role("button", name=row["title"]).click()
        expect(brewer.page.locator(".emergency ol li")).to_have_text(row["minute"])
        expect(brewer.page.locator(".alarm-call")).to_be_visible()
        brewer.press("Other emergencies")
    brewer.press("Close")
    brewer.page.context.set_offline(False)


def test_the_gas_alarm_is_still_on_after_a_reload_and_gone_once_it_is_let_go(brewer):
    brewer.go()
    brewer.press("Gas alarm")
    expect(brewer.page.get_by_role("heading", name="Leave now.")).to_be_visible()
    brewer.page.reload()
    expect(brewer.page.get_by_role("heading", name="Leave now.")).to_be_visible()
    brewer.hold(brewer.page.locator(".alarm .hold"))
    expect(brewer.page.locator(".bar")).to_be_visible()
    brewer.reload()
    expect(brewer.page.locator(".bar")).to_be_visible()


def test_the_gas_alarm_sounds_until_it_is_let_go(brewer):
    brewer.go()
    brewer.page.evaluate(
        """() => {
            window.tones = 0;
            const start = OscillatorNode.prototype.start;
            OscillatorNode.prototype.start = function (at) { window.tones += 1; start.call(this, at); };
        }"""
    )
    brewer.press("Gas alarm")
    brewer.page.wait_for_function("() => window.tones > 5")  # it goes on: three tones are one round
    brewer.hold(brewer.page.locator(".alarm .hold"))
    expect(brewer.page.locator(".bar")).to_be_visible()


def test_what_happened_is_written_down_from_there(brewer):
    brewer.go()
    brewer.press("SOS")
    brewer.press("Write down what happened")
    expect(brewer.page.get_by_role("heading", name="Accident or near miss")).to_be_visible()


def test_anyone_is_told_the_least_before_the_phone_is_enrolled(playwright, demo, tmp_path):
    one = Screens(playwright, tmp_path / "new", demo.url.replace("127.0.0.1", "localhost"))
    one.open()
    one.press("SOS")
    expect(one.page.locator(".emergency")).to_contain_text("water on it, 20 minutes")
    expect(one.page.locator(".alarm-call")).to_be_visible()
    one.close()


def test_anyone_finds_them_with_nobody_signed_in(playwright, demo, tmp_path):
    one = made(playwright, demo, tmp_path / "shared", "Shared phone", None)
    one.press("SOS")
    for title in IN_ORDER:
        expect(one.page.get_by_role("button", name=title)).to_be_visible()
    assert one.page.get_by_role("button", name="Write down what happened").count() == 0
    one.close()
