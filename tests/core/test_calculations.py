"""Every row of the registry of calculations: what it refuses, what it says, and that its working is whole."""

import pytest

from tests.parity.sessions import past, swept
from vesselside.core.ground.errors import CoreError
from vesselside.core.sums import calculations
from vesselside.core.sums.sources import SOURCES

ROWS = [pytest.param(row, id=row["name"]) for row in calculations.listing()]
KINDS = {"published", "standard", "law", "maker", "common-practice", "from-memory"}


@pytest.mark.parametrize("row", ROWS)
def test_an_input_outside_its_range_is_refused_and_says_what_holds(row):
    for inputs in past(row):
        with pytest.raises(CoreError, match="This sum holds from") as refused:
            calculations.work(row["name"], inputs)
        assert refused.value.field in inputs


@pytest.mark.parametrize("row", ROWS)
def test_an_input_that_is_needed_is_asked_for(row):
    needed = [field["id"] for field in row["inputs"] if "default" not in field and not field.get("optional")]
    if needed:
        with pytest.raises(CoreError) as refused:
            calculations.work(row["name"], {})
        assert (refused.value.code, refused.value.field) == ("needed", needed[0])


@pytest.mark.parametrize("row", ROWS)
def test_the_working_shows_each_input_step_and_result_and_where_it_is_from(row):
    workings = []
    for call in swept(row).calls[len(past(row)) :]:
        try:
            workings.append(calculations.work(row["name"], call.args["inputs"]))
        except CoreError as refused:
            assert refused.text.endswith((".", "?")) or refused.code in {"needed", "not-a-number"}  # noqa: PT017
    assert workings
    for working in workings:
        assert [line["id"] for line in working["inputs"]] == [field["id"] for field in row["inputs"]]
        assert [line["id"] for line in working["steps"]] == [line[0] for line in row["steps"]]
        assert [line["id"] for line in working["results"]] == [line[0] for line in row["results"]]
        assert working["formula"]
        assert working["sources"]
        assert working["assumptions"]
        assert all(line["value"] for line in working["steps"] + working["results"])


def test_every_source_has_a_title_and_says_what_kind_it_is():
    for key, source in SOURCES.items():
        assert source["title"], key
        assert source["kind"] in KINDS, key


def test_every_citation_is_known():
    cited = {key for row in calculations.listing() for key in row["sources"]}
    assert sorted(cited - SOURCES.keys()) == []
