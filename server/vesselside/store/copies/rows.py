"""All rows of a database, as they stand at one moment, from one kind of database into another."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, delete, insert, select, text

from vesselside.store.base.db import db

PAGE = 500
PASSING = {
    "sessions", "codes", "tries", "attempts", "brought", "readiness", "subscriptions", "notices", "deliveries",
}  # fmt: skip
"""What is of the moment: whoever was signed in signs in again, a code that was used does not come back, and a phone
that takes notices says so whenever it is opened."""

GUARDED = ("log", "replaced")
"""The tables that triggers keep from being changed."""


def snapshot(engine: Engine, to: Path) -> None:
    """Copy all rows as they stand now into the SQLite file `to`; nobody who writes waits for it.

    From PostgreSQL the rows go into the tables that the file already has.
    """
    if engine.dialect.name == "sqlite":
        source = engine.raw_connection()
        try:
            with closing(sqlite3.connect(to)) as target:
                # in one step: a writer in between would make it begin again
                source.driver_connection.backup(target, pages=-1)  # type: ignore[union-attr]
                target.execute("PRAGMA journal_mode=DELETE")
        finally:
            source.close()
        return
    with file_at(to) as file, file.begin() as target_rows, engine.connect() as connection:
        source_rows = connection.execution_options(isolation_level="REPEATABLE READ")
        source_rows.execute(text("SET TRANSACTION READ ONLY"))
        _move(source_rows, target_rows, db.metadata.sorted_tables)


@contextmanager
def file_at(path: Path) -> Iterator[Engine]:
    """An engine on a SQLite file, for as long as the block runs."""
    engine = create_engine(f"sqlite:///{path}")
    try:
        yield engine
    finally:
        engine.dispose()


def damage(engine: Engine) -> list[str]:
    """What is wrong with a SQLite file as a file."""
    with engine.connect() as rows:
        found = [row[0] for row in rows.execute(text("PRAGMA integrity_check")) if row[0] != "ok"]
        return found + [
            f"{row[0]} points at nothing" for row in rows.execute(text("PRAGMA foreign_key_check"))
        ]


def replace(source: Connection, target: Connection) -> None:
    """Put the rows of `source` in the place of all that `target` holds, in the transaction that is open there.

    This alone goes past the triggers that keep the log append-only; they are back when it returns.
    """
    tables = db.metadata.sorted_tables
    kept = _without_triggers(target)
    for table in reversed(tables):
        target.execute(delete(table))
    _move(source, target, [table for table in tables if table.name not in PASSING])
    for statement in kept:
        target.execute(text(statement))


def _without_triggers(target: Connection) -> list[str]:
    """Take the triggers off; the statements that put them back."""
    if target.dialect.name != "sqlite":
        for table in GUARDED:
            target.execute(text(f"ALTER TABLE {table} DISABLE TRIGGER USER"))
        return [f"ALTER TABLE {table} ENABLE TRIGGER USER" for table in GUARDED]
    listing = "SELECT name, sql FROM sqlite_master WHERE type = 'trigger' AND tbl_name IN ('log', 'replaced')"
    rows = target.execute(text(listing)).all()
    for row in rows:
        target.execute(text(f"DROP TRIGGER {row.name}"))
    return [row.sql for row in rows]


def _move(source: Connection, target: Connection, tables: list[Any]) -> None:
    for table in tables:
        rows = source.execution_options(yield_per=PAGE).execute(select(table))
        for page in rows.mappings().partitions(PAGE):
            target.execute(insert(table), [dict(row) for row in page])
