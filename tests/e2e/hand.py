"""A hand at a phone: a Chromium on a profile that outlives it, and the presses a person makes on the app's screens."""

import os
import re
import signal
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import BrowserContext, Locator, Page, Playwright, expect
from playwright.sync_api import Error as PlaywrightError

from tests import pressing
from tests.pwa.house import CHROMIUM, CHROMIUM_ARGS
from tests.starting import begin, set_going

PHONE = {"width": 360, "height": 740}
DESK = {"width": 1280, "height": 860}


class Phone:
    """One phone (or desk browser): it can be put away, killed and opened again on what it kept."""

    def __init__(self, playwright: Playwright, folder: Path, origin: str, size: dict = PHONE) -> None:
        self._playwright, self._folder, self.origin, self._size = playwright, folder, origin, size
        self.context: BrowserContext | None = None
        self.page: Page | None = None
        self.trouble: list[str] = []
        self.said: list[str] = []

    def open(self) -> Page:
        """Take the phone out: the app starts from whatever it kept."""
        self.context = self._playwright.chromium.launch_persistent_context(
            str(self._folder),
            executable_path=CHROMIUM,
            args=CHROMIUM_ARGS,
            viewport=self._size,
            locale="en-GB",
            reduced_motion="reduce",
        )
        self.page = self.context.pages[0]
        self.page.on("console", lambda line: self.said.append(f"{line.type}: {line.text}"))
        self.page.on("pageerror", lambda error: self.trouble.append(str(error)))
        self.page.goto(self.origin)
        return self.page

    def kill(self) -> None:
        """SIGKILL to the browser, as a flat battery would."""
        pid = int(str((self._folder / "SingletonLock").readlink()).rsplit("-", 1)[1])
        assert self.context
        with self.context.expect_event("close"):
            os.kill(pid, signal.SIGKILL)
        self.context = self.page = None

    def close(self) -> None:
        """Put the phone away."""
        if self.context:
            self.context.close()
            self.context = self.page = None

    def enrol(self, code: str, name: str) -> None:
        """Enter the one-time code."""
        page = self.page
        page.get_by_label("Code").fill(code.lower())
        page.get_by_label("Name of this phone").fill(name)
        page.get_by_role("button", name="Enrol", exact=True).click()
        expect(page.get_by_role("heading", name="Who are you?")).to_be_visible(timeout=15_000)

    def sign_in(self, name: str, secret: str) -> None:
        """Pick the name and give the PIN on the keys, or a manager's password in words."""
        page = self.page
        page.get_by_role("button", name=re.compile(f"^{re.escape(name)}")).click()
        self.give(secret)
        page.get_by_role("button", name="Sign in", exact=True).click()
        expect(page.get_by_role("heading", name=name)).to_have_count(0, timeout=60_000)

    def unlock(self, name: str, secret: str) -> None:
        """Sign in again where the app, freshly started, asks for it."""
        start = self.page.locator("h1").first
        expect(start).to_be_visible(timeout=60_000)
        if start.inner_text() == "Who are you?":
            self.sign_in(name, secret)
        elif start.inner_text() == "Locked":
            self.give(secret)
            self.page.get_by_role("button", name="Sign in", exact=True).click()
            expect(start).not_to_have_text("Locked", timeout=60_000)

    def hand_over(self, name: str, secret: str) -> None:
        """Sign out, and let the next person sign in."""
        self.go("")
        self.page.get_by_role("button", name="Sign out", exact=True).click()
        expect(self.page.get_by_role("heading", name="Who are you?")).to_be_visible()
        self.sign_in(name, secret)

    def give(self, secret: str) -> None:
        """Key a PIN, or type a password where one is asked for."""
        page = self.page
        word = page.get_by_label("Password")
        expect(word.or_(page.get_by_label("Number keys"))).to_be_visible()
        if word.is_visible():
            word.fill(secret)
        else:
            self.key(secret)

    def key(self, text: str) -> None:
        """Press the app's own keys for a number."""
        keys = self.page.get_by_label("Number keys")
        for letter in text:
            name = {".": "Decimal point", "-": "Plus or minus"}.get(letter, letter)
            keys.get_by_role("button", name=name, exact=True).click()

    def hold(self, press: Locator) -> None:
        """Keep a press down long enough to count."""
        pressing.hold(press)

    def go(self, *parts: str) -> None:
        """Open one of the app's addresses without leaving the page."""
        self.page.evaluate("hash => { location.hash = hash }", "/" + "/".join(parts))

    def walk(self) -> None:
        """From the start to the plant board, one step a screen from here on."""
        self.go("")
        self.page.get_by_role("button", name=re.compile("^Walk me through")).click()
        expect(self.page.get_by_role("heading", name="Plant board")).to_be_visible()

    def waiting(self) -> int:
        """How many records the bar says wait on this phone."""
        found = re.search(r"(\d+) records? waits? here", self.page.inner_text("body"))
        return int(found[1]) if found else 0


class Hand:
    """Works through a run on the *Walk me through* screens, with `answers` by the label of an entry.

    `also` names the optional sums it takes: the dock does not ask for them.
    """

    def __init__(
        self,
        phone: Phone,
        answers: dict[str, str],
        second: tuple[str, str] | None = None,
        also: tuple[str, ...] = (),
    ) -> None:
        self.phone, self.answers, self.second, self.also = phone, answers, second, list(also)
        self.presses = 0
        self.titles: list[str] = []

    @property
    def page(self) -> Page:
        return self.phone.page

    def run_id(self) -> str:
        """The run on the screen."""
        return re.search(r"#/run/([0-9a-f-]+)", self._address())[1]

    def title(self) -> str:
        """The heading of the screen."""
        return self.page.locator("h1").first.inner_text()

    def start(self, vessel: str, procedure: str, inputs: dict[str, str]) -> str:
        """From the plant board to a run of `procedure` on `vessel`."""
        self.phone.walk()
        self.page.get_by_role("link", name=re.compile(f"^{re.escape(vessel)}")).first.click()
        self.begin(procedure)
        for label, value in inputs.items():
            field = self.page.get_by_label(label, exact=True)
            if field.evaluate("field => field.tagName") == "SELECT":
                field.select_option(label=value)
            else:
                field.fill(value)
            self._settled()
        self.set_going()
        self._at(lambda address: address.startswith("#/run/"))
        return self.run_id()

    def set_going(self) -> None:
        set_going(self.page)

    def begin(self, procedure: str) -> None:
        begin(self.page, procedure)

    def until(self, reached: Callable[["Hand"], bool], most: int = 400) -> None:
        """Do the next thing, again and again, until `reached`."""
        for _ in range(most):
            stood = self._settled()
            try:
                if reached(self):
                    return
                self.next(stood)
            except (PlaywrightError, AssertionError) as stuck:
                where = f"stuck after {self.titles[-5:]} on {self._address()}"
                said = "\n".join(self.phone.said[-5:])
                raise AssertionError(f"{where}: {self.page.inner_text('body')}\n{said}") from stuck
        raise AssertionError(f"never got there; last screens: {self.titles[-5:]}")

    def finish(self) -> None:
        """To the end of the run."""
        self.until(lambda hand: hand.page.get_by_role("heading", name="Finished").count() > 0)

    def next(self, stood: str | None = None) -> None:
        """The one thing the screen offers next; nothing, if it is no longer the screen that `stood`."""
        page = self.page
        dock = page.locator(".dock")
        main = dock.locator(".press.main, .press.hold").first
        expect(main.or_(page.get_by_role("heading", name="Finished")).first).to_be_visible(timeout=60_000)
        if not main.is_visible() or (stood is not None and self._look() != stood):
            return
        self.titles.append(self.title())
        if not self._left():
            self._enter()  # from one entry straight to the next
            return
        # A press that is still being recorded takes no other.
        expect(main).not_to_have_attribute("aria-disabled", "true", timeout=60_000)
        words = main.inner_text().split("\n")[0]
        before = self._look()
        self.presses += 1
        if words == "Done" and self._take_a_sum():
            return
        if "hold" in (main.get_attribute("class") or "").split():
            if words == "Finish the run" or not words.startswith("Start the hold"):
                self.phone.hold(main)
            else:
                self.phone.hold(main)
                self._wait_out_the_hold()
                return
        elif words.startswith("Choose: "):
            self._choose(words.removeprefix("Choose: "))
        elif words.startswith(("Enter: ", "Enter again: ")):
            main.click()
            self._enter()
        elif words == "A second person signs":
            main.click()
            self._sign()
        else:
            main.click()
        self._changed(before)

    def _take_a_sum(self) -> bool:
        """Work out one of the optional sums of this step that are wanted."""
        folded = self.page.locator("details.besides:not([open]) > summary")
        if self.also and folded.count():
            folded.click()
        for label in self.also:
            heading = self.page.get_by_role("heading", name=re.compile(f"^{re.escape(label)}"))
            field = self.page.locator(".field", has=heading)
            if field.count():
                self.also.remove(label)
                field.get_by_role("link", name="Work it out").click()
                self._enter()
                return True
        return False

    def _look(self) -> str:
        return self._address() + self.page.inner_text("body")

    def _at(self, reached: Callable[[str], bool]) -> None:
        # Asked of the page itself: the driver hears of a change of address later than the page makes it.
        for _ in range(600):
            if reached(self._address()):
                return
            self.page.wait_for_timeout(50)
        raise AssertionError(f"still at {self._address()}: {self.page.inner_text('body')[-600:]}")

    def _address(self) -> str:
        return self.page.evaluate("location.hash")

    def _settled(self) -> str:
        """The screen once it stands still, as an eye sees it, with no press still being recorded."""
        before = ""
        busy = self.page.locator(".dock .hold[aria-disabled=true]")
        while (now := self._look()) != before or busy.count():
            before = now
            self.page.wait_for_timeout(80)
        return now

    def _changed(self, before: str) -> None:
        for _ in range(200):
            if self._look() != before:
                return
            self.page.wait_for_timeout(50)
        raise AssertionError(f"nothing happened on {self.title()}: {self.page.inner_text('body')[-600:]}")

    def _wait_out_the_hold(self) -> None:
        next_thing = self.page.locator(".dock").locator(".press.main, .press.hold")
        expect(next_thing.first).to_be_visible(timeout=90_000)

    def _answer(self, label: str) -> str | None:
        step = self.page.locator(".over").first.inner_text() if self.page.locator(".over").count() else ""
        return self.answers.get(f"{step} / {label}", self.answers.get(label))

    def _choose(self, label: str) -> None:
        field = self.page.locator(".field", has=self.page.get_by_role("heading", name=label)).first
        wanted = self.answers.get(f"{self.title()} / {label}", self.answers.get(label))
        options = field.get_by_role("button")
        named = options.filter(has_text=wanted) if wanted else options
        (named if named.count() else options).first.click()

    def _enter(self) -> None:
        page = self.page
        use = page.get_by_role("button", name=re.compile("^Use "))
        keys = page.get_by_label("Number keys")
        box = page.get_by_role("textbox")
        expect(use.or_(keys).or_(box).first).to_be_visible()
        label = self.title()
        value = self._answer(label)
        self.presses += 1
        if use.is_visible() and value is None:
            use.click()
        elif use.is_visible():
            page.get_by_role("link", name="Key it instead").click()
            self._key(value)
        elif keys.is_visible():
            self._key(value or self._middle())
        else:
            box.fill(value or "LOT 26-311")
            expect(box).to_have_value(value or "LOT 26-311")
            page.get_by_role("button", name="Record", exact=True).click()
        self._at(lambda _: self._left() or self.title() != label)

    def _left(self) -> bool:
        return re.match(r"#/run/[^/]+/(enter|work)/", self._address()) is None

    def _key(self, value: str) -> None:
        keys = self.page.get_by_label("Number keys")
        expect(keys).to_be_visible()
        whole = keys.get_by_role("button", name="Decimal point").count() == 0
        self.phone.key(f"{float(value):.0f}" if whole else value)
        self.page.get_by_role("button", name=re.compile("^Record ")).click()

    def _middle(self) -> str:
        """A reading in the middle of the band the screen shows, or a plain one where it shows none."""
        shown = self.page.locator(".limit")
        band = shown.first.inner_text() if shown.count() else ""
        both = re.search(r"([-\d.]+) to ([-\d.]+)", band)
        if both:
            places = max(len(part.partition(".")[2]) for part in both.groups())
            return f"{(float(both[1]) + float(both[2])) / 2:.{places + 1}f}".rstrip("0").rstrip(".")
        one = re.search(r"at (?:least|most) ([-\d.]+)", band)
        return one[1] if one else "20"

    def _sign(self) -> None:
        assert self.second, f"{self.title()} wants a second person"
        name, secret = self.second
        self.page.get_by_role("button", name=re.compile(f"^{re.escape(name)}")).click()
        self.phone.give(secret)
        self.page.get_by_role("button", name=re.compile(r"signs$|^Sign")).last.click()
