"""At the vessel with no signal: a fill is stopped with its reason, and a duty brewer overrides it by name and PIN."""

import re

import pytest
import requests
from playwright.sync_api import expect

from tests.screens.screen import SECRETS, Screens

CAST = "Cast, oxygenate and pitch"
FIGURES = {
    "Volume to collect": "1200",
    "Volume of this brew": "1200",
    "Gravity of this brew planned": "1.0420",
}


@pytest.fixture
def cellar(phones) -> Screens:
    """A phone on which the duty brewer has once signed in, now in a brewer's hands."""
    one = phones("Cellar phone", "Owen Calloway")
    one.press("Sign out")
    one.enter_as("Tomasz Wren")
    return one


def cast_into(one: Screens, vessel: str) -> str:
    """Open a cast into a vessel, its figures keyed; the run's id."""
    one.go()
    one.press("Walk me through")
    one.follow(vessel)
    one.begin(CAST)
    for label, figure in FIGURES.items():
        one.page.get_by_label(re.compile(f"^{label}")).fill(figure)
    one.page.get_by_label("Gyle", exact=True).fill("g313")
    one.set_going()
    one.settled()
    found = re.search(r"#/run/([0-9a-f-]+)", one.page.url)
    assert found
    vent(one, found[1])
    return found[1]


def vent(one: Screens, run: str) -> None:
    """See the vent open: extraction on, the room read, no flow; whatever comes later waits for it."""
    one.go("run", run, "step", "vent-open")
    one.hold(one.page.locator(".cautions-beside .hold"))
    one.settled()
    one.choose("Extraction, and where the vent leads", "Extraction on, vent led outside")
    one.go("run", run, "enter", "vent-open", "room")
    one.record("620")
    one.go("run", run, "step", "vent-open")
    one.choose("At the vent", "Open: no flow seen or heard")
    one.hold()
    one.settled()
    expect(one.page.locator(".dock")).not_to_contain_text("Done")


def test_a_fill_is_stopped_with_no_signal_says_why_and_a_duty_brewer_overrides_it(demo, cellar):
    page = cellar.page
    cellar.context.set_offline(True)
    run = cast_into(cellar, "FV 3")
    cellar.go("run", run, "step", "fill-ready")
    cellar.meet_cautions()
    told = page.locator(".interlock")
    expect(told).to_contain_text("Stopped: Fill")
    expect(told).to_contain_text("FV 3: It is being cleaned.")
    expect(told).to_contain_text("Let the clean be finished")
    expect(page.locator(".dock")).to_contain_text("Stopped: Fill")
    expect(told.get_by_role("link", name="A duty brewer overrides this")).to_have_count(
        0
    )  # caustic may be in it
    run = cast_into(cellar, "FV 4")
    cellar.go("run", run, "step", "fill-ready")
    cellar.meet_cautions()
    expect(told).to_contain_text("FV 4: ")
    assert cellar.faults(enhanced=True) == []
    cellar.choose("The label on the vessel", "Sanitised, this shift")
    expect(page.locator(".field .number")).to_have_count(0)  # nothing was recorded

    told.get_by_role("link", name="A duty brewer overrides this").click()
    page.get_by_label("Why it is overridden").fill("The copper is full and there is no peracetic.")
    expect(page.get_by_role("button", name="Owen Calloway")).to_have_count(0)
    page.get_by_label("What is checked instead").fill("Looked in, rinse read, swab taken.")
    expect(page.get_by_role("button", name="Dele Marchbank")).to_have_count(0)
    cellar.press("Owen Calloway")
    cellar.give(SECRETS["Owen Calloway"])
    cellar.press("Override")
    expect(page.locator(".interlock")).to_contain_text("Overridden: Fill", timeout=60_000)
    cellar.choose("The label on the vessel", "Sanitised, this shift")
    expect(cellar.field("The label on the vessel").locator(".verdict-word").first).to_be_visible()

    cellar.context.set_offline(False)
    cellar.reload()
    cookies = {row["name"]: row["value"] for row in cellar.context.cookies()}
    for _ in range(100):
        answer = requests.get(f"{demo.url}/api/runs/{run}", cookies=cookies, timeout=10)
        if answer.ok and answer.json()["run"]["overrides"]:
            break
        page.wait_for_timeout(200)
    state = answer.json()["run"]
    (raised,) = state["deviations"]
    assert (raised["person"], raised["interlock"], raised["answered"]) == ("owen", "fill", None)
    assert raised["check"] == "Looked in, rinse read, swab taken."
    assert "overridden" in {row["code"] for row in state["findings"]}


def test_the_vessels_page_says_its_state_since_when_and_as_known_when(brewer):
    brewer.go("vessel", "fv3")
    shown = brewer.page.locator(".vessel-now")
    expect(shown).to_contain_text("Being cleaned")
    expect(shown).to_contain_text(re.compile(r"As known at "))
    brewer.go("vessel", "fv1")
    expect(shown).to_contain_text("Filled")
    expect(shown).to_contain_text("Since")
    brewer.go("vessel", "fv4")
    expect(shown).to_contain_text("Clean until")


def test_venting_is_open_at_once_with_its_caution_beside_it(brewer):
    run = brewer.start("FV 3", "Fermenter caustic clean")
    brewer.go("run", run, "step", "vent-open")
    page = brewer.page
    beside = page.locator(".cautions-beside")
    expect(beside).to_be_visible()
    expect(page.locator(".step-body .field").first).to_be_visible()
    expect(page.locator(".dock")).to_contain_text("Choose: Extraction, and where the vent leads")
    brewer.hold(beside.locator(".hold"))
    brewer.settled()
    brewer.go("run", run, "enter", "vent-open", "gauge")
    brewer.record("0.01")
    expect(brewer.field("Gauge after venting").locator(".verdict-word")).to_have_text("On target")


def test_what_was_cast_is_no_longer_in_the_copper_and_a_clean_of_a_full_fermenter_is_stopped(brewer):
    page = brewer.page
    brewer.go("plant")
    for vessel in ("Mash tun", "Copper", "Whirlpool"):
        card = page.locator("a.vessel", has=page.locator(".vessel-name", has_text=vessel))
        expect(card.locator(".vessel-state")).to_have_text("Soiled")
        expect(card.locator(".vessel-gyle")).to_have_count(0)
    run = brewer.start("FV 2", "Fermenter caustic clean")
    told = page.locator(".interlock")
    for step, standing in (("vessel-label", "Look ahead: "), ("dose", "Stopped: ")):
        brewer.go("run", run, "step", step)
        brewer.meet_cautions()
        expect(told).to_contain_text(standing + "Chemical only into an empty vessel")
        expect(told).to_contain_text("FV 2: It holds gyle g312.")
        expect(told).to_contain_text("Put nothing in.")
    assert brewer.faults(enhanced=True) == []
