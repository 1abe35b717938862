"""Every screen, light and dark: nothing for axe to find, large enough for a glove, and no wider than the phone."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from tests.screens.screen import DESK, PHONE, SMALL, Screens

CLEAN = "Fermenter caustic clean"
AT_VESSEL_TARGET, AT_VESSEL_TEXT = 56, 18  # px: the house's own measures for wet gloves and steam
AT_DESK_TARGET = 24  # px: WCAG 2.2, success criterion 2.5.8

Lead = Callable[[Screens], None]


def _run(one: Screens, *parts: str) -> None:
    """One of the screens of a run that many tests look at, opened once a phone."""
    if not hasattr(one, "run"):
        one.run = one.start("FV 3", CLEAN)
        one.meet_cautions()
        one.choose("The label on the vessel", "Same as this run")
        one.go("run", one.run, "step", "vent-open")
        one.meet_cautions()
    one.go("run", one.run, *parts)


def _list(one: Screens) -> None:
    _run(one, "more")
    one.press("Just the steps")
    one.settled()


def _closed(one: Screens) -> None:
    one.go("vessel", "fv4")
    one.page.locator(".last-clean").click()
    one.settled()


def _typed(one: Screens) -> None:
    _run(one, "enter", "vent-open", "gauge")
    one.key("0.3")
    one.settled()


def _striking(one: Screens) -> None:
    _run(one, "step", "vessel-label")
    one.follow("Strike")
    one.settled()


def _pin(one: Screens) -> None:
    _run(one, "sign", "vessel-label")
    one.press("Dele")
    one.settled()


def _sum(one: Screens, *parts: str) -> None:
    """A sum that has been worked, as this phone keeps it."""
    one.go("sums", "co2-pressure")
    for key, text in (("temp_c", "4"), ("target_g_l", "5")):
        if one.page.locator(f"#sum-{key}-0-0[data-given=false]").count():
            one.page.locator(f"#sum-{key}-0-0").click()
            one.key(text)
            one.press("Done")
    one.page.evaluate("() => scrollTo(0, 0)")
    one.settled()
    if parts:
        one.go(*parts)


def _rows(one: Screens) -> None:
    one.go("sums", "grist-gravity")
    one.page.locator(".sum-row button").first.click()
    one.key("99999")
    one.settled()


def _brought(one: Screens) -> None:
    _sum(one)
    _run(one, "sum", "vent-open", "gauge", "co2-pressure", "gauge_bar")


def _alarm(one: Screens) -> None:
    one.go()
    one.press("Gas alarm")
    one.settled()


def _emergencies(one: Screens) -> None:
    one.go()
    one.press("SOS")
    one.settled()


def _found(one: Screens) -> None:
    one.go("find")
    one.page.get_by_label("A vessel, a procedure, a sum").fill("caustic")
    one.settled()


AT_VESSEL: dict[str, Lead] = {
    "start": lambda one: one.go(),
    "plant board": lambda one: one.go("plant"),
    "end of shift": lambda one: one.go("shift"),
    "find": _found,
    "vessel": lambda one: one.go("vessel", "fv4"),
    "vessel with a gyle": lambda one: one.go("vessel", "fv1"),
    "opening a run": lambda one: one.go("start", "fermenter-caustic-clean", "fv4"),
    "step, walked through": lambda one: _run(one, "step", "vessel-label"),
    "step not open yet": lambda one: _run(one, "step", "rinse-out"),
    "steps as a list": _list,
    "keying a reading": _typed,
    "working": lambda one: _run(one, "work", "charge", "stock"),
    "lot code": lambda one: _run(one, "enter", "charge", "lot"),
    "strike": _striking,
    "second signature": lambda one: _run(one, "sign", "vessel-label"),
    "second person's PIN": _pin,
    "note": lambda one: _run(one, "note"),
    "deviation": lambda one: _run(one, "deviate", "vessel-label"),
    "skipping": lambda one: _run(one, "skip", "vessel-label"),
    "stopping early": lambda one: _run(one, "abandon"),
    "everything else of a run": lambda one: _run(one, "more"),
    "caution read again": lambda one: _run(one, "caution", "caustic"),
    "paper sheet": lambda one: _run(one, "sheet"),
    "closed run": _closed,
    "sums": lambda one: one.go("sums"),
    "a sum being keyed, in rows": _rows,
    "a sum and its working": _sum,
    "where to put a sum": lambda one: (_run(one), _sum(one, "sums", "co2-pressure", "put")),
    "a sum brought to an entry": _brought,
    "this phone": lambda one: one.go("phone"),
    "what to trust": lambda one: one.go("trust"),
    "carrying a run out": lambda one: one.go("carry", one.run) if hasattr(one, "run") else _run(one),
    "taking records in": lambda one: one.go("carry"),
    "heads of the record": lambda one: one.go("carry", "heads"),
    "a run that is not here": lambda one: one.go("run", "no-such-run"),
    "an address that leads nowhere": lambda one: one.go("nowhere"),
    "gas alarm": _alarm,
    "emergencies": _emergencies,
    "an emergency": lambda one: (_emergencies(one), one.page.locator(".emergency .press").nth(1).click()),
}


def _written(one: Screens) -> None:
    one.go("record", "procedure-edit", "fermenter-caustic-clean")
    for name in ("Step 2, ", "Entry 1, "):
        row = one.page.locator(".row-name", has_text=name).last
        if row.get_attribute("aria-expanded") == "false":
            row.click()
    one.settled()


def _previewed(one: Screens) -> None:
    one.go("record", "procedure-edit", "fermenter-caustic-clean", "preview")
    expect(one.page.frame_locator(".phone-frame").locator(".caution-full")).to_be_visible()


AT_DESK: dict[str, Lead] = {
    "today": lambda one: one.go("record"),
    "deviations": lambda one: one.go("record", "deviations"),
    "queue of reviews": lambda one: one.go("record", "queue", "others"),
    "cleaning register": lambda one: one.go("record", "cleanings"),
    "people": lambda one: one.go("record", "people"),
    "a person": lambda one: one.go("record", "person", "tomasz"),
    "a new person": lambda one: one.go("record", "person-new"),
    "set-up": lambda one: one.go("record", "set-up"),
    "vessels": lambda one: one.go("record", "vessels"),
    "a vessel's form": lambda one: one.go("record", "vessel", "fv1"),
    "labels": lambda one: one.go("record", "labels"),
    "register": lambda one: one.go("record", "register"),
    "an address of the desk that leads nowhere": lambda one: one.go("record", "nowhere"),
    "record": lambda one: (
        one.go("record", "register", "status", "finished"),
        one.page.locator(".register a").first.click(),
        one.settled(),
    ),
    "recipes": lambda one: one.go("record", "recipes"),
    "recipe and its sheet": lambda one: one.go("record", "recipe", "lantern-field"),
    "procedures": lambda one: one.go("record", "procedures"),
    "versions of a procedure": lambda one: one.go("record", "procedure", "fermenter-caustic-clean"),
    "procedure being written": _written,
    "procedure as the phone shows it": _previewed,
    "site figures": lambda one: one.go("record", "figures"),
    "gyles": lambda one: one.go("record", "gyles"),
    "gyle": lambda one: one.go("record", "gyle", "g311"),
    "instruments": lambda one: one.go("record", "instruments"),
    "instrument": lambda one: one.go("record", "instrument", "gauge-1"),
    "phones": lambda one: one.go("record", "devices"),
    "administration": lambda one: one.go("record", "administration"),
    "quarantine": lambda one: one.go("record", "quarantine"),
}


def let_go(one: Screens) -> None:
    """Leave a screen that would stay: the alarm, the list."""
    if one.page.locator(".steps").count():
        one.go("run", one.run, "more")
        one.press("Walk me through")
    if one.page.locator(".emergency").count():
        one.press("Close")
    if one.page.locator(".alarm").count():
        one.hold(one.page.locator(".alarm .hold"))
        one.settled()


def in_both_schemes(one: Screens, *, enhanced: bool) -> list[str]:
    """What axe finds in light, and what of the colours it finds in dark."""
    found = one.faults(enhanced=enhanced)
    one.turn("dark")
    found += one.faults(enhanced=enhanced, colours=True)
    one.turn("light")
    return found


@pytest.mark.parametrize("name", AT_VESSEL)
def test_a_screen_at_the_vessel_is_for_everyone(brewer, name):
    brewer.size(PHONE)
    AT_VESSEL[name](brewer)
    assert in_both_schemes(brewer, enhanced=True) == []
    assert brewer.small_targets(AT_VESSEL_TARGET) == []
    assert brewer.small_text(AT_VESSEL_TEXT) == []
    let_go(brewer)


@pytest.mark.parametrize("name", AT_VESSEL)
def test_a_screen_at_the_vessel_fits_the_smallest_phone(brewer, name):
    brewer.size(SMALL)
    AT_VESSEL[name](brewer)
    assert brewer.overflow() == 0
    brewer.size(PHONE)
    let_go(brewer)


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
@pytest.mark.parametrize("name", AT_DESK)
def test_a_screen_of_the_desk_is_for_everyone(manager, name, size):
    manager.size(size)
    AT_DESK[name](manager)
    expect(manager.page.locator(".desk-page h1")).to_be_visible()
    assert in_both_schemes(manager, enhanced=False) == []
    assert manager.small_targets(AT_DESK_TARGET) == []
    assert manager.overflow() == 0


def test_a_caution_in_full_is_for_everyone(starter):
    starter.start("FV 3", CLEAN)
    expect(starter.page.locator(".caution-full")).to_be_visible()
    assert in_both_schemes(starter, enhanced=True) == []
    assert starter.small_targets(AT_VESSEL_TARGET) == []
    starter.size(SMALL)
    assert starter.overflow() == 0
    starter.size(PHONE)


def test_enrolling_and_signing_in_are_for_everyone(playwright, demo, tmp_path):
    one = Screens(playwright, tmp_path / "new", demo.url.replace("127.0.0.1", "localhost"))
    one.open()
    expect(one.page.get_by_role("heading", name="Enrol this phone")).to_be_visible()
    looks = [in_both_schemes(one, enhanced=True)]
    one.enrol(demo.code("new"), "new")
    one.settled()
    looks.append(in_both_schemes(one, enhanced=True))
    one.press("Tomasz Wren")
    one.settled()
    looks.append(in_both_schemes(one, enhanced=True))
    targets = one.small_targets(AT_VESSEL_TARGET)
    one.close()
    assert looks == [[], [], []]
    assert targets == []


def test_an_iphone_is_asked_to_install_first(playwright, demo, tmp_path):
    """An uninstalled page's records are thrown away there after a week; the installed app keeps its own."""
    safari = playwright.devices["iPhone 13"]["user_agent"]
    one = Screens(
        playwright, tmp_path / "apple", demo.url.replace("127.0.0.1", "localhost"), user_agent=safari
    )
    one.open()
    expect(one.page.get_by_role("heading", name="Put Vesselside on the home screen first")).to_be_visible()
    assert one.page.get_by_label("Code").count() == 0
    looks = in_both_schemes(one, enhanced=True)
    one.close()
    assert looks == []


@pytest.mark.parametrize("name", ["start", "step, walked through", "keying a reading", "plant board"])
def test_a_screen_turns_round_for_a_language_written_from_the_right(brewer, name):
    brewer.size(PHONE)
    AT_VESSEL[name](brewer)
    brewer.page.evaluate("document.documentElement.dir = 'rtl'")
    gas = brewer.page.get_by_role("button", name=re.compile("^Gas")).bounding_box()
    overflow = brewer.overflow()
    brewer.page.evaluate("document.documentElement.dir = 'ltr'")
    assert gas["x"] < PHONE["width"] / 2
    assert overflow == 0
