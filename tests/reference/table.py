"""Writes `TABLE.md`, what was checked against what and how far off it was: `python -m tests.reference.table`."""

from collections.abc import Iterator
from functools import cache
from itertools import groupby
from pathlib import Path

from tests.reference import brewhouse, cellar, cleaning, liquid, packing
from tests.reference.case import Case

TABLE = Path(__file__).with_name("TABLE.md")
EXACT = 1e-9

HEAD = """# What each calculation was checked against

Written by `python -m tests.reference.table`; a test holds it to the checks. Deviations marked % are relative to the
outside value, the others in its own unit. *From memory* is a figure recalled, not read again.

| function | against | values | worst deviation | allowed |
| --- | --- | ---: | ---: | ---: |
"""


@cache
def every() -> list[Case]:
    """Every case, in the order of a brew."""
    return [case for group in (liquid, brewhouse, cellar, cleaning, packing) for case in group.cases()]


def _figure(value: float, relative: bool) -> str:
    """Two digits, and `exact` for what only the last bits of a float can say."""
    if value < EXACT:
        return "exact"
    text = f"{value * 100 if relative else value:.2g}"
    return f"{text} %" if relative else text


def _rows(cases: list[Case]) -> Iterator[str]:
    def place(case: Case) -> tuple[str, str, bool]:
        return case.function, case.source, case.relative

    for (function, source, relative), group in groupby(sorted(cases, key=place), key=place):
        held = list(group)
        worst = max(held, key=lambda case: case.deviation / case.within if case.within else case.deviation)
        yield (
            f"| `{function}` | {source} | {len(held)} | {_figure(worst.deviation, relative)} "
            f"| {_figure(worst.within, relative)} |\n"
        )


def table() -> str:
    """The whole page."""
    cases = every()
    return HEAD + "".join(_rows(cases)) + f"\n{len(cases)} values in all.\n"


if __name__ == "__main__":
    TABLE.write_text(table(), encoding="utf-8")
