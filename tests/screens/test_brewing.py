"""A recipe becomes a brew sheet at the desk, a gyle is read beside its plan, and a phone opens a brew by the sheet."""

import re

import pytest
from playwright.sync_api import Locator, expect

from tests.screens.screen import DESK, PHONE

PARTS = (".beside:not(.moves)", ".moves", ".curve", ".forecast")


@pytest.fixture
def desk(manager):
    manager.size(DESK)
    manager.go()
    return manager


def row_of(one, label: str) -> Locator:
    """Where a figure of the brew sheet stands on the screen."""
    row = one.page.locator(".brew-sheet tr", has=one.page.get_by_text(label, exact=True)).first
    return row.locator(".value-number")


def figure(one, label: str) -> str:
    """A figure of the brew sheet on the screen."""
    return row_of(one, label).inner_text()


def test_a_recipe_is_entered_faults_stand_at_their_fields_and_the_sheet_follows(desk):
    page = desk.page
    desk.go("record", "recipe-new")
    page.get_by_label("Name", exact=True).fill("Harbour Light bitter")
    page.get_by_label("Wort in the fermenter, from one brew (L)").fill("1100")
    page.get_by_label("Original gravity", exact=True).fill("1.4")
    page.get_by_label("Bitterness (IBU)").fill("28")
    page.get_by_label("Yeast", exact=True).fill("House")
    page.get_by_label("Malt", exact=True).fill("Long Acre pale malt")
    page.get_by_label("Share of the grist (%)").fill("100")
    expect(
        page.locator(
            "#" + page.get_by_label("Original gravity", exact=True).get_attribute("aria-describedby")
        )
    ).to_contain_text("1.010 to 1.120")
    page.get_by_label("Original gravity", exact=True).fill("1.0400")
    page.get_by_role("button", name="Add a row: Hops").click()
    page.get_by_label("Hops", exact=True).fill("Tarn Bitter")
    page.get_by_label("Alpha acids of this lot (%)").fill("9.1")
    page.get_by_role("button", name="Keep as version 1").click()
    expect(page.get_by_role("alert")).to_contain_text("2 figures are not right yet")
    page.get_by_label("Boiled for (min)").fill("60")
    page.get_by_label("Share of the boil's bitterness (%)").fill("100")
    desk.settled()
    expect(row_of(desk, "End of boil, at 20 °C")).to_have_text("1140")
    before = figure(desk, "Malt")
    page.get_by_label("Wort in the fermenter, from one brew (L)").fill("2200")
    desk.settled()
    expect(row_of(desk, "End of boil, at 20 °C")).to_have_text("2240")
    assert figure(desk, "Malt") != before
    page.locator(".brew-sheet summary", has_text=re.compile("^Malt$")).click()
    expect(page.locator(".brew-sheet .working").first).to_contain_text("Malt = extract wanted")
    page.get_by_role("button", name="Keep as version 1").click()
    expect(page.get_by_role("link", name="Harbour Light bitter")).to_be_visible(timeout=60_000)
    kept = page.request.get(f"{desk.origin}/api/recipes/harbour-light-bitter").json()["versions"]
    assert [(row["version"], row["volume_l"], len(row["hops"])) for row in kept] == [(1, "2200", 1)]


def test_a_gyle_stands_beside_its_plan_and_the_last_brew(desk):
    page = desk.page
    desk.go("vessel", "fv2")
    page.get_by_role("link", name=re.compile("Gyle")).click()
    expect(page.get_by_role("heading", name="Gyle g312")).to_be_visible()
    row = page.locator(".beside tr", has=page.get_by_role("rowheader", name="Original gravity of one brew"))
    expect(row).to_contain_text("1.0420")
    assert row.locator("td").all_inner_texts()[2] == "+0.0003"
    expect(page.locator(".beside:not(.moves) thead")).to_contain_text("Last brew")
    expect(page.get_by_role("link", name="g311")).to_be_visible()
    (cast,) = page.locator(".moves tbody tr").all()
    told = [cell.inner_text().split("\n") for cell in cast.locator("th, td").all()]
    assert (told[0][0], told[1], told[2], told[3]) == ("Cast", ["Whirlpool → FV 2"], ["1228 L"], ["1184 L"])
    assert (told[4], told[5]) == (["44 L", "3.6 %"], ["44 L", "3.6 %"])
    assert page.locator(".gravity-dot").count() >= 5, "this brew and the last"
    desk.go("record", "gyle", "g311")
    expect(page.locator(".forecast")).to_contain_text("Terminal gravity")
    readings = page.locator(".curve table tbody tr")
    assert readings.count() == 4
    assert "1.0360" in readings.nth(1).inner_text()


def test_with_no_signal_a_gyle_is_worked_out_on_the_phone_as_the_office_does(desk):
    page = desk.page
    shown = {}
    for cut in (False, True):
        desk.context.set_offline(cut)
        try:
            desk.go("plant")
            desk.go("record", "gyle", "g311")
            expect(page.locator(".forecast")).to_contain_text("Terminal gravity", timeout=60_000)
            expect(page.get_by_text("No signal.")).to_have_count(int(cut))
            for part in PARTS:
                # the phone may still be reading its runs: its page follows
                expect(page.locator(part)).to_have_text(shown.get(part, re.compile(".")), use_inner_text=True)
                shown[part] = page.locator(part).inner_text()
        finally:
            desk.context.set_offline(False)


def test_a_phone_with_no_signal_opens_a_brew_by_the_sheet(brewer):
    brewer.size(PHONE)
    brewer.context.set_offline(True)
    try:
        brewer.go("start", "grist-and-mash-in", "mash-tun")
        brewer.page.get_by_label("Recipe").select_option(label="Lantern Field pale ale")
        brewer.settled()
        malt = brewer.page.get_by_label("Malt planned (kg)")
        expect(malt).to_have_value("226.3")
        expect(brewer.page.get_by_label("Mash liquor planned (L)")).to_have_value("611")
        brewer.page.get_by_label("Gyle").fill("G 311")
        brewer.settled()
        expect(malt).to_have_value("226.3")
    finally:
        brewer.context.set_offline(False)


def test_a_site_figure_is_given_at_the_desk_and_the_next_sheet_rests_on_it(desk):
    page = desk.page
    desk.go("record", "recipe", "quillbeck-mild")
    before = figure(desk, "End of boil, at 20 °C")
    desk.go("record", "figures")
    page.get_by_label("Show", exact=True).select_option("all")
    field = page.get_by_label("Wort left with hops and trub (L)")
    field.fill("much")
    page.get_by_role("button", name="Keep", exact=True).click()
    expect(page.get_by_text("This is not a number: much")).to_be_visible()
    field.fill("55")
    page.get_by_role("button", name="Keep").click()
    expect(page.get_by_role("button", name="Keep")).to_have_count(0, timeout=60_000)
    desk.go("record", "recipe", "quillbeck-mild")
    desk.settled()
    assert (before, figure(desk, "End of boil, at 20 °C")) == ("1190", "1205")
    desk.go("record", "gyle", "g311")
    page.get_by_role("button", name="Use 74.3 from now on").click()
    expect(page.get_by_role("button", name="Use 74.3 from now on")).to_have_count(0, timeout=60_000)
    settings = page.request.get(f"{desk.origin}/api/reference").json()["settings"]
    assert (settings["whirlpool-left"], settings["brewhouse-efficiency"]) == ("55", "74.3")
