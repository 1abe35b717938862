"""Administration as it stands in the log: each act an event of the server that says who did it, and no name."""

import json
from concurrent.futures import ThreadPoolExecutor

import pytest

from tests.api.outside import Phone
from tests.living import MANAGER, PINS, Living
from vesselside import store
from vesselside.store.site import founding, people

HANDS = [("name", "Wilfred"), ("role", "duty"), ("pin", "862470"), ("status", "gone")]


@pytest.fixture
def wilf(desk) -> str:
    """Somebody new."""
    body = {"name": "Wilf", "role": "brewer", "pin": "907153"}
    person: str = desk.post("/api/desk/people", body).json()["person"]
    return person


def told(phone: Phone, since: str = "0" * 16) -> list[dict]:
    """The administration in the log after a place of it."""
    phone.pull()
    return [row for row in phone.pulled if row["source"] == "/server" and row["sequence"] > since]


def newest(phone: Phone) -> str:
    told(phone)
    return phone.cursor


def change(desk: Phone, person: str, **what: str) -> None:
    done = desk.send(f"/api/desk/people/{person}", json.dumps(what).encode(), method="PATCH")
    assert done.status_code == 204, done.text


def test_each_change_of_a_person_says_what_and_who(desk, wilf):
    since = newest(desk)
    for field, value in HANDS:
        change(desk, wilf, **{field: value})
    change(desk, wilf, status="active")
    said = told(desk, since)
    assert [(row["type"], row["data"].get("changed", row["data"].get("kinds"))) for row in said] == [
        ("person.changed", ["name"]),
        ("person.changed", ["role"]),
        ("person.secret-set", ["pin"]),
        ("person.retired", None),
        ("person.changed", ["status"]),
    ]
    assert {(row["by"], row["person"], row["subject"]) for row in said} == {("mara", "mara", "/admin")}
    assert "Wilf" not in json.dumps(desk.pulled)


def managing(living: Living, person: str, password: str) -> Phone:
    """A desk of a manager."""
    desk = Phone(living.url, living.code())
    assert desk.post("/api/session", {"person": person, "password": password}).status_code == 200
    return desk


@pytest.mark.parametrize("what", [{"role": "brewer"}, {"status": "gone"}, {"name": "M", "role": "duty"}])
def test_the_last_manager_stays_one(fresh, what):
    fresh.start()
    desk = managing(fresh, **MANAGER)
    size = desk.get("/api/log/head").json()["size"]
    refused = desk.send("/api/desk/people/mara", json.dumps(what).encode(), method="PATCH")
    assert (refused.status_code, refused.json()["type"]) == (409, "urn:vesselside:invalid")
    assert refused.json()["detail"] == "This is the last manager. Make someone else a manager first."
    assert desk.get("/api/log/head").json()["size"] == size
    change(desk, "dora", role="manager")
    change(desk, "mara", **what)


def test_of_two_managers_who_let_each_other_go_one_stays(fresh):
    with fresh.inside():
        people.change_person(
            store.book(founding.breweries()[0][0]), "dora", role="manager", password="wide-glass-gauge"
        )
    fresh.start()
    pairs = [
        (managing(fresh, **MANAGER), "dora"),
        (managing(fresh, "dora", "wide-glass-gauge"), "mara"),
    ]
    with ThreadPoolExecutor(2) as both:
        done = list(
            both.map(
                lambda pair: pair[0].send(
                    f"/api/desk/people/{pair[1]}", b'{"status": "gone"}', method="PATCH"
                ),
                pairs,
            )
        )
    assert sorted(answer.status_code for answer in done) in ([204, 403], [204, 409])
    with fresh.inside():
        rows = people.everyone(founding.breweries()[0][0])
    assert [row["role"] for row in rows if row["id"] in ("mara", "dora") and row["status"] == "active"] == [
        "manager"
    ]


def test_the_same_again_is_no_change(desk, wilf):
    since = newest(desk)
    change(desk, wilf, name="Wilf", role="brewer", status="active")
    assert [row["type"] for row in told(desk, since)] in ([], ["person.signed-in"])


def test_a_name_that_is_forgotten_is_said_once(desk, wilf):
    change(desk, wilf, status="gone")
    since = newest(desk)
    for _ in range(2):
        assert desk.send(f"/api/desk/people/{wilf}/name", b"", method="DELETE").status_code == 204
    (row,) = [row for row in told(desk, since) if row["type"] != "person.signed-in"]
    assert (row["type"], row["data"]["changed"], row["by"]) == ("person.changed", ["erased"], "mara")


def test_who_is_unknown_cannot_be_forgotten_and_who_works_here_only_after_leaving(desk, wilf):
    assert desk.send("/api/desk/people/nobody/name", b"", method="DELETE").status_code == 404
    assert desk.send(f"/api/desk/people/{wilf}/name", b"", method="DELETE").status_code == 409
    (row,) = [row for row in desk.get("/api/desk/people").json()["people"] if row["id"] == wilf]
    assert row["name"] == "Wilf"


def test_a_phone_is_enrolled_in_the_name_of_who_made_its_code(server, desk):
    since = newest(desk)
    code = desk.post("/api/desk/codes", {"name": "cold room"}).json()["code"]
    phone = Phone(server.url, code, "my phone")
    made, enrolled = told(desk, since)
    assert (made["type"], made["by"], made["data"]["name"]) == ("code.made", "mara", "cold room")
    assert (enrolled["type"], enrolled["by"]) == ("device.enrolled", "mara")
    assert enrolled["data"]["device"] == phone.id
    assert enrolled["data"]["code"] == {"name": "cold room", "hash": made["data"]["hash"]}
    assert enrolled["data"]["name"] == "my phone"
    assert code not in json.dumps([made, enrolled])


def test_a_code_of_the_command_line_says_so(server, desk):
    since = newest(desk)
    Phone(server.url, server.code("gate"))
    assert [(row["type"], row["by"], "person" in row) for row in told(desk, since)] == [
        ("code.made", "command-line", False),
        ("device.enrolled", "command-line", False),
    ]


def test_sign_ins_refused_in_a_row_are_written_down_once_the_free_ones_are_spent(desk, phone):
    since = newest(desk)
    for _ in range(4):
        assert phone.post("/api/session", {"person": "dora", "pin": "111119"}).status_code == 403
    assert phone.post("/api/session", {"person": "dora", "pin": PINS["dora"]}).status_code == 200
    assert told(desk, since) == []
    for _ in range(5):
        assert phone.post("/api/session", {"person": "dora", "pin": "111119"}).status_code == 403
    assert phone.post("/api/session", {"person": "dora", "pin": "111119"}).status_code == 429
    (row,) = told(desk, since)
    assert (row["type"], row["by"]) == ("sign-in.refused", "server")
    assert row["data"] == {"person": "dora", "device": phone.id, "kind": "pin", "tries": 5}


def test_the_desk_announces_until_a_manager_puts_it_away(server, desk, wilf):
    """A new phone, a secret that was set, sign-ins refused: by name, with who did it."""
    code = desk.post("/api/desk/codes", {"name": "cold room"}).json()["code"]
    phone = Phone(server.url, code, "my phone")
    for _ in range(5):
        phone.post("/api/session", {"person": wilf, "pin": "111119"})
    needs = desk.get("/api/desk/needs").json()
    refused, enrolled, secret = needs["announcements"][:3]
    assert (secret["kind"], secret["person"]) == ("person.secret-set", {"id": wilf, "name": "Wilf"})
    assert (enrolled["kind"], enrolled["device"]) == (
        "device.enrolled",
        {"id": phone.id, "name": "my phone"},
    )
    assert (enrolled["by"], enrolled["data"]["code"]["name"]) == ({"id": "mara", "name": "Mara"}, "cold room")
    assert (refused["kind"], refused["person"]["name"], refused["device"]["id"]) == (
        "sign-in.refused",
        "Wilf",
        phone.id,
    )
    assert needs["counts"]["announcements"] >= 3
    body = json.dumps({"through": enrolled["sequence"]}).encode()
    assert desk.send("/api/desk/announcements", body, method="PUT").status_code == 204
    left = desk.get("/api/desk/needs").json()
    assert [row["sequence"] for row in left["announcements"]] == [refused["sequence"]]
    assert left["counts"]["announcements"] == 1
    (away,) = desk.get("/api/desk/administration", limit=1).json()["administration"]
    assert (away["kind"], away["by"]["name"]) == ("announcement.put-away", "Mara")


def test_what_is_not_there_yet_cannot_be_put_away(desk):
    beyond = json.dumps({"through": f"{int(newest(desk)) + 50:016d}"}).encode()
    assert desk.send("/api/desk/announcements", beyond, method="PUT").status_code == 422
    for wrong in (b"{}", b'{"through": 3}', b'{"through": "12"}'):
        assert desk.send("/api/desk/announcements", wrong, method="PUT").status_code == 422


def test_the_administration_is_listed_newest_first_in_parts(desk, wilf):
    change(desk, wilf, role="duty")
    first = desk.get("/api/desk/administration", limit=2).json()
    second = desk.get("/api/desk/administration", limit=2, after=first["next"]).json()
    rows = first["administration"] + second["administration"]
    assert [row["sequence"] for row in rows] == sorted((row["sequence"] for row in rows), reverse=True)
    assert len({row["sequence"] for row in rows}) == 4
    assert (rows[0]["kind"], rows[0]["person"]["name"], rows[0]["data"]["role"]) == (
        "person.changed",
        "Wilf",
        "duty",
    )


def test_a_secret_is_never_in_the_log(desk, wilf):
    change(desk, wilf, pin="862471", password="seven-otters-in-tweed")
    set_before, row = [
        row for row in told(desk) if row["type"] == "person.secret-set" and row["data"]["person"] == wilf
    ]
    assert (set_before["data"]["kinds"], row["data"]["kinds"]) == (["pin"], ["pin", "password"])
    assert row["by"] == MANAGER["person"]
    assert "862471" not in json.dumps(desk.pulled)
    assert "otters" not in json.dumps(desk.pulled)
