"""That a person was there is proved by a sign-in on that device; without one their word has no weight."""

import json
import time
from typing import Any

import pytest
from sqlalchemy import text

from tests.api.outside import Phone, new_run
from tests.living import MANAGER, PINS, Living
from vesselside.core import VERSION
from vesselside.store.base.db import db

Event = dict[str, Any]
OPENING = {"procedure": "none-such", "version": 1, "sha256": "0" * 64, "inputs": {}}
DAY = 86_400_000


def found(phone: Phone, run: str) -> list[tuple[str, str]]:
    """The findings of a run that tell of persons, by event."""
    told = phone.get(f"/api/runs/{run}").json()["run"]["findings"]
    return [
        (row["code"], row["event"]) for row in told if row["code"] in ("person-not-proved", "desk-closed")
    ]


def left_alone(server: Living, phone: Phone, minutes: int) -> None:
    """Let the sessions on a device have been used last so long ago."""
    with server.inside():
        change = text("UPDATE sessions SET used = used - :ms WHERE device = :device")
        db.session.execute(change, {"ms": minutes * 60_000, "device": phone.id})
        db.session.commit()


def review(phone: Phone, run: str, **changes: Any) -> Event:
    """A manager's review of a run as it stands, made on this device."""
    digest = phone.get(f"/api/runs/{run}").json()["run"]["digest"]
    data = {"verdict": "accepted", "digest": digest, "text": ""}
    return phone.make(run, "run.reviewed", data, person="mara", **changes)


def test_a_record_in_the_name_of_someone_who_never_signed_in_there_is_told(bare: Phone, run: str) -> None:
    forged = bare.make(run)
    bare.push([forged])
    assert found(bare, run) == [("person-not-proved", forged["id"])]
    assert (
        bare.get(f"/api/runs/{run}").json()["run"]["notes"][0]["event"] == forged["id"]
    )  # kept all the same
    bare.sign_in("bern", PINS["bern"])
    proved = bare.make(run)
    bare.push([proved])
    assert found(bare, run) == [("person-not-proved", forged["id"])]


def test_a_sign_in_is_in_the_log_with_device_and_way(bare: Phone) -> None:
    bare.sign_in("stig", PINS["stig"])
    bare.sign_in("stig", PINS["stig"])  # so soon again: the same sign-in
    (told,) = [
        event
        for event in bare.pull()
        if event["data"].get("device") == bare.id and event["type"] == "person.signed-in"
    ]
    assert told["source"] == "/server"
    assert told["person"] == "stig"
    assert told["data"] == {"person": "stig", "device": bare.id, "how": "pin", "desk": False}


def test_after_a_sign_out_the_name_proves_nothing(bare: Phone, run: str) -> None:
    bare.sign_in("bern", PINS["bern"])
    before = bare.make(run)
    bare.push([before])
    assert bare.send("/api/session", b"{}", method="DELETE").status_code == 204
    after = bare.make(run)
    bare.push([after])
    assert found(bare, run) == [("person-not-proved", after["id"])]


def test_a_phone_whose_clock_is_far_ahead_is_judged_by_the_receipt(bare: Phone, run: str) -> None:
    bare.sign_in("bern", PINS["bern"])
    ahead = int(time.time() * 1000) + 20 * DAY
    bare.push([bare.make(run, hlc=f"{ahead:012x}-0000")])
    assert found(bare, run) == []


def test_a_phone_s_own_word_counts_where_the_server_had_taken_that_secret_there(
    bare: Phone, other: Phone, run: str
) -> None:
    claim = {"person": "stig", "how": "offline"}
    bare.push([bare.make(run, "person.signed-in", claim, subject="/admin", person="stig")])
    forged = bare.make(run, person="stig")
    bare.push([forged])
    assert found(bare, run) == [("person-not-proved", forged["id"])]

    other.sign_in("stig", PINS["stig"])
    assert other.send("/api/session", b"{}", method="DELETE").status_code == 204
    second = new_run()
    other.push([other.make(second, "person.signed-in", claim, subject="/admin", person="stig")])
    other.push([other.make(second, person="stig")])
    assert found(other, second) == []
    (row,) = other.get(f"/api/runs/{second}").json()["run"]["present"]
    assert row == {"person": "stig", "device": other.id, "how": "offline", "records": 1}
    other.push([other.make(second, "person.signed-out", claim, subject="/admin", person="stig")])
    late = other.make(second, person="stig")
    other.push([late])
    assert found(other, second) == [("person-not-proved", late["id"])]


def test_a_sign_in_that_comes_after_its_records_is_taken_into_account(bare: Phone, run: str) -> None:
    bare.sign_in("bern", PINS["bern"])
    assert bare.send("/api/session", b"{}", method="DELETE").status_code == 204
    claim = bare.make(
        run, "person.signed-in", {"person": "bern", "how": "offline"}, subject="/admin", person="bern"
    )
    made = bare.make(run)
    bare.push([made])
    assert found(bare, run) == [("person-not-proved", made["id"])]
    bare.push([claim])
    assert found(bare, run) == []


@pytest.mark.parametrize("how", ["never", "pin", "out", "idle"])
def test_a_review_without_a_desk_that_is_open_does_not_stand(
    server: Living, bare: Phone, run: str, how: str
) -> None:
    """From a starter's phone in the manager's name; by the manager's PIN alone; after the desk was shut or left."""
    bare.sign_in("bern", PINS["bern"])
    bare.push([bare.make(run, "run.opened", OPENING), bare.make(run, "run.finished", {})])
    if how == "pin":
        bare.sign_in("mara", PINS["mara"])
    if how == "out":
        bare.post("/api/session", MANAGER)
        assert bare.send("/api/session", b"{}", method="DELETE").status_code == 204
    if how == "idle":
        bare.post("/api/session", MANAGER)
        left_alone(server, bare, minutes=21)
    made = review(bare, run)
    bare.push([made])
    state = bare.get(f"/api/runs/{run}").json()["run"]
    assert state["review"] is None
    wanted = "desk-closed" if how in ("pin", "idle") else "person-not-proved"
    assert (wanted, made["id"]) in found(bare, run)
    bare.post("/api/session", MANAGER)
    bare.push([review(bare, run)])
    assert bare.get(f"/api/runs/{run}").json()["run"]["review"]["stands"] is True


def test_signatures_answers_and_strikes_of_the_unproved_have_no_effect(bare: Phone, run: str) -> None:
    bare.sign_in("bern", PINS["bern"])
    raised = bare.make(run, "deviation.raised", {"text": "It leaks."})
    bare.push([bare.make(run, "run.opened", OPENING), raised])
    answer = bare.make(
        run, "deviation.answered", {"deviation": raised["id"], "action": "None."}, person="dora"
    )
    strike = bare.make(run, "struck", {"target": raised["id"], "reason": "None."}, person="dora")
    bare.push([answer, strike])
    (row,) = bare.get(f"/api/runs/{run}").json()["run"]["deviations"]
    assert row["answered"] is None
    assert {event for _, event in found(bare, run)} == {answer["id"], strike["id"]}


def test_a_review_after_the_managers_secret_was_set_anew_does_not_stand(
    bare: Phone, desk: Phone, run: str
) -> None:
    """Whoever had the desk open with the old secret may be the one the new secret shuts out."""
    secret = "wet-hay-in-the-tun"
    person = {"name": "Second Manager", "role": "manager", "password": secret}
    name = desk.post("/api/desk/people", person).json()["person"]
    bare.sign_in("bern", PINS["bern"])
    bare.push([bare.make(run, "run.opened", OPENING), bare.make(run, "run.finished", {})])
    assert bare.post("/api/session", {"person": name, "password": secret}).status_code == 200
    set_anew = json.dumps({"password": "five-owls-at-the-mash"}).encode()
    assert desk.send(f"/api/desk/people/{name}", set_anew, method="PATCH").status_code == 204
    bare.pull()
    digest = bare.get(f"/api/runs/{run}").json()["run"]["digest"]
    data = {"verdict": "accepted", "digest": digest, "text": ""}
    made = bare.make(run, "run.reviewed", data, person=name)
    bare.push([made])
    assert bare.get(f"/api/runs/{run}").json()["run"]["review"] is None
    assert made["id"] in [event for _, event in found(bare, run)]


@pytest.fixture
def signed(desk: Phone) -> Event:
    """The opening of a run by a procedure whose steps want a settling, a second person or an override."""
    words = {"why": "To see.", "how": "By hand.", "needs": []}
    ph = {"id": "ph", "label": "pH", "kind": "reading", "unit": "pH", "places": 1}
    body = {
        "id": "proved-by-whom", "version": 1, "title": "Proved by whom", "kind": "brew", "vessel_kinds": ["fermenter"],
        "summary": "A trial.", "leaves": "filled",
        "steps": [
            {"id": "read", "title": "Read", **words, "entries": [ph]},
            {"id": "both", "title": "Both", **words, "who": "second"},
            {"id": "fill", "title": "Fill", **words, "fills": True, "asks": [{"interlock": "fill"}]},
        ],
    }  # fmt: skip
    answer = desk.post("/api/desk/procedures", body)
    assert answer.status_code == 201, answer.text
    return {"procedure": body["id"], "version": 1, "sha256": answer.json()["sha256"], "inputs": {}}


def test_settlings_second_signatures_and_overrides_of_the_unproved_have_no_effect(
    bare: Phone, other: Phone, run: str, signed: Event
) -> None:
    bare.sign_in("bern", PINS["bern"])
    other.pull()
    opened = bare.make(run, "run.opened", {**signed, "vessel": new_run(), "gyle": "g1"})
    entry = {"step": "read", "field": "ph", "unit": "pH", "how": "keyed", "verdict": "target"}
    entry |= {"core": VERSION, "over": []}
    mine = bare.make(run, "entry.made", {**entry, "value": "4.1", "typed": "4.1"})
    both = bare.make(run, "step.done", {"step": "both", "verdict": "target", "core": VERSION})
    bare.push([opened, mine, both])
    theirs = other.make(run, "entry.made", {**entry, "value": "4.9", "typed": "4.9"})
    other.push([theirs])
    bare.pull()

    settled = {"step": "read", "field": "ph", "chosen": mine["id"], "reason": "measured"}
    settled |= {"over": [mine["id"], theirs["id"]]}
    passed = {"step": "fill", "interlock": "fill", "text": "Wort is hot", "check": "Swab taken"}

    def said(phone: Phone) -> list[Event]:
        made = [
            phone.make(run, "entry.settled", settled, person="dora"),
            phone.make(
                run, "sign.given", {"step": "both", "target": both["id"], "role": "duty"}, person="dora"
            ),
            phone.make(run, "deviation.raised", passed, person="dora"),
        ]
        phone.push(made)
        return made

    forged = said(bare)
    state = bare.get(f"/api/runs/{run}").json()["run"]
    assert {event for _, event in found(bare, run)} == {event["id"] for event in forged}
    assert state["steps"]["read"]["entries"]["ph"]["status"] == "contested"
    assert state["steps"]["both"]["signed"] is None
    told = [row["event"] for row in state["findings"] if row["code"] == "override-refused"]
    assert told == [forged[2]["id"]]

    said(other)
    state = bare.get(f"/api/runs/{run}").json()["run"]
    assert state["steps"]["read"]["entries"]["ph"]["status"] == "live"
    assert state["steps"]["both"]["signed"]["person"] == "dora"
