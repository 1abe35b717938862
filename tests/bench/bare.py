"""The bare baseline: Flask and SQLAlchemy that put the same rows into one table and commit; nothing is checked."""

import os

from flask import Flask, request
from sqlalchemy import BigInteger, Column, MetaData, String, Table, Text, create_engine, event, insert

metadata = MetaData()
rows = Table(
    "bare",
    metadata,
    Column("id", String(64), primary_key=True),
    Column("run", String(64), index=True),
    Column("number", BigInteger),
    Column("body", Text),
)


def create_app() -> Flask:
    """The app, on BARE_URL."""
    url = os.environ["BARE_URL"]
    engine = create_engine(url, pool_size=8, connect_args={"timeout": 20} if url.startswith("sqlite") else {})
    if url.startswith("sqlite"):

        @event.listens_for(engine, "connect")
        def configure(connection, _record):
            for pragma in ("journal_mode=WAL", "synchronous=FULL"):
                connection.execute(f"PRAGMA {pragma}")

    metadata.create_all(engine)
    app = Flask("bare")

    @app.post("/push")
    def push():
        sent = request.get_json()["events"]
        with engine.begin() as connection:
            connection.execute(
                insert(rows),
                [
                    {
                        "id": row["id"],
                        "run": row["subject"],
                        "number": row["number"],
                        "body": app.json.dumps(row),
                    }
                    for row in sent
                ],
            )
        return {"results": [{"id": row["id"], "status": "stored"} for row in sent]}

    @app.get("/healthz")
    def alive():
        return {"status": "alive"}

    return app
