"""The browser is killed a hundred times while it records: nothing acknowledged is ever lost, nothing is doubled.

Each life of a browser taps from two tabs as fast as they go. An acknowledgement counts once it has left the browser,
so that the kill cannot take it back. The kill is SIGKILL to the browser at a random moment; the next life opens the
same profile at once, and is closed in peace after a few records. Only the life after that shows what a record that the
kill cut short has cost: it taps until it is killed. Some kills cut none by themselves, so some are given one.
Three browsers live and die side by side, each with a phone of its own.
"""

import asyncio
import os
import random
import signal
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path

from playwright.async_api import BrowserContext, Page, Playwright, async_playwright

from tests.pwa.chain import check_chain
from tests.pwa.cut import CUT_SHORT, cut_short, ends_whole, newest_log
from tests.pwa.house import CHROMIUM, CHROMIUM_ARGS, TAPS, browser_pid, build_page, scripted

PHONES = 3
KILLS = 102
LONGEST_LIFE_S = 0.6
CUTS = 0.3
TABS = ("tab-1", "tab-2")
# Given as KILLS_SEED, the moments and cuts of an earlier run come again, as far as the machine is as fast.
SEED = os.environ.get("KILLS_SEED") or str(random.randrange(10**6))

ADOPT = """async () => {
    const { sign, shown } = await parts.record.makeKey();
    const identity = { device: "phone-a", brewery: "brewery-1", name: "", offset: 0, reached: Date.now() };
    await parts.log.adopt(identity, sign);
    return shown;
}"""
TAP = """(tab) => {
    const tap = async () => {
        for (let at = 0; ; at++) {
            const event = await parts.log.append({
                type: "note.added", subject: `/runs/${tab}`, person: "ada", data: { text: `tap ${at}` },
            });
            window.acknowledge(event.id);
        }
    };
    tap().catch((error) => window.acknowledge(`failed: ${error.name} ${error.message}`));
}"""
EVENTS = """async () =>
    (await Promise.all(["tab-1", "tab-2"].map((tab) => parts.log.eventsOf(tab)))).flat()"""
# Until the journal was looked at: what the database lost of the newest records is back then.
WHOLE = "async () => { await parts.log.whole(); await parts.log.batch(1, 1); }"
HELD = f"async () => (await ({EVENTS})()).map((event) => event.id)"
QUEUED = "async () => (await parts.log.batch(1e6, 1e12)).map((row) => row.id)"


@dataclass
class Phone:
    """One profile, and what its lives have acknowledged."""

    profile: Path
    origin: str
    random: random.Random
    key: dict[str, str] = field(default_factory=dict)
    acknowledged: list[str] = field(default_factory=list)
    cut: list[str] = field(default_factory=list)

    async def wake(self, playwright: Playwright, tabs: int = 1) -> tuple[BrowserContext, list[Page]]:
        """Start Chromium on the profile; all that was acknowledged must be there, once."""
        context = await playwright.chromium.launch_persistent_context(
            str(self.profile), executable_path=CHROMIUM, args=CHROMIUM_ARGS
        )
        pages = [await self.open(context) for _ in range(tabs)]
        if not self.key:
            self.key = await pages[0].evaluate(ADOPT)
        await pages[0].evaluate(WHOLE)
        held = await pages[0].evaluate(HELD)
        once = set(held)
        lost = [at for at, told in enumerate(self.acknowledged) if told not in once]
        count = f"{self.profile.name} holds {len(held)} of {len(self.acknowledged)}, cuts {self.cut}"
        assert lost == [], f"seed {SEED}: {count}"
        assert len(held) == len(once), f"seed {SEED}: {count}"
        return context, pages

    def hear(self, told: str) -> None:
        """An acknowledgement that has left the browser."""
        self.acknowledged.append(told)

    async def open(self, context: BrowserContext) -> Page:
        """A tab that tells what was acknowledged."""
        page = await context.new_page()
        await page.expose_function("acknowledge", self.hear)
        await page.goto(f"{self.origin}/")
        await page.wait_for_function("() => window.parts !== undefined")
        return page

    async def live(self, playwright: Playwright) -> None:
        """A life that records a little and is closed."""
        context, [page] = await self.wake(playwright)
        self.acknowledged += [event["id"] for event in await page.evaluate(TAPS, [3, TABS[0]])]
        await context.close()

    async def die(self, playwright: Playwright) -> None:
        """A life that taps until it is killed; perhaps with a record cut short."""
        context, pages = await self.wake(playwright, len(TABS))
        for page, tab in zip(pages, TABS, strict=True):
            await page.evaluate(TAP, tab)
        await asyncio.sleep(self.random.uniform(0.02, LONGEST_LIFE_S))
        gone = asyncio.Event()
        context.on("close", lambda _: gone.set())
        os.kill(browser_pid(self.profile), signal.SIGKILL)
        await gone.wait()
        self.leave_cut(newest_log(self.profile))

    def leave_cut(self, log: Path) -> None:
        """See whether the kill cut a record short; else do so at times."""
        if not ends_whole(log):
            self.cut.append("by the kill")
        elif self.random.random() < CUTS:
            name = self.random.choice(list(CUT_SHORT))
            cut_short(log, CUT_SHORT[name])
            self.cut.append(name)

    async def account(self, playwright: Playwright) -> tuple[list[dict], list[str]]:
        """What is held and queued after the last life."""
        context, [page] = await self.wake(playwright)
        held, queued = await page.evaluate(EVENTS), await page.evaluate(QUEUED)
        await context.close()
        return held, queued


async def kill_in_turn(phone: Phone) -> tuple[list[dict], list[str]]:
    """All lives of one phone, and the account after them."""
    async with async_playwright() as playwright:
        for _ in range(KILLS // PHONES):
            await phone.die(playwright)
            await phone.live(playwright)
        return await phone.account(playwright)


async def kill_side_by_side(phones: list[Phone]) -> list[tuple[list[dict], list[str]]]:
    """Each phone comes to its own end: one that failed must not cut the others short: their drivers would wait."""
    accounts = await asyncio.gather(*map(kill_in_turn, phones), return_exceptions=True)
    for account in accounts:
        if isinstance(account, BaseException):
            raise account
    return accounts


def test_a_hundred_kills_lose_and_double_nothing(tmp_path):
    build_page()
    print(f"seed {SEED}")
    with scripted() as network:
        phones = [
            Phone(tmp_path / f"phone-{at}", network.origin, random.Random(f"{SEED}-{at}"))
            for at in range(PHONES)
        ]
        with ThreadPoolExecutor(1) as apart:  # this thread may be running a loop of Playwright's already
            accounts = apart.submit(lambda: asyncio.run(kill_side_by_side(phones))).result()
    for phone, (events, queued) in zip(phones, accounts, strict=True):
        print(f"{phone.profile.name} acknowledged {len(phone.acknowledged)}, cuts {phone.cut}")
        assert not [told for told in phone.acknowledged if told.startswith("failed")]
        assert len(phone.acknowledged) > 5 * KILLS // PHONES, (
            "the browsers died before they recorded anything"
        )
        held = [event["id"] for event in events]
        assert len(held) == len(set(held))
        assert set(phone.acknowledged) <= set(held)
        assert sorted(queued) == sorted(held), "every record is on its way to the server, once"
        check_chain(events, phone.key)
