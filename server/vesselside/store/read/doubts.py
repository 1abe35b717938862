"""What phones doubt about the log itself, and when it was put back: events of the server, for the desk to see."""

from typing import Any

from sqlalchemy import select

from vesselside.store.base.db import db, writing
from vesselside.store.base.instants import DAY_MS, text_of
from vesselside.store.base.models import Device, Logged
from vesselside.store.log import epochs, signing, writer
from vesselside.store.log.book import Book
from vesselside.store.read import witness

DOUBTED = "log.doubted"
KINDS = ("gone-back", "forked")
SHOWN_DAYS = 30
SHOWN = 20
MOST = 5
"""How many of one device's are kept among those shown: they are no place to fill a log with."""


class DoubtError(ValueError):
    """A doubt that rests on no head that this server signed."""


def tell(book: Book, device: str, kind: str, kept: object, told: object, *, now: int) -> None:
    """Write down that a phone was shown a log that does not go on from the head it keeps; once for each such head."""
    try:
        [head] = witness.read_heads([kept])
        others = witness.read_heads([told]) if told is not None else []
    except (witness.HeadError, signing.JwkError) as error:
        raise DoubtError(str(error)) from error
    if head["log"] != book.brewery or head["key"] != book.keys.server.jwk or not witness.genuine(head):
        raise DoubtError("The head that was kept is not one that this server signed.")
    names = ("log", "size", "root", "time", "key", "signature")
    data = {
        "device": device,
        "kind": kind,
        "kept": {name: head[name] for name in names},
        "told": {name: others[0][name] for name in names} if others else None,
    }
    with writing(book.brewery):
        before = [signing.loaded(row.body)["data"] for row in _events(book.brewery, DOUBTED, 0)]
        mine = [said["kept"]["signature"] for said in before if said["device"] == device]
        if head["signature"] in mine or len(mine) >= MOST:
            return
        writer.administer(book, DOUBTED, data, by=writer.ITSELF, now=now)


def lately(brewery: str, *, now: int) -> dict[str, list[dict[str, Any]]]:
    """The doubts and the restores of late, newest first."""
    since = now - SHOWN_DAYS * DAY_MS
    names = {
        row.id: row.name
        for row in db.session.execute(select(Device.id, Device.name).where(Device.brewery == brewery))
    }
    doubts, restores = [], []
    for row in _events(brewery, DOUBTED, since):
        said = signing.loaded(row.body)["data"]
        told = said["told"]
        doubts.append(
            {
                "device": said["device"],
                "name": names.get(said["device"], ""),
                "kind": said["kind"],
                "time": text_of(row.recorded),
                "kept": said["kept"]["size"],
                "told": told["size"] if told else None,
            }
        )
    for row in _events(brewery, epochs.RESTORED, since):
        said = signing.loaded(row.body)["data"]
        restores.append({"time": text_of(row.recorded), "size": int(said["size"])})
    return {"doubts": doubts, "restores": restores}


def _events(brewery: str, kind: str, since: int) -> list[Any]:
    query = (
        select(Logged.body, Logged.recorded)
        .where(
            Logged.brewery == brewery,
            Logged.run.is_(None),
            Logged.status == "stored",
            Logged.kind == kind,
            Logged.recorded >= since,
        )
        .order_by(Logged.sequence.desc())
        .limit(SHOWN)
    )
    return list(db.session.execute(query))
