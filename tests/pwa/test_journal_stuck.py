"""A second store that hangs, fails or is not there: a tap is told as what it is, and recording goes on."""

import pytest
from playwright.sync_api import Page, Route

from tests.pwa.chain import check_chain
from tests.pwa.exchange import WAITING
from tests.pwa.house import ALL_OF, DRAFT, TAPS, adopt, error_of, opened, until
from tests.pwa.journal import DELETED, DEVICE, awake, elsewhere, lines

STATE = "() => parts.log.journalState.value"

# Messages to the journal that ask it to write are lost on the way, as if its worker had stopped for good.
HANGS = """{
    const real = Worker.prototype.postMessage;
    Worker.prototype.postMessage = function (message, ...more) {
        if (!(window.hang && message.do === "write")) real.call(this, message, ...more);
    };
}"""
NO_LOCKS = "async () => (await navigator.locks.query()).held.length === 0"


@pytest.fixture
def hanging(browser, network) -> Page:
    """A tab whose journal hangs when `window.hang` is set."""
    tab = browser.new_page()
    tab.add_init_script(HANGS)
    tab.goto(f"{network.origin}/")
    tab.wait_for_function("() => window.parts !== undefined")
    yield tab
    tab.close()


def test_a_journal_that_hangs_is_not_saved_frees_the_lock_and_the_next_try_is_the_same_record(
    browser, network, hanging
):
    key = adopt(hanging)
    hanging.evaluate(TAPS, [1, "run-1"])
    hanging.evaluate("(draft) => { window.hang = true; window.draft = draft; }", DRAFT)
    assert error_of(hanging, "() => parts.log.append(window.draft)")["name"] == "NotSaved"
    until(hanging, NO_LOCKS)
    assert hanging.evaluate(STATE) == "failed"
    other = opened(browser, network.origin)
    other.evaluate(TAPS, [1, "run-1"])
    event = hanging.evaluate("() => parts.log.append(window.draft)")
    held = other.evaluate(ALL_OF, "run-1")
    assert [row["id"] for row in held].count(event["id"]) == 1
    assert len(held) == 3
    check_chain(held, key)
    assert other.evaluate(WAITING) == 3
    other.close()


DATABASE_HANGS = """() => {
    const real = IDBObjectStore.prototype.add;
    IDBObjectStore.prototype.add = function (...given) {
        const asked = real.apply(this, given);
        const again = (store) => { if (window.hang) store.count().onsuccess = () => again(store); };
        if (window.hang) again(this);
        return asked;
    };
    window.hang = true;
}"""


def test_a_database_that_hangs_is_not_saved_frees_the_lock_and_the_next_try_is_the_same_record(page):
    """Its transaction goes on behind the error and is committed in the end: that is the record, once."""
    key = adopt(page)
    page.evaluate(TAPS, [1, "run-1"])
    page.evaluate(DATABASE_HANGS)
    page.evaluate("(draft) => { window.draft = draft; }", DRAFT)
    assert error_of(page, "() => parts.log.append(window.draft)")["name"] == "NotSaved"
    until(page, NO_LOCKS)
    assert error_of(page, "(draft) => parts.log.append(draft)", DRAFT)["name"] == "NotSaved", (
        "nor does another"
    )
    until(page, NO_LOCKS)
    assert len(lines(page)) == 1
    page.evaluate("() => { window.hang = false; }")
    event = page.evaluate("() => parts.log.append(window.draft)")
    held = page.evaluate(ALL_OF, "run-1")
    assert [row["id"] for row in held][1:] == [event["id"]]
    check_chain(held, key)
    assert len(lines(page)) == 2
    page.evaluate(TAPS, [2, "run-1"])
    check_chain(page.evaluate(ALL_OF, "run-1"), key)


def without(page: Page, script: str) -> None:
    """Have the workers of a page begin with `script`."""

    def serve(route: Route) -> None:
        answer = route.fetch()
        route.fulfill(response=answer, body=f"{script};{answer.text()}")

    page.route("**/worker*.js", serve)


@pytest.mark.parametrize(
    "script",
    [
        "delete FileSystemFileHandle.prototype.createSyncAccessHandle",
        "StorageManager.prototype.getDirectory = () => Promise.reject(new DOMException('no', 'SecurityError'))",
    ],
    ids=["an engine that lacks it", "a private window"],
)
def test_where_there_are_no_private_files_the_database_keeps_the_records_and_it_is_known(
    browser, network, script
):
    tab = browser.new_page()
    without(tab, script)
    awake(tab, network.origin)
    key = adopt(tab)
    tab.evaluate(TAPS, [2, "run-1"])
    assert tab.evaluate(STATE) == "none"
    check_chain(tab.evaluate(ALL_OF, "run-1"), key)
    tab.close()


def test_a_journal_that_cannot_be_read_once_gives_nothing_up_and_is_read_the_next_time(
    browser, network, page
):
    adopt(page)
    made = page.evaluate(TAPS, [2, "run-1"])
    page.close()
    tab = browser.new_page()
    without(
        tab,
        "FileSystemFileHandle.prototype.getFile = () => Promise.reject(new DOMException('', 'NotReadableError'))",
    )
    elsewhere(tab, network.origin)
    tab.evaluate(DELETED)
    awake(tab, network.origin)
    assert tab.evaluate(DEVICE) is None
    assert error_of(tab, "(draft) => parts.log.append(draft)", DRAFT)["name"] == "NotEnrolled"
    tab.unroute_all()
    awake(tab, network.origin)
    assert tab.evaluate(DEVICE)["was"] == "phone-a"
    assert tab.evaluate(ALL_OF, "run-1") == made
    tab.close()


def test_a_journal_that_fails_keeps_no_record_from_being_made_and_it_is_known(browser, network):
    tab = browser.new_page()
    without(
        tab,
        "FileSystemSyncAccessHandle.prototype.flush = () => { throw new DOMException('full', 'QuotaExceededError'); }",
    )
    awake(tab, network.origin)
    key = adopt(tab)
    tab.evaluate(TAPS, [2, "run-1"])
    assert tab.evaluate(STATE) == "failed"
    check_chain(tab.evaluate(ALL_OF, "run-1"), key)
    tab.close()
