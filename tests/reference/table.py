"""Writes `TABLE.md`, what was checked against what and how far off it was: `python -m tests.reference.table`."""

from collections.abc import Iterator
from functools import cache
from itertools import groupby
from pathlib import Path

from tests.reference import brewhouse, cellar, charges, cleaning, grist, hopping, liquid, packing, tanks
from tests.reference.case import Case
from vesselside.core.sums import calculations

TABLE = Path(__file__).with_name("TABLE.md")
EXACT = 1e-9

HEAD = """# What each calculation was checked against

Written by `python -m tests.reference.table`; a test holds it to the checks. Deviations marked % are relative to the
outside value, the others in its own unit. *From memory* is a figure recalled, not read again.

| function | calculation | against | values | worst deviation | allowed |
| --- | --- | --- | ---: | ---: | ---: |
"""


SUBJECTS = (liquid, grist, brewhouse, hopping, cellar, tanks, charges, cleaning, packing)


@cache
def registered() -> dict[str, str]:
    """The function of each calculation, as cases name it, by the calculation's name in the registry."""
    found = {}
    for row in calculations.listing():
        function = calculations.find(row["name"])["function"]
        found[row["name"]] = f"{function.__module__.rpartition('.')[2]}.{function.__name__}"
    return found


@cache
def every() -> list[Case]:
    """Every case, in the order of a brew."""
    return [case for subject in SUBJECTS for case in subject.cases()]


def _figure(value: float, relative: bool) -> str:
    """Two digits, and `exact` for what only the last bits of a float can say."""
    if value < EXACT:
        return "exact"
    text = f"{value * 100 if relative else value:.2g}"
    return f"{text} %" if relative else text


def _rows(cases: list[Case]) -> Iterator[str]:
    names = {function: name for name, function in registered().items()}

    def place(case: Case) -> tuple[str, str, bool]:
        return case.function, case.source, case.relative

    for (function, source, relative), group in groupby(sorted(cases, key=place), key=place):
        held = list(group)
        worst = max(held, key=lambda case: case.deviation / case.within if case.within else case.deviation)
        yield (
            f"| `{function}` | {names.get(function, '')} | {source} | {len(held)} "
            f"| {_figure(worst.deviation, relative)} | {_figure(worst.within, relative)} |\n"
        )


def table() -> str:
    """The whole page."""
    cases = every()
    return HEAD + "".join(_rows(cases)) + f"\n{len(cases)} values in all.\n"


if __name__ == "__main__":
    TABLE.write_text(table(), encoding="utf-8")
