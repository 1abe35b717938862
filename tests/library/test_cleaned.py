"""Every clean that ships gives the cleaning register its figures, by what its procedure says and by no name."""

from typing import Any

import pytest

from tests.core.builder import administration
from tests.library.test_walk import LIBRARY, Hand, asked_of, readings_of
from vesselside.core.run import cleaned
from vesselside.core.run.authority import Administration
from vesselside.core.run.ledger import Run

CLEANS = {
    row["id"]: row
    for row in LIBRARY.procedures
    if row["kind"] == "cleaning" and any(step.get("proof") == "process" for step in row["steps"])
}


def walked(procedure: dict[str, Any]) -> Run:
    """A run of it, done to its end with every reading on target."""
    walker = Hand(
        procedure, LIBRARY.cautions, inputs_given=asked_of(procedure), readings=readings_of(procedure)
    )
    walker.finish()
    run = Run("walk", procedure, Administration(administration()))
    run.add(walker.events)
    return run


@pytest.mark.parametrize("name", sorted(CLEANS))
def test_a_clean_that_ships_shows_strength_at_both_ends_and_what_its_rinse_read(name: str) -> None:
    run = walked(CLEANS[name])
    figures = cleaned.figures(run)
    start, end = figures["strength_start"], figures["strength_end"]
    assert start
    assert end
    assert start["unit"] == end["unit"] == "% w/v"
    proving = [step for step in CLEANS[name]["steps"] if step.get("proof") == "process"][-1]
    assert end["value"] in [run.entry(f"{proving['id']}.{entry['id']}") for entry in proving["entries"]]
    assert {"pH", "µS/cm"} <= {row["unit"] for row in figures["rinse"]}


@pytest.mark.parametrize(
    ("name", "step"),
    [
        ("fermenter-caustic-clean", "contact"),
        ("bright-caustic-clean", "contact"),
        ("brewhouse-caustic-clean", "contact"),
        ("heat-exchanger-clean", "forward"),
    ],
)
def test_the_coldest_and_the_minutes_are_those_of_the_caustic_and_of_no_rinse(name: str, step: str) -> None:
    run = walked(CLEANS[name])
    figures = cleaned.figures(run)
    returned = run.field(f"{step}.return")
    assert returned
    assert figures["coldest"]
    assert figures["coldest"]["value"] in returned.values()
    held = run.steps[step].hold_seconds() // 60
    assert (figures["minutes"], figures["held"]) == (str(held), str(held))
