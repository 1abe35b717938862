"""Sign-ins and sign-outs in the log: the server's own word that a person was at a device, and until when."""

from typing import Any

from sqlalchemy import exists, select

from vesselside.core.run.events import SIGN_INS
from vesselside.core.run.presence import DESK_MS
from vesselside.store.base.db import writing
from vesselside.store.base.instants import text_of
from vesselside.store.base.models import Logged, SignIn
from vesselside.store.fold import folding, projections
from vesselside.store.log import writer
from vesselside.store.log.book import Book

AGAIN_MS = DESK_MS
"""A PIN given again so soon is the same sign-in; a phone is unlocked many times a day."""
IN, OUT = SIGN_INS
IDLE = "idle"


def told_in(book: Book, person: str, device: str, how: str, *, desk: bool, now: int) -> dict[str, Any]:
    """Write down that the server took a person's secret on a device; the event, or the one that says so already."""
    with writing(book.brewery) as session:
        last = projections.administration(book.brewery)[0].presences.told_in(person, device)
        again = last is not None and not desk and last.how == how and now - int(last.hlc[:12], 16) < AGAIN_MS
        if last is None or not again:
            data = {"person": person, "device": device, "how": how, "desk": desk}
            sequence = writer.administer(book, IN, data, by=person, now=now)
            where = Logged.sequence == sequence
        else:
            where = Logged.event == last.id
        row = session.execute(
            select(Logged.body, Logged.sequence, Logged.recorded).where(
                Logged.brewery == book.brewery, Logged.status == "stored", where
            )
        ).one()
        return folding.placed(row.body, row.sequence, row.recorded)


def told_out(book: Book, person: str, device: str, how: str, *, now: int, at: int | None = None) -> None:
    """Write down, inside the caller's `writing`, that a person signed out, or that a desk left alone ended `at`.

    Nothing is written where they were not signed in.
    """
    if projections.administration(book.brewery)[0].presences.told_in(person, device) is None:
        return
    data = {"person": person, "device": device, "how": how}
    if at is not None:
        data["at"] = text_of(at)
    writer.administer(book, OUT, data, by=person, now=now)


def begin(book: Book, now: int) -> None:
    """In a log that has records from before sign-ins were kept, say since when they are; who is signed in stays so."""
    kept = projections.administration(book.brewery)[1]
    if any(event["type"] in (*SIGN_INS, "sign-ins.kept") for event in kept):
        return
    with writing(book.brewery) as session:
        if not session.execute(
            select(exists().where(Logged.brewery == book.brewery, Logged.run.is_not(None)))
        ).scalar():
            return
        writer.administer(book, "sign-ins.kept", {}, by=writer.ITSELF, now=now)
        rows = session.execute(
            select(SignIn.person, SignIn.device, SignIn.way).where(
                SignIn.brewery == book.brewery, SignIn.expires > now
            )
        ).all()
    for row in rows:
        how = "pin" if row.way == "pin" else "password"
        told_in(book, row.person, row.device, how, desk=row.way == "password", now=now)
