"""The site page: what nobody has signed yet, by what it can hurt, signed there; and a clean that asks for it."""

import re

import pytest
from playwright.sync_api import expect

from tests.screens.screen import DESK, PHONE
from vesselside.library import load

DRY_HOP = next(row for row in load().procedures if row["id"] == "dry-hop")


@pytest.fixture
def desk(manager):
    manager.size(DESK)
    manager.go("record", "figures")
    manager.settled()
    return manager


def test_it_counts_what_is_not_signed_and_shows_that_first(desk):
    told = desk.page.get_by_text(re.compile(r"^\d+ of \d+ not signed yet")).inner_text()
    unsigned, every = (int(number) for number in re.findall(r"\d+", told))
    rows = desk.page.locator(".site-figure")
    assert 0 < unsigned < every
    assert rows.filter(has_text="As shipped").count() == unsigned
    desk.page.get_by_label("Show", exact=True).select_option("all")
    assert rows.count() == every


def test_the_groups_stand_in_the_order_of_what_kills_soonest(desk):
    desk.page.get_by_label("Show", exact=True).select_option("all")
    heads = desk.page.locator(".desk-page section h2").all_inner_texts()
    order = ["Gas", "Chemical", "Pressure", "Heat", "Going in", "Machines", "Back, ears, hands"]
    assert heads == [head for head in [*order, "Beer, hours and the site"] if head in heads]
    assert heads[:3] == order[:3]


def test_a_procedures_figures_are_signed_in_one_hold_after_they_were_looked_at(desk):
    desk.page.get_by_text("By procedure").click()
    desk.page.get_by_role("link", name=re.compile(f"^{DRY_HOP['title']}")).click()
    expect(desk.page.get_by_text(DRY_HOP["title"])).to_be_visible()
    desk.hold(desk.page.get_by_role("button", name=re.compile("^Sign (it|these)")))
    expect(desk.page.get_by_text(re.compile("^0 of "))).to_be_visible()
    desk.page.get_by_label("Show", exact=True).select_option("all")
    expect(desk.page.get_by_text(re.compile("^Signed by Ishbel Tarrant")).first).to_be_visible()


def test_a_figure_far_from_usual_is_asked_about_and_taken_back_in_one_press(desk):
    desk.page.get_by_label("Show", exact=True).select_option("all")
    row = desk.page.locator(".site-figure", has=desk.page.get_by_label(re.compile("^Boil-off, as cooled")))
    row.get_by_role("textbox").fill("9000")
    row.get_by_role("button", name="Keep").click()
    expect(row.get_by_text("Far from the usual 90.")).to_be_visible()
    row.get_by_role("button", name="Back to").click()
    expect(row.get_by_text("Far from the usual")).to_have_count(0)


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_it_fits(desk, size):
    desk.size(size)
    desk.page.get_by_label("Show", exact=True).select_option("all")
    assert desk.faults(enhanced=False) == []
    assert desk.page.evaluate("() => document.documentElement.scrollWidth <= innerWidth")
