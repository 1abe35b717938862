"""On PostgreSQL nobody waits for ever: not for a lock that is not given, and not by a setting of the cluster's own."""

import pytest
from sqlalchemy import text

from tests.api.outside import Phone, new_run
from tests.conftest import migrate
from tests.living import Living, found
from vesselside.store.base.db import db, writing


@pytest.fixture
def office(postgres, tmp_path):
    url = postgres.url(postgres.create())
    migrate(tmp_path, url)
    living = Living(tmp_path, url)
    living.brewery = found(living)
    living.start()
    yield living
    living.leave()


def test_a_push_that_gets_no_turn_is_answered_and_may_come_again(office):
    phone = Phone(office.url, office.code())
    made = phone.make(new_run())
    with office.inside():
        with writing(office.brewery):
            answer = phone.exchange([made])
            assert (answer.status_code, answer.headers["Retry-After"]) == (503, "5")
            assert phone.get("/healthz").status_code == 200
        assert [row["status"] for row in phone.push([made])] == ["stored"]


def test_what_is_acknowledged_is_on_disk_whatever_the_cluster_says(office):
    with office.inside():
        name = db.engine.url.database
        db.session.execute(text(f'ALTER DATABASE "{name}" SET synchronous_commit = off'))
        db.session.execute(
            text(f"ALTER DATABASE \"{name}\" SET default_transaction_isolation = 'serializable'")
        )
        db.session.commit()
    with office.inside():
        said = [
            db.session.execute(text(f"SHOW {of}")).scalar()
            for of in ("synchronous_commit", "transaction_isolation")
        ]
    assert said == ["on", "read committed"]
