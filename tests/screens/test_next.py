"""What a vessel is offered: what it needs next in one large press, with the reason; and no run twice unasked."""

import re

import pytest
from playwright.sync_api import expect

from tests.screens.screen import DESK, PATIENCE, PHONE, Screens

CLEAN = "Fermenter caustic clean"
DAILY = "Daily fermenter check"


@pytest.fixture
def hand(brewer) -> Screens:
    brewer.size(PHONE)
    brewer.go()
    brewer.press("Walk me through")
    return brewer


def begun(one: Screens, vessel: str, procedure: str) -> str:
    """A run opened through its address; its id."""
    one.go("start", procedure, vessel)
    one.set_going()
    found = re.search(r"#/run/([0-9a-f-]+)", one.page.url)
    assert found
    return found[1]


def words(one: Screens, vessel: str) -> str:
    one.go("vessel", vessel)
    return one.page.locator(".vessel-words .vessel-state").inner_text()


def put_away(one: Screens, run: str) -> None:
    one.go("run", run, "more")
    one.hold(one.page.get_by_role("button", name="Opened by mistake, nothing touched"))


def test_a_vessel_offers_what_it_needs_in_one_large_press_with_the_reason(hand):
    hand.go("vessel", "fv1")
    page = hand.page
    main = page.locator(".presses .press.main")
    expect(main).to_have_count(1)
    reason = page.locator(f"#{main.get_attribute('aria-describedby')}")
    expect(reason).to_have_text(re.compile(r"\w"))
    assert 1 <= page.locator(".presses:visible .press:not(.main)").count() <= 2
    assert hand.faults(enhanced=True) == []
    assert hand.small_targets(56) == []
    assert hand.small_text(18) == []
    assert hand.overflow() == 0


def test_what_does_not_fit_is_folded_grey_and_says_why_and_can_still_be_begun(hand):
    hand.go("vessel", "fv1")
    page = hand.page
    cast = page.get_by_role("link", name="Cast, oxygenate and pitch", exact=True)
    expect(cast).to_have_count(0)
    page.locator(".kind-fold > summary", has_text="Brew day").click()
    expect(cast).to_have_class(re.compile("unfit"))
    expect(page.locator(f"#{cast.get_attribute('aria-describedby')}")).to_have_text("It is filled already.")
    for fold in page.locator(".kind-fold:not([open]) > summary").all()[::-1]:
        fold.click()
    assert hand.faults(enhanced=True) == []
    assert hand.small_targets(56) == []
    cast.click()
    expect(page.get_by_role("heading", name="Cast, oxygenate and pitch")).to_be_visible()


def test_what_is_done_at_no_vessel_stands_folded_by_kind(hand):
    hand.go("plant")
    page = hand.page
    kinds = page.locator(".elsewhere .kind-fold > summary")
    expect(kinds.first).to_have_text(re.compile("^Cleaning"))
    assert kinds.count() >= 4
    expect(page.get_by_role("link", name="Pest round")).to_have_count(0)
    kinds.filter(has_text="Brewery").click()
    page.get_by_role("link", name="Pest round", exact=True).click()
    expect(page.get_by_role("heading", name="Pest round")).to_be_visible()
    hand.size(DESK)
    hand.go("plant")
    expect(kinds.first).to_be_visible()
    assert hand.faults(enhanced=True) == []


def test_the_first_screen_tells_what_must_not_wait_and_leads_there(hand):
    hand.go()
    page = hand.page
    expect(page.get_by_role("heading", name="Due now")).to_be_visible()
    due = page.locator("section", has=page.get_by_role("heading", name="Due now")).locator(".run-link")
    assert 1 <= due.count() <= 3
    assert hand.faults(enhanced=True) == []
    due.first.click()
    expect(page).to_have_url(re.compile("#/start/"))


def test_a_run_that_is_only_opened_changes_no_vessel_and_is_put_away_in_two_presses(hand):
    hand.go("vessel", "bbt1")
    expect(hand.page.locator(".vessel-words .vessel-state")).to_have_text("Filled", timeout=30_000)
    before = words(hand, "bbt1")
    run = begun(hand, "bbt1", "bright-acid-clean")
    assert words(hand, "bbt1") == before
    hand.go("run", run)
    put_away(hand, run)
    expect(hand.page.get_by_role("heading", name="Stopped early")).to_be_visible()
    expect(hand.page.locator("main")).to_contain_text("Opened by mistake, nothing touched")
    expect(hand.page.locator(".left-as")).to_have_count(0)
    assert words(hand, "bbt1") == before
    expect(hand.page.locator(".run-link", has_text="acid clean")).to_have_count(0)


def test_a_second_run_of_a_kind_asks_first_who_runs_the_other_and_leads_into_it(hand):
    run = begun(hand, "fv4", "beer-stone-removal")
    page = hand.page
    hand.go("start", "fermenter-caustic-clean", "fv4")
    expect(page.get_by_role("heading", name="One runs on FV 4 already")).to_be_visible()
    expect(page.locator("main")).to_contain_text("Beer-stone removal")
    expect(page.locator("main")).to_contain_text(re.compile(r"Begun by Tomasz Wren, \d\d:\d\d"))
    assert hand.faults(enhanced=True) == []
    assert hand.small_targets(56) == []
    hand.follow("Join it")
    expect(page).to_have_url(re.compile(f"#/run/{run}"))

    hand.go("start", "fermenter-caustic-clean", "fv4")
    hand.press("Begin a second one")
    expect(page.get_by_role("heading", name=CLEAN)).to_be_visible()
    hand.press("Start")
    page.wait_for_url(re.compile("#/run/"))
    second = page.url.split("/run/")[1].split("/")[0]
    assert second != run
    for one in (second, run):
        put_away(hand, one)


def test_another_kind_on_the_vessel_is_begun_without_a_question(hand):
    run = begun(hand, "fv1", "fermenter-check")
    hand.go("start", "yeast-crop", "fv1")
    expect(hand.page.get_by_role("heading", name="Yeast crop and use")).to_be_visible()
    hand.page.wait_for_timeout(1000)
    expect(hand.page.get_by_role("button", name="Start", exact=True)).to_be_visible()
    put_away(hand, run)


def test_a_pre_start_is_begun_with_the_beer_of_a_bright_tank_picked_by_a_press(hand):
    hand.go("start", "canning-line-pre-start", "canning-line")
    page = hand.page
    page.get_by_label("Beer's present gravity").fill("1.010")
    hand.press("Start")
    expect(page.locator(".refused")).to_contain_text("Say which gyle this is")
    tank = page.get_by_role("group", name="Which beer?").get_by_role("button").first
    tank.click()
    expect(tank).to_have_attribute("aria-pressed", "true")
    gyle = page.get_by_label("Gyle", exact=True)
    assert gyle.input_value() in tank.inner_text()
    assert hand.faults(enhanced=True) == []
    assert hand.small_targets(56) == []
    hand.set_going()
    run = page.url.split("/run/")[1].split("/")[0]
    put_away(hand, run)


def test_start_opened_by_its_address_names_the_beer_that_lies_in_the_vessel(hand):
    """The screen is there before the board is read: what lies in the vessel comes with the board."""
    hand.go("start", "yeast-crop", "fv1")
    hand.page.reload()
    gyle = hand.page.get_by_label("Gyle", exact=True)
    expect(gyle).to_have_value(re.compile(r"\w"), timeout=PATIENCE)
    held = gyle.input_value()
    hand.go("vessel", "fv1")
    expect(hand.page.locator("main")).to_contain_text(held, ignore_case=True)


def test_start_pressed_twice_in_a_hurry_opens_one_run(hand):
    hand.go("start", "pest-round")
    hand.page.get_by_role("button", name="Start", exact=True).dblclick()
    hand.page.wait_for_url(re.compile("#/run/"))
    run = hand.page.url.split("/run/")[1].split("/")[0]
    hand.go()
    expect(hand.page.locator(".run-link", has_text="Pest round")).to_have_count(1)
    put_away(hand, run)
