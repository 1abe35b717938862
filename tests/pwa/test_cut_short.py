"""What a killed browser leaves at the end of its log file must not cost what is written after it."""

from collections.abc import Callable

import pytest
from playwright.sync_api import BrowserContext, Page

from tests.pwa.chain import check_chain
from tests.pwa.cut import CUT_SHORT, cut_short, newest_log
from tests.pwa.house import ALL_OF, TAPS, adopt, launch, opened, until


@pytest.fixture
def life(playwright, network, tmp_path) -> Callable[[], tuple[BrowserContext, Page]]:
    """Starts the browser on a profile that outlives it, with one tab."""

    def start() -> tuple[BrowserContext, Page]:
        context = launch(playwright, tmp_path / "profile")
        return context, opened(context, network.origin)

    return start


@pytest.mark.parametrize("cut", CUT_SHORT.values(), ids=CUT_SHORT)
def test_a_record_cut_short_costs_nothing_that_is_written_after_it(built, life, tmp_path, cut):
    context, page = life()
    key = adopt(page)
    page.evaluate(TAPS, [5, "run-1"])
    context.close()
    cut_short(newest_log(tmp_path / "profile"), cut)
    for held in (5, 10, 15):
        context, page = life()
        events = page.evaluate(ALL_OF, "run-1")
        assert len(events) == held
        check_chain(events, key)
        page.evaluate(TAPS, [5, "run-1"])
        context.close()


# A scratch database that is held open: by a handle that never lets go, which blocks an upgrade and a deletion alike.
NEVER_OPENS = """{
    const real = IDBFactory.prototype.open;
    IDBFactory.prototype.open = function (name, version) {
        if (name !== "vesselside") real.call(this, name, version);
        return real.call(this, name, name === "vesselside" ? version : version + 1);
    };
}"""
NEVER_CLOSES = """{
    const real = IDBDatabase.prototype.close;
    IDBDatabase.prototype.close = function () { if (this.name === "vesselside") real.call(this); };
}"""
COUNTED = """{
    window.begun = 0;
    const real = IDBFactory.prototype.open;
    IDBFactory.prototype.open = function (name, version) {
        if (name !== "vesselside") window.begun++;
        return real.call(this, name, version);
    };
}"""
NOTHING_LEFT = "async () => (await indexedDB.databases()).every(({ name }) => name === 'vesselside')"


def prepared(browser: BrowserContext, origin: str, script: str) -> tuple[Page, list[str]]:
    """A tab that runs `script` before the app, and what it says of scratch databases."""
    page = browser.new_page()
    page.add_init_script(script)
    said: list[str] = []
    page.on("console", lambda line: said.append(line.text) if "scratch database" in line.text else None)
    page.goto(f"{origin}/")
    page.wait_for_function("() => window.parts !== undefined")
    return page, said


@pytest.mark.parametrize("script", [NEVER_OPENS, NEVER_CLOSES], ids=["opening", "deleting"])
def test_a_scratch_database_that_hangs_is_told_and_stops_no_tap(browser, network, script):
    page, said = prepared(browser, network.origin, script)
    key = adopt(page)
    page.evaluate(TAPS, [2, "run-1"])
    assert ["in time" in line for line in said] == [True]
    page.close()
    following, said = prepared(browser, network.origin, "")
    events = following.evaluate(ALL_OF, "run-1")
    assert len(events) == 2
    check_chain(events, key)
    until(following, NOTHING_LEFT)
    assert said == []
    following.close()


def test_tabs_that_open_at_once_do_not_hold_each_other_up(browser, network, page):
    key = adopt(page)
    tabs = [prepared(browser, network.origin, "") for _ in range(4)]
    for tab, _ in tabs:
        tab.evaluate(f"() => {{ window.done = ({TAPS})([5, 'run-1']); }}")
    for tab, said in tabs:
        assert len(tab.evaluate("() => window.done")) == 5
        assert said == []
    events = page.evaluate(ALL_OF, "run-1")
    assert len(events) == 20
    check_chain(events, key)
    until(page, NOTHING_LEFT)
    for tab, _ in tabs:
        tab.close()


def test_a_new_file_is_begun_once_in_a_page_and_again_when_the_browser_ends_the_handle(browser, network):
    page, _ = prepared(browser, network.origin, COUNTED)
    adopt(page)
    page.evaluate("() => parts.log.reopen()")
    assert page.evaluate("() => window.begun") == 1
    cdp = browser.new_cdp_session(page)
    cdp.send("Storage.clearDataForOrigin", {"origin": network.origin, "storageTypes": "indexeddb"})
    page.wait_for_function("() => parts.log.logState.value === 'closed'")
    assert page.evaluate("() => parts.log.waiting()") == 0
    assert page.evaluate("() => window.begun") == 2
    page.close()
