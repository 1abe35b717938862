"""A run that cannot be shown, a core that ends, a view that cannot be refreshed: the rest goes on, in plain words."""

import re

import pytest
from playwright.sync_api import expect

from tests.screens.breaking import change, cores, ends_at, watch_cores
from tests.screens.screen import Screens

WAIT = 60_000
CLEAN = "Fermenter caustic clean"
BRIGHT = "Bright beer tank caustic clean, gas off"
GAUGE = "Gauge after venting"
NOT_SHOWN = "This run cannot be shown; its records are safe and will be sent."
# A step that waits for a number instead of a list of steps: no procedure that was published looks so.
BROKEN = """(row) => {
    for (const procedure of row.reference.procedures)
        if (procedure.id === "fermenter-caustic-clean") procedure.steps[1].needs = 7;
    return row;
}"""
FORGOTTEN = "() => undefined"
# The browser gives no lock to whoever wants to write the log.
NO_LOG = """() => {
    const real = navigator.locks.request.bind(navigator.locks);
    navigator.locks.request = (name, ...rest) =>
        name === "vesselside-log" ? Promise.reject(new Error("no lock")) : real(name, ...rest);
}"""


@pytest.fixture(scope="module")
def opened(brewer) -> tuple[str, str]:
    """A run on each of two vessels, that of the clean opened last."""
    return brewer.start("BBT 1", BRIGHT), brewer.start("FV 3", CLEAN)


@pytest.fixture
def phone(phones, opened) -> Screens:
    """A phone that has both runs, and has met what stands before the clean's first steps."""
    one = phones("phone", "Tomasz Wren")
    one.sound, one.run_id = opened
    one.go()
    one.press("Walk me through")
    one.go("run", one.run_id, "step", "vent-open")
    one.meet_cautions()
    one.go()
    expect(link(one, one.sound)).to_be_visible(timeout=WAIT)
    watch_cores(one)
    return one


def link(one: Screens, run: str):
    """The link to an open run on the screen."""
    return one.page.locator(f".run-link[href='#/run/{run}']")


def test_a_run_that_cannot_be_folded_is_told_and_the_others_are_shown(phone):
    phone.context.set_offline(True)
    change(phone, "reference", "current", BROKEN)
    change(phone, "kept", f"life:{phone.run_id}", FORGOTTEN)
    phone.reload()
    expect(link(phone, phone.sound)).to_be_visible(timeout=WAIT)
    told = phone.page.locator(".faults", has=phone.page.locator(f"a[href='#/run/{phone.run_id}']"))
    for screen in ([], ["plant"], ["vessel", "fv3"]):
        phone.go(*screen)
        expect(told).to_contain_text(NOT_SHOWN, timeout=WAIT)
        expect(told).to_contain_text(CLEAN)
    phone.go("vessel", "bbt1")
    expect(link(phone, phone.sound)).to_be_visible()
    expect(told).to_have_count(0)


def test_a_run_that_cannot_be_folded_keeps_its_last_good_line(phone):
    phone.context.set_offline(True)
    expect(link(phone, phone.run_id)).to_contain_text("steps done", timeout=WAIT)
    phone.go("run", phone.run_id, "note")
    phone.page.get_by_label("Note").fill("The hose is stiff.")
    ends_at(phone, ['"line"', phone.run_id], ['"act"', phone.run_id])
    phone.press("Record the note")
    phone.settled()
    phone.go()
    expect(phone.page.locator(".faults")).to_contain_text(NOT_SHOWN, timeout=WAIT)
    expect(link(phone, phone.run_id)).to_contain_text("steps done")
    expect(link(phone, phone.sound)).to_be_visible()


def test_a_run_that_cannot_be_folded_says_so_on_its_own_screen(phone):
    phone.context.set_offline(True)
    change(phone, "reference", "current", BROKEN)
    change(phone, "kept", f"view:{phone.run_id}", FORGOTTEN)
    phone.reload()
    phone.go("run", phone.run_id)
    expect(phone.page.locator("main")).to_contain_text(NOT_SHOWN, timeout=WAIT)
    phone.go("run", phone.sound)
    expect(phone.page.locator(".dock")).to_be_visible(timeout=WAIT)


def test_a_core_that_ends_under_a_run_comes_back_and_does_not_end_of_it_for_ever(phone):
    phone.context.set_offline(True)
    ends_at(phone, ['"line"', phone.run_id], ['"open"', phone.run_id])
    change(phone, "kept", f"life:{phone.run_id}", FORGOTTEN)
    phone.reload()
    phone.go("run", phone.run_id)
    phone.go()
    expect(phone.page.locator(".faults").first).to_contain_text(NOT_SHOWN, timeout=WAIT)
    expect(link(phone, phone.sound)).to_be_visible(timeout=WAIT)
    phone.page.wait_for_timeout(3_000)
    before = cores(phone)
    phone.page.wait_for_timeout(3_000)
    assert cores(phone) == before
    assert before < 12
    phone.go("run", phone.sound)
    phone.meet_cautions()
    expect(phone.page.locator(".dock .main, .dock .hold").first).to_be_visible(timeout=WAIT)


def test_a_board_that_cannot_be_worked_out_stays_as_it_was_and_says_so(phone):
    phone.go("plant")
    expect(phone.page.locator(".vessel").first).to_be_visible(timeout=WAIT)
    vessels = phone.page.locator(".vessel").count()
    ends_at(phone, ['"load"'])
    phone.reload()
    expect(phone.page.locator(".page-head")).to_contain_text(
        re.compile(r"Not worked out anew; as known at \d\d:\d\d"), timeout=WAIT
    )
    assert phone.page.locator(".vessel").count() == vessels
    phone.go()
    expect(link(phone, phone.sound)).to_be_visible()


def test_a_saved_record_is_never_told_as_refused(phone):
    phone.context.set_offline(True)
    phone.go("run", phone.run_id, "enter", "vent-open", "gauge")
    phone.meet_cautions()
    phone.key("0.01")
    ends_at(phone, ['"act"', phone.run_id])
    phone.press("Record")
    expect(phone.page.locator(".standing")).to_contain_text(re.compile("waits? here"), timeout=WAIT)
    expect(phone.field(GAUGE).locator(".value-number")).to_have_text("0.01", timeout=WAIT)
    expect(phone.page.get_by_text("This cannot be done yet")).to_have_count(0)
    expect(phone.keys()).to_have_count(0)
    ends_at(phone)
    phone.reload()
    expect(phone.field(GAUGE).locator(".value-number")).to_have_text("0.01", timeout=WAIT)
    expect(phone.page.get_by_text("What you recorded is saved")).to_have_count(0)


def test_a_run_that_was_opened_and_not_folded_is_opened_once(phone):
    phone.context.set_offline(True)
    ends_at(phone, ['"open"'])
    phone.go("start", "fermenter-caustic-clean", "fv4")
    phone.set_going()
    expect(phone.page.locator("main")).to_contain_text(NOT_SHOWN, timeout=WAIT)
    assert "#/run/" in phone.page.url


def test_what_was_not_recorded_is_said_in_words_whatever_stopped_it(phone):
    phone.go("run", phone.run_id, "note")
    phone.page.get_by_label("Note").fill("The hose is stiff.")
    phone.page.evaluate(NO_LOG)
    phone.press("Record the note")
    expect(phone.page.locator(".refused")).to_contain_text("Nothing was recorded", timeout=WAIT)


def test_the_desk_has_words_for_an_error_it_does_not_know(phone):
    phone.context.set_offline(True)
    ends_at(phone, ['"gyle"'])
    phone.go("record", "gyle", "g311")
    expect(phone.page.get_by_role("alert")).to_contain_text("Something went wrong", timeout=WAIT)
    expect(phone.page.get_by_role("button", name="Try again")).to_be_visible()


def test_what_nobody_foresaw_is_said_and_can_be_put_away(phone):
    phone.page.evaluate("() => { navigator.canShare = () => { throw new Error('no sharing'); }; }")
    phone.go("carry", phone.run_id)
    phone.press("Share")
    told = phone.page.get_by_role("alert")
    expect(told).to_contain_text("Something went wrong on this phone", timeout=WAIT)
    told.get_by_role("button").click()
    expect(told).to_have_count(0)


def test_a_screen_that_cannot_be_drawn_leaves_the_bar_and_the_way_home(phone):
    phone.context.set_offline(True)
    change(
        phone, "reference", "current", BROKEN.replace("procedure.steps[1].needs = 7", "procedure.inputs = 7")
    )
    phone.reload()
    phone.go("start", "fermenter-caustic-clean", "fv4")
    expect(phone.page.locator("main")).to_contain_text("This screen cannot be shown", timeout=WAIT)
    phone.follow("Start")
    expect(phone.page.locator(".doors")).to_be_visible()


def test_what_was_kept_in_no_known_shape_stops_neither_the_board_nor_the_sending(phone):
    phone.context.set_offline(True)
    phone.go("run", phone.run_id, "note")
    phone.page.get_by_label("Note").fill("The hose is stiff.")
    phone.press("Record the note")
    expect(phone.page.locator(".standing")).to_contain_text("1 record waits here")
    for kept in ("lives", "board"):
        change(phone, "kept", kept, "() => [null, 7, {}]")
    phone.go()
    phone.reload()
    phone.context.set_offline(False)
    expect(link(phone, phone.sound)).to_be_visible(timeout=WAIT)
    expect(phone.page.locator(".standing")).to_contain_text("All records sent", timeout=WAIT)


def test_a_caution_that_was_not_recorded_as_met_is_said_in_words(phone):
    phone.go("run", phone.run_id, "step", "vessel-label")
    caution = phone.page.locator(".dock .hold.caution")
    expect(caution).to_be_visible(timeout=WAIT)
    phone.page.evaluate(NO_LOG)
    phone.hold(caution)
    expect(phone.page.get_by_role("alert")).to_contain_text("Something went wrong", timeout=WAIT)
    expect(caution).to_be_visible()
