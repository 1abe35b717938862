"""What is found of a record by how it was received: the clock of its phone, and how long after it was made."""

from typing import TYPE_CHECKING

from vesselside.core.ground.clock import milliseconds
from vesselside.core.ground.errors import CoreError
from vesselside.store.base.instants import DAY_MS

if TYPE_CHECKING:
    from vesselside.core.shapes import Finding, ReceiptFinding

OFFSET_MS = 120_000


def found(event: str, made: str, recorded: int, offset: int | None) -> "list[Finding]":
    """The findings of one record, made at `made` by a phone's clock that was `offset` [ms] behind at its receipt."""
    rows: list[Finding] = []
    if offset is not None and abs(offset) > OFFSET_MS:
        way = "behind" if offset > 0 else "ahead"
        rows.append(_row("clock-offset", event, f"the phone's clock was {abs(offset) // 1000} s {way}"))
    at = _instant(made)
    if at is not None and recorded - at > DAY_MS:
        rows.append(
            _row("received-late", event, f"received {(recorded - at) // 3_600_000} h after it was made")
        )
    return rows


def _instant(time: str) -> int | None:
    try:
        return milliseconds(time)
    except CoreError:
        return None


def _row(code: "ReceiptFinding", event: str, text: str) -> "Finding":
    return {"code": code, "event": event, "text": text}
