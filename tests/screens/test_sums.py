"""The page of sums: done with the server dead as the core does them, kept, checked, and put into a run."""

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import expect

from tests.screens.screen import PATIENCE, PHONE, Screens
from vesselside.core.sums import calculations

STRIKE = {
    "malt_kg": "300", "liquor_l": "780", "mash_temp_c": "66.5", "malt_temp_c": "18", "tun_temp_c": "20",
}  # fmt: skip
BLEND = {"hot_temp_c": "85", "cold_temp_c": "12", "target_temp_c": "74", "target_l": "780"}


@pytest.fixture
def phone(brewer) -> Screens:
    """The brewer's phone, which has kept the app."""
    brewer.size(PHONE)
    return brewer


@pytest.fixture
def dead(phone, demo) -> Iterator[None]:
    """The server is gone."""
    phone.page.evaluate("() => navigator.serviceWorker.ready")
    demo.kill()
    yield
    demo.start()


def figure(one: Screens, key: str, row: int = 0, column: int = 0):
    """The press that holds one figure of the sum on the screen."""
    return one.page.locator(f"#sum-{key}-{row}-{column}")


def fill(one: Screens, given: dict[str, str]) -> None:
    """Press each figure and key it."""
    for key, text in given.items():
        figure(one, key).click()
        one.key(text)
    one.press("Done")
    one.settled()


PICK = """async (words) => {
    [...document.querySelectorAll(".option")].find((part) => part.innerText.startsWith(words)).click();
    for (let turns = 0; turns < 50; turns++) await null;
    return document.querySelectorAll(".run-link").length;
}"""  # what is offered before the core can have answered: answers come in tasks of their own


def missing(one: Screens, found: dict) -> list[str]:
    """The lines of the core's working that the screen does not show."""
    said = re.sub(r"\s+", " ", one.page.locator(".working").inner_text()).replace("\u2212", "-")
    rows = [row for part in ("inputs", "steps", "results") for row in found[part]]
    lines = [f"{row['label']} {row['value']} {row['unit']}".strip() for row in rows]
    lines += [
        found["formula"],
        found["rounding"],
        *found["assumptions"],
        *(row["title"] for row in found["sources"]),
    ]
    return [line for line in lines if line.replace("\u2212", "-") not in said]


def test_every_sum_is_one_press_from_the_start_and_stands_at_its_place(phone):
    phone.go()
    phone.follow("Sums")
    expect(phone.page.locator(".place")).to_have_count(4, timeout=PATIENCE)
    shown = {
        section.locator("h2").inner_text(): sorted(section.get_by_role("link").all_inner_texts())
        for section in phone.page.locator(".place").all()
    }
    rows = calculations.listing()
    assert shown == {
        place: sorted(row["title"] for row in rows if row["place"] == place.lower())
        for place in ("Brewhouse", "Cellar", "Packaging", "Office")
    }
    assert sum(map(len, shown.values())) == len(rows)
    phone.page.get_by_label("Find a sum").fill("zzz")
    expect(phone.page.get_by_text("No sum is found by these words")).to_be_visible()
    phone.page.get_by_label("Find a sum").fill("")
    phone.go("plant")
    phone.follow("Sums")
    expect(phone.page.locator("h1")).to_have_text("Sums")


def test_a_sum_is_done_with_the_server_dead_as_the_core_does_it_and_its_figures_are_kept(phone, dead):
    phone.go()
    phone.reload()
    phone.follow("Sums")
    phone.page.get_by_label("Find a sum").fill("strike te")
    expect(phone.page.locator(".place a", has_text="Bitterness")).to_have_count(0)
    phone.follow("Strike temperature")
    expect(phone.page).to_have_url(re.compile(r"#/sums/strike-temperature$"))
    expect(phone.page.locator(".sum-words")).to_have_text("Enter: Malt")
    fill(phone, STRIKE)
    found = calculations.work("strike-temperature", STRIKE)
    expect(phone.page.locator(".result .value-number")).to_have_text(found["results"][0]["value"])
    expect(phone.page.locator(".sum-answer .value-number")).to_have_text(found["results"][0]["value"])
    assert missing(phone, found) == []
    phone.reload()
    expect(phone.page.locator(".result .value-number")).to_have_text(found["results"][0]["value"])
    expect(phone.page.get_by_text("last figures given on this phone")).to_be_visible()
    kept = {key: figure(phone, key).locator(".value-number").inner_text() for key in STRIKE}
    assert kept == STRIKE
    phone.press("Start afresh")
    phone.settled()
    phone.reload()
    expect(figure(phone, "malt_kg").locator(".value-number")).to_have_text("–")
    expect(phone.page.locator(".working")).to_have_count(0)


def test_a_figure_out_of_range_is_answered_beside_it_in_the_cores_words(phone):
    phone.go("sums", "strike-temperature")
    wrong = {"mash_temp_c": "95", "malt_temp_c": "60"}
    fill(phone, wrong)
    for fault in calculations.faults("strike-temperature", wrong):
        press = figure(phone, fault["field"])
        told = phone.page.locator(f"#{press.get_attribute('aria-describedby')} .wrong")
        expect(told).to_have_text(fault["text"])
    expect(phone.page.locator(".wrong:not(:empty)")).to_have_count(2)
    expect(phone.page.locator(".working")).to_have_count(0)
    phone.press("Start afresh")


def test_figures_are_given_by_the_keyboard_alone(phone):
    phone.go("sums", "plato-from-sg")
    figure(phone, "sg").focus()
    phone.page.keyboard.press("Enter")
    phone.settled()
    phone.page.keyboard.type("1.048")
    expect(phone.page.locator(".result .value-number")).to_have_text(
        calculations.work("plato-from-sg", {"sg": "1.048"})["results"][0]["value"]
    )
    phone.page.keyboard.press("Enter")
    expect(phone.keys()).to_have_count(0)
    expect(figure(phone, "sg")).to_be_focused()


def test_choices_days_and_tables_of_rows_are_given_too(phone):
    phone.go("sums", "cask-priming")
    phone.press("Glucose, dry")
    given = {"beer_l": "40.9", "target_g_l": "2.4", "warmest_c": "19"}
    fill(phone, given)
    assert missing(phone, calculations.work("cask-priming", {**given, "sugar": "glucose"})) == []

    phone.go("sums", "lot-mark")
    phone.page.get_by_label("Packed on").fill("2026-11-25")
    phone.settled()
    assert missing(phone, calculations.work("lot-mark", {"packed": "2026-11-25"})) == []

    phone.go("sums", "grist-gravity")
    phone.settled()
    afresh = phone.page.get_by_role("button", name="Start afresh")
    if afresh.count():  # another test's figures are kept on this phone
        afresh.click()
    phone.press("Another row")
    figure(phone, "grist", 1, 1).click()
    phone.key("999")
    [fault] = calculations.faults("grist-gravity", {"grist": [["", ""], ["", "999"]]})
    expect(phone.page.locator(".sum-rows .wrong")).to_have_text(fault["text"])
    expect(phone.page.locator(".dock .wrong")).to_have_text(fault["text"])
    for _ in "999":
        phone.press("Delete")
    grist = [["200", "300"], ["50", "290.5"]]
    for row, cells in enumerate(grist):
        for column, text in enumerate(cells):
            figure(phone, "grist", row, column).click()
            phone.key(text)
    rest = {"efficiency_pct": "85", "volume_l": "1000"}
    fill(phone, rest)
    assert missing(phone, calculations.work("grist-gravity", {**rest, "grist": grist})) == []


def test_a_result_is_put_into_an_open_step_met_and_confirmed_there(phone):
    run = phone.start("Hot liquor tank", "Liquor treatment")
    phone.go("sums", "liquor-blend")
    fill(phone, BLEND)
    phone.follow("Put it into a run")
    entry = phone.page.get_by_role("link", name=re.compile("Fill from the mains with an air gap"))
    expect(entry).to_be_visible(timeout=PATIENCE)
    assert phone.page.evaluate(PICK, "Cold liquor") == 0, (
        "entries that take another result are offered for this"
    )
    expect(entry).to_contain_text("Liquor in the tank", timeout=PATIENCE)
    entry.click()
    expect(phone.page.locator(".dock .hold.caution")).to_be_visible(timeout=PATIENCE)
    assert phone.page.locator(".dock").get_by_role("button", name=re.compile("^Use")).count() == 0
    phone.meet_cautions()
    found = calculations.work("liquor-blend", BLEND)
    cold = found["results"][1]["value"]
    expect(phone.page.locator(".result .value-number")).to_have_text(cold, timeout=PATIENCE)
    assert missing(phone, found) == []
    expect(phone.page.locator(".banner")).to_contain_text("level gauge", timeout=PATIENCE)
    phone.press(f"Use {cold} L")
    expect(phone.page).to_have_url(re.compile(rf"#/run/{run}/step/fill$"), timeout=PATIENCE)
    shown = phone.field("Liquor in the tank")
    expect(shown.locator(".value-number")).to_have_text(cold, timeout=PATIENCE)
    expect(shown).to_contain_text("worked out")
    expect(phone.page.locator(".standing")).to_contain_text("All records sent", timeout=PATIENCE)
    answer = phone.page.request.get(f"{phone.origin}/api/runs/{run}").json()["run"]
    [record] = answer["steps"]["fill"]["entries"]["volume"]["all"]
    assert (record["how"], record["value"], record["unit"]) == ("worked", cold, "L")
    assert record["from"] == {"calculation": "liquor-blend", "inputs": BLEND}
    assert [finding["code"] for finding in answer["findings"]] == ["sum-for-reading"]
