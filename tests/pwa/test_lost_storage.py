"""Chromium throws the database away after a kill: the journal gives back all that was acknowledged, once.

What `log/scratch.ts` does against it is taken away here, so that the database is lost indeed: a record cut short at the
end of LevelDB's log, a life that writes on behind it, and one that finds the damage.
"""

import os
import signal
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page

from tests.pwa.chain import check_chain
from tests.pwa.cut import BLOCK, CUT_SHORT, cut_short, newest_log
from tests.pwa.exchange import WAITING
from tests.pwa.house import ALL_OF, TAPS, Reply, adopt, browser_pid, launch
from tests.pwa.journal import DEVICE, awake, elsewhere, journal_lost

NO_SCRATCH = """{
    const real = IDBFactory.prototype.open;
    IDBFactory.prototype.open = function (name, ...more) {
        if (name.startsWith("vesselside-scratch")) throw new DOMException("not in this test", "AbortError");
        return real.call(this, name, ...more);
    };
}"""
# Taps until it is killed; what was acknowledged has left the browser.
TAP_ON = """(run) => {
    const tap = async () => {
        for (let at = 0; ; at++) {
            const draft = { type: "note.added", subject: `/runs/${run}`, person: "ada", data: { text: `tap ${at}` } };
            window.acknowledge(await parts.log.append(draft));
        }
    };
    tap();
}"""

Life = Callable[..., tuple[BrowserContext, Page]]


@pytest.fixture
def life(playwright, network, tmp_path) -> Iterator[Life]:
    """Starts the browser on a profile that outlives it, with one tab that does nothing against the loss."""
    lives: list[BrowserContext] = []

    def start(before: Callable[[Page], None] | None = None) -> tuple[BrowserContext, Page]:
        context = launch(playwright, tmp_path / "profile")
        lives.append(context)
        page = context.new_page()
        page.add_init_script(NO_SCRATCH)
        if before:
            elsewhere(page, network.origin)
            before(page)
        return context, awake(page, network.origin)

    yield start
    lives[-1].close()


def once(page: Page, acknowledged: list[dict], run: str = "run-1") -> None:
    """Every acknowledged record is there, once."""
    page.evaluate("() => parts.log.batch(1, 1)")  # waits until the journal was looked at
    held = page.evaluate(ALL_OF, run)
    assert len({event["id"] for event in held}) == len(held)
    assert {event["id"] for event in acknowledged} <= {event["id"] for event in held}


@pytest.mark.parametrize("cut", CUT_SHORT.values(), ids=CUT_SHORT)
def test_what_stray_bytes_cost_the_database_comes_back_from_the_journal(built, life, tmp_path, cut):
    context, page = life()
    key = adopt(page)
    made = page.evaluate(TAPS, [5, "run-1"])
    context.close()
    cut_short(newest_log(tmp_path / "profile"), cut)
    context, page = life()  # passes over the cut, and writes on behind it
    made += page.evaluate(TAPS, [5, "run-1"])
    context.close()
    context, page = life()
    assert page.evaluate(DEVICE)["was"] == "phone-a", "the database was lost"
    assert page.evaluate("() => parts.log.recall('lost', () => true)")["loss"] == "total"
    held = page.evaluate(ALL_OF, "run-1")
    assert held == made
    check_chain(held, key)
    made += page.evaluate(TAPS, [5, "run-1"])
    context.close()
    _, page = life()
    assert page.evaluate(ALL_OF, "run-1") == made
    assert page.evaluate(WAITING) == 15


def test_what_the_browser_says_of_a_loss_is_told_to_the_office_also_by_a_phone_with_no_journal(
    built, life, network, tmp_path
):
    context, page = life()
    adopt(page)
    page.evaluate(TAPS, [5, "run-1"])
    context.close()
    cut_short(newest_log(tmp_path / "profile"), CUT_SHORT["inside the head"])
    context, page = life()
    page.evaluate(TAPS, [5, "run-1"])
    context.close()
    _, page = life(journal_lost)
    assert page.evaluate(DEVICE) is None
    told = {"device": "phone-b", "brewery": "brewery-1", "now": "2026-11-29T06:00:00.000Z"}
    network.answer = lambda _called: Reply(201, told)
    page.evaluate("() => parts.identity.enrol('code', 'Phone')")
    [call] = network.calls
    assert call.json()["lost"] == {"loss": "total", "records": 0, "torn": 0}
    assert page.evaluate("() => parts.log.recall('lost', (value) => value !== undefined)") is None


def test_stray_bytes_in_a_short_log_cost_the_newest_records_alone_and_the_chain_goes_on(
    built, life, tmp_path
):
    """LevelDB takes what lies behind the cut for the end of a life that was killed, and passes over it."""
    context, page = life()
    key = adopt(page)
    context.close()
    context, page = life()  # each life begins a log: this one holds a record alone
    made = page.evaluate(TAPS, [1, "run-1"])
    context.close()
    cut_short(newest_log(tmp_path / "profile"), CUT_SHORT["inside the head"])
    context, page = life()
    made += page.evaluate(TAPS, [1, "run-1"])
    context.close()
    assert newest_log(tmp_path / "profile").stat().st_size < BLOCK, "it is not short"
    _, page = life()
    assert page.evaluate(DEVICE)["id"] == "phone-a"
    made += page.evaluate(TAPS, [3, "run-1"])
    held = page.evaluate(ALL_OF, "run-1")
    assert held == made
    check_chain(held, key)
    assert page.evaluate(WAITING) == 5


def test_a_kill_in_a_tap_with_a_cut_behind_it_loses_nothing_however_often_the_phone_is_opened(
    built,
    life,
    tmp_path: Path,
):
    profile = tmp_path / "profile"
    acknowledged: list[dict] = []

    def heard(event: dict) -> None:
        acknowledged.append(event)

    context, page = life()
    adopt(page)
    for number, cut in enumerate(CUT_SHORT.values()):
        page.expose_function("acknowledge", heard)
        page.evaluate(TAP_ON, f"run-{number}")
        page.wait_for_timeout(300)
        with context.expect_event("close"):
            os.kill(browser_pid(profile), signal.SIGKILL)
        cut_short(newest_log(profile), cut)
        for _ in range(2):
            context, page = life()
            for at in range(number + 1):
                run = f"run-{at}"
                once(page, [event for event in acknowledged if event["subject"] == f"/runs/{run}"], run)
            acknowledged += page.evaluate(TAPS, [3, "run-0"])
            context.close()
        context, page = life()
        once(page, [event for event in acknowledged if event["subject"] == "/runs/run-0"], "run-0")
    assert len(acknowledged) > 30, "the browser died before it recorded anything"
    assert page.evaluate("() => parts.log.recall('lost', () => true)")["loss"] == "total"
