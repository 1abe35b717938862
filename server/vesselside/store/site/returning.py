"""What the server itself had signed before its log was put back, and phones still hold: it returns from there.

A restore takes the log back to a copy. Whatever the server signed after that copy is gone from it: who was added,
which phones were enrolled, what was set. Phones bring these events back, and they are believed for three reasons
together: the server's own key signed them, they name this very log, and each follows by its `prevhash` the one before
it, down to an event that the copy holds. So nobody can leave one out of the middle, and none is taken of a log that
was never put back. Each is kept as it is in quarantine (its number belongs to another event now) and said again by a
new event of the same kind and data, which names it as `again` and keeps its `time`, `hlc`, `person` and `seen`. What
was decided anew since the restore stands.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import select

from vesselside.store.base import statements
from vesselside.store.base.db import Sessions, db, writing
from vesselside.store.base.models import Device, Logged
from vesselside.store.log import epochs, intake, redacted, signing, writer
from vesselside.store.log.book import Book
from vesselside.store.log.intake import Arrival
from vesselside.store.log.signing import ZERO
from vesselside.store.log.writer import SERVER
from vesselside.store.site import redacting, siting
from vesselside.store.site.following import Known, Rows
from vesselside.store.site.redacting import Redacted

RETURNED = "returned"
"""The problem of an event in quarantine that was the server's in an earlier life of this log."""
_OF_ONE_LIFE = (epochs.RESTORED, writer.JUDGED_AGAIN, "announcement.put-away")
"""Kinds that speak of the life they were written in alone; they are kept and not said again."""
_DECIDES = {
    "person.changed": "person",
    "person.retired": "person",
    "setting.changed": "name",
    "instrument.changed": "id",
    "vessel.changed": "id",
}
"""Kinds of which the newest word counts, each with the member that names whom it is about."""


@dataclass
class Returned:
    """What became of events that were brought back: the answers in order, and the runs that changed by it."""

    results: list[dict[str, str]] = field(default_factory=list)
    runs: set[str] = field(default_factory=set)
    gone: Redacted = field(default_factory=Redacted)
    """What was taken out of records once more."""


@dataclass
class _Life:
    """A log as it goes on after restores: what has been said again in it, what was decided anew."""

    restorals: list[tuple[int, int]]
    """Where each restore stands in the log, and how long the log was in the copy."""
    again: set[str] = field(default_factory=set)
    decided: dict[tuple[str, object], int] = field(default_factory=dict)
    """Whom the server spoke about since the first restore, other than by saying it again, and where last."""
    kept: dict[str, tuple[int, str]] = field(default_factory=dict)
    """Of each event that returned, by its hash, its number and the hash before it."""


def take(book: Book, values: Iterable[object], known: Known, *, device: str, now: int) -> Returned:
    """Take back events of the server that a device held; `known` is what it has of people's names and procedures."""
    done = Returned()
    arrivals = [intake.arrived(value) for value in values]
    for arrival in arrivals:
        if not arrival.status:
            _judge(book, arrival)
    with writing(book.brewery) as session:
        life = _life(book.brewery)
        good = [arrival for arrival in arrivals if not arrival.status]
        for arrival in sorted(good, key=lambda each: int(each.event["number"])):
            since = _since(book.brewery, arrival, life)
            if since is not None:
                done.runs |= _take(session, book, arrival, life, since, known, device, now, done.gone)
                if arrival.status == "quarantined":
                    arrival.status, arrival.problem = "stored", None  # kept: there is nothing to doubt
    done.results = [arrival.result() for arrival in arrivals]
    return done


def enrolled_again(book: Book, value: object, *, now: int) -> tuple[Device | None, set[str]]:
    """Take back one `device.enrolled` by itself, whatever came before it: the device, and the runs that changed.

    The caller has made sure that whoever brings it holds the device's key.
    """
    arrival = intake.arrived(value)
    if not arrival.status:
        _judge(book, arrival)
    if arrival.status or arrival.event["type"] != "device.enrolled":
        return None, set()
    with writing(book.brewery) as session:
        life = _life(book.brewery)
        runs: set[str] = set()
        if life.restorals or _stored(book.brewery, arrival):
            runs = _take(session, book, arrival, life, 0, {}, None, now, Redacted())
        found = session.get(
            Device, (book.brewery, arrival.event["data"].get("device")), populate_existing=True
        )
    return found, runs


def _judge(book: Book, arrival: Arrival) -> None:
    """Refuse what this server did not sign in this log."""
    intake.judge_shape(arrival)
    event = arrival.event
    if arrival.problem or event["source"] != SERVER or event.get("log") != book.brewery:
        arrival.refuse("source-mismatch", "it is no event of this server in this log")
    elif not signing.verified(book.keys.server.jwk, event["signature"], arrival.signed):
        arrival.refuse("signature-invalid", "this server did not sign it")


def _life(brewery: str) -> _Life:
    life = _Life(epochs.restorals(brewery))
    if not life.restorals:
        return life
    rows = statements.execute(statements.ADMINISTRATION, {"brewery": brewery, "after": life.restorals[0][0]})
    for row in rows:
        event = signing.loaded(row.body)
        if "again" in event:
            life.again.add(event["again"])
        else:
            life.decided[_about(event)] = row.sequence
    kept = db.session.execute(
        select(Logged.hash, Logged.number, Logged.prevhash).where(
            Logged.brewery == brewery,
            Logged.status == "quarantined",
            Logged.problem == RETURNED,
            Logged.source == SERVER,
        )
    )
    life.kept = {row.hash: (row.number, row.prevhash) for row in kept}
    return life


def _about(event: dict[str, Any]) -> tuple[str, object]:
    kind = event["type"]
    member = _DECIDES.get(kind)
    return (kind.partition(".")[0], event["data"].get(member)) if member else ("", event["id"])


def _stored(brewery: str, arrival: Arrival) -> bool:
    held = select(Logged.sequence).where(
        Logged.brewery == brewery,
        Logged.event == arrival.id,
        Logged.status == "stored",
        Logged.hash == arrival.hash,
    )
    return db.session.execute(held).first() is not None


def _since(brewery: str, arrival: Arrival, life: _Life) -> int | None:
    """Where the restore stands that ended the life an event was signed in; refuse it and None, when there is none.

    It follows, step by step, an event that the log was put back to.
    """
    if _stored(brewery, arrival):
        return 0
    number, before = arrival.event["number"], arrival.event["prevhash"]
    while before in life.kept and life.kept[before][0] == number - 1:
        number, before = life.kept[before]
    held = select(Logged.sequence).where(
        Logged.brewery == brewery,
        Logged.source == SERVER,
        Logged.number == number - 1,
        Logged.status == "stored",
        Logged.hash == before,
    )
    fork = 0 if (number, before) == (1, ZERO) else db.session.execute(held).scalar()
    if fork is not None:
        for sequence, size in life.restorals:
            if fork <= size:
                return sequence
    arrival.refuse(
        "chain-broken", "it follows no event that this log was put back to; those before it come first"
    )
    return None


def _take(
    session: Sessions,
    book: Book,
    arrival: Arrival,
    life: _Life,
    since: int,
    known: Known,
    device: str | None,
    now: int,
    gone: Redacted,
) -> set[str]:
    """Keep an event as it is, and say it again unless that was done or has been overtaken; the runs that changed."""
    event = arrival.event
    if _stored(book.brewery, arrival):
        arrival.status = "repeat"
        return set()
    writer.keep_aside(book, arrival, RETURNED, "it was the server's before the log was put back", device, now)
    life.kept[arrival.hash] = (event["number"], event["prevhash"])
    if event["type"] in _OF_ONE_LIFE or arrival.hash in life.again:
        return set()
    if life.decided.get(_about(event), 0) > since:
        return set()
    if not Rows(session, book.brewery, known, now).follow(event):
        return set()
    life.again.add(arrival.hash)
    writer.administer(
        book,
        event["type"],
        event["data"],
        by=event.get("by") or event.get("person") or writer.ITSELF,
        now=now,
        again=(arrival.hash, event),
    )
    siting.touch(session, book.brewery)
    if event["type"] == redacted.KIND:
        # after it was said: the log's triggers let a text go that a redaction names
        more = redacting.again(session, book.brewery, event["data"])
        gone.runs |= more.runs
        gone.photos |= more.photos
    if event["type"] == "device.enrolled":
        return writer.judge_again(book, event["data"]["device"], now=now)
    return set()
