"""What was taken out of a record does not come back with a copy from before, on either database."""

import json

import pytest

from tests.api.outside import digest_of, hash_of, new_run
from tests.back.outside import Keeper
from tests.back.test_drill import copy, put_back
from tests.cli.redacting import REASON, WORD, standing
from tests.living import PINS, Living
from tests.outside.chain import verify


def left_of(event: dict) -> dict:
    """The record as a phone keeps it that has heard of its redaction."""
    return {**event, "data": {"text": "(taken out)"}, "redacted": hash_of(event)}


def heard(phone: Keeper, *events: dict) -> None:
    """Have a phone do what a redaction says."""
    ids = {event["id"]: left_of(event) for event in events}
    phone.made = [ids.get(event["id"], event) for event in phone.made]
    phone.pulled = [
        {**event, **ids[event["id"]]} if event["id"] in ids and "redacted" not in event else event
        for event in phone.pulled
    ]


def keeper(living: Living) -> Keeper:
    phone = Keeper(living.url, living.code())
    phone.sign_in("bern", PINS["bern"])
    phone.sync()
    return phone


def redact(living: Living, event: dict) -> None:
    done = living.command("redact", event["id"], REASON)
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize("first", ["whoever heard of it", "whoever did not"])
def test_a_redaction_is_done_again_after_a_restore_to_before_it(fresh, first):
    fresh.start()
    one, two = keeper(fresh), keeper(fresh)
    run = new_run()
    note = one.make(run, data={"text": f"{WORD} slipped"})
    one.sync([note, one.make(run)])
    two.sync()
    copy(fresh)
    later = one.make(run, data={"text": f"{WORD} again"})
    one.sync([later, one.make(run)])
    two.sync()
    for event in (note, later):
        redact(fresh, event)
    one.sync()
    heard(one, note, later)
    assert standing(fresh) == []
    digest = one.get(f"/api/runs/{run}").json()["run"]["digest"]

    put_back(fresh)
    assert "log.body" in standing(fresh, files=False), "the copy holds what stood before"
    for phone in (one, two, one) if first == "whoever heard of it" else (two, one, two):
        phone.sync()
    assert standing(fresh, files=False) == []
    held = one.get(f"/api/runs/{run}").json()
    made = [event for event in one.made if event["subject"] == f"/runs/{run}"]
    assert {event["id"] for event in held["events"]} == {event["id"] for event in made}
    assert held["run"]["digest"] == digest == digest_of(made)
    assert verify(held, one.get("/api/reference").json()) == len(made)
    assert WORD not in json.dumps(held)
    taken = [row for row in held["run"]["findings"] if row["code"] == "taken-out"]
    assert {row["event"] for row in taken} == {note["id"], later["id"]}

    again = [event for event in one.pulled if event["type"] == "event.redacted" and "again" in event]
    assert [event["data"]["event"] for event in again] == [note["id"], later["id"]]
    assert {event["by"] for event in again} == {"command-line"}
    checked = fresh.command("check")
    assert (checked.stdout, checked.returncode) == ("ok\n", 0)
    assert "0 differences" in fresh.command("rebuild").stdout
    file = str(fresh.folder / "run.json")
    assert fresh.command("evidence", run, "-o", file).returncode == 0
    assert fresh.command("verify", file).stdout == "ok\n"
    assert one.sync([one.make(run)])["results"][0]["status"] == "stored"
    redact(fresh, note)  # it is done already: only what the database's files may hold of it goes
    assert standing(fresh) == []


def test_whoever_did_not_hear_of_it_brings_only_what_was_left(fresh):
    """The record was made after the copy; its own phone pushes the whole of it, after the redaction came back."""
    fresh.start()
    one, two = keeper(fresh), keeper(fresh)
    run = new_run()
    one.sync([one.make(run)])
    copy(fresh)
    note = one.make(run, data={"text": f"{WORD} slipped"})
    one.sync([note])
    redact(fresh, note)
    two.sync()
    put_back(fresh)
    for phone in (two, one, two):
        phone.sync()
    assert standing(fresh, files=False) == []
    stored = next(
        event for event in one.get(f"/api/runs/{run}").json()["events"] if event["id"] == note["id"]
    )
    assert (stored["redacted"], stored["data"]) == (hash_of(note), {"text": "(taken out)"})
    assert one.push([note])[0]["status"] == "repeat"
    assert fresh.command("check").stdout == "ok\n"


def test_only_what_the_servers_redaction_left_is_taken_without_its_signature(fresh):
    fresh.start()
    one = keeper(fresh)
    run = new_run()
    note, other = one.make(run, data={"text": f"{WORD} slipped"}), one.make(run)
    one.sync([note])
    redact(fresh, note)
    for forged in (
        {**left_of(other), "data": {"text": "never said"}},
        left_of(other),
        {**left_of(other), "redacted": hash_of(note)},
    ):
        assert one.push([forged])[0]["status"] == "quarantined"
    assert one.push([other])[0]["status"] == "stored"
    assert fresh.command("check").stdout == "ok\n"
