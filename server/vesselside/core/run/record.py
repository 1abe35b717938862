"""A record: one event turned once into clean, typed values by the table of kinds. The fold reads nothing else.

What a kind does not name is left out. What it names and the event leaves out is the empty value of its shape (an empty
text, 0, no ids), so no reader ever meets None. What does not fit is told in `wrong`, and such a record is a finding and
nothing more; a null where a field may be left out is a finding too. Clocks far ahead of what received them are told and
not believed.
"""

from vesselside.core.ground import clock

from .events import FIELDS, MOST_INPUTS, placeable

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from vesselside.core.shapes import FoldFinding

AHEAD_MS = 300_000
"""How far ahead of its receipt a stamp may be before it is not believed: 5 min."""


class Record:
    """One event as the fold takes it. Made by `of` alone and never changed."""

    # the envelope
    id: str
    type: str
    source: str
    person: str
    seen: str
    hlc: str
    time: str
    """When it was made by its device's own clock, RFC 3339; always a time that can be read."""
    clock_ms: int
    """The same [ms]: what lengths of time are counted by."""
    ms: int
    """When it was made [ms]: `clock_ms`, or when it was received where that lies far behind it."""
    received: int = 0
    """When the server received it [ms]; 0 where that is not told."""
    key: tuple[str, str]
    """Its place in its run: (hlc, id), compared as text."""
    stamped: str
    """Its stamp as far as it is believed: `hlc`, its receipt where that lies far behind, empty where it is no stamp."""
    wrong: list[str]
    """What its kind asks that it lacks or says wrongly, in words."""
    told: "list[tuple[FoldFinding, str]]"
    """What else is to be found of it: (code of a finding, more words)."""

    # what the kinds name
    step: str = ""
    field: str = ""
    value: str = ""
    typed: str = ""
    unit: str = ""
    how: "Any" = ""
    """A `Way`; this, `verdict` and `left` are of their closed lists, as the table of kinds has judged."""
    instrument: str = ""
    verdict: "Any" = ""
    """A `Verdict`, or of a review a `ReviewVerdict`."""
    core: str = ""
    over: tuple[str, ...] = ()
    chosen: str = ""
    reason: str = ""
    seconds: int = 0
    target: str = ""
    role: str = ""
    text: str = ""
    sha256: str = ""
    mime: str = ""
    bytes: int = 0
    limit: str = ""
    interlock: str = ""
    check: str = ""
    deviation: str = ""
    action: str = ""
    cause: str = ""
    prevention: str = ""
    owner: str = ""
    """Who sees to what is to prevent it."""
    due: str = ""
    """By which day, as `2026-11-25`."""
    pending: bool = False
    """What is to prevent it is still to be done; without it an answer closes its deviation."""
    left: "Any" = ""
    untouched: bool = False
    """Of a run given up: that nothing was done in it."""
    digest: str = ""
    caution: str = ""
    procedure: str = ""
    version: int = 0
    vessel: str = ""
    gyle: str = ""
    recipe: str = ""
    recipe_version: int = 0
    inputs: dict[str, str]
    """What was given on opening, by the input's id."""
    calculation: str = ""
    """The sum a worked value comes from; empty where the record names none."""
    given: dict[str, str] | None = None
    """The inputs of that sum by name; None where they are not recorded as texts."""

    @property
    def received_time(self) -> str:
        """When it was made, as lists show it: `time`, or its receipt where that is far ahead of it."""
        return self.time if self.ms == self.clock_ms else clock.text(self.ms)


def of(event: object) -> Record | None:
    """The record of a stored event, or None for what has no place in a run at all. Never raises."""
    if not isinstance(event, dict) or not placeable(event):
        return None
    record = Record()
    for name in ("id", "type", "source", "person", "seen", "hlc"):
        setattr(record, name, event[name])
    record.key = (record.hlc, record.id)
    record.wrong, record.told, record.inputs = [], [], {}
    _place_in_time(record, event)
    _cap_seen(record, event.get("sequence"))
    if isinstance(event.get("redacted"), str):
        record.told.append(("taken-out", ""))
    data = event["data"]
    for field, shape, needed, fits in FIELDS.get(record.type, ()):
        if field not in data:
            if needed:
                record.wrong.append(field + " is missing")
        elif data[field] is None and not needed:
            # wrong, and told; but what was done at the vessel was done, so the rest of it counts
            record.told.append(("bad-data", field + " is null"))
        elif not fits(data[field]):
            record.wrong.append(field + " is not a valid " + shape)
        elif shape == "inputs":
            _take_inputs(record, data[field])
        elif shape == "sum":
            _take_sum(record, data[field])
        else:
            setattr(record, field, tuple(data[field]) if shape == "ids" else data[field])
    return record


def _place_in_time(record: Record, event: "dict[str, Any]") -> None:
    record.stamped = record.hlc if clock.is_stamp(record.hlc) else ""
    stamped = clock.stamp_ms(record.stamped)
    record.time = event["time"]
    made, received = clock.read(record.time), clock.read(event.get("recordedtime"))
    if made is not None:
        record.clock_ms = made
    else:
        record.clock_ms, record.time = stamped, clock.text(stamped)
        record.told.append(("bad-time", event["time"][:40]))
    record.ms = record.clock_ms
    if received is not None:
        record.received = received
        if max(record.clock_ms, stamped) > received + AHEAD_MS:
            record.told.append(("clock-ahead", "received " + event["recordedtime"]))
            record.ms = min(record.clock_ms, received)
            if stamped > received:
                record.stamped = clock.stamp(received)


def _cap_seen(record: Record, sequence: object) -> None:
    """Nobody has seen more of the log than there was when the record was stored in it."""
    if isinstance(sequence, str) and clock.is_sequence(sequence) and record.seen >= sequence:
        record.told.append(("seen-ahead", record.seen[:16]))
        before = str(int(sequence) - 1)
        record.seen = "0" * (16 - len(before)) + before


def _take_inputs(record: Record, given: "dict[str, Any]") -> None:
    for name in sorted(given)[:MOST_INPUTS]:
        if isinstance(given[name], str):
            record.inputs[name] = given[name]
        else:
            record.told.append(("bad-data", "inputs." + name[:40] + " is not a text"))
    if len(given) > MOST_INPUTS:
        record.told.append(("bad-data", "inputs has more than " + str(MOST_INPUTS)))


def _take_sum(record: Record, made: "dict[str, Any]") -> None:
    name, given = made.get("calculation"), made.get("inputs")
    if isinstance(name, str):
        record.calculation = name
    if isinstance(given, dict) and len(given) <= MOST_INPUTS:
        if all([isinstance(value, str) for value in given.values()]):
            record.given = given
