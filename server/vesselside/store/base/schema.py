"""The schema and its version: bring a database up to date, or say that it is not."""

from pathlib import Path

from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from flask_migrate import Migrate
from flask_migrate import upgrade as migrate_up
from sqlalchemy import text
from sqlalchemy.exc import OperationalError

from vesselside.store.base.db import db

FOLDER = Path(__file__).parents[1] / "migrations"
migrate = Migrate(directory=str(FOLDER), render_as_batch=False)


class SchemaError(Exception):
    """The database cannot be used as it is; the text says what would help."""


def _script() -> ScriptDirectory:
    config = Config(FOLDER / "alembic.ini")
    config.set_main_option("script_location", str(FOLDER))
    return ScriptDirectory.from_config(config)


def head() -> str | None:
    """The version this program needs."""
    return _script().get_current_head()


def current() -> str | None:
    """The version the database has, or None when it has none."""
    try:
        with db.engine.connect() as connection:
            return MigrationContext.configure(connection).get_current_revision()
    except OperationalError as error:
        raise SchemaError(f"The database does not answer: {str(error.orig).strip()}") from error


def is_known(version: str | None) -> bool:
    """Whether this program knows a version, and so can bring it up to date."""
    return version is None or version in {row.revision for row in _script().walk_revisions()}


def upgrade() -> None:
    """Bring the schema up to date; nothing to do is fine."""
    current()
    migrate_up(directory=str(FOLDER))


def require() -> None:
    """SchemaError unless the database has the schema this program needs."""
    found, wanted = current(), head()
    if found is None:
        raise SchemaError("The database has no tables yet; run: vesselside migrate")
    if found != wanted:
        raise SchemaError(
            f"The database is at version {found}, this program needs {wanted}; run: vesselside migrate"
        )


def scrub() -> None:
    """Have the database's own files forget what was overwritten, as far as it can: free pages, old versions of rows."""
    db.session.remove()
    if db.engine.dialect.name == "sqlite":
        held = db.engine.raw_connection()
        try:
            held.cursor().execute("VACUUM")
            held.cursor().execute("PRAGMA wal_checkpoint(TRUNCATE)")
        finally:
            held.close()
        return
    with db.engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        connection.execute(text("VACUUM log, runs, deviations, cleanings, replaced"))


TRIGGERS = {
    "sqlite": {
        "log_refuses_update", "log_refuses_delete", "log_refuses_replace",
        "replaced_refuses_update", "replaced_refuses_delete", "replaced_refuses_replace",
    },
    "postgresql": {
        "log_refuses_update", "log_refuses_delete", "log_refuses_truncate",
        "replaced_refuses_update", "replaced_refuses_delete", "replaced_refuses_truncate",
    },
}  # fmt: skip
"""The triggers that keep the log, and what was replaced beside it, append-only, by kind of database."""

_LISTING = {
    "sqlite": "SELECT name FROM sqlite_master WHERE type = 'trigger' AND tbl_name IN ('log', 'replaced')",
    "postgresql": (
        "SELECT tgname FROM pg_trigger WHERE tgrelid IN ('log'::regclass, to_regclass('replaced')) "
        "AND NOT tgisinternal AND tgenabled = 'O'"
    ),
}


def triggers() -> set[str]:
    """The triggers that are on the log, and beside it, now."""
    return set(db.session.execute(text(_LISTING[db.engine.dialect.name])).scalars())
