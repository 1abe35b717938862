"""What cannot be stored, what nobody can place, and what says nothing."""

import json

import pytest

from vesselside.core.run import events

from .builder import Pen


def nested(depth):
    value = "leaf"
    for _ in range(depth):
        value = {"in": value}
    return value


@pytest.mark.parametrize(
    "event",
    [
        [], "text", None, {}, {"id": 7}, {"id": "UPPER"}, {"id": "a" * 65}, {"id": ""},
        {"id": "a", "data": {"x": 1.5}}, {"id": "a", "data": {"x": 2**53}}, {"id": "a", "data": {"x": -(2**53)}},
        {"id": "a", "data": {"x": "nul\x00"}}, {"id": "a", "data": {"half": "\ud800"}}, {"id": "a", "\ud800": 1},
        {"id": "a", "data": nested(8)}, {"id": "a", "data": [[[[[[[["deep"]]]]]]]]},
    ],
)  # fmt: skip
def test_what_cannot_be_stored_is_refused(event):
    assert events.refusal(event)[0] == "malformed"


def test_eight_deep_and_the_largest_numbers_are_stored():
    assert (
        events.refusal({"id": "a", "data": nested(7), "n": 2**53 - 1, "m": -(2**53) + 1, "t": True}) is None
    )


@pytest.mark.parametrize(
    ("attribute", "value"),
    [
        ("specversion", "0.3"), ("source", "/phones/a"), ("source", "/devices/"), ("type", ""), ("subject", "/runs/"),
        ("subject", "/vessels/1"), ("time", "2026-02-30T00:00:00.000Z"), ("time", "2026-11-25 05:40:00.000Z"),
        ("time", "2026-11-25T05:40:00Z"), ("person", None), ("hlc", "0-0"), ("seen", "7"), ("number", 0),
        ("number", True), ("number", "1"), ("data", []), ("prevhash", "0" * 63), ("signature", None),
    ],
)  # fmt: skip
def test_an_envelope_nobody_can_place_is_named(attribute, value):
    event = Pen().opened()
    assert events.malformed(event) is None
    assert attribute in events.malformed({**event, attribute: value})


def test_every_kind_says_what_it_lacks():
    for kind, (_, fields) in events.KINDS.items():
        needed = [name for name, (_, must) in fields.items() if must]
        found = events.faults({"type": kind, "data": {}})
        assert sorted(found) == sorted(f"{name} is missing" for name in needed)
    assert events.faults({"type": "weather.noted", "data": {}}) == []


def test_a_phone_checks_all_three_before_it_numbers_an_event():
    event = Pen().opened()
    assert events.check(json.loads(json.dumps(event))) == []
    assert events.check({**event, "data": {}})
    assert events.check({**event, "hlc": "x"})
    assert events.check({**event, "id": "?"})
    assert events.check([])
