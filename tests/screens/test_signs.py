"""Pictograms of cautions, drawn with what they stand for below them, with no signal too."""

import re

import pytest
from playwright.sync_api import expect

from tests.pwa.house import ROOT
from vesselside.library import load, terms

CAUTIONS = {row["id"]: row for row in load().cautions}
WORDS = dict(
    re.findall(r"^sign-(\w+) = (.+)$", (ROOT / "pwa/src/messages/en.signs.ftl").read_text(), re.MULTILINE)
)


def test_every_pictogram_there_is_has_its_words():
    assert set(WORDS) == set(terms.PICTOGRAMS)


def test_every_caution_shows_what_it_is_about():
    assert {name for name, row in CAUTIONS.items() if not row["pictograms"]} == set()


@pytest.fixture(scope="module")
def dark(starter):
    """A starter's run of a clean, with no signal."""
    starter.context.set_offline(True)
    starter.run = starter.start("FV 3", "Fermenter caustic clean")
    yield starter
    starter.context.set_offline(False)


def test_a_caution_met_in_full_is_drawn(dark):
    page = dark.page
    (first,) = [
        row for row in CAUTIONS.values() if row["title"] == page.locator(".caution-head").inner_text()
    ]
    signs = page.locator(".caution-full .signs > li")
    assert [text.strip() for text in signs.all_inner_texts()] == [WORDS[name] for name in first["pictograms"]]


@pytest.mark.parametrize("pictogram", terms.PICTOGRAMS)
def test_each_is_drawn_within_its_frame(dark, pictogram):
    having = next(row for row in CAUTIONS.values() if pictogram in row["pictograms"])
    dark.go("run", dark.run, "caution", having["id"])
    sign = dark.page.locator(".signs > li", has_text=re.compile(f"^{WORDS[pictogram]}$"))
    expect(sign.locator("svg .sign-symbol")).to_be_visible()
    box = sign.locator("svg .sign-symbol").bounding_box()
    frame = sign.locator("svg .sign-frame").bounding_box()
    assert frame["x"] < box["x"] < box["x"] + box["width"] < frame["x"] + frame["width"]
    assert frame["y"] < box["y"] < box["y"] + box["height"] < frame["y"] + frame["height"]
