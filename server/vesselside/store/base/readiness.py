"""Whether the database takes a write: only a write tells."""

from vesselside.store.base.db import writing
from vesselside.store.base.models import Readiness


def write(*, now: int) -> None:
    """Write and commit one row; the database's own error when it cannot."""
    with writing("readiness") as session:
        session.merge(Readiness(id=1, at=now))
