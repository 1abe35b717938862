"""What one press costs on a phone: a clean of the demo brewery, walked through in Chromium four times slowed.

    python -m tests.bench.tap [--taps 60] [--offline]

Every press that records something is watched from outside the app (`watch.js`): calls of the core, reads and writes of
IndexedDB, and the milliseconds from the press to the words that answer it, painted, first and as they stay. Both the
page and the core's worker are slowed. Then the run is opened again, each time in a page newly loaded. It asks nothing
of the code but the app's own screens, so it can be laid beside an older revision as it is.
"""

import argparse
import re
import tempfile
from collections import Counter
from pathlib import Path
from statistics import mean, median, quantiles
from typing import Any

from playwright.sync_api import Page, sync_playwright

from tests.e2e.conftest import PEOPLE, SHORT
from tests.e2e.hand import Hand, Phone
from tests.living import Living
from tests.parity.runtimes import ROOT
from vesselside import store
from vesselside.store.site import founding

SLOWED = 4
OPENED, OPENINGS = 115, 7
CLEAN = "Fermenter caustic clean"
WHO, SECOND = "Dele Marchbank", "Owen Calloway"
READINGS = {
    "Room CO2 on your monitor": "620",
    "First end point": "5.2",
    "Second end point": "5.4",
    "Lowest return reading": "55",
    "Highest return reading": "58",
    "Minutes held on the clock": "32",
}
HELD = """async (run) => {
    const db = await new Promise((done, failed) => {
        const asked = indexedDB.open("vesselside");
        asked.onsuccess = () => done(asked.result);
        asked.onerror = () => failed(asked.error);
    });
    const range = IDBKeyRange.bound([`/runs/${run}`], [`/runs/${run}`, []]);
    const asked = db.transaction("events").objectStore("events").index("run").count(range);
    const count = await new Promise((done) => { asked.onsuccess = () => done(asked.result); });
    db.close();
    return count;
}"""

Taken = dict[str, Any]


class Brewer(Hand):
    """A hand that lets the screen come to rest before the press that records."""

    def _key(self, value: str) -> None:
        keys = self.page.get_by_label("Number keys")
        whole = keys.get_by_role("button", name="Decimal point").count() == 0
        self.phone.key(f"{float(value):.0f}" if whole else value)
        rest(self.page)
        self.page.get_by_role("button", name=re.compile("^Record ")).click()

    def ended(self) -> bool:
        """Whether the run is over, or all that is left to do is to end it."""
        page = self.page
        over = page.get_by_role("heading", name="Finished").count()
        return bool(over) or "Finish the run" in page.locator(".dock").inner_text()


def rest(page: Page) -> None:
    """Wait until nothing goes on any more."""
    for _ in range(600):
        if page.evaluate("() => window.watched.rests()"):
            return
        page.wait_for_timeout(50)
    raise SystemExit(f"never came to rest: {page.inner_text('body')[-300:]}")


def slow(page: Page, rate: int) -> None:
    """Slow the page from here on."""
    page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": rate})


def ready(page: Page) -> None:
    """Wait until a page newly loaded has done what it does at first, and slow its worker."""
    page.wait_for_timeout(1000)
    rest(page)
    page.evaluate("(rate) => window.watched.slow(rate)", SLOWED)


def served(folder: Path) -> Living:
    """The demo brewery, served; its holds are short."""
    living = Living(folder, f"sqlite:///{folder / 'vesselside.sqlite3'}")
    for command in ("migrate", "demo"):
        done = living.command(command)
        if done.returncode:
            raise SystemExit(done.stderr)
    with living.inside():
        for name, value in SHORT.items():
            store.set_setting(founding.breweries()[0][0], name, value)
    living.start()
    return living


def enrolled(phone: Phone, brewery: Living) -> None:
    """Put the phone to use: watched, enrolled, signed in and slowed."""
    page = phone.open()
    assert phone.context
    found = re.search(r"HELD_MS = (\d+);", (ROOT / "pwa/src/ui/HoldButton.tsx").read_text(encoding="utf-8"))
    if found is None:
        raise SystemExit("HoldButton.tsx no longer says how long a press is held")
    watch = (Path(__file__).resolve().parent / "watch.js").read_text(encoding="utf-8").strip()
    phone.context.add_init_script(f"({watch})({{ held: {found[1]} }});")
    page.reload()
    phone.enrol(brewery.code("phone"), "phone")
    phone.sign_in(WHO, PEOPLE[WHO])
    slow(page, SLOWED)
    ready(page)


def presses(phone: Phone, taps: int) -> tuple[list[Taken], str]:
    """What each recording press cost, over as many cleans as it takes; and the last run, driven on to some length."""
    taken: list[Taken] = []
    while True:
        page = phone.page
        assert page
        hand = Brewer(phone, dict(READINGS), second=(SECOND, PEOPLE[SECOND]))
        run = hand.start("FV 4", CLEAN, {})
        rest(page)
        while not hand.ended():
            if len(taken) >= taps and page.evaluate(HELD, run) >= OPENED:
                return taken, run
            hand.next()
            rest(page)
            cost = page.evaluate("() => window.watched.taken()")
            if cost["events"] and len(taken) < taps:
                taken.append(cost)
                if len(taken) == taps:
                    slow(page, 1)  # the rest of the way is only gone
        if len(taken) >= taps:
            return taken, run
        hand.finish()


def openings(phone: Phone, run: str) -> list[Taken]:
    """What it costs to open the run, in a page newly loaded each time."""
    found = []
    assert phone.page
    slow(phone.page, SLOWED)
    for _ in range(OPENINGS):
        page = phone.page
        assert page
        phone.go("")
        page.reload()
        phone.unlock(WHO, PEOPLE[WHO])
        ready(page)
        page.evaluate("(run) => { window.watched.begin(); location.hash = `/run/${run}`; }", run)
        page.locator(".dock .press").first.wait_for()
        rest(page)
        found.append(page.evaluate("() => window.watched.taken()"))
    return found


def told(rows: list[Taken], name: str) -> list[float]:
    """The values of one measure; a press that changed no word has no time."""
    return [row[name] for row in rows if row[name] is not None]


def line(label: str, values: list[float]) -> str:
    """Middle, 95 of 100, mean and most."""
    far = quantiles(values, n=20, method="inclusive")[-1] if len(values) > 1 else values[0]
    return f"{label:42}{median(values):10.0f}{far:10.0f}{mean(values):10.1f}{max(values):10.0f}"


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.tap")
    parser.add_argument("--taps", type=int, default=60)
    parser.add_argument("--offline", action="store_true", help="no signal while the clean is done")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        (Path(folder) / "server").mkdir()
        brewery = served(Path(folder) / "server")
        phone = Phone(playwright, Path(folder) / "phone", brewery.url.replace("127.0.0.1", "localhost"))
        try:
            enrolled(phone, brewery)
            assert phone.context
            assert phone.page
            phone.context.set_offline(asked.offline)
            rows, run = presses(phone, asked.taps)
            held = phone.page.evaluate(HELD, run)
            phone.context.set_offline(False)
            opened = openings(phone, run)
        finally:
            phone.close()
            brewery.stop()
    print(
        f"{len(rows)} presses that record, {'no' if asked.offline else 'with'} signal; Chromium, {SLOWED}x slower"
    )
    print(f"{'':42}{'p50':>10}{'p95':>10}{'mean':>10}{'most':>10}")
    print(line("calls of the core", told(rows, "calls")))
    print(line("reads of IndexedDB", told(rows, "reads")))
    print(line("writes of IndexedDB", told(rows, "writes")))
    print(line("written [characters of JSON]", told(rows, "bytes")))
    print(line("press to the first words painted [ms]", told(rows, "first")))
    print(line("press to the words as they stay [ms]", told(rows, "last")))
    print(f"opening a run of {held} events, {len(opened)} times")
    print(line("calls of the core", told(opened, "calls")))
    print(line("reads of IndexedDB", told(opened, "reads")))
    print(line("to its step readable [ms]", told(opened, "readable")))
    print(line("to its step as it stays [ms]", told(opened, "last")))
    named = Counter(name for row in rows for name in row["names"])
    print(
        "calls by name: "
        + ", ".join(f"{name} {count / len(rows):.1f}" for name, count in named.most_common())
    )


if __name__ == "__main__":
    main()
