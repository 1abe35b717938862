"""The lives of a log: a restore from a copy begins another, and what was given out after the copy is no longer so."""

from sqlalchemy import select

from vesselside.store.base.db import db
from vesselside.store.base.models import Brewery, Logged
from vesselside.store.log import signing

RESTORED = "log.restored"


def current(brewery: str) -> str:
    """The id of the log's present life; of the first it is the brewery's own."""
    return db.session.execute(select(Brewery.epoch).where(Brewery.id == brewery)).scalar() or brewery


def shared(brewery: str, cursor: int, epoch: str | None) -> int:
    """The highest sequence up to which a log read to `cursor` in the life `epoch` is surely this one."""
    said = [signing.loaded(body)["data"] for body in _restorals(brewery)]
    # from the restore that ended the life the reader knows; from the first, when nobody knows which that was
    known = [at for at, data in enumerate(said) if data["before"] == epoch]
    sizes = [int(data["size"]) for data in (said[known[0] :] if known else said)]
    return min([cursor, *sizes]) if sizes else 0


def _restorals(brewery: str) -> list[bytes]:
    query = (
        select(Logged.body)
        .where(
            Logged.brewery == brewery,
            Logged.run.is_(None),
            Logged.status == "stored",
            Logged.kind == RESTORED,
            Logged.source == "/server",
        )
        .order_by(Logged.sequence)
    )
    return list(db.session.execute(query).scalars())
