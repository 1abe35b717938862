"""Whether the database takes a write: only a write tells, and one of the last second tells as much."""

from vesselside.store.base.db import db, writing
from vesselside.store.base.models import Readiness

EVERY_MS = 1_000


def write(*, now: int) -> None:
    """Write and commit one row, unless that was done just now; the database's own error when it cannot."""
    if _just_now(now):
        return
    with writing("readiness") as session:
        if not _just_now(now):
            session.merge(Readiness(id=1, at=now))


def _just_now(now: int) -> bool:
    row = db.session.get(Readiness, 1, populate_existing=True)
    return row is not None and abs(now - row.at) < EVERY_MS
