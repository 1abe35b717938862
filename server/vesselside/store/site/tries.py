"""Wrong PINs and passwords, and how long no more are heard.

A try is counted as wrong before it is judged, so that trying in parallel gains nothing. It is counted three times:
for the person on that device, for the device whoever is named, and for the person on whatever device. A right
secret forgives the first of these, for its own kind alone, and takes back its own counting from the others: whoever
knows one PIN cannot wipe out the tries at another's.
"""

from dataclasses import dataclass

from sqlalchemy import delete

from vesselside.store.base.db import Sessions, writing
from vesselside.store.base.faults import LaterError
from vesselside.store.base.models import Attempt
from vesselside.store.log import writer
from vesselside.store.log.book import Book

FIRST_WAIT_MS = 5_000
LONGEST_WAIT_MS = 900_000
FORGOTTEN_MS = 86_400_000
ANY = ""
"""Whoever, or wherever."""


@dataclass(frozen=True)
class Try:
    """Who is tried, where, by which kind of secret."""

    brewery: str
    device: str
    person: str
    kind: str

    def counts(self) -> tuple[tuple[str, str, str, int], ...]:
        """What it counts towards: person, device, kind, and how many wrong ones are free."""
        return (
            (self.person, self.device, self.kind, 5),
            (ANY, self.device, ANY, 15),
            (self.person, ANY, self.kind, 20),
        )


@dataclass(frozen=True)
class Count:
    """A count as a try left it: of which person, device and kind, how many wrong ones, and how many were free."""

    person: str
    device: str
    kind: str
    wrong: int
    free: int


def charge(tried: Try, now: int) -> list[Count]:
    """Count a try as wrong before it is made; LaterError while no tries are heard."""
    with writing(tried.brewery) as session:
        counts = [(_row(session, tried, *key), free) for *key, free in tried.counts()]
        until = max(row.until for row, _ in counts)
        if until > now:
            raise LaterError("Too many wrong tries", -(-(until - now) // 1000))
        for row, free in counts:
            # A day without a wrong one, and the count begins anew.
            row.wrong = 1 if now - row.last > FORGOTTEN_MS else row.wrong + 1
            row.last = now
            if row.wrong >= free:
                row.until = now + min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** min(row.wrong - free, 20))
        return [Count(row.person, row.device, row.kind, row.wrong, free) for row, free in counts]


def refused(book: Book, counts: list[Count], now: int) -> None:
    """The try was wrong. A run of them is written into the log: once the free ones are spent, and at each doubling."""
    told = [count for count in counts if count.wrong in (count.free << at for at in range(16))]
    if not told:
        return
    with writing(book.brewery):
        for count in told:
            of = {"person": count.person, "device": count.device, "kind": count.kind}
            data = {name: value for name, value in of.items() if value != ANY} | {"tries": count.wrong}
            writer.administer(book, "sign-in.refused", data, by=writer.ITSELF, now=now)


def forgive(session: Sessions, tried: Try) -> None:
    """The try was right after all."""
    (own, *shared) = tried.counts()
    session.execute(
        delete(Attempt).where(
            Attempt.brewery == tried.brewery,
            Attempt.person == own[0],
            Attempt.device == own[1],
            Attempt.kind == own[2],
        )
    )
    for *key, free in shared:
        row = _row(session, tried, *key)
        row.wrong = max(0, row.wrong - 1)
        if row.wrong < free:
            row.until = 0


def _row(session: Sessions, tried: Try, person: str, device: str, kind: str) -> Attempt:
    row = session.get(Attempt, (tried.brewery, person, device, kind), populate_existing=True)
    if row is None:
        row = Attempt(
            brewery=tried.brewery, person=person, device=device, kind=kind, wrong=0, until=0, last=0
        )
        session.add(row)
    return row
