"""The database itself refuses to change the log, after every migration, on both kinds."""

import pytest
from alembic.config import Config
from alembic.script import ScriptDirectory
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from tests.conftest import settings_for
from vesselside import store
from vesselside.app import create_app
from vesselside.store.base import schema
from vesselside.store.base.db import db


@pytest.fixture
def filled(fresh):
    """The store of a database whose log holds something."""
    with fresh.inside():
        yield


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE log SET body = body",
        "UPDATE log SET status = 'stored' WHERE sequence = 1",
        "DELETE FROM log",
        "DELETE FROM log WHERE sequence = 1",
    ],
)
def test_update_and_delete_are_refused(filled, statement):
    before = db.session.execute(text("SELECT sequence, hash FROM log ORDER BY sequence")).all()
    assert before
    with pytest.raises(DBAPIError, match="append-only"):
        db.session.execute(text(statement))
    db.session.rollback()
    assert db.session.execute(text("SELECT sequence, hash FROM log ORDER BY sequence")).all() == before


COPY = "sequence, status, problem, event, source, number, run, kind, hlc, hash, prevhash, body, recorded"
TAKE = f"INSERT OR REPLACE INTO log (brewery, {COPY})"


@pytest.mark.parametrize(
    "statement",
    [
        f"{TAKE} SELECT brewery, {COPY} FROM log WHERE sequence = 1",
        # at a free place, but with an id and a number that are taken
        f"{TAKE} SELECT brewery, {COPY.replace('sequence', '1000000')} FROM log WHERE sequence = 1",
    ],
)
def test_nothing_takes_the_place_of_what_is_there(filled, statement):
    if db.engine.dialect.name == "postgresql":
        statement = statement.replace("INSERT OR REPLACE", "INSERT")
    before = db.session.execute(text("SELECT sequence, hash FROM log ORDER BY sequence")).all()
    with pytest.raises(DBAPIError, match=r"append-only|duplicate key"):
        db.session.execute(text(statement))
    db.session.rollback()
    assert db.session.execute(text("SELECT sequence, hash FROM log ORDER BY sequence")).all() == before


def test_truncate_is_refused(filled):
    if db.engine.dialect.name == "sqlite":
        assert "TRUNCATE" not in str(
            db.session.execute(text("SELECT group_concat(sql) FROM sqlite_master")).scalar()
        )
        return
    with pytest.raises(DBAPIError, match="append-only"):
        db.session.execute(text("TRUNCATE log"))
    db.session.rollback()


def revisions() -> list[str]:
    config = Config(schema.FOLDER / "alembic.ini")
    config.set_main_option("script_location", str(schema.FOLDER))
    return [revision.revision for revision in ScriptDirectory.from_config(config).walk_revisions()][::-1]


@pytest.mark.parametrize("revision", revisions())
@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_the_triggers_are_there_after_every_migration(request, tmp_path, kind, revision):
    from flask_migrate import upgrade

    if kind == "sqlite":
        url = f"sqlite:///{tmp_path / 'empty.sqlite3'}"
    else:
        server = request.getfixturevalue("postgres")
        url = server.url(server.create())
    with create_app(settings_for(tmp_path, url)).app_context():
        upgrade(directory=str(schema.FOLDER), revision=revision)
        younger = {"log_refuses_replace"} if revision < "0008" else set()
        younger |= {name for name in schema.TRIGGERS[kind] if "replaced_" in name and revision < "0012"}
        assert schema.triggers() == schema.TRIGGERS[kind] - younger
        store.release()


def test_the_models_are_what_the_migrations_make(fresh):
    from alembic.autogenerate import compare_metadata
    from alembic.migration import MigrationContext

    with fresh.inside(), db.engine.connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection), db.metadata) == []


def test_sqlite_is_set_up_to_keep_what_it_acknowledged(templates, tmp_path):
    url = templates.of("sqlite", founded=False).copy(tmp_path)
    with create_app(settings_for(tmp_path, url)).app_context():
        values = [
            db.session.execute(text(f"PRAGMA {name}")).scalar()
            for name in ("journal_mode", "synchronous", "foreign_keys")
        ]
        assert values == ["wal", 2, 1]
        store.release()
