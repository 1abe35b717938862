"""What a procedure may say, field by field, in the form's own words, for those who write one as a file.

`python -m vesselside.library.words` puts it into README.md of this folder, below its mark; a test holds it current.
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from .form import described

PAGE = Path(__file__).parent / "README.md"
MARK = "<!-- Below this line: made by `python -m vesselside.library.words`; a test holds it current. -->\n"
MOST = 24
"""So many answers of a choice are listed; a longer list is the library's own and is not repeated here."""


def reference() -> str:
    """The fields of every level of a procedure as Markdown tables."""
    return "\n".join(_level("A procedure", described()))


def _level(title: str, rows: list[dict[str, Any]]) -> Iterator[str]:
    yield f"\n### {title}\n"
    yield "| field | what it is called on the form | what it holds |"
    yield "| --- | --- | --- |"
    for row in rows:
        mark = "" if row["required"] else "?"
        label = " — ".join(part for part in (row["label"], row["help"]) if part)
        yield f"| `{row['id']}`{mark} | {label} | {_holds(row)} |"
    for row in rows:
        if "fields" in row:
            yield from _level(f"{title} › {row['label']}", row["fields"])


def _holds(row: dict[str, Any]) -> str:
    options = row.get("options")
    if not options:
        return str(row["kind"])
    if len(options) > MOST:
        return f"{row['kind']} of {len(options)}, as the form lists them"
    return f"{row['kind']}: " + ", ".join(f"`{name}` {text}" for name, text in options)


def page(text: str) -> str:
    """The page with what is below its mark made again."""
    return text[: text.index(MARK) + len(MARK)] + reference() + "\n"


if __name__ == "__main__":
    PAGE.write_text(page(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
