"""The cleaning register at the desk: a row a clean, its figures as the office has them, and the table it gives."""

import csv

import pytest
from playwright.sync_api import expect

from tests.screens.screen import DESK, PHONE


@pytest.fixture
def desk(manager):
    manager.size(DESK)
    manager.go()
    yield manager
    manager.size(PHONE)


def test_every_clean_of_a_tank_with_strength_temperature_and_contact_on_one_page_and_as_a_table(desk):
    page = desk.page
    desk.go("record", "cleanings")
    rows = page.locator(".register tbody tr")
    expect(rows.first).to_be_visible()
    page.get_by_label("Vessel").select_option(label="FV 1")
    desk.settled()
    held = page.request.get(f"{desk.origin}/api/desk/cleanings?vessel=fv1").json()["cleanings"]
    expect(rows).to_have_count(len(held))
    done = next(row for row in held if row["procedure"] == "fermenter-caustic-clean" and row["minutes"])
    row = page.locator(".register tbody tr", has=page.locator(f"a[href*='{done['run']}']"))
    for figure in (
        f"{done['strength_start']['value']} to {done['strength_end']['value']} % w/v",
        f"{done['coldest']['value']} °C",
        f"{done['minutes']} min",
        " · ".join(f"{one['value']} {one['unit']}" for one in done["rinse"]),
    ):
        expect(row).to_contain_text(figure)
    assert desk.faults(enhanced=False) == []

    with page.expect_download() as coming:
        page.get_by_role("link", name="As a table for a spreadsheet").click()
    assert coming.value.suggested_filename == "cleaning-register.csv"
    text = coming.value.path().read_text(encoding="utf-8-sig")
    heads, *table = csv.reader(text.splitlines())
    assert [one[-1] for one in table] == [one["run"] for one in held]
    (line,) = [dict(zip(heads, one, strict=True)) for one in table if one[-1] == done["run"]]
    assert (line["lowest °C"], line["minutes in band"]) == (done["coldest"]["value"], done["minutes"])
    row.get_by_role("link").click()
    expect(page.locator(".story")).to_be_visible()


def test_a_span_with_no_clean_says_so(desk):
    desk.go("record", "cleanings")
    desk.page.get_by_label("To").fill("2019-01-02")
    expect(desk.page.get_by_text("No clean fits.")).to_be_visible()
