"""Every interlock on a phone with no signal: it stops, says why and what to do, and who may override it."""

import re

import pytest
from playwright.sync_api import expect

from tests.screens.screen import Screens
from vesselside import store
from vesselside.core.run.procedure import INTERLOCKS
from vesselside.store.site import founding

GOOD_OR_NOT = [
    {"id": "good", "label": "As it should be", "verdict": "target"},
    {"id": "bad", "label": "Not so", "verdict": "stop", "advice": "Put it right."},
]
JUDGED = sorted(name for name, (_, may) in INTERLOCKS.items() if may and name != "contact")
READ = sorted(name for name, (_, may) in INTERLOCKS.items() if not may)


def step(name: str, **more: object) -> dict:
    """A step that asks the interlock it is named after."""
    given = {"title": f"Step {name}", "why": "It is asked.", "how": "It is tried."}
    return {"id": name, **given, "needs": [], "asks": [{"interlock": name}], "entries": [], **more}


def procedure(name: str, *steps: dict) -> dict:
    """A procedure of those steps."""
    return {
        "id": name, "version": 1, "title": name.replace("-", " ").capitalize(), "kind": "cellar", "summary": "A trial.",
        "vessel_kinds": ["fermenter"], "settings": [], "inputs": [], "steps": list(steps),
    }  # fmt: skip


def choice(name: str) -> dict:
    return {"id": name, "label": "As seen", "kind": "choice", "options": GOOD_OR_NOT}


ON_BEER = procedure(
    "trial-on-beer",
    {**step("malt", entries=[{"id": "lot", "label": "Malt lot", "kind": "lot"}]), "asks": []},
    *(step(name, entries=[choice("seen")]) for name in JUDGED if name != "add"),
    *(step(name, entries=[choice("seen")]) for name in READ),
)
# A figure of the site that nobody has signed.
ON_BEER["settings"] = [
    {"id": "trial-limit", "label": "Trial limit", "default": "1", "source": "the plate, to be filled in"}
]
ON_EMPTY = procedure("trial-on-empty", step("add", entries=[choice("seen")]))


@pytest.fixture(scope="module")
def phone(playwright, demo, tmp_path_factory) -> Screens:
    """A phone that knows both procedures, with a run of each: one on a fermenter of beer, one on a vessel without."""
    with demo.inside():
        brewery = founding.breweries()[0][0]
        for row in (ON_BEER, ON_EMPTY):
            store.publish_procedure(brewery, row)
    one = Screens(playwright, tmp_path_factory.mktemp("trial"), demo.url.replace("127.0.0.1", "localhost"))
    one.open()
    one.enrol(demo.code("Trial phone"), "Trial phone")
    one.enter_as("Tomasz Wren")
    one.context.set_offline(True)
    one.runs = {"on": one.start("FV 1", "Trial on beer"), "off": one.start("FV 4", "Trial on empty")}
    one.go("run", one.runs["on"], "enter", "malt", "lot")
    one.page.get_by_role("textbox").fill("unknown")
    one.press("Record")
    one.settled()
    yield one
    one.close()


@pytest.mark.parametrize("interlock", JUDGED)
def test_it_stops_and_says_why_and_what_to_do(phone, interlock):
    page = phone.page
    phone.go("run", phone.runs["off" if interlock == "add" else "on"], "step", interlock)
    told = page.locator(".interlock[data-standing=stops]")
    expect(told.get_by_role("heading", name=f"Stopped: {INTERLOCKS[interlock][0]}")).to_be_visible()
    reasons, do = told.locator("ul").nth(0), told.locator("ul").nth(1)
    assert all(len(line) > 10 for line in reasons.locator("li").all_inner_texts() or [""])
    expect(told.get_by_role("heading", name="What to do")).to_be_visible()
    assert all(len(line) > 10 for line in do.locator("li").all_inner_texts() or [""])
    expect(told).to_contain_text(re.compile(r"As known"))
    expect(told.get_by_role("link", name="A duty brewer overrides this")).to_be_visible()
    expect(page.locator(".dock .main, .dock .hold")).to_have_count(0)
    phone.choose("As seen", "As it should be")
    expect(phone.field("As seen").locator(".number")).to_have_count(0)  # nothing was recorded


@pytest.mark.parametrize("interlock", READ)
def test_nobody_passes_what_may_never_be_overridden(phone, interlock):
    page = phone.page
    phone.go("run", phone.runs["on"], "step", interlock)
    phone.choose("As seen", "Not so")
    expect(page.locator(".verdict[data-verdict=stop]")).to_contain_text("Put it right.")
    expect(page.locator(".dock")).to_contain_text("Choose: As seen")
    expect(page.get_by_role("link", name="A duty brewer overrides this")).to_have_count(0)
    phone.go("run", phone.runs["on"], "deviate", interlock, "seen")
    page.get_by_role("textbox").fill("We go on all the same.")
    phone.press("Raise it")
    phone.settled()
    phone.go("run", phone.runs["on"], "step", interlock)
    expect(page.locator(".dock")).to_contain_text("Choose: As seen")
    expect(page.locator(".dock .hold")).to_have_count(0)
