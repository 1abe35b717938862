"""A press kept down, without the wait: the browser is told when each of the two happened, and the app goes by that."""

import time

from playwright.sync_api import Locator
from playwright.sync_api import TimeoutError as TooLate

HELD_MS = 805  # the app counts a press from 800 ms on


def hold(press: Locator, patience: float | None = None, *, waits: bool = False) -> None:
    """Keep `press` down long enough to count; TimeoutError where it cannot be reached within `patience` (ms).

    `waits` keeps it down for as long as that takes: a page whose clock is in the test's hand times presses by that.
    """
    press.hover(timeout=patience)
    if waits:
        press.page.mouse.down()
        press.page.wait_for_timeout(HELD_MS + 145)
        press.page.mouse.up()
        return
    box = press.bounding_box(timeout=patience)
    if box is None:
        raise TooLate("the press went before it was held")
    page = press.page
    middle = {"x": box["x"] + box["width"] / 2, "y": box["y"] + box["height"] / 2}
    finger = page.context.new_cdp_session(page)
    now = time.time()
    for kind, moment in (("mousePressed", now - HELD_MS / 1_000), ("mouseReleased", now)):
        event = {"type": kind, "button": "left", "clickCount": 1, "timestamp": moment, **middle}
        finger.send("Input.dispatchMouseEvent", event)
    finger.detach()
