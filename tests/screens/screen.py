"""A phone whose screens are looked at: what is shown where, how large, and whether axe finds fault with it."""

import re
from pathlib import Path

from playwright.sync_api import BrowserContext, Locator, Page, Playwright, expect
from playwright.sync_api import TimeoutError as TooLate

from tests import pressing
from tests.pwa.house import CHROMIUM, CHROMIUM_ARGS, ROOT
from tests.starting import begin, set_going

PHONE = {"width": 360, "height": 740}
SMALL = {"width": 320, "height": 568}
DESK = {"width": 1280, "height": 860}
PATIENCE = 60_000
SECRETS = {
    "Ishbel Tarrant": "copper-lapwing-seven",
    "Owen Calloway": "583920",
    "Dele Marchbank": "141421",
    "Tomasz Wren": "173205",
    "Nina Fairweather": "161803",
}
AXE = ROOT / "pwa" / "node_modules" / "axe-core" / "axe.min.js"

# WCAG 2.2 AA everywhere; AAA contrast and target size (axe's own limit for it is AA's 24 px) at the vessel.
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
ENHANCED = ["color-contrast-enhanced"]

_AXE_RUN = """async ([only, more]) => {
    const rules = Object.fromEntries(more.map((rule) => [rule, { enabled: true }]));
    const { violations } = await axe.run(document, { ...only, rules, resultTypes: ["violations"] });
    const told = (node) => `${node.html} ${node.failureSummary}`;
    return violations.map(({ id, nodes }) => `${id}: ${nodes.map(told).join(" | ")}`);
}"""

# Everything that can be pressed or filled and is not a link inside a sentence.
_SMALL_TARGETS = """(least) => [...document.querySelectorAll("a, button, input, select, textarea, summary")]
    .filter((part) => part.checkVisibility() && !part.closest(".unseen") && !part.classList.contains("unseen"))
    .filter((part) => getComputedStyle(part).display !== "inline")
    .map((part) => [part.outerHTML.slice(0, 90), part.getBoundingClientRect()])
    .filter(([, box]) => box.height < least - 0.5 || box.width < least - 0.5)
    .map(([html, box]) => `${Math.round(box.width)}×${Math.round(box.height)} ${html}`)"""

_SMALL_TEXT = """(least) => {
    const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    const found = [];
    while (texts.nextNode()) {
        const text = texts.currentNode.textContent.trim();
        const part = texts.currentNode.parentElement;
        if (!text || !part.checkVisibility() || part.closest(".unseen, noscript, script, style")) continue;
        const size = Number.parseFloat(getComputedStyle(part).fontSize);
        if (size < least - 0.1) found.push(`${size} px: ${text.slice(0, 60)}`);
    }
    return found;
}"""

# What stands on the screen; nothing while the log is being written, or waits to be.
_LOOK = """async () => {
    const { held, pending } = await navigator.locks.query();
    if ([...held, ...pending].some(({ name }) => name === "vesselside-log")) return null;
    if (document.querySelector(".dock .hold[aria-disabled=true]")) return null;
    return location.href + document.body.innerText;
}"""


class Screens:
    """One phone: opened on its own profile, enrolled, signed in and led to its screens."""

    def __init__(self, playwright: Playwright, folder: Path, origin: str, **settings: object) -> None:
        self._playwright, self._folder, self.origin = playwright, folder, origin
        self._settings = {"viewport": PHONE, "locale": "en-GB", "reduced_motion": "reduce", **settings}
        self.context: BrowserContext | None = None
        self.waits = False  # whether a press is held by waiting, as where a test has the page's clock in hand

    @property
    def page(self) -> Page:
        assert self.context
        return self.context.pages[0]

    def open(self, room: int | None = None) -> None:
        """Take the phone out: the app starts from whatever it kept, with `room` bytes of storage if given."""
        self.context = self._playwright.chromium.launch_persistent_context(
            str(self._folder), executable_path=CHROMIUM, args=CHROMIUM_ARGS, **self._settings
        )
        self.context.set_default_timeout(PATIENCE)
        self.devtools = self.context.new_cdp_session(self.page)
        if room is not None:
            self.devtools.send("Storage.overrideQuotaForOrigin", {"origin": self.origin, "quotaSize": room})
        self.page.goto(self.origin)

    def close(self) -> None:
        """Put the phone away."""
        if self.context:
            self.context.close()
        self.context = None

    def reload(self) -> None:
        """Load the page anew; the session stays."""
        self.page.reload()
        expect(self.page.locator("h1")).to_be_visible(timeout=PATIENCE)

    def enrol(self, code: str, name: str) -> None:
        """Enter the one-time code."""
        self.page.get_by_label("Code").fill(code)
        self.page.get_by_label("Name of this phone").fill(name)
        self.press("Enrol")
        expect(self.page.get_by_role("button", name="Tomasz Wren")).to_be_visible(timeout=PATIENCE)

    def enter_as(self, person: str) -> None:
        """Sign in, and wait until the core is up."""
        self.press(person)
        self.give(SECRETS[person])
        self.press("Sign in")
        expect(self.page.get_by_role("button", name="Walk me through")).to_be_visible(timeout=PATIENCE)

    def give(self, secret: str) -> None:
        """Key a PIN, or type a manager's password."""
        expect(self.page.get_by_label("Password").or_(self.keys())).to_be_visible()
        if secret.isdigit():
            self.key(secret)
        else:
            self.page.get_by_label("Password").fill(secret)

    def keys(self) -> Locator:
        """The app's own number keys."""
        return self.page.get_by_role("group", name="Number keys")

    def key(self, text: str) -> None:
        """Press the number keys one by one."""
        for letter in text:
            name = "Decimal point" if letter in ".," else letter
            self.keys().get_by_role("button", name=name, exact=True).click()

    def press(self, name: str) -> None:
        """Press a button whose words begin so."""
        self.page.get_by_role("button", name=re.compile(f"^{re.escape(name)}")).first.click()

    def follow(self, name: str) -> None:
        """Follow a link whose words begin so."""
        self.page.get_by_role("link", name=re.compile(f"^{re.escape(name)}")).first.click()

    def hold(self, press: Locator | None = None) -> None:
        """Keep a press down long enough to count; the dock's own unless another is given."""
        held = (press or self.page.locator(".dock .hold:not([aria-disabled=true])")).first
        pressing.hold(held, waits=self.waits)

    def go(self, *parts: str) -> None:
        """Open one of the app's addresses without leaving the page."""
        self.page.evaluate("hash => { location.hash = hash }", "/" + "/".join(parts))
        self.settled()

    def settled(self) -> None:
        """Wait until the screen stands still, as an eye does, and nothing is being written down."""
        before = None
        while (now := self.page.evaluate(_LOOK)) is None or now != before:
            before = now
            self.page.wait_for_timeout(120)

    def title(self) -> str:
        """The heading of the screen."""
        return self.page.locator("h1").inner_text()

    def size(self, size: dict) -> None:
        """Give the screen another size."""
        self.page.set_viewport_size(size)

    def turn(self, scheme: str) -> None:
        """Turn the screen light or dark, and wait until it is painted so."""
        self.page.emulate_media(color_scheme=scheme)
        self.page.evaluate(
            "() => new Promise((go) => requestAnimationFrame(() => requestAnimationFrame(go)))"
        )

    def touch(self) -> None:
        """Show that somebody has the phone in hand, and press nothing."""
        if self.context:
            self.page.keyboard.press("Shift")

    # -- what is looked at -------------------------------------------------

    def faults(self, *, enhanced: bool, colours: bool = False) -> list[str]:
        """What axe finds on the screen as it stands; `colours` asks after nothing else."""
        if not self.page.evaluate("() => 'axe' in window"):
            self.page.evaluate(AXE.read_text())
        more = ENHANCED if enhanced else []
        only = (
            {"type": "rule", "values": ["color-contrast", *more]}
            if colours
            else {"type": "tag", "values": TAGS}
        )
        return self.page.evaluate(_AXE_RUN, [{"runOnly": only}, [] if colours else more])

    def small_targets(self, least: int) -> list[str]:
        """Presses that are lower or narrower than `least` px."""
        return self.page.evaluate(_SMALL_TARGETS, least)

    def small_text(self, least: int) -> list[str]:
        """Texts smaller than `least` px."""
        return self.page.evaluate(_SMALL_TEXT, least)

    def overflow(self) -> int:
        """How many px the page is wider than the screen."""
        return self.page.evaluate("() => document.documentElement.scrollWidth - innerWidth")

    # -- a run ------------------------------------------------------------

    def start(self, vessel: str, procedure: str) -> str:
        """Open a run from the plant board, to be walked through; its id."""
        self.go()
        self.press("Walk me through")
        self.follow(vessel)
        self.begin(procedure)
        self.set_going()
        self.settled()
        found = re.search(r"#/run/([0-9a-f-]+)", self.page.url)
        assert found
        return found[1]

    def set_going(self) -> None:
        set_going(self.page)

    def begin(self, procedure: str) -> None:
        begin(self.page, procedure)

    def meet_cautions(self) -> None:
        """Meet whatever cautions stand before the step."""
        page = self.page
        caution, body = page.locator(".dock .hold.caution"), page.locator(".step-body, .typed, .working")
        expect(caution.or_(body).first).to_be_visible(timeout=PATIENCE)
        while caution.count():
            read = page.locator(".caution-head").first.inner_text()
            self.hold(caution)
            expect(page.locator(".caution-head", has_text=read)).to_have_count(0, timeout=PATIENCE)
            expect(caution.or_(body).first).to_be_visible(timeout=PATIENCE)
        self.settled()

    def onward(self, words: str) -> None:
        """Do what the dock offers next, the plainest way, until it says `words`."""
        dock = self.page.locator(".dock")
        for _ in range(80):
            self.settled()
            if words in dock.inner_text():
                return
            self._next(dock)
        raise AssertionError(f"the dock never said {words!r}: {dock.inner_text()}")

    def _next(self, dock: Locator) -> None:
        offer = dock.inner_text()
        if dock.locator(".hold").count():
            try:
                pressing.hold(
                    dock.locator(".hold:not([aria-disabled=true])").first, patience=2_000, waits=self.waits
                )
            except TooLate:
                return  # what was held last is written down only now, and the dock moves on
        elif found := re.search(r"Choose: (.+)", offer):
            self.field(found[1]).get_by_role("button").first.click()
        elif self.page.locator(".typed").count():
            try:
                self.key(self._middle())
            except TooLate:
                return  # what was recorded last is written down only now, and its screen goes
            self.press("Record")
        elif self.page.get_by_role("textbox").count():
            self.page.get_by_role("textbox").fill("26-311")
            self.press("Record")
        else:
            try:
                dock.locator(".main").first.click(timeout=5_000)
            except TooLate:
                return  # what was recorded last is written down only now, and the dock holds another press

    def _middle(self) -> str:
        """A reading within the band the screen shows."""
        band = self.page.locator(".page .limit").all_inner_texts()
        ends = [float(end) for end in re.findall(r"\d+(?:\.\d+)?", " ".join(band[:1]).partition("(")[0])]
        return f"{sum(ends) / len(ends):.4g}" if ends else "20"

    def record(self, number: str) -> None:
        """Key a number on the entry's screen and record it; over when it is written down."""
        self.key(number)
        self.press("Record")
        written = self.page.get_by_role("button", name=re.compile(rf"^Record {re.escape(number)}"))
        expect(written).to_have_count(0, timeout=PATIENCE)
        self.settled()

    def choose(self, label: str, option: str) -> None:
        """Pick an answer."""
        self.field(label).get_by_role("button", name=option).click()
        self.settled()

    def field(self, label: str) -> Locator:
        """The part of the step that holds an entry."""
        return self.page.locator(".field", has=self.page.get_by_role("heading", name=label))
