"""Whatever is kept beside the log and changed there by hand, `check` names: rows, texts, what was judged of runs."""

import pytest
from sqlalchemy import select

from vesselside.store.base.db import db
from vesselside.store.base.models import Device, InstrumentRun, Person, ProcedureVersion, Run
from vesselside.store.log import signing


def a_procedure(brewery: str) -> ProcedureVersion:
    query = select(ProcedureVersion).where(ProcedureVersion.brewery == brewery).order_by(ProcedureVersion.id)
    row = db.session.execute(query).scalars().first()
    assert row
    return row


def retitled(brewery: str, run: str, device: str) -> str:
    row = a_procedure(brewery)
    row.content = {**row.content, "title": "Another"}
    return f"procedure {row.id} version {row.version}: its text is not the one that was published"


def retitled_with_its_hash(brewery: str, run: str, device: str) -> str:
    said = retitled(brewery, run, device)
    row = a_procedure(brewery)
    row.sha256 = signing.sha256(signing.canonical(row.content))
    return said


def taken_away(brewery: str, run: str, device: str) -> str:
    row = a_procedure(brewery)
    db.session.delete(row)
    return f"procedure {row.id} version {row.version}: it was published, and its text is not here"


def put_in(brewery: str, run: str, device: str) -> str:
    row = a_procedure(brewery)
    more = {name: getattr(row, name) for name in ("brewery", "sha256", "content", "published")}
    db.session.add(ProcedureVersion(id="made-up", version=1, **more))
    return "procedure made-up version 1: it is kept and was never published"


def nobody(brewery: str, run: str, device: str) -> str:
    db.session.delete(db.session.get(Person, (brewery, "dora")))
    return "person dora: is not kept"


def renamed(brewery: str, run: str, device: str) -> str:
    row = db.session.get(Device, (brewery, device))
    assert row
    said = f"device {device}: kept as Another; the log says {row.name}"
    row.name = "Another"
    return said


def in_trouble(brewery: str, run: str, device: str) -> str:
    row = db.session.get(Run, (brewery, run))
    assert row
    row.troubles = [{"run": run, "code": "filled-unproved", "text": "made up", "answered": None}]
    return f"run {run}: troubles: kept "


def doubted(brewery: str, run: str, device: str) -> str:
    db.session.add(
        InstrumentRun(brewery=brewery, instrument="ph4", run=run, checked=True, checks=[{"good": True}])
    )
    return f"instrument ph4 in run {run}: "


CHANGES = [
    retitled,
    retitled_with_its_hash,
    taken_away,
    put_in,
    nobody,
    renamed,
    in_trouble,
    doubted,
]


@pytest.mark.parametrize("change", CHANGES)
def test_what_was_changed_beside_the_log_is_named(sound, change):
    living, *names = sound
    with living.inside():
        said = change(*names)
        db.session.commit()
    found = living.command("check")
    assert found.returncode == 1
    assert said in found.stdout, found.stderr
    assert "Traceback" not in found.stderr
