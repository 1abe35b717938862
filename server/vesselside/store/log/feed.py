"""What a device pulls: events in sequence order after a cursor that never skips.

The head is read before the rows are, and sequences become visible in order, so every sequence up to the cursor
given back has been examined. Runs closed for longer than `KEPT_DAYS` are withheld, except for what is new.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from vesselside.core.run.lasting import KEPT_DAYS
from vesselside.store.base import statements
from vesselside.store.base.instants import DAY_MS, sequence_text, text_of
from vesselside.store.log import signing

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
    return statements.execute(statements.HEAD, {"brewery": brewery}).scalar() or 0


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
    window = {"brewery": brewery, "cursor": cursor, "last": last, "since": since}
    mine = [sequence for sequence in pushed if sequence > cursor]
    rows = statements.execute(statements.FEED, {**window, "pushed": mine, "most": limit + 1}).all()
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
    passed = set(statements.execute(statements.PASSED_OVER, {**window, "last": reached}).scalars())
    found = {row.sequence: (row.run, spelled(row.body, row.sequence, row.recorded)) for row in rows}
    found |= _fetched(brewery, fetch)
    return Page(
        events=[found[sequence][1] for sequence in sorted(found)],
        runs={run for run, _ in found.values() if run},
        cursor=max(reached, cursor),
        more=full or reached < end,
        withheld=sorted((old | passed) - set(fetch)),
    )


def _fetched(brewery: str, runs: Sequence[str]) -> dict[int, tuple[str, bytes]]:
    if not runs:
        return {}
    rows = statements.execute(statements.WHOLE_RUNS, {"brewery": brewery, "runs": list(runs)})
    return {row.sequence: (row.run, spelled(row.body, row.sequence, row.recorded)) for row in rows}


def digests(brewery: str, runs: Collection[str]) -> dict[str, str]:
    """The digest of each run: as it was folded, or from the hashes of its records where something came since."""
    if not runs:
        return {}
    rows = statements.execute(statements.DIGESTS, {"brewery": brewery, "runs": list(runs)})
    found = {row.id: row.digest for row in rows}
    for run in runs:
        if run not in found:
            hashes = statements.execute(statements.RUN_HASHES, {"brewery": brewery, "run": run}).scalars()
            found[run] = signing.digest_of(hashes)
    return found
