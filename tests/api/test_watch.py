"""The security log: a line for whatever was turned away, by device and address, and no secret in it."""

import json

import pytest
import requests

from tests.api.outside import Key, Phone
from tests.living import MANAGER, PINS, Living

SECRETS = ("not-the-password-at-all", "998877", "WRNGC0DE99", PINS["bern"], MANAGER["password"])


def lines(living: Living) -> list[dict[str, str]]:
    """What the server has said about who was turned away."""
    said = (living.folder / "serve.log").read_text().splitlines()
    return [json.loads(line) for line in said if line.startswith("{")]


@pytest.fixture
def phone(fresh) -> Phone:
    """A phone at a server of this test's own."""
    fresh.start()
    return Phone(fresh.url, fresh.code())


def test_what_is_turned_away_is_told_without_a_secret(fresh, phone):
    phone.post("/api/session", {"person": "bern", "pin": PINS["bern"]})
    phone.post("/api/session", {"person": "mara", "password": SECRETS[0]})
    for _ in range(6):
        phone.post("/api/session", {"person": "bern", "pin": SECRETS[1]})
    phone.get("/api/desk/needs")
    phone.post("/api/sync", {}, Origin="https://elsewhere.example")
    requests.post(
        f"{fresh.url}/api/devices",
        json={"code": SECRETS[2], "name": "x", "key": Key().jwk},
        headers={"X-Forwarded-For": "192.0.2.7"},
        timeout=30,
    )
    said = [(row["security"], row["status"], row["call"]) for row in lines(fresh)]
    assert said == [
        *[("sign-in-failed", 403, "POST /api/session")] * 6,
        ("too-many", 429, "POST /api/session"),
        ("refused", 403, "GET /api/desk/needs"),
        ("refused", 403, "POST /api/sync"),
        ("code-refused", 403, "POST /api/devices"),
    ]
    assert {row["device"] for row in lines(fresh)} == {phone.id, None}
    assert lines(fresh)[-1]["address"] == "192.0.2.7"
    whole = (fresh.folder / "serve.log").read_text()
    assert not [secret for secret in (*SECRETS, phone.http.cookies["vesselside-device"]) if secret in whole]


def test_a_line_is_a_line_whatever_was_asked_for(fresh, phone):
    phone.get("/api/desk/devices")
    phone.http.delete(f'{fresh.url}/api/desk/people/%0a{{"security":"x"}}/name', timeout=30)
    assert [row["security"] for row in lines(fresh)] == ["refused"] * 2
