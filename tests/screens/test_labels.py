"""Labels: what a camera reads off the printed page opens the page of the vessel or the instrument."""

import io
import re

import pytest
import zxingcpp  # an independent reader of QR codes (ISO/IEC 18004)
from PIL import Image
from playwright.sync_api import expect

from tests.screens.screen import DESK, PHONE


@pytest.fixture
def desk(manager):
    manager.size(DESK)
    manager.go("record", "labels")
    expect(manager.page.locator(".label .qr").first).to_be_visible()
    yield manager
    manager.page.emulate_media(media="screen")
    manager.size(PHONE)


def label(desk, name):
    return desk.page.locator(".label", has=desk.page.locator("strong", has_text=re.compile(f"^{name}$")))


def read(part):
    """What a camera reads there."""
    picture = Image.open(io.BytesIO(part.screenshot()))
    return [code.text for code in zxingcpp.read_barcodes(picture)]


def test_a_camera_reads_every_label_off_the_paper_and_each_opens_its_own_page(desk):
    page = desk.page
    expect(page.get_by_role("heading", name="Instruments")).to_be_visible()
    page.emulate_media(media="print")
    parts = page.locator(".label").all()
    told = {part.locator("strong").inner_text(): read(part.locator(".qr")) for part in parts}
    assert len(told) == len(parts) > 12  # no two of one name
    assert told["FV 4"] == [f"{desk.origin}/#/vessel/fv4"]
    assert all(len(codes) == 1 and codes[0].startswith(f"{desk.origin}/#/") for codes in told.values())
    assert len({codes[0] for codes in told.values()}) == len(told)
    page.emulate_media(media="screen")
    for name, (address,) in list(told.items())[:2] + list(told.items())[-1:]:
        desk.go(*address.partition("#/")[2].split("/"))
        expect(page.get_by_role("heading", name=name, exact=True).first).to_be_visible()


def test_what_is_not_wanted_is_not_printed(desk):
    page = desk.page
    desk.page.get_by_label("Print FV 4").uncheck()
    page.emulate_media(media="print")
    expect(label(desk, "FV 4")).to_be_hidden()
    expect(label(desk, "FV 3")).to_be_visible()
    expect(page.get_by_role("button", name="Print the labels")).to_be_hidden()
    page.emulate_media(media="screen")
    page.get_by_role("button", name="Print none of these").first.click()
    page.emulate_media(media="print")
    expect(label(desk, "FV 3")).to_be_hidden()
    page.emulate_media(media="screen")
    page.get_by_role("button", name="Print all of these").click()
    page.emulate_media(media="print")
    expect(label(desk, "FV 4")).to_be_visible()
