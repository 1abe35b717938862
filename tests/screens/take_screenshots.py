"""Take the pictures that an app store shows beside Vesselside, from the demo brewery.

Run it by hand after the screens have changed: `python -m tests.screens.take_screenshots`. The manifest names the files.
"""

import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

from tests.living import Living
from tests.pwa.house import ROOT
from tests.screens.screen import DESK, Screens

PICTURES = ROOT / "pwa" / "public" / "screenshots"
WIDE = {**DESK, "height": 800}


def phone_pictures(phone: Screens) -> None:
    """A caution before a step, and a reading being keyed."""
    run = phone.start("FV 3", "Fermenter caustic clean")
    phone.go("run", run, "step", "vent-open")
    phone.page.screenshot(path=PICTURES / "caution.png")
    phone.meet_cautions()
    phone.go("run", run, "enter", "vent-open", "gauge")
    phone.key("0.01")
    phone.settled()
    phone.page.evaluate("() => scrollTo(0, 0)")
    phone.page.screenshot(path=PICTURES / "reading.png")


def desk_pictures(desk: Screens) -> None:
    """The plant board, and the record of a run."""
    desk.go("plant")
    desk.page.screenshot(path=PICTURES / "plant.png")
    desk.go("record", "register", "status", "finished")
    desk.page.locator(".register a").first.click()
    desk.settled()
    desk.page.screenshot(path=PICTURES / "record.png")


def main() -> None:
    """Serve the demo brewery for as long as it takes."""
    with tempfile.TemporaryDirectory() as name, sync_playwright() as playwright:
        folder = Path(name)
        living = Living(folder, f"sqlite:///{folder / 'vesselside.sqlite3'}")
        for command in ("migrate", "demo"):
            living.command(command)
        living.start()
        origin = living.url.replace("127.0.0.1", "localhost")
        phone = Screens(playwright, folder / "phone", origin, device_scale_factor=2)
        desk = Screens(playwright, folder / "desk", origin, viewport=WIDE)
        for one, person in ((phone, "Tomasz Wren"), (desk, "Ishbel Tarrant")):
            one.open()
            one.enrol(living.code(person), person)
            one.enter_as(person)
            one.settled()
        phone_pictures(phone)
        desk_pictures(desk)
        phone.close()
        desk.close()
        living.stop()


if __name__ == "__main__":
    main()
