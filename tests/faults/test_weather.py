"""Three phones record in foul weather: when it clears, all that was acknowledged is there once, and all agree.

tests/run tests/faults/test_weather.py                            some hundreds of faults on each database
FAULTS=10000 tests/run tests/faults/test_weather.py               ten thousand on each
FAULTS=10000 FAULTS_SEED=1234 tests/run tests/faults/test_weather.py     with the draws of an earlier run
"""

import os
import random
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, sync_playwright

from tests.faults.weather import WAYS, Weather
from tests.living import Living
from tests.pwa.chain import check_chain, digest_of
from tests.pwa.exchange import WAITING, on_server, start
from tests.pwa.house import Scripted, build_page, enrol, launch, opened, scripted

FAULTS = int(os.environ.get("FAULTS", "240"))
SEED = os.environ.get("FAULTS_SEED") or str(random.randrange(10**6))
HOSTS = ("one.localhost", "two.localhost", "three.localhost")
RUNS = ("run-a", "run-b", "run-c")
BETWEEN_CHECKS = 120
RELOADS, PHOTOS = 0.03, 0.08
TAP = """([run, count, said]) => parts.log.appendAll([...Array(count).keys()].map((at) => ({
    type: "note.added", subject: `/runs/${run}`, person: "bern", data: { text: `${said}.${at}` },
}))).then((events) => events.map((event) => event.id))"""
PHOTO = """async ([run, width]) => {
    const canvas = new OffscreenCanvas(width, 20);
    canvas.getContext("2d").fillRect(0, 0, 5, 5);
    const kept = await parts.log.keepPhoto(await canvas.convertToBlob());
    const photo = { type: "photo.added", subject: `/runs/${run}`, person: "bern", data: kept };
    return [(await parts.log.append(photo)).id, kept.sha256];
}"""
UNSENT = "() => parts.log.unsentPhotos()"
BEGIN = "() => { window.going = parts.sync.syncNow(); }"
# An exchange that a fault makes wait goes on behind the next taps.
END = "() => Promise.race([window.going, new Promise((done) => setTimeout(done, 1000))])"
TROUBLE = """async () => ({
    doubt: parts.sync.syncState.value.doubt,
    undigested: parts.sync.syncState.value.undigested.length,
    refused: (await parts.sync.refused()).length,
    enrolled: Boolean(parts.identity.device.value),
})"""
FETCHED = "(sha256) => fetch(`/api/photos/${sha256}`).then(({ status }) => status)"
NONE = {"doubt": None, "undigested": 0, "refused": 0, "enrolled": True}
KEY = """async (device) => (await parts.log.admin())
    .find((event) => event.type === "device.enrolled" && event.data.device === device).data.key"""


@dataclass
class Phone:
    """A tab with a storage of its own, and the photos it has taken since all was well."""

    page: Page
    device: str
    photos: list[str] = field(default_factory=list)


class Phones:
    """Three phones, and the weather between them and their server."""

    def __init__(self, browser: BrowserContext, network: Scripted, living: Living) -> None:
        self.weather = network.answer = Weather(living, SEED)
        self._draw = random.Random(f"{SEED} phones")
        self._saved: dict[str, list[str]] = {run: [] for run in RUNS}
        self._all = []
        for host in HOSTS:
            page = opened(browser, network.origin.replace("localhost", host))
            device = enrol(page, living, host)
            start(page)
            self._all.append(Phone(page, device))

    def go_through(self, faults: int) -> None:
        """Record until so many calls were spoilt; now and then the weather clears, and all must be well."""
        while self.weather.spoilt.total() < faults:
            enough = min(self.weather.spoilt.total() + BETWEEN_CHECKS, faults)
            self.weather.foul = True
            while self.weather.spoilt.total() < enough:
                self._moment()
            self.weather.clear()
            self._all_is_well()

    def _moment(self) -> None:
        """Each phone taps, and asks for an exchange; some are reloaded in the middle of it."""
        for phone in self._all:
            self._tap(phone)
            phone.page.evaluate(BEGIN)
        for phone in self._all:
            if self._draw.random() < RELOADS:
                again(phone.page)
            else:
                phone.page.evaluate(END)

    def _tap(self, phone: Phone) -> None:
        run = self._draw.choice(RUNS)
        if self._draw.random() < PHOTOS:
            made, sha256 = phone.page.evaluate(PHOTO, [run, self._draw.randrange(20, 2_000)])
            self._saved[run].append(made)
            phone.photos.append(sha256)
        else:
            count = self._draw.randrange(1, 5)
            self._saved[run] += phone.page.evaluate(TAP, [run, count, str(self._draw.random())])

    def _all_is_well(self) -> None:
        """Nothing waits; what was acknowledged is on the server once, as it was signed, and on every phone."""
        for phone in self._all:
            until(phone.page, lambda page: page.evaluate(WAITING) == 0 and page.evaluate(UNSENT) == [])
        events: list[dict[str, Any]] = []
        for run, ids in self._saved.items():
            kept = on_server(self._all[0].page, run)
            assert sorted(event["id"] for event in kept) == sorted(ids)
            events += kept
            for phone in self._all:
                digest = digest_of(kept)
                until(
                    phone.page,
                    lambda page, run=run, digest=digest: (
                        page.evaluate("(run) => parts.log.digest(run)", run) == digest
                    ),
                )
        for phone in self._all:
            assert phone.page.evaluate(TROUBLE) == NONE
            key = phone.page.evaluate(KEY, phone.device)
            check_chain([event for event in events if event["source"] == f"/devices/{phone.device}"], key)
            for sha256 in phone.photos:
                assert phone.page.evaluate(FETCHED, sha256) == 200, sha256
            phone.photos.clear()


def again(page: Page) -> None:
    """The page is loaded anew, and goes on."""
    page.reload()
    page.wait_for_function("() => window.parts !== undefined")
    page.evaluate("() => { window.stop = parts.sync.startSync(); }")
    page.wait_for_function("() => Boolean(parts.identity.device.value)")


def until(page: Page, well: Any) -> None:
    """Exchange until all is well with this phone."""
    end = time.monotonic() + 120
    while time.monotonic() < end:
        page.evaluate(BEGIN)
        page.evaluate(END)
        if well(page):
            return
    raise AssertionError(page.evaluate("() => parts.sync.syncState.value"))


@pytest.fixture
def phones(fresh: Living, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Phones]:
    build_page()
    fresh.start()
    with sync_playwright() as playwright, scripted() as network:
        browser = launch(playwright, tmp_path_factory.mktemp("profile"))
        made = Phones(browser, network, fresh)
        yield made
        made.weather.clear()
        browser.close()


def test_whatever_the_weather_nothing_is_lost_and_nothing_doubled(phones, fresh):
    print("FAULTS_SEED", SEED)
    phones.go_through(FAULTS)
    print(dict(phones.weather.spoilt))
    assert phones.weather.spoilt.total() >= FAULTS
    assert len(phones.weather.spoilt) >= len(WAYS) - 2, "the weather has not shown all it can do"
    fresh.stop()
    checked = fresh.command("check")
    assert checked.returncode == 0, checked.stdout + checked.stderr
