"""An instrument is listed at the desk, named at the bench, found out, and what it read is shown in doubt."""

import re

from playwright.sync_api import expect

from tests.screens.screen import DESK


def listed(manager):
    """List Probe 7 at the desk, its faults first."""
    desk = manager.page
    manager.size(DESK)
    manager.go("record", "instruments")
    manager.follow("List an instrument")
    desk.get_by_label("Checked every").fill("often")
    manager.press("Keep")
    expect(desk.locator(".wrong")).to_have_text(
        [re.compile("Enter its name"), re.compile("A whole number from 1")]
    )
    desk.get_by_label("Name, as on its tag").fill("Probe 7")
    desk.get_by_label("Kind").select_option(label="thermometer")
    desk.get_by_label("Checked every").fill("14")
    assert manager.faults(enhanced=False) == []
    manager.press("Keep")
    card = desk.locator(".need", has_text="Probe 7")
    expect(card).to_contain_text("not checked yet")
    assert manager.faults(enhanced=False) == []


def seen_to(manager):
    """See at the desk what the probe put in doubt, and take it out of use."""
    desk = manager.page
    manager.go("record", "needs")
    expect(desk.locator(".need", has_text="Probe 7")).to_contain_text("failed its check")
    desk.locator(".need", has_text="Probe 7").click()
    doubt = desk.locator(".need", has_text="Reference: 66.0 °C")
    expect(doubt).to_contain_text("not answered yet")
    desk.get_by_label("Use", exact=True).select_option(label="Out of use")
    manager.press("Keep")
    expect(desk.locator(".record-facts")).to_contain_text("out of use")
    assert manager.faults(enhanced=False) == []
    doubt.click()
    expect(desk.locator(".findings")).to_contain_text("Read with an instrument that failed a check: Probe 7")
    expect(desk.locator(".story")).to_contain_text("with Probe 7")


def test_a_probe_found_out_at_the_bench_puts_what_it_read_in_doubt(phones, manager):
    listed(manager)
    bench = phones("Bench phone", "Tomasz Wren")
    page = bench.page
    bench.go("start", "instrument-checks")
    bench.press("Start")
    page.wait_for_url(re.compile(r"#/run/"))
    bench.settled()
    run = re.search(r"#/run/([0-9a-f-]+)", page.url)[1]

    def read_with(name, step, field, number):
        bench.go("run", run, "enter", step, field)
        bench.meet_cautions()
        page.get_by_role("button", name="change").click()
        page.get_by_role("group", name="Which thermometer?").get_by_role("button", name=name).click()
        expect(page.locator(".with")).to_contain_text(f"With {name}")
        assert (bench.faults(enhanced=True), bench.small_targets(56), bench.overflow()) == ([], [], 0)
        bench.record(number)

    bench.go("run", run, "enter", "hot", "reference")
    bench.meet_cautions()
    # what was checked stands in the records of the week, all of which a new phone has to pull
    good = page.get_by_role("button", name="With Probe 1 · change")
    for _ in range(30):
        expect(page.locator(".with")).to_be_visible()
        if good.count():
            break
        bench.reload()
    expect(good).to_be_visible()
    bench.context.set_offline(True)
    read_with("Probe 7", "hot", "reference", "66.0")
    bench.go("run", run, "enter", "hot", "reference")
    expect(page.locator(".with")).to_have_text("With Probe 7, not checked yet · change")
    read_with("Probe 7", "ice", "read", "3.0")
    bench.go("run", run, "enter", "ice", "read")
    expect(page.get_by_role("button", name="With Probe 1 · change")).to_be_visible()
    bench.go("run", run, "more")
    expect(page.locator(".deviations")).to_contain_text("Probe 7. In doubt: Reference: 66.0 °C.")
    bench.context.set_offline(False)
    bench.go("phone")
    bench.press("Send now")
    bench.settled()
    seen_to(manager)
