"""One box over vessels, procedures and sums, with no signal; sums by what people call them."""

import pytest
from playwright.sync_api import expect

from tests.screens.screen import PHONE


@pytest.fixture
def box(brewer):
    brewer.size(PHONE)
    brewer.go()
    brewer.follow("Find")
    found = brewer.page.get_by_label("A vessel, a procedure, a sum")
    expect(found).to_be_visible()
    return found


def test_a_vessel_is_found_and_opened(brewer, box):
    box.fill("fv 4")
    brewer.page.locator(".presses").get_by_role("link", name="FV 4", exact=True).first.click()
    expect(brewer.page.get_by_role("heading", name="FV 4", exact=True)).to_be_visible()
    brewer.page.go_back()
    expect(box).to_have_value("fv 4")  # it stays while what was found is looked at


def test_a_procedure_is_begun_at_one_of_its_vessels_or_at_none(brewer, box):
    page = brewer.page
    box.fill("caustic clean")
    fold = page.locator("details", has_text="Fermenter caustic clean")
    fold.locator("summary").click()
    names = fold.get_by_role("link").all_inner_texts()
    assert "FV 4" in names
    assert not {"Copper", "Mash tun", "BBT 1"} & set(names)
    fold.get_by_role("link", name="FV 4", exact=True).click()
    expect(page.locator("main")).to_contain_text("FV 4")
    expect(page.get_by_role("heading", name="Fermenter caustic clean")).to_be_visible()
    page.go_back()
    box.fill("gaskets")
    page.get_by_role("link", name="Hoses, pump, gaskets and ports soak").click()
    expect(page.locator(".dock")).to_contain_text("Start")


@pytest.mark.parametrize(
    ("typed", "title"),
    [
        ("abv", "Attenuation and alcohol"),
        ("CO2 volumes", "Pressure for carbon dioxide"),
        ("co₂", "Carbon dioxide from pressure"),
        ("ibu", "Bitterness in all"),
        ("sg plato", "°Plato from specific gravity"),
        ("naoh", "Strength of caustic by titration"),
        ("priming", "Sugar to prime a cask or keg"),
        ("dilution", "Liquor to let wort down"),
    ],
)
def test_a_sum_is_found_by_what_people_call_it(brewer, box, typed, title):
    box.fill(typed)
    expect(brewer.page.get_by_role("link", name=title, exact=True)).to_be_visible()


def test_the_page_of_sums_finds_them_by_the_same_words(brewer):
    brewer.go("sums")
    brewer.page.get_by_label("Find a sum").fill("tpo")
    expect(brewer.page.get_by_role("link", name="Total package oxygen")).to_be_visible()
    brewer.page.get_by_label("Find a sum").fill("")


def test_what_is_called_by_nobody_is_said(brewer, box):
    box.fill("xyzzy")
    expect(brewer.page.get_by_text("Nothing here is called so.")).to_be_visible()
