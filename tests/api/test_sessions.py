"""A person's session: how the desk's begins and ends, which secrets are taken, and what wrong ones lead to."""

import pytest
import requests
from argon2 import PasswordHasher
from sqlalchemy import text

from tests.api.outside import Phone
from tests.living import MANAGER, PINS
from vesselside.store.base.db import db
from vesselside.store.base.models import Person

NEEDS = "/api/desk/needs"


def used(server, device: str, minutes: int) -> None:
    """Let a device's session have been used last some minutes ago."""
    with server.inside():
        change = text("UPDATE sessions SET used = used - :ms WHERE device = :device")
        db.session.execute(change, {"ms": minutes * 60_000, "device": device})
        db.session.commit()


def since_used(server, device: str) -> list[int]:
    """When a device's sessions were used last."""
    with server.inside():
        rows = db.session.execute(
            text("SELECT used FROM sessions WHERE device = :device"), {"device": device}
        )
        return list(rows.scalars())


def test_a_desk_left_for_20_minutes_is_shut(server, desk):
    used(server, desk.id, 19)
    assert desk.get(NEEDS).status_code == 200
    used(server, desk.id, 19)
    assert desk.get(NEEDS).status_code == 200, "each use begins the 20 minutes again"
    used(server, desk.id, 21)
    assert desk.get(NEEDS).status_code == 403
    assert since_used(server, desk.id) == [], "it has ended for good"
    assert desk.post("/api/session", MANAGER).status_code == 200
    assert desk.get(NEEDS).status_code == 200


def test_its_last_use_is_written_down_at_most_once_a_minute(server, desk):
    before = since_used(server, desk.id)
    for _ in range(3):
        assert desk.get(NEEDS).status_code == 200
    assert since_used(server, desk.id) == before


def test_a_device_has_one_session_and_a_new_one_ends_the_old(desk):
    old = dict(desk.http.cookies)
    assert desk.post("/api/session", {"person": "bern", "pin": PINS["bern"]}).status_code == 200
    assert requests.get(desk.url + NEEDS, cookies=old, timeout=30).status_code == 403


def test_judging_a_second_persons_secret_leaves_the_session_alone(desk):
    second = {"person": "bern", "pin": PINS["bern"], "verify": True}
    judged = desk.post("/api/session", second).json()
    assert (judged["person"], judged["role"]) == ("bern", "brewer")
    assert judged["event"]["data"] == {"person": "bern", "device": desk.id, "how": "pin", "desk": False}
    assert desk.post("/api/session", {**second, "pin": "000000"}).status_code == 403
    assert desk.get(NEEDS).status_code == 200


def test_a_manager_without_a_password_has_no_desk(desk, other):
    made = desk.post("/api/desk/people", {"name": "Pin Only", "role": "manager", "pin": "602914"})
    signing_in = {"person": made.json()["person"], "pin": "602914"}
    assert other.post("/api/session", signing_in).status_code == 200
    assert other.get(NEEDS).status_code == 403


def person_of(desk: Phone) -> dict[str, str]:
    """Somebody nobody else in these tests tries at."""
    secrets = {"pin": "602914", "password": "wet-hay-in-the-tun"}
    made = desk.post("/api/desk/people", {"name": "Tried", "role": "manager", **secrets})
    return {"person": made.json()["person"], **secrets}


def test_a_password_from_before_it_had_to_be_long_has_no_desk(server, desk, other):
    made = person_of(desk)
    with server.inside():
        row = db.session.get(Person, (desk.enrolled["brewery"], made["person"]))
        row.password = PasswordHasher().hash("old-short")
        db.session.commit()
    assert other.post("/api/session", {"person": made["person"], "password": "old-short"}).status_code == 200
    assert other.get(NEEDS).status_code == 403


GUESSED_PINS = [
    "000000", "123456", "234567", "987654", "890123", "121212", "123123", "112233", "111222", "555111", "198719",
    "071984", "200000", "147258", "12341234",
]  # fmt: skip
GUESSED_PASSWORDS = [
    "copper-lid!", "aaaaaaaaaaaa", "password1234", "passwordpassword", "qwertyuiop12", "123456789012",
    "Password12345!", "abcdefghijkl", "brewerybrewery", "vesselside1234", "letmeinletmein",
]  # fmt: skip


@pytest.mark.parametrize(
    "secret", [*({"pin": pin} for pin in GUESSED_PINS), *({"password": word} for word in GUESSED_PASSWORDS)]
)
def test_a_secret_that_is_guessed_first_is_refused(desk, secret):
    """For a new person and for one who is here; the answer says why and holds no secret."""
    new = desk.post("/api/desk/people", {"name": "Short Reign", "role": "manager", **secret})
    change = requests.Request(json=secret, method="PATCH", url="http://x").prepare().body
    changed = desk.send(f"/api/desk/people/{person_of(desk)['person']}", change, method="PATCH")
    for answer in (new, changed):
        assert (answer.status_code, answer.json()["type"]) == (422, "urn:vesselside:invalid")
        assert next(iter(secret.values())) not in answer.text


@pytest.mark.parametrize("pin", ["740285", "161803", "0918273", "55019377"])
@pytest.mark.parametrize(
    "word", ["copper-lapwing-seven", "my tun smells of wet hay", "x" * 3 + "Qv9!tr0Lm2" * 90]
)
def test_any_other_secret_is_taken(desk, other, pin, word):
    made = desk.post("/api/desk/people", {"name": "Fine", "role": "manager", "pin": pin, "password": word})
    assert made.status_code == 201, made.text
    assert other.post("/api/session", {"person": made.json()["person"], "password": word}).status_code == 200
    assert other.get(NEEDS).status_code == 200


def test_a_right_pin_clears_no_password_count(desk, phone):
    tried = person_of(desk)
    wrong = {"person": tried["person"], "password": "not-this-one-either"}
    pin = {"person": tried["person"], "pin": tried["pin"]}
    for _ in range(5):
        assert phone.post("/api/session", wrong).status_code == 403
        assert phone.post("/api/session", pin).status_code == 200
    assert phone.post("/api/session", wrong).status_code == 429
    assert phone.post("/api/session", pin).status_code == 200, "the PIN's own count is another"


def test_tries_at_many_people_are_counted_for_the_phone(desk, phone, other):
    people = [person_of(desk) for _ in range(5)]
    for tried in people:
        for _ in range(3):
            answer = phone.post("/api/session", {"person": tried["person"], "pin": "998877"})
            assert answer.status_code == 403
    known = {"person": "bern", "pin": PINS["bern"]}
    answer = phone.post("/api/session", known)
    assert (answer.status_code, answer.json()["type"]) == (429, "urn:vesselside:rate-limited")
    assert int(answer.headers["Retry-After"]) >= 1
    assert other.post("/api/session", known).status_code == 200


def test_a_right_sign_in_between_forgives_the_phone_nothing(desk, phone):
    """Who knows one PIN may not try at the others for ever."""
    people = [person_of(desk) for _ in range(5)]
    known = {"person": "dora", "pin": PINS["dora"]}
    statuses = []
    for tried in people:
        for _ in range(3):
            statuses.append(
                phone.post("/api/session", {"person": tried["person"], "pin": "998877"}).status_code
            )
            phone.post("/api/session", known)
    assert statuses == [403] * 15
    assert phone.post("/api/session", known).status_code == 429


def test_tries_at_one_person_are_counted_over_all_phones(server, desk, other):
    tried = person_of(desk)
    wrong = {"person": tried["person"], "pin": "998877"}
    for _ in range(5):
        phone = Phone(server.url, server.code())
        assert [phone.post("/api/session", wrong).status_code for _ in range(4)] == [403] * 4
    right = {"person": tried["person"], "pin": tried["pin"]}
    assert other.post("/api/session", right).status_code == 429
    assert (
        other.post("/api/session", {"person": tried["person"], "password": tried["password"]}).status_code
        == 200
    )


def test_who_is_still_here_is_not_forgotten(desk):
    tried = person_of(desk)
    path = f"/api/desk/people/{tried['person']}"
    active = desk.send(f"{path}/name", b"", method="DELETE")
    assert (active.status_code, active.json()["type"]) == (409, "urn:vesselside:invalid")
    assert desk.send(path, b'{"status": "gone"}', method="PATCH").status_code == 204
    assert desk.send(f"{path}/name", b"", method="DELETE").status_code == 204
    assert desk.send("/api/desk/people/no-one-here/name", b"", method="DELETE").status_code == 404
