"""A clean and a canning pre-start ask once that a manager has signed the figures that are the site's own."""

import pytest

from vesselside.core.run.procedure import Plan
from vesselside.library import load

from .filling import VESSELS
from .walker import RefusedError, Walker, ask, signed


class TestFigures:
    CLEAN = next(row for row in load().procedures if row["id"] == "fermenter-caustic-clean")

    def _walk(self, settings, person=("bay", "brewer")):
        walker = Walker(self.CLEAN, load().cautions, person=person)
        ask("load", vessels=VESSELS, runs=[], settings=settings, now=walker.now)
        return walker

    def _look(self, walker):
        look = ask("look", run=walker.run, step="vessel-label", person=walker.person, now=walker.now)
        return [row for row in look["interlocks"] if row["interlock"] == "figures"]

    def test_none_signed_stops_it_and_says_which_and_whom_to_ask(self):
        (row,) = self._look(self._walk({}))
        assert row["stops"]
        assert "Nobody has signed for this site: " in row["reasons"][0]
        assert row["reasons"][0].endswith(" more.")
        assert "manager" in row["do"][0]
        assert row["by"] == ["duty", "manager"]

    def test_one_left_is_named(self):
        own = {
            row["id"]: row["default"] for row in self.CLEAN["settings"] if "to be filled in" in row["source"]
        }
        left = own.popitem()[0]
        (row,) = self._look(self._walk(own))
        label = next(row["label"] for row in self.CLEAN["settings"] if row["id"] == left)
        assert row["reasons"] == [f"Nobody has signed for this site: {label}."]

    def test_signed_as_they_stand_stops_nothing(self):
        assert self._look(self._walk(signed(self.CLEAN))) == []

    def test_a_duty_brewer_goes_on_by_name_and_a_brewer_cannot(self):
        walker = self._walk({}, person=("col", "duty"))
        walker.act(
            "override", step="vessel-label", interlock="figures", reason="New hose", check="Read its label"
        )
        (row,) = self._look(walker)
        assert not row["stops"]
        brewer = self._walk({})
        with pytest.raises(RefusedError):
            brewer.act(
                "override", step="vessel-label", interlock="figures", reason="New hose", check="Read it"
            )


@pytest.mark.parametrize(
    "procedure",
    [
        pytest.param(row, id=row["id"])
        for row in load().procedures
        if (row["kind"] == "cleaning" or row["id"] == "canning-line-pre-start")
        and any("to be filled in" in setting["source"] for setting in row.get("settings", []))
    ],
)
def test_no_chemical_and_no_release_of_a_line_before_its_figures_are_asked_for(procedure):
    plan = Plan(procedure)
    asking = next(key for key in plan.order if {"interlock": "figures"} in plan.asks(key))
    behind = [
        step["id"] for step in procedure["steps"] if step.get("chemical") == "in" or step.get("readies")
    ] or [plan.order[-1]]
    assert set(behind) <= {asking, *plan.after(asking)}
