"""What a device pulls: events in sequence order after a cursor that never skips.

The head is read before the rows are, and sequences become visible in order, so every sequence up to the cursor
given back has been examined. Runs closed for longer than `KEPT_DAYS` are withheld, except for what is new.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement, and_, func, or_, select

from .db import db
from .instants import DAY_MS, sequence_text, text_of
from .models import Logged, Run

KEPT_DAYS = 14
WINDOW = 50_000
PAGE_BYTES = 1_048_576


@dataclass
class Page:
    """One answer's worth of events, as JSON texts."""

    events: list[bytes]
    runs: set[str]
    cursor: int
    more: bool
    withheld: list[str]


class CursorError(ValueError):
    """A cursor this log never gave out."""


def spelled(body: bytes, sequence: int, recorded: int) -> bytes:
    """A stored event as it is sent: its canonical bytes with the server's two attributes put in."""
    more = f',"sequence":"{sequence_text(sequence)}","recordedtime":"{text_of(recorded)}"}}'
    return body[:-1] + more.encode("ascii")


def head(brewery: str) -> int:
    """The highest sequence given out."""
    return (
        db.session.execute(select(func.max(Logged.sequence)).where(Logged.brewery == brewery)).scalar() or 0
    )


def check_cursor(brewery: str, cursor: int) -> None:
    """CursorError when `cursor` is beyond the log."""
    if cursor > head(brewery):
        raise CursorError("The cursor is beyond this log; start again from zero.")


def page(
    brewery: str, cursor: int, *, limit: int, pushed: Collection[int], fetch: Sequence[str], now: int
) -> Page:
    """Up to `limit` events after `cursor`, without those in `pushed`; all events of the runs in `fetch`."""
    end = head(brewery)
    last = min(end, cursor + WINDOW)
    since = now - KEPT_DAYS * DAY_MS
    kept = or_(Logged.run.is_(None), Run.closed.is_(None), Run.closed >= since)
    after = and_(Logged.brewery == brewery, Logged.sequence > cursor, Logged.status == "stored")
    window = and_(after, Logged.sequence <= last)
    rows = _rows(
        window, or_(kept, Logged.recorded >= since), {s for s in pushed if s > cursor}, limit + 1, kept
    )
    full = len(rows) > limit
    rows = rows[:limit]
    size = 0
    for at, row in enumerate(rows):
        size += len(row.body)
        if size > PAGE_BYTES and at:
            rows, full = rows[:at], True
            break
    reached = rows[-1].sequence if full else last
    old = {row.run for row in rows if not row.kept}
    passed = _passed(and_(window, Logged.sequence <= reached), since)
    found = {row.sequence: (row.run, spelled(row.body, row.sequence, row.recorded)) for row in rows}
    found |= _fetched(brewery, fetch)
    return Page(
        events=[found[sequence][1] for sequence in sorted(found)],
        runs={run for run, _ in found.values() if run},
        cursor=max(reached, cursor),
        more=full or reached < end,
        withheld=sorted((old | passed) - set(fetch)),
    )


def _rows(
    window: ColumnElement[bool],
    sent: ColumnElement[bool],
    pushed: set[int],
    limit: int,
    kept: ColumnElement[bool],
) -> Sequence[Any]:
    query = (
        select(Logged.sequence, Logged.run, Logged.recorded, Logged.body, kept.label("kept"))
        .outerjoin(Run, and_(Run.brewery == Logged.brewery, Run.id == Logged.run))
        .where(window, sent)
        .order_by(Logged.sequence)
        .limit(limit)
    )
    if pushed:
        query = query.where(Logged.sequence.not_in(pushed))
    return db.session.execute(query).all()


def _passed(window: ColumnElement[bool], since: int) -> set[str]:
    """The runs of which this page passes over events without sending them."""
    query = (
        select(Logged.run)
        .join(Run, and_(Run.brewery == Logged.brewery, Run.id == Logged.run))
        .where(window, Run.closed < since, Logged.recorded < since)
        .distinct()
    )
    return {run for run in db.session.execute(query).scalars() if run}


def _fetched(brewery: str, runs: Sequence[str]) -> dict[int, tuple[str, bytes]]:
    if not runs:
        return {}
    query = select(Logged.sequence, Logged.run, Logged.recorded, Logged.body).where(
        Logged.brewery == brewery, Logged.run.in_(runs), Logged.status == "stored"
    )
    return {
        row.sequence: (row.run, spelled(row.body, row.sequence, row.recorded))
        for row in db.session.execute(query)
    }


def digests(brewery: str, runs: Collection[str]) -> dict[str, str]:
    """The digests of runs that are folded up to their last event."""
    if not runs:
        return {}
    query = select(Run.id, Run.digest).where(Run.brewery == brewery, Run.id.in_(runs), Run.stale.is_(False))
    return {row.id: row.digest for row in db.session.execute(query)}
