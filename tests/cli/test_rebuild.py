"""`rebuild` tells what is kept otherwise than the log says; told to, it replaces it and keeps what stood there."""

import json

import pytest
from sqlalchemy import select, text
from sqlalchemy.exc import DBAPIError

from vesselside.store.base.db import db
from vesselside.store.base.models import Person, Replaced, Run


@pytest.fixture
def wrong(sound):
    """A brewery of one run, with figures changed beside the log; its id and the run's."""
    living, brewery, run, _ = sound
    with living.inside():
        kept = db.session.get(Run, (brewery, run))
        kept.digest, kept.vessel, kept.status = "0" * 64, "bbt1", "finished"
        kept.troubles = [{"run": run, "code": "filled-unproved", "text": "made up", "answered": None}]
        db.session.get(Person, (brewery, "stig")).role = "manager"
        db.session.commit()
    return living, brewery, run


def stood(living, brewery: str, run: str) -> list[object]:
    """What is kept, and what of it was ever replaced."""
    with living.inside():
        row = db.session.get(Run, (brewery, run), populate_existing=True)
        role = db.session.get(Person, (brewery, "stig"), populate_existing=True).role
        replaced = db.session.execute(select(Replaced.what).order_by(Replaced.place)).scalars().all()
        return [row.digest[:4], row.vessel, row.status, bool(row.troubles), role, replaced]


def expected(run: str) -> list[str]:
    return [
        f"run {run}: digest: kept {'0' * 64}, made ",
        f"run {run}: vessel: kept bbt1, made fv1",
        f"run {run}: status: kept finished, made open",
        f"run {run}: troubles: kept ",
        "person stig: kept manager, active; the log says starter, active",
    ]


def test_it_replaces_nothing_that_it_was_not_told_to(wrong):
    living, brewery, run = wrong
    before = stood(living, brewery, run)
    for _ in range(2):
        found = living.command("rebuild")
        assert (found.returncode, "--apply" in found.stderr) == (1, True)
        for line in expected(run):
            assert line in found.stdout
    assert stood(living, brewery, run) == before == ["0000", "bbt1", "finished", True, "manager", []]


def test_told_to_it_replaces_and_keeps_what_stood_there(wrong):
    living, brewery, run = wrong
    found = living.command("rebuild", "--apply")
    assert found.returncode == 1
    for line in expected(run):
        assert line in found.stdout
    _, *now, replaced = stood(living, brewery, run)
    assert now == ["fv1", "open", False, "starter"]
    assert sorted(set(replaced)) == ["person stig", f"run {run}"]
    with living.inside():
        kept = {row.what: json.loads(row.kept) for row in db.session.execute(select(Replaced)).scalars()}
        whole = [json.loads(row.kept) for row in db.session.execute(select(Replaced)).scalars()]
    assert kept["person stig"] == {"role": "manager", "status": "active"}
    assert any(row.get("vessel") == "bbt1" and row.get("digest") == "0" * 64 for row in whole)
    assert any(row.get("troubles", [{}])[0].get("text") == "made up" for row in whole if row.get("troubles"))
    again = living.command("rebuild", "--apply")
    assert (again.returncode, "0 differences" in again.stdout) == (0, True)
    told = living.command("check")
    assert (told.returncode, told.stdout) == (0, "ok\n")
    assert f"kept in the table `replaced`: person stig, run {run}" in told.stderr


def test_check_tells_stored_figures_that_are_not_the_logs(wrong):
    living, brewery, run = wrong
    found = living.command("check")
    assert found.returncode == 1
    assert f"run {run}: vessel: kept bbt1, made fv1" in found.stdout
    assert "person stig: kept manager, active; the log says starter, active" in found.stdout
    assert stood(living, brewery, run)[-1] == []


@pytest.mark.parametrize("statement", ["UPDATE replaced SET kept = '1'", "DELETE FROM replaced"])
def test_what_was_replaced_is_never_changed(wrong, statement):
    living, *_ = wrong
    assert living.command("rebuild", "--apply").returncode == 1
    with living.inside(), pytest.raises(DBAPIError, match="append-only"):
        db.session.execute(text(statement))
    with living.inside():
        db.session.rollback()


def test_what_was_replaced_goes_into_a_copy_and_comes_back_with_it(wrong):
    living, brewery, run = wrong
    assert living.command("rebuild", "--apply").returncode == 1
    before, copy = stood(living, brewery, run), str(living.folder / "copy.zip")
    assert living.command("backup", copy).returncode == 0
    living.stop()
    done = living.command("restore", "--replace", copy)
    assert done.returncode == 0, done.stderr
    assert stood(living, brewery, run) == before
