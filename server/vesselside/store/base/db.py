"""The database handle, how each kind of database is set up, and the one way to write.

SQLite: WAL, every commit on disk before it returns, foreign keys on; a writing transaction takes the write
lock at once (BEGIN IMMEDIATE), since SQLAlchemy would begin deferred and lose a race half way. PostgreSQL: a
transaction-scoped advisory lock a brewery. Under either, sequences are handed out and committed one
transaction at a time, so that a reader never sees a later one before an earlier one.
"""

import hashlib
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from flask import Flask
from flask_sqlalchemy import SQLAlchemy
from flask_sqlalchemy.session import Session
from sqlalchemy import Connection, Engine, MetaData, event, text
from sqlalchemy.orm import DeclarativeBase, scoped_session

Sessions = scoped_session[Session]
BUSY_SECONDS = 20
_POSTGRESQL = {"default_transaction_isolation": r"read\ committed", "synchronous_commit": "on"}
"""Whatever the cluster's own defaults are: what is acknowledged is on disk, and a lock lets see what came before it."""
_POSTGRESQL_SERVING = {
    "lock_timeout": "10s",
    "statement_timeout": "60s",
    "idle_in_transaction_session_timeout": "60s",
}
"""A request that cannot go on is given up and answered; commands, which may take hours, are not hurried."""
NAMES = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s",
    "pk": "pk_%(table_name)s",
}


class Base(DeclarativeBase):
    """Every table; `brewery` leads every key."""

    metadata = MetaData(naming_convention=NAMES)


db = SQLAlchemy(model_class=Base, session_options={"expire_on_commit": False})
_local_turn = threading.Lock()


def now_ms() -> int:
    """The wall clock, in epoch milliseconds."""
    return time.time_ns() // 1_000_000


def connect(app: Flask, url: str, threads: int, *, serving: bool) -> None:
    """Bind the database at `url` to the app, with connections for `threads` threads; `serving`, nothing may last."""
    app.config["SQLALCHEMY_DATABASE_URI"] = url
    options: dict[str, Any] = {"pool_size": threads, "max_overflow": 2}
    if url.startswith("sqlite"):
        options["connect_args"] = {"timeout": BUSY_SECONDS, "check_same_thread": False}
    else:
        options["pool_pre_ping"] = True
        settings = _POSTGRESQL | (_POSTGRESQL_SERVING if serving else {})
        said = " ".join(f"-c {name}={value}" for name, value in settings.items())
        options["connect_args"] = {"connect_timeout": 10, "options": said}
    app.config["SQLALCHEMY_ENGINE_OPTIONS"] = options
    db.init_app(app)
    with app.app_context():
        if db.engine.dialect.name == "sqlite":
            _set_up_sqlite(db.engine)


def _set_up_sqlite(engine: Engine) -> None:
    @event.listens_for(engine, "connect")
    def configure(connection: Any, _record: object) -> None:
        connection.isolation_level = None
        cursor = connection.cursor()
        for pragma in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON"):
            cursor.execute(f"PRAGMA {pragma}")
        cursor.close()

    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        writing = connection.get_execution_options().get("writing", False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")


@contextmanager
def writing(brewery: str) -> Iterator[Sessions]:
    """A transaction that alone may write for `brewery`; committed at the end, undone by an exception.

    Whatever the session had begun before is committed first: it was reading.
    """
    session = db.session
    session.commit()
    sqlite = db.engine.dialect.name == "sqlite"
    # SQLite's own waiting is a poll; threads of one process queue here instead, in turn.
    with _local_turn if sqlite else _no_turn():
        try:
            session.connection(execution_options={"writing": True})
            if not sqlite:
                session.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": lock_key(brewery)})
            yield session
            session.commit()
        except BaseException:
            session.rollback()
            raise


def release() -> None:
    """Give every connection back; a process that is about to fork must hold none."""
    db.session.remove()
    db.engine.dispose()


@contextmanager
def _no_turn() -> Iterator[None]:
    yield


def lock_key(name: str) -> int:
    """The number by which PostgreSQL's advisory locks know a name."""
    return int.from_bytes(hashlib.sha256(name.encode()).digest()[:8], "big", signed=True)
