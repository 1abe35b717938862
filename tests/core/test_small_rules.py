"""Numbers, times, and the cautions shown."""

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vesselside.core.door import hazards
from vesselside.core.ground import clock, numbers
from vesselside.core.ground.errors import CoreError

DAY = 86_400_000
NOW = 1_790_000_000_000


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("4,70", "4.70"),
        (" .5 ", "0.5"),
        ("-0", "0"),
        ("-0.0", "0.0"),
        ("007", "7"),
        ("+3", "3"),
        ("\u22125", "-5"),
    ],
)
def test_a_reading_keeps_how_finely_it_was_read(typed, value):
    assert numbers.parse(typed) == value


@pytest.mark.parametrize(
    "typed", ["", " ", "-", ".", "5.", "1e3", "1 000", "1,000.5", "0x1", "½", "9" * 25, None, 5, "٣"]
)
def test_what_is_not_a_number_is_refused(typed):
    with pytest.raises(CoreError) as refused:
        numbers.parse(typed)
    assert refused.value.code == "not-a-number"


@given(st.decimals(-(10**9), 10**9, places=4), st.decimals(-(10**9), 10**9, places=2))
def test_comparing_and_adding_are_exact(first, second):
    # Against Python's decimal module, an implementation of the General Decimal Arithmetic Specification.
    left, right = f"{first:f}", f"{second:f}"
    assert numbers.compare(left, right) == (first > second) - (first < second)
    assert numbers.plus(left, right) == (numbers.parse(f"{first + second:f}"))


@pytest.mark.parametrize(
    ("x", "places", "shown"),
    [
        (2.345, 2, "2.35"),
        (-2.345, 2, "-2.35"),
        (0.5, 0, "1"),
        (-0.4, 0, "0"),
        (1.0405, 3, "1.041"),
        (1e-9, 2, "0.00"),
        (12, 0, "12"),
    ],
)
def test_halves_go_away_from_zero(x, places, shown):
    assert numbers.text(x, places) == shown


@pytest.mark.parametrize("x", [float("nan"), float("inf"), -float("inf"), 1e300])
def test_what_cannot_be_shown_is_refused(x):
    with pytest.raises(CoreError):
        numbers.text(x, 2)


@given(st.integers(0, 13_000_000_000_000))
def test_times_agree_with_the_standard_library(milliseconds):
    # Python's datetime, an independent implementation of the proleptic Gregorian calendar.
    moment = datetime.fromtimestamp(milliseconds // 1000, UTC)
    text = moment.strftime("%Y-%m-%dT%H:%M:%S.") + f"{milliseconds % 1000:03d}Z"
    assert clock.milliseconds(text) == milliseconds


@pytest.mark.parametrize(
    "text",
    [
        "2026-13-01T00:00:00.000Z",
        "2026-02-29T00:00:00.000Z",
        "2026-01-01T24:00:00.000Z",
        "2026-01-01T00:00:00Z",
        "2026-01-01T00:00:00.0\u06630Z",
        "+026-01-01T00:00:00.000Z",
        "2026-01-01T0 :00:00.000Z",
        "2026-01-01t00:00:00.000Z",
        None,
        7,
    ],
)
def test_what_is_not_a_time_is_refused(text):
    assert not clock.is_time(text)


def shown(**changes):
    usual = {
        "caution": {"id": "caustic", "version": 2},
        "met": [],
        "met_here": False,
        "role": "brewer",
        "triggered": False,
        "critical": False,
        "lately": [],
        "now": NOW,
    }
    return hazards.shown(**{**usual, **changes})


def test_a_caution_is_read_in_full_when_new_changed_forgotten_or_raised():
    lately = [{"version": 2, "at": NOW - 3 * DAY}]
    assert shown() == "full"
    assert shown(met=lately) == "state"
    assert shown(met=[{"version": 1, "at": NOW - DAY}]) == "full"
    assert shown(met=[{"version": 2, "at": NOW - 31 * DAY}]) == "full"
    assert shown(met=lately, triggered=True) == "full"
    assert shown(met=lately, role="starter") == "full"
    assert shown(met=lately, met_here=True, triggered=True) == "met"


def test_what_was_seen_in_this_run_is_still_so_for_half_an_hour_and_confirming_it_puts_nothing_off():
    minute = 60_000
    known = [{"version": 2, "at": NOW - 10 * minute}]
    assert shown(met=known, lately=[NOW - 10 * minute]) == "still"
    assert shown(met=known, lately=[NOW - 31 * minute]) == "state"
    assert shown(met=known, lately=[NOW - 10 * minute, NOW - 31 * minute]) == "state"
    assert shown(met=known, lately=[NOW - 10 * minute, NOW - 41 * minute]) == "still"
    assert shown(met=known, lately=[NOW + minute]) == "state"
    assert shown(met=known, lately=[NOW - 10 * minute], critical=True) == "state"
    assert shown(met=known, lately=[NOW - 10 * minute], triggered=True) == "full"
    assert shown(met=known, lately=[NOW - 10 * minute], role="starter") == "full"
