"""The browser is killed a hundred times while it records: nothing acknowledged is ever lost, nothing is doubled.

Each life of a browser taps from two tabs as fast as they go. An acknowledgement counts once it has left the browser,
so that the kill cannot take it back. The kill is SIGKILL to the whole browser at a random moment; the next life opens
the same profile. Three browsers live and die side by side, each with a phone of its own.
"""

import asyncio
import os
import random
import signal
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

from playwright.async_api import BrowserContext, Page, Playwright, async_playwright

from tests.pwa.chain import check_chain
from tests.pwa.house import CHROMIUM, CHROMIUM_ARGS, browser_pid, build_page, scripted

PHONES = 3
KILLS = 102
LONGEST_LIFE_S = 0.6
TABS = ("tab-1", "tab-2")

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
HELD = """async () => ({
    events: (await Promise.all(["tab-1", "tab-2"].map((tab) => parts.log.eventsOf(tab)))).flat(),
    queued: (await parts.log.batch(1e6, 1e12)).map((row) => row.id),
})"""


@dataclass
class Phone:
    """One profile, and what its lives have acknowledged."""

    profile: Path
    origin: str
    random: random.Random
    key: dict[str, str] = field(default_factory=dict)
    acknowledged: list[str] = field(default_factory=list)

    async def wake(self, playwright: Playwright) -> BrowserContext:
        """Start Chromium on the profile."""
        return await playwright.chromium.launch_persistent_context(
            str(self.profile), executable_path=CHROMIUM, args=CHROMIUM_ARGS
        )

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

    async def live_and_die(self, playwright: Playwright) -> None:
        """One life: the last acknowledged record must still be there; then tap until killed."""
        context = await self.wake(playwright)
        pages = [await self.open(context) for _ in TABS]
        if not self.key:
            self.key = await pages[0].evaluate(ADOPT)
        for event in self.acknowledged[-3:]:
            held = await pages[0].evaluate("(id) => parts.log.eventOf(id)", event)
            assert held, await self.missing(pages[0], event)
        for page, tab in zip(pages, TABS, strict=True):
            await page.evaluate(TAP, tab)
        await asyncio.sleep(self.random.uniform(0.02, LONGEST_LIFE_S))
        gone = asyncio.Event()
        context.on("close", lambda _: gone.set())
        await end(browser_pid(self.profile))
        await gone.wait()

    async def missing(self, page: Page, event: str) -> str:
        """What is there instead of an acknowledged record."""
        held = {row["id"] for row in (await page.evaluate(HELD))["events"]}
        lost = [at for at, told in enumerate(self.acknowledged) if told not in held]
        return f"{event} is gone: of {len(self.acknowledged)} told {len(held)} are held, lost {lost[:9]}"

    async def account(self, playwright: Playwright) -> dict[str, list]:
        """What is held and queued after the last life."""
        context = await self.wake(playwright)
        page = await self.open(context)
        held: dict[str, list] = await page.evaluate(HELD)
        await context.close()
        return held


def family(process: int) -> list[int]:
    """A process and all it has begun, directly or through others."""
    found = [process]
    for one in found:
        for children in Path(f"/proc/{one}/task").glob("*/children"):
            with suppress(FileNotFoundError, ProcessLookupError):  # it ended while it was looked at
                found += map(int, children.read_text().split())
    return found


def lives(process: int) -> bool:
    """Whether a process still runs; one that has ended and is not yet buried does not."""
    try:
        return Path(f"/proc/{process}/stat").read_text().rsplit(")", 1)[1].split()[0] != "Z"
    except (FileNotFoundError, ProcessLookupError):
        return False


async def end(browser: int) -> None:
    """SIGKILL to the browser; over when every process it had begun has ended too, a few hundredths of a second later.

    A life opened sooner has been seen to find the database empty, by Chromium 156 on a quiet machine. Why is not known:
    the browser process alone holds those files, and it is gone.
    """
    ending = family(browser)
    os.kill(browser, signal.SIGKILL)
    while any(lives(process) for process in ending):
        await asyncio.sleep(0.01)


async def kill_in_turn(phone: Phone, lives: int) -> dict[str, list]:
    """All lives of one phone, and the account after them."""
    async with async_playwright() as playwright:
        for _ in range(lives):
            await phone.live_and_die(playwright)
        return await phone.account(playwright)


async def kill_side_by_side(phones: list[Phone]) -> list[dict[str, list]]:
    """Each phone comes to its own end: one that failed must not cut the others short: their drivers would wait."""
    turns = (kill_in_turn(phone, KILLS // PHONES) for phone in phones)
    accounts = await asyncio.gather(*turns, return_exceptions=True)
    for account in accounts:
        if isinstance(account, BaseException):
            raise account
    return accounts


def test_a_hundred_kills_lose_and_double_nothing(tmp_path):
    build_page()
    with scripted() as network:
        phones = [Phone(tmp_path / f"phone-{at}", network.origin, random.Random(at)) for at in range(PHONES)]
        with ThreadPoolExecutor(1) as apart:  # this thread may be running a loop of Playwright's already
            accounts = apart.submit(lambda: asyncio.run(kill_side_by_side(phones))).result()
    for phone, account in zip(phones, accounts, strict=True):
        events, queued = account["events"], account["queued"]
        assert not [told for told in phone.acknowledged if told.startswith("failed")]
        assert len(phone.acknowledged) > KILLS // PHONES, "the browsers died before they recorded anything"
        held = [event["id"] for event in events]
        assert len(held) == len(set(held))
        assert set(phone.acknowledged) <= set(held)
        assert sorted(queued) == sorted(held), "every record is on its way to the server, once"
        check_chain(events, phone.key)
