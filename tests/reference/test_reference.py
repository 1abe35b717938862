"""Every calculation is held to a reference library, a published table or a law; see `TABLE.md`."""

import pytest

from tests.reference import table
from tests.reference.cellar import heat_bounds
from vesselside.core.sums import calculations
from vesselside.core.sums.cellar import carbonation, fermentation

CASES = table.every()


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.function} {case.label}")
def test_value_agrees_with_the_outside(case):
    assert case.deviation <= case.within, f"{case.got} against {case.wanted} by {case.source}; {case.why}"


def test_the_table_is_current():
    assert table.TABLE.read_text(encoding="utf-8") == table.table(), "run python -m tests.reference.table"


def test_heat_of_fermentation_lies_above_the_bare_reaction():
    # Heats of formation (library chemicals; glucose from memory) give what fermenting 1 kg of glucose must give off at
    # least; growth of yeast and solution of the gas add to it, and practice (from memory) is below 1.6 times it.
    least, most = heat_bounds()
    assert least < fermentation.HEAT_KJ_KG < most


@pytest.mark.parametrize("temp_c", [1, 4, 8, 12, 16, 20, 25, 30])
@pytest.mark.parametrize("absolute_bar", [1.0, 1.5, 2.0, 3.0, 4.0])
def test_beer_never_holds_more_gas_than_pure_water(temp_c, absolute_bar):
    # IAPWS G7-04, itself held to library iapws: pure water bounds the chart's equation from above.
    bound = carbonation.in_water(temp_c=temp_c, absolute_bar=absolute_bar)
    assert 0.93 * bound < carbonation.equilibrium(temp_c=temp_c, absolute_bar=absolute_bar) <= bound


@pytest.mark.parametrize("name", [row["name"] for row in calculations.listing()])
def test_every_calculation_is_held_to_something_outside(name):
    function = table.registered()[name]
    assert any(case.function == function for case in CASES), f"no case of {function} in tests/reference"
