"""The desk's own calls: only for a manager, and what each of them does."""

import pytest

from tests.api.outside import Phone
from tests.living import MANAGER, PINS
from vesselside.core.run.events import SIGN_INS

CALLS = [
    ("GET", "/api/desk/needs"),
    ("GET", "/api/desk/cleanings"),
    ("GET", "/api/desk/deviations"),
    ("GET", "/api/desk/reviews"),
    ("GET", "/api/desk/quarantine"),
    ("GET", "/api/desk/administration"),
    ("PUT", "/api/desk/announcements"),
    ("GET", "/api/desk/devices"),
    ("POST", "/api/desk/codes"),
    ("GET", "/api/desk/people"),
    ("POST", "/api/desk/people"),
    ("PATCH", "/api/desk/people/bern"),
    ("DELETE", "/api/desk/people/bern/name"),
    ("PUT", "/api/desk/settings/x"),
    ("POST", "/api/desk/procedures"),
    ("POST", "/api/desk/devices/x/revocation"),
]


@pytest.mark.parametrize(("method", "path"), CALLS)
@pytest.mark.parametrize(
    "who", [None, {"person": "dora", "pin": PINS["dora"]}, {"person": "mara", "pin": PINS["mara"]}]
)
def test_the_desk_is_for_a_manager_with_a_password(phone, method, path, who):
    """A manager's six-digit PIN is for the vessel; at the desk the password is asked for."""
    if who:
        assert phone.post("/api/session", who).status_code == 200
    assert phone.send(path, b"{}", method=method).status_code == 403


def test_a_code_from_the_desk_enrols_a_device_which_the_desk_then_shows(server, desk):
    code = desk.post("/api/desk/codes", {"name": "cold room"}).json()["code"]
    phone = Phone(server.url, code, "cold room phone")
    (row,) = [row for row in desk.get("/api/desk/devices").json()["devices"] if row["id"] == phone.id]
    assert (row["name"], row["revoked"], row["heard"], row["number"]) == ("cold room phone", None, None, 0)


def test_the_desk_sees_how_far_a_device_was_heard(desk, phone, run):
    phone.push([phone.make(run) for _ in range(3)])
    (row,) = [row for row in desk.get("/api/desk/devices").json()["devices"] if row["id"] == phone.id]
    assert row["number"] == 3
    assert row["heard"]
    assert abs(row["offset_ms"]) < 60_000


def test_a_device_is_revoked_once(desk, phone):
    path = f"/api/desk/devices/{phone.id}/revocation"
    assert desk.post(path, {}).status_code == 422
    assert desk.post(path, {"reason": "lost in the wort"}).status_code == 204
    assert desk.post(path, {"reason": "again"}).status_code == 404
    (event,) = [
        row for row in desk.pull() if row["type"] == "device.revoked" and row["data"]["device"] == phone.id
    ]
    assert (event["data"]["reason"], event["person"]) == ("lost in the wort", "mara")
    turned_away = phone.get("/api/reference")
    assert (turned_away.status_code, turned_away.json()["revoked"]) == (401, True)


def test_people_come_change_and_go(desk, phone):
    body = {"name": "Wilf", "role": "starter", "pin": "907153"}
    person = desk.post("/api/desk/people", body).json()["person"]
    assert phone.post("/api/session", {"person": person, "pin": "907153"}).json()["role"] == "starter"
    change = b'{"role": "brewer", "pin": "862470"}'
    assert desk.send(f"/api/desk/people/{person}", change, method="PATCH").status_code == 204
    assert phone.post("/api/session", {"person": person, "pin": "907153"}).status_code == 403
    assert phone.post("/api/session", {"person": person, "pin": "862470"}).json()["role"] == "brewer"
    assert desk.send(f"/api/desk/people/{person}", b'{"status": "gone"}', method="PATCH").status_code == 204
    assert phone.post("/api/session", {"person": person, "pin": "862470"}).status_code == 403
    assert person not in [row["id"] for row in phone.get("/api/reference").json()["people"]]
    said = [
        event
        for event in phone.pull()
        if event["data"].get("person") == person and event["type"] not in SIGN_INS
    ]
    assert [(row["type"], row["data"].get("role"), row["by"]) for row in said] == [
        ("person.changed", "starter", "mara"),
        ("person.secret-set", None, "mara"),
        ("person.changed", "brewer", "mara"),
        ("person.secret-set", None, "mara"),
        ("person.retired", "brewer", "mara"),
    ]
    assert "Wilf" not in str(phone.pulled)


def test_a_name_can_be_forgotten_and_the_id_stays(desk):
    person = desk.post(
        "/api/desk/people", {"name": "Forgettable", "role": "starter", "pin": "907153"}
    ).json()["person"]
    assert desk.send(f"/api/desk/people/{person}", b'{"status": "gone"}', method="PATCH").status_code == 204
    assert desk.send(f"/api/desk/people/{person}/name", b"", method="DELETE").status_code == 204
    (row,) = [row for row in desk.get("/api/desk/people").json()["people"] if row["id"] == person]
    assert row["name"] is None


@pytest.mark.parametrize(
    "body",
    [
        {"name": "x", "role": "king", "pin": "907153"},
        {"name": "x", "role": "brewer", "pin": "12345"},
        {"name": "x", "role": "brewer", "pin": "abcdef"},
        {"name": "x", "role": "manager", "password": "short"},
        {"name": " ", "role": "brewer", "pin": "907153"},
        {"name": "a\nb", "role": "brewer", "pin": "907153"},
        {"role": "brewer"},
    ],
)
def test_a_person_that_cannot_be_kept_is_422(desk, body):
    assert desk.post("/api/desk/people", body).status_code == 422


def test_the_quarantine_pages(desk, phone, run):
    for _ in range(3):
        phone.push([{**phone.make(run), "person": "someone-else"}])
    first = desk.get("/api/desk/quarantine", limit=2).json()
    second = desk.get("/api/desk/quarantine", limit=2, after=first["next"]).json()
    sequences = [row["sequence"] for row in first["quarantine"] + second["quarantine"]]
    assert sequences == sorted(sequences, reverse=True)
    assert len(set(sequences)) == len(sequences) >= 3
    assert desk.get("/api/desk/needs").json()["counts"]["quarantine"] >= 3


def test_a_gone_managers_session_ends_at_once(server, desk):
    body = {"name": "Short Reign", "role": "manager", "password": "only-for-a-day"}
    person = desk.post("/api/desk/people", body).json()["person"]
    browser = Phone(server.url, server.code())
    assert browser.post("/api/session", {"person": person, "password": body["password"]}).status_code == 200
    assert browser.get("/api/desk/needs").status_code == 200
    desk.send(f"/api/desk/people/{person}", b'{"status": "gone"}', method="PATCH")
    assert browser.get("/api/desk/needs").status_code == 403
    assert browser.post("/api/session", MANAGER).status_code == 200
