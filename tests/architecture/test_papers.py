"""What the papers say of the code is so: the core's calls, the paths they name, the links between them."""

import re

from tests.architecture.files import ROOT, named, tracked
from vesselside.core import bridge

PAPERS = [path for path in tracked() if path.suffix == ".md"]
CORE = ROOT / "server/vesselside/core/README.md"
HOMES = {
    "core": "server/vesselside",
    "store": "server/vesselside",
    "library": "server/vesselside",
    "api": "server/vesselside",
}


def test_the_calls_of_the_core_are_as_written():
    """Every call has its row, which names what the call cannot do without, and nothing else without its `?`."""
    text = CORE.read_text(encoding="utf-8")
    rows = re.findall(r"^\| `([a-z-]+)` \| `\{(.*?)\}`(?:, or| →)", text, re.MULTILINE)
    written = {name: sorted(outer(inside)) for name, inside in rows}
    assert written == {name: sorted(needed) for name, (_, needed) in bridge._DOORS.items()}


def outer(inside: str) -> list[str]:
    """The names of an object as a table writes it that carry no `?`, those of objects within it left out."""
    flat = inside
    while flat != (flat := re.sub(r"\{[^{}]*\}|\[[^\[\]]*\]", "", flat)):
        pass
    names = [part.split(":")[0].strip() for part in flat.split(",")]
    return [name for name in names if name and name != "…" and not name.endswith("?")]


def test_paths_in_the_papers_exist():
    """Every path in backquotes in any paper, its `<…>` and `*` taken as any name, is there."""
    missing = {}
    for paper in PAPERS:
        found = re.findall(
            r"`((?:server|pwa|tests|deploy|core|store|library|api)/[\w./<>*-]+)`", paper.read_text()
        )
        for path in found:
            home = HOMES.get(path.split("/")[0], "")
            pattern = re.sub(r"<[^>]*>", "*", f"{home}/{path}" if home else path).rstrip("/")
            if not list(ROOT.glob(pattern)):
                missing.setdefault(named(paper), []).append(path)
    assert missing == {}


def test_links_between_the_papers_lead_somewhere():
    broken = {}
    for paper in PAPERS:
        for link in re.findall(r"\]\(([^)#:]+)\)", paper.read_text()):
            if not (paper.parent / link).exists():
                broken.setdefault(named(paper), []).append(link)
    assert broken == {}


def test_every_decision_is_dated_and_found_from_the_first_page():
    first = (ROOT / "DEVELOPERS.md").read_text()
    pages = [paper for paper in PAPERS if paper.name == "DECISIONS.md"]
    assert pages
    for page in pages:
        assert f"({named(page)})" in first, named(page)
        rows = [line for line in page.read_text().splitlines() if line.startswith("- ")]
        assert rows
        assert [row for row in rows if not re.match(r"- \d{4}-\d\d-\d\d \*\*.+", row)] == []
