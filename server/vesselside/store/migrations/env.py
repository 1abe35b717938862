"""Run the migrations on the app's own database, one process at a time."""

from alembic import context
from sqlalchemy import text

from vesselside.store.base import listed, models, notified  # noqa: F401  # fill the metadata
from vesselside.store.base.db import db

MIGRATING = 7_310_221_004


def run() -> None:
    with db.engine.connect() as connection:
        if connection.dialect.name == "postgresql":
            connection.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": MIGRATING})
        context.configure(connection=connection, target_metadata=db.metadata)
        with context.begin_transaction():
            context.run_migrations()
        connection.commit()


run()
