"""How a run is begun on the screens: the procedure pressed, Start, and a second run begun knowingly."""

import re
import time
from contextlib import suppress

from playwright.sync_api import Page, expect
from playwright.sync_api import TimeoutError as TooLate

PATIENCE = 60


def begin(page: Page, procedure: str) -> None:
    """Press a procedure among those that can be begun here, unfolding the kinds first."""
    folded = page.locator(".kind-fold:not([open]) > summary")
    press = page.locator(".presses").get_by_role("link", name=procedure, exact=True)
    expect(press.or_(folded).first).to_be_visible(timeout=PATIENCE * 1_000)
    while folded.count():
        folded.first.click()
    press.click()


def set_going(page: Page) -> None:
    """Press Start; where one of the kind runs there already, begin a second knowingly."""
    asked = page.locator(".dock").get_by_role("button", name=re.compile("^(Start|Begin a second one)$"))
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        if "#/run/" in page.url:
            return
        if asked.count():
            with suppress(TooLate):  # the screen went on meanwhile
                asked.first.click(timeout=2_000)
        page.wait_for_timeout(100)
    raise AssertionError(f"no run was opened: {page.inner_text('body')}")
