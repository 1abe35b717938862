"""Figures that are a site's, a maker's or a recipe's: no procedure holds one that nobody can change."""

import re
from typing import Any

import pytest

from .test_dangerous import PROCEDURES

FILLED_IN = re.compile(r"to be filled in|site's own|label|maker|plate and relief|consent")
NOUGHT = {
    ("blend-and-rework", "share", "share"),
    ("blend-and-rework", "share", "abv"),
    ("label-date-and-lot", "release", "abv"),
}
"""Where an end is nought, which is no site's to choose: a share or a strength is never below it."""
ENTRIES = [
    pytest.param((name, row["id"], made["id"]), made, id=f"{name}-{row['id']}-{made['id']}")
    for name, procedure in PROCEDURES.items()
    for row in procedure["steps"]
    for made in row.get("entries", [])
    if FILLED_IN.search(made.get("limits", {}).get("source", ""))
]


@pytest.mark.parametrize(("place", "made"), ENTRIES)
def test_a_limit_that_is_the_sites_or_the_recipes_is_no_figure_nobody_can_change(
    place: tuple[str, str, str], made: dict[str, Any]
) -> None:
    ends = [end for band in ("target", "stop") for end in made["limits"].get(band, [])]
    assert {end for end in ends if isinstance(end, str)} <= ({"0"} if place in NOUGHT else set())


@pytest.mark.parametrize("name", PROCEDURES)
def test_every_site_figure_says_where_it_is_from(name: str) -> None:
    assert [row["id"] for row in PROCEDURES[name].get("settings", []) if not row["source"].strip()] == []


def test_a_figure_of_the_site_is_the_same_wherever_it_is_used() -> None:
    told: dict[str, set[tuple[str, str, str]]] = {}
    for procedure in PROCEDURES.values():
        for row in procedure.get("settings", []):
            told.setdefault(row["id"], set()).add((row["label"], row.get("unit", ""), row["default"]))
    assert {key: rows for key, rows in told.items() if len(rows) > 1} == {}
