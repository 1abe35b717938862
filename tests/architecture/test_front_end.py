"""What the phone's code never does: speak past its one door, insert raw HTML, style in place, do sums."""

import re
from pathlib import Path

from tests.architecture.files import ROOT, SRC, below, named

CODE = below(SRC, ".ts", ".tsx")
PAGES = [*CODE, ROOT / "pwa" / "index.html"]

# Who may call fetch: the API's one caller; the engine's worker, which loads its own two assets; the service worker.
FETCHERS = ("api/", "engine/worker/", "sw/")

RAW_HTML = r"dangerouslySetInnerHTML|\.innerHTML|\.outerHTML|insertAdjacentHTML|document\.write|\bDOMParser\b|\beval\("
IN_PLACE_STYLE = r"\bstyle=|\.style\.|\.cssText|<style[ >]"


def lines(paths: list[Path], pattern: str) -> list[str]:
    """The lines of files in which a pattern is found."""
    found = re.compile(pattern)
    return [
        f"{named(path)}:{number}: {line.strip()}"
        for path in paths
        for number, line in enumerate(path.read_text().splitlines(), 1)
        if found.search(line)
    ]


def test_only_the_api_calls_the_server():
    others = [path for path in CODE if not path.relative_to(SRC).as_posix().startswith(FETCHERS)]
    assert len(others) > 20
    assert lines(others, r"\bfetch\(|XMLHttpRequest|sendBeacon|\bEventSource\b|\bWebSocket\b") == []


def test_text_is_never_inserted_as_html():
    assert lines(PAGES, RAW_HTML) == []


def test_style_lives_in_the_style_sheets():
    assert lines(PAGES, IN_PLACE_STYLE) == []


def test_no_sum_is_done_on_a_reading():
    """A reading is text on the phone: to turn it into a number is the core's business."""
    assert lines(CODE, r"parseFloat|\.toFixed\(|\.toPrecision\(") == []


def test_types_are_not_switched_off():
    assert lines(CODE, r"@ts-ignore|@ts-nocheck|@ts-expect-error|\bas any\b|: any\b|biome-ignore-all") == []
