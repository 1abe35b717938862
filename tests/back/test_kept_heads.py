"""`check` beside heads that phones kept: a restore explains what it took back, and nothing before it."""

import json

from sqlalchemy import text, update

from tests.api.outside import new_run
from vesselside.store.base.db import db
from vesselside.store.base.models import Logged
from vesselside.store.base.schema import TRIGGERS


def checked(living, *heads):
    """What `check` says beside these heads."""
    path = living.folder / "heads.json"
    path.write_text(json.dumps(list(heads)))
    return living.command("check", "--head", str(path)).stdout


def test_a_head_from_before_a_restore_fits_where_the_copy_had_it_and_is_explained_where_not(living):
    phone, run = living.phone(), new_run()
    phone.sync([phone.make(run) for _ in range(5)])
    early = phone.get("/api/log/head").json()
    living.copy()
    phone.sync([phone.make(run) for _ in range(5)])
    late = phone.get("/api/log/head").json()
    assert checked(living, early, late) == "ok\n"
    living.put_back()
    phone.sync()
    newest = phone.get("/api/log/head").json()
    assert newest["size"] > late["size"]
    assert checked(living, early, late, newest) == "ok\n"


def test_a_record_changed_in_the_copy_is_not_explained_by_its_restore(living):
    phone, run = living.phone(), new_run()
    phone.sync([phone.make(run) for _ in range(5)])
    early = phone.get("/api/log/head").json()
    living.copy()
    living.put_back()
    with living.inside():
        for name in TRIGGERS["sqlite"]:
            db.session.execute(text(f"DROP TRIGGER {name}"))
        last = (Logged.brewery == living.brewery()) & (Logged.sequence == early["size"])
        db.session.execute(update(Logged).where(last).values(recorded=Logged.recorded + 1))
        db.session.commit()
    assert f"the kept head of {early['size']} records" in checked(living, early)
