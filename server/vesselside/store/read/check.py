"""An independent re-derivation of the record: what the log holds must follow from its bytes and keys alone."""

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any

from sqlalchemy import and_, select, text
from sqlalchemy.orm import aliased

from vesselside.core.run.events import run_of
from vesselside.store.base import schema
from vesselside.store.base.db import db
from vesselside.store.base.instants import text_of
from vesselside.store.base.models import Device, Logged
from vesselside.store.fold import faulty, rebuild
from vesselside.store.log import redacted, signing
from vesselside.store.log.book import Book, Keys
from vesselside.store.log.writer import SERVER
from vesselside.store.photos.files import Photos
from vesselside.store.read.printed import Printed
from vesselside.store.read.witness import Bare, Kept, Witness
from vesselside.store.site import redacting

PAGE = 2_000


def faults(
    keys: Keys,
    photos: Photos,
    held: Sequence[tuple[str, str]],
    kept: Sequence[Kept] = (),
    paper: Sequence[Printed] = (),
) -> Iterator[str]:
    """All that is wrong with the database and the records of the breweries (id, name) in `held`, one line each.

    `kept` are heads that phones hold, `paper` is what printed records say of themselves.
    """
    yield from _database()
    for head in kept:
        if head["log"] not in [brewery for brewery, _ in held]:
            yield f"no log here is the one of the kept head of {head['size']} records, signed {head['time']}"
    for sheet in paper:
        if sheet.log not in [brewery for brewery, _ in held]:
            yield f"no log here is the one of the printed record of run {sheet.run}"
    for brewery, name in held:
        for fault in _record(keys.book(brewery), kept, [(row.log, row.size, row.root) for row in paper]):
            yield f"{name}: {fault}"
        for sheet in paper:
            if sheet.log == brewery and _digest(brewery, sheet) != sheet.digest:
                yield f"{name}: the printed record of run {sheet.run}: its records are not those of the log"
        for fault in _projected(brewery):
            yield f"{name}: {fault}"
        for fault in photos.faults(brewery):
            yield f"{name}: {fault}"
        for sha256 in _left_over(brewery, photos):
            yield f"{name}: the photo {sha256} was taken out of the record and is still there; redact it again"


def _left_over(brewery: str, photos: Photos) -> list[str]:
    return [sha256 for sha256 in sorted(redacting.photos(brewery)) if photos.held(brewery, sha256)]


def _digest(brewery: str, sheet: Printed) -> str:
    rows = select(Logged.hash).where(
        Logged.brewery == brewery,
        Logged.run == sheet.run,
        Logged.status == "stored",
        Logged.sequence <= sheet.size,
    )
    return signing.digest_of(db.session.execute(rows).scalars())


def notes(brewery: str) -> Iterator[str]:
    """What is no fault, and yet to be known of a record that was gone over."""
    for event in redacted.every(brewery):
        yield f"record {event['data']['event']}: {redacted.told(event['data'])}"
    for day, rows in groupby(rebuild.replaced(brewery), lambda row: text_of(row[0])[:10]):
        names = ", ".join(sorted({what for _, what in rows}))
        yield f"replaced by rebuild on {day}, as it stood kept in the table `replaced`: {names}"


def _projected(brewery: str) -> Iterator[str]:
    """Stored figures that are not what the log says, and the runs that cannot be worked out."""
    yield from rebuild.differences(brewery)
    yield from faulty.every(brewery)


def _database() -> Iterator[str]:
    missing = schema.TRIGGERS[db.engine.dialect.name] - schema.triggers()
    for name in sorted(missing):
        yield f"the trigger {name} is missing: the log can be changed"
    if db.engine.dialect.name == "sqlite":
        for row in db.session.execute(text("PRAGMA integrity_check")):
            if row[0] != "ok":
                yield f"the database file is damaged: {row[0]}"
        for row in db.session.execute(text("PRAGMA foreign_key_check")):
            yield f"a row of {row[0]} points at nothing in {row[2]}"


def _record(book: Book, kept: Sequence[Kept], paper: Sequence[Bare]) -> Iterator[str]:
    brewery, keys = book.brewery, {SERVER: book.keys.server.jwk}
    for device in db.session.execute(select(Device.id, Device.key).where(Device.brewery == brewery)):
        keys[f"/devices/{device.id}"] = device.key
    witness = Witness(book, kept, paper)
    expected = 1
    while True:
        query = (
            select(Logged)
            .where(Logged.brewery == brewery, Logged.sequence >= expected)
            .order_by(Logged.sequence)
            .limit(PAGE)
            .execution_options(populate_existing=True)
        )
        rows = db.session.execute(query).scalars().all()
        for row in rows:
            if row.sequence != expected:
                yield f"sequence {expected} to {row.sequence - 1}: missing"
            expected = row.sequence + 1
            for fault in _row(row, keys, witness):
                yield f"sequence {row.sequence}: {fault}"
        db.session.expunge_all()
        if len(rows) < PAGE:
            break
    yield from _chains(brewery)
    yield from witness.faults()


def _row(row: Logged, keys: dict[str, dict[str, Any]], witness: Witness) -> Iterator[str]:
    if signing.sha256(row.body) != row.hash and not witness.took(row):
        yield "its hash is not that of its bytes"
    if witness.kept_on(row):
        yield "it was redacted and its text is still there; redact it again"
    if row.status not in ("stored", "quarantined") or (row.status == "stored") != (row.problem is None):
        yield f"its status is {row.status} for {row.problem}"
    witness.grow(row)
    try:
        yield from list(_said(row, keys, witness))
    except (KeyError, TypeError, ValueError, AttributeError, RecursionError):
        # whoever changed a row may have written anything in its place
        yield "its bytes are no record"


def _said(row: Logged, keys: dict[str, dict[str, Any]], witness: Witness) -> Iterator[str]:
    """What its bytes say that its columns, its source's key or others do not."""
    event = signing.loaded(row.body)
    whole, signed = signing.parts(event)
    if whole != row.body:
        yield "its bytes are not canonical"
    taken = witness.took(row)
    if row.problem != "invalid":
        said = (
            event["id"], event["source"], event["number"], run_of(event["subject"]), event["type"], event["prevhash"],
        )  # fmt: skip
        if said != (row.event, row.source, row.number, row.run, row.kind, row.prevhash):
            yield "its columns are not what its bytes say"
    if row.status == "stored":
        key = keys.get(event["source"])
        if not taken and (key is None or not signing.verified(key, event.get("signature"), signed)):
            yield "its signature is not its source's"
        yield from witness.see(row, event)


def _chains(brewery: str) -> Iterator[str]:
    before = aliased(Logged)
    query = (
        select(Logged.sequence)
        .join(
            before,
            and_(
                before.brewery == Logged.brewery,
                before.source == Logged.source,
                before.number == Logged.number - 1,
                before.status == "stored",
            ),
        )
        .where(Logged.brewery == brewery, Logged.status == "stored", Logged.prevhash != before.hash)
        .order_by(Logged.sequence)
    )
    for sequence in db.session.execute(query).scalars():
        yield f"sequence {sequence}: its prevhash is not the hash of its device's record before it"
