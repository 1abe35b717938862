"""What the phone's code never does: speak past its one door, insert raw HTML, style in place, do sums."""

import json
import re
from pathlib import Path

import pytest

from tests.architecture.files import ROOT, SRC, below, named
from tests.shapes import stubs
from vesselside.core.run import events

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


# Every way from text to a number, and back to text with decimals. TypeScript refuses arithmetic on text by itself.
TO_NUMBER = (
    r"\bNumber\b(?!\.)|\bparse(?:Int|Float)\b|\bBigInt\b"
    r"|\bvalueAsNumber\b|\.to(?:Fixed|Precision|Exponential)\(|~~|(?:[=(,?:>&|\[{]|\breturn)\s*\+\s*[\w(\[]"
)
# What is turned into a number and is no reading: which file turns how many, and what it is.
NO_READING = {
    "api/request.ts": (1, "the seconds of a Retry-After"),
    "identity/verifier.ts": (1, "the time in a logical stamp"),
    "log/clock.ts": (2, "the time and the counter in a logical stamp"),
    "sync/heads.ts": (1, "the bytes of a hash"),
    "sync/reference.ts": (1, "the parts of a version"),
    "screens/desk/brew/Recipes.tsx": (1, "how many brews a recipe has, to count them in words"),
    "screens/desk/listed.ts": (1, "days between checks, a whole number to the office"),
    "screens/desk/procedures/Edit.tsx": (1, "the place of a row in its list"),
    "screens/desk/procedures/Procedure.tsx": (1, "the version picked"),
    "screens/desk/procedures/editing.ts": (2, "the place of a row in its list"),
    "screens/desk/register/choice.ts": (1, "how many rows are shown"),
    "screens/phone/Notices.tsx": (1, "the hour at which quiet begins or ends"),
    "screens/desk/story.ts": (1, "the seconds of a hold, to tell them in words"),
}


def test_no_sum_is_done_on_a_reading():
    """A reading is text on the phone, and TypeScript does no sums on text: so nothing may turn it into a number."""
    plain = [path for path in CODE if not path.name.endswith(".d.ts")]
    turned: dict[str, int] = {}
    for path in plain:
        code = re.sub(r"/\*[\s\S]*?\*/|(?<!:)//.*", "", path.read_text())
        count = len(re.findall(TO_NUMBER, code))
        if count:
            turned[path.relative_to(SRC).as_posix()] = count
    assert turned == {file: many for file, (many, _) in NO_READING.items()}


@pytest.mark.parametrize(
    "sum_",
    ["Number(entry.value) * 2", "(+value) + 1", "parseFloat(typed)", "return +typed;", "[a, b].map(Number)"],
)
def test_a_sum_on_a_reading_would_be_found(sum_):
    assert re.search(TO_NUMBER, sum_)


def test_types_are_not_switched_off():
    assert lines(CODE, r"@ts-ignore|@ts-nocheck|@ts-expect-error|\bas any\b|: any\b|biome-ignore-all") == []


def test_colours_are_named_in_one_sheet():
    """Print, where all is black on white, gives the same names other colours."""
    sheets = [path for path in below(SRC, ".css") if path.name not in {"tokens.css", "print.css"}]
    assert lines(sheets, r"#[0-9a-fA-F]{3,8}\b(?!\s*\{)|\b(?:rgb|hsl|hwb|lab|lch|oklab|oklch)a?\(") == []


def test_no_closed_list_of_the_stubs_is_kept_by_hand_on_the_phone():
    """What is made of the stubs is imported from `shapes`; a list beside it would be true only for a while."""
    made = {frozenset(values): name for name, values in stubs.lists().items()}
    found = []
    for path in CODE:
        if SRC / "shapes" in path.parents:
            continue
        for written in re.findall(r"\[([\s\w\".,-]*)\]", path.read_text()):
            name = made.get(frozenset(re.findall(r'"([\w.-]+)"', written)))
            if name:
                found.append(f"{named(path)}: {name}")
    assert found == []


def test_every_kind_of_record_has_its_sentence_on_the_page_of_a_record():
    """`t` throws on a word that is missing, and a record's page would not open."""
    words = (SRC / "messages" / "en.desk.ftl").read_text()
    story = (SRC / "screens" / "desk" / "story.ts").read_text()
    told = [f"story-{kind.replace('.', '-')}" for kind in events.KINDS]
    assert [word for word in told if not re.search(rf"^{word}(-\w+)? =", words, re.MULTILINE)] == []
    assert "story-" in story


def test_every_kind_of_administration_has_its_sentence_at_the_desk():
    words = (SRC / "messages" / "en.desk.ftl").read_text()
    told = [f"admin-{kind.replace('.', '-')}" for kind in events.ADMINISTRATION]
    assert [word for word in told if not re.search(rf"^{word} =", words, re.MULTILINE)] == []


def test_every_finding_has_its_word_at_the_desk():
    """The register names what was found by its word; a code is for machines."""
    words = (SRC / "messages" / "en.desk.ftl").read_text()
    shapes = json.loads((ROOT / "server" / "vesselside" / "api" / "shapes.json").read_text())
    codes = shapes["$defs"]["FindingCode"]["enum"]
    assert [code for code in codes if not re.search(rf"^finding-{code} =", words, re.MULTILINE)] == []


def test_every_npm_package_that_is_shipped_is_imported():
    packages = json.loads((ROOT / "pwa" / "package.json").read_text())["dependencies"]
    text = "\n".join(path.read_text() for path in below(SRC, ".ts", ".tsx", ".css"))
    imported = set(re.findall(r"""(?:from|import\(?|url\()\s*["']((?:@[\w.-]+/)?[\w.-]+)""", text))
    assert sorted(set(packages) - imported) == []
