"""The table of the library is made from it and kept current."""

from pathlib import Path

from vesselside.library import load
from vesselside.library.table import table


def test_the_table_is_current() -> None:
    written = (Path(__file__).parent / "TABLE.md").read_text(encoding="utf-8")
    assert written == table(load()), (
        "make it again: python -m vesselside.library.table > tests/library/TABLE.md"
    )
