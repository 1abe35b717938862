"""The lives of a log: a restore from a copy begins another, and what was given out after the copy is no longer so."""

from typing import Any

from sqlalchemy import select, update

from vesselside.store.base import statements
from vesselside.store.base.db import db
from vesselside.store.base.models import Brewery, Logged
from vesselside.store.log import signing, writer
from vesselside.store.log.book import Book

RESTORED = "log.restored"


def current(brewery: str) -> str:
    """The id of the log's present life; of the first it is the brewery's own."""
    return db.session.execute(select(Brewery.epoch).where(Brewery.id == brewery)).scalar() or brewery


def begin(book: Book, *, now: int) -> int:
    """Begin another life of the log as it stands, inside `writing`; how many records it stands at."""
    before = current(book.brewery)
    size: int = statements.execute(statements.HEAD, {"brewery": book.brewery}).scalar() or 0
    epoch = signing.uuid7(now)
    db.session.execute(update(Brewery).where(Brewery.id == book.brewery).values(epoch=epoch))
    data = {"epoch": epoch, "before": before, "size": size}
    writer.administer(book, RESTORED, data, by=writer.COMMAND_LINE, now=now)
    return size


def shared(brewery: str, cursor: int, epoch: str | None) -> int:
    """The highest sequence up to which a log read to `cursor` in the life `epoch` is surely this one."""
    said = [signing.loaded(row.body)["data"] for row in _restorals(brewery)]
    # from the restore that ended the life the reader knows; from the first, when nobody knows which that was
    known = [at for at, data in enumerate(said) if data["before"] == epoch]
    sizes = [int(data["size"]) for data in (said[known[0] :] if known else said)]
    return min([cursor, *sizes]) if sizes else 0


def restorals(brewery: str) -> list[tuple[int, int]]:
    """Of each restore of a log, in order, its place in the log and how many records the copy had."""
    return [(row.sequence, int(signing.loaded(row.body)["data"]["size"])) for row in _restorals(brewery)]


def _restorals(brewery: str) -> list[Any]:
    query = (
        select(Logged.sequence, Logged.body)
        .where(
            Logged.brewery == brewery,
            Logged.run.is_(None),
            Logged.status == "stored",
            Logged.kind == RESTORED,
            Logged.source == "/server",
        )
        .order_by(Logged.sequence)
    )
    return list(db.session.execute(query))
