"""A sum that takes a table of several columns is fed by as many series, row by row."""

import pytest

from .builder import CAUTIONS, TABLED
from .walker import RefusedError, Walker, ask


@pytest.fixture
def walker():
    return Walker(TABLED, CAUTIONS)


def key(walker, field, *values):
    return [walker.act("enter", step="read", field=field, typed=value, how="keyed") for value in values]


def refusal(walker):
    with pytest.raises(RefusedError) as refused:
        ask("work", run=walker.run, step="read", field="mixed")
    return refused.value.problem


def proposed(walker):
    return ask("work", run=walker.run, step="read", field="mixed")["proposed"]


def test_the_nth_values_make_the_nth_row_and_the_record_keeps_the_rows(walker):
    key(walker, "litres", "1000", "500")
    key(walker, "gravity", "1.0400", "1.0460")
    # (1000 x 40 + 500 x 46) / 1500 degrees; rows stand by their first column
    made = walker.act("enter", step="read", field="mixed", typed="1.0420", how="worked")
    assert made["data"]["how"] == "worked"
    assert made["data"]["from"]["inputs"]["brews"] == "500 1.0460; 1000 1.0400"
    walker.reopen()
    assert walker.view["findings"] == []


def test_a_column_not_begun_is_asked_for(walker):
    key(walker, "litres", "1000")
    assert refusal(walker)["code"] == "limit-needs"


def test_a_row_that_is_not_whole_is_no_row(walker):
    key(walker, "litres", "1000", "500")
    key(walker, "gravity", "1.0400")
    said = refusal(walker)
    assert said["code"] == "uneven"
    assert "Litres: 2, Gravity: 1" in said["text"]


def test_a_pair_struck_and_keyed_again_finds_its_place(walker):
    litres = key(walker, "litres", "500", "1000")
    gravity = key(walker, "gravity", "1.0700", "1.0400")
    for wrong in (litres[0], gravity[0]):
        walker.act("strike", target=wrong["id"], reason="Misread")
    key(walker, "litres", "500")
    key(walker, "gravity", "1.0460")
    assert proposed(walker) == "1.0420"
