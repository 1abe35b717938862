"""A database of before the register counted: brought up to date, it counts what its runs have held all along."""

import time

import pytest
from sqlalchemy import select, text

from tests.api.outside import Phone, instant, new_run
from vesselside.store.base.db import db
from vesselside.store.base.models import Run

COLUMNS = (
    "kind", "opener", "closer", "review", "answered", "found", "struck", "stop", "advise", "late", "clock", "paper",
    "unproved", "short", "trouble_told", "doubt_told",
)  # fmt: skip


@pytest.fixture
def older(fresh):
    """A server whose database is as the version before made it, and a run in it with records by a clock that is off."""
    fresh.start()
    phone, run = Phone(fresh.url, fresh.code()), new_run()
    opened = {"procedure": "none", "version": 1, "sha256": "0" * 64, "vessel": "fv1", "inputs": {}}
    phone.push(
        [phone.make(run, "run.opened", opened), phone.make(run)],
        clock=instant(int(time.time() * 1000) - 180_000),
    )
    assert phone.get("/api/runs", found="clock").json()["total"] == 1
    fresh.stop()
    with fresh.inside():
        kept = db.session.execute(select(Run)).scalar_one()
        kept.summary = {name: told for name, told in kept.summary.items() if name != "tally"}
        db.session.flush()
        db.session.execute(text("DROP INDEX ix_runs_register"))
        for name in COLUMNS:
            db.session.execute(text(f"ALTER TABLE runs DROP COLUMN {name}"))
        for name in ("deviations", "cleanings", "deliveries", "notices", "subscriptions"):
            db.session.execute(text(f"DROP TABLE {name}"))
        db.session.execute(text("UPDATE alembic_version SET version_num = '0013'"))
        db.session.commit()
    return fresh, phone, run


def test_an_older_database_is_counted_once_it_is_brought_up_to_date(older):
    server, phone, run = older
    assert server.command("migrate").returncode == 0
    server.start()
    phone.url = server.url
    page = phone.get("/api/runs", found="clock", vessel="fv1").json()
    assert ([row["id"] for row in page["runs"]], page["total"], page["behind"]) == ([run], 1, 0)
    assert page["runs"][0]["tally"]["clock"] == 2
    assert server.command("rebuild").returncode == 0
