"""A record as a mark in a run's state: who, when, and what it says besides."""

from vesselside.core.run import answering
from vesselside.core.run.ledger import Run
from vesselside.core.run.record import Record

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import TypeVar

    from vesselside.core.shapes import (
        Answer,
        CautionMet,
        Deviation,
        Mark,
        Note,
        Photo,
        Review,
        Skipped,
        Strike,
    )

    Marked = TypeVar("Marked", bound=Mark)


def _dated(one: Record, row: "Marked") -> "Marked":
    if one.ms != one.clock_ms:
        row["received"] = one.received_time
    return row


def mark(one: Record | None) -> "Mark | None":
    """Who did what a record says, and when; None of none."""
    if one is None:
        return None
    row: Mark = {"event": one.id, "person": one.person, "time": one.time}
    return _dated(one, row)


def met(one: Record) -> "CautionMet":
    """A caution met."""
    row: CautionMet = {"event": one.id, "person": one.person, "time": one.time, "version": one.version}
    return _dated(one, row)


def skipped(one: Record) -> "Skipped":
    """A step passed by, and why."""
    row: Skipped = {"event": one.id, "person": one.person, "time": one.time, "reason": one.reason}
    return _dated(one, row)


def answer(one: Record) -> "Answer":
    """What was done about a deviation."""
    return _dated(one, answering.told(one))


def note(one: Record) -> "Note":
    """What was written down."""
    row: Note = {
        "event": one.id, "person": one.person, "time": one.time, "step": one.step or None, "text": one.text,
    }  # fmt: skip
    return _dated(one, row)


def photo(one: Record) -> "Photo":
    """A photo, by its hash."""
    row: Photo = {
        "event": one.id, "person": one.person, "time": one.time, "step": one.step or None, "sha256": one.sha256,
    }  # fmt: skip
    return _dated(one, row)


def strike(one: Record) -> "Strike":
    """A record struck out, and why."""
    row: Strike = {
        "event": one.id, "person": one.person, "time": one.time, "target": one.target, "reason": one.reason,
    }  # fmt: skip
    return _dated(one, row)


def review(one: Record) -> "Review":
    """A manager's verdict."""
    row: Review = {
        "event": one.id, "person": one.person, "time": one.time, "verdict": one.verdict, "digest": one.digest,
        "text": one.text,
    }  # fmt: skip
    return _dated(one, row)


def deviation(run: Run, raised: Record) -> "Deviation":
    """What was not as it should be, and the answer to it."""
    answered = run.answers.get(raised.id)
    row: Deviation = {
        "event": raised.id, "person": raised.person, "time": raised.time, "step": raised.step or None,
        "text": raised.text, "answered": answer(answered) if answered else None,
    }  # fmt: skip
    if raised.value:
        row["value"] = raised.value
    if raised.limit:
        row["limit"] = raised.limit
    if raised.interlock:
        row["interlock"] = raised.interlock
    if raised.check:
        row["check"] = raised.check
    return _dated(raised, row)
