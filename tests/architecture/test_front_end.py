"""What the phone's code never does: speak past its one door, insert raw HTML, style in place, do sums."""

import re

import pytest

from tests.architecture.files import ROOT, SRC, below, named

CODE = below(SRC, ".ts", ".tsx")
PAGES = [*CODE, ROOT / "pwa" / "index.html"]

# Who may call fetch: the API's one caller; the engine's worker, which loads its own two assets; the service worker.
FETCHERS = ("api/", "engine/worker/", "sw/")

RAW_HTML = r"dangerouslySetInnerHTML|\.innerHTML|\.outerHTML|insertAdjacentHTML|document\.write|\bDOMParser\b|\beval\("
IN_PLACE_STYLE = r"\bstyle=|\.style\.|\.cssText|<style[ >]"


def lines(path, pattern: str) -> list[str]:
    """The lines of a file in which a pattern is found."""
    found = re.compile(pattern)
    text = path.read_text().splitlines()
    return [
        f"{named(path)}:{number}: {line.strip()}" for number, line in enumerate(text, 1) if found.search(line)
    ]


@pytest.mark.parametrize("path", CODE, ids=named)
def test_only_the_api_calls_the_server(path):
    if path.relative_to(SRC).as_posix().startswith(FETCHERS):
        return
    assert lines(path, r"\bfetch\(|XMLHttpRequest|sendBeacon|\bEventSource\b|\bWebSocket\b") == []


@pytest.mark.parametrize("path", PAGES, ids=named)
def test_text_is_never_inserted_as_html(path):
    assert lines(path, RAW_HTML) == []


@pytest.mark.parametrize("path", PAGES, ids=named)
def test_style_lives_in_the_style_sheets(path):
    assert lines(path, IN_PLACE_STYLE) == []


@pytest.mark.parametrize("path", CODE, ids=named)
def test_no_sum_is_done_on_a_reading(path):
    """A reading is text on the phone: to turn it into a number is the core's business."""
    assert lines(path, r"parseFloat|\.toFixed\(|\.toPrecision\(") == []


@pytest.mark.parametrize("path", CODE, ids=named)
def test_types_are_not_switched_off(path):
    assert lines(path, r"@ts-ignore|@ts-nocheck|@ts-expect-error|\bas any\b|: any\b|biome-ignore-all") == []
