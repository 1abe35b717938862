"""Whose turn it is: of several processes one does a piece of work for a brewery at a time."""

import fcntl
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import text

from vesselside.store.base.db import db, lock_key


@contextmanager
def turn_of(work: str, brewery: str) -> Iterator[bool]:
    """Whether this process is the one that does `work` for the brewery now."""
    if db.engine.dialect.name == "postgresql":
        with db.engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
            key = {"key": lock_key(f"{work} {brewery}")}
            mine = bool(connection.execute(text("SELECT pg_try_advisory_lock(:key)"), key).scalar())
            try:
                yield mine
            finally:
                if mine:
                    connection.execute(text("SELECT pg_advisory_unlock(:key)"), key)
        return
    path = Path(f"{db.engine.url.database}-{work}")
    with path.open("ab") as file:
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            yield False
            return
        yield True
