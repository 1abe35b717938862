"""Every word of the screens is in the catalogues, and nothing in the catalogues is left over."""

import re

from tests.pwa.house import ROOT

SRC = ROOT / "pwa" / "src"
MESSAGES = SRC / "messages"
ID = re.compile(r"^([a-z][a-z0-9-]*) =", re.MULTILINE)
LITERAL = re.compile(r"""["'`]([a-z][a-z0-9-]*)["'`]""")
PATTERN = re.compile(r"`([a-z0-9-]*(?:\$\{[^}]*\}[a-z0-9-]*)+)`")
CALLED = re.compile(r"""\b(?:t|known)\(\s*["']([a-z0-9-]+)["']""")

# Words that stand as they are: a unit, a mark between two parts.
NO_WORDS = re.compile(r"^[\s·–—:,.?()0-9×□%/-]*$")


def code() -> str:
    """All the page's code, comments left out."""
    text = "\n".join(path.read_text() for path in sorted(SRC.rglob("*.ts*")))
    return re.sub(r"(?ms:^\s*/\*\*.*?\*/)|(?m:^\s*//.*$)", "", text)


def catalogue(name: str) -> set[str]:
    return set(ID.findall((MESSAGES / name).read_text()))


def english() -> set[str]:
    """The messages of every catalogue."""
    return set().union(*(catalogue(path.name) for path in MESSAGES.glob("en*.ftl")))


def test_every_message_that_is_called_by_name_exists():
    assert sorted(set(CALLED.findall(code())) - english()) == []


def test_every_message_is_used():
    text = code()
    literal = set(LITERAL.findall(text))
    patterns = [re.compile(re.sub(r"\$\{[^}]*\}", "[a-z0-9-]+", found)) for found in PATTERN.findall(text)]
    unused = [
        name
        for name in sorted(english())
        if name not in literal and not any(pattern.fullmatch(name) for pattern in patterns)
    ]
    assert unused == []


def test_the_vessel_never_needs_the_desks_words():
    vessel = "\n".join(
        path.read_text() for path in sorted(SRC.rglob("*.ts*")) if "desk" not in path.relative_to(SRC).parts
    )
    assert sorted(set(CALLED.findall(vessel)) & catalogue("en.desk.ftl")) == []


def test_no_words_stand_in_the_screens_themselves():
    found = [
        f"{path.name}: {text}"
        for path in sorted(SRC.rglob("*.tsx"))
        for text in re.findall(r">([^<>{}=;]+)</", path.read_text())
        if not NO_WORDS.match(text)
    ]
    assert found == []
