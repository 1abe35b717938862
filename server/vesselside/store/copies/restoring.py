"""Putting a copy back: all rows at once or none, and for each log an event that says so and begins another life."""

from dataclasses import dataclass

from sqlalchemy import Engine, select, update

from vesselside.store.base.db import Sessions, db, writing
from vesselside.store.base.models import Brewery, Logged
from vesselside.store.copies import rows
from vesselside.store.fold import projections
from vesselside.store.log import epochs, signing
from vesselside.store.log.book import Book, Keys
from vesselside.store.log.writer import SERVER
from vesselside.store.site import founding


class OtherKeyError(Exception):
    """The server's key is not the one that the log of the copy is signed with."""


@dataclass(frozen=True)
class Restored:
    """A log that was put back: how many records it had in the copy."""

    brewery: str
    name: str
    size: int


def restore(keys: Keys, copy: Engine, *, now: int) -> list[Restored]:
    """Put the rows of a copy in the place of all there is, and begin another life of each log, or change nothing."""
    before = {row.id: row.revision for row in db.session.execute(select(Brewery.id, Brewery.revision))}
    with writing("restore") as session, copy.connect() as source:
        rows.replace(source, session.connection())
        session.expire_all()
        done = []
        for brewery, name in founding.breweries():
            _judge_key(session, keys.book(brewery))
            # above any revision that a phone or a process has seen, so that nobody keeps what is out of date
            newer = Brewery.revision + before.get(brewery, 0) + 1
            session.execute(update(Brewery).where(Brewery.id == brewery).values(revision=newer))
            done.append(Restored(brewery, name, epochs.begin(keys.book(brewery), now=now)))
    projections.forget()
    return done


def _judge_key(session: Sessions, book: Book) -> None:
    last = (
        select(Logged.body)
        .where(Logged.brewery == book.brewery, Logged.source == SERVER, Logged.status == "stored")
        .order_by(Logged.number.desc())
        .limit(1)
    )
    body = session.execute(last).scalar()
    if body is None:
        return
    event = signing.loaded(body)
    if not signing.verified(book.keys.server.jwk, event["signature"], signing.parts(event)[1]):
        raise OtherKeyError("The log of this copy was signed with another key than this server has.")
