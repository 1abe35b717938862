"""Hostile bodies, queries, addresses and cookies at every route: a clear problem, never a fault of ours."""

import re
from urllib.parse import quote

import pytest
import requests

from tests.api.outside import Phone, new_run
from tests.living import MANAGER
from vesselside.app import create_app

DEEP = b"[" * 30_000 + b"]" * 30_000
FIELDS = (
    "code",
    "name",
    "key",
    "person",
    "pin",
    "password",
    "value",
    "reason",
    "role",
    "text",
    "id",
    "steps",
    "kind",
)


def around(value: bytes) -> bytes:
    """An object that has the value in every field a route may look at."""
    return b"{" + b",".join(b'"%s":%s' % (name.encode(), value) for name in FIELDS) + b"}"


BODIES = {
    "nothing": b"",
    "deep": DEEP,
    "deep objects": b'{"a":' * 10_000 + b"1" + b"}" * 10_000,
    "deep in each": around(b"[" * 900 + b"]" * 900),
    "long integer": b"9" * 5_000,
    "long integer in each": around(b"9" * 4_000),
    "twice": b'{"name":"a","name":"b"}',
    "twice in each": around(b'{"a":1,"a":2}'),
    "surrogate in each": around(b'"\\ud800"'),
    "nul in each": around(b'"a\\u0000b"'),
    "nul in a key": b'{"a\\u0000":1}',
    "infinity in each": around(b"1e999"),
    "not a number": around(b"NaN"),
    "null in each": around(b"null"),
    "list in each": around(b"[]"),
    "object in each": around(b"{}"),
    "no UTF-8": b'{"name":"\xff"}',
    "a text": b'"text"',
    "null": b"null",
}
QUERIES = (
    "to=9999-12-31T23:59:59-23:59",
    "from=0001-01-01T00:00:00%2B23:59",
    "from=yesterday&to=%00",
    "from=%F0%9F%98%80&limit=99999999999999999999&after=%00&vessel=%00&procedure=%ED%A0%80",
    "limit=" + "9" * 3_000,
    "after=" + "A" * 3_000,
    "after=9999999999999999&limit=1",
    "before=1&after=99999999999999999999999999",
    "version=99999999999999999999",
    "status=%00&limit=-1",
)
NAMES = ("none-such", "%00", "a" * 2_000, "%F0%9F%98%80", "%ED%A0%80", "..%2F..%2Fx", "0", "%2e%2e")
COOKIES = ('"\\000"', "a." * 400, '"\\355\\240\\200"', "%00.%00.%00")


@pytest.fixture(scope="session")
def routes(tmp_path_factory):
    """Every address and the methods it takes, as the app itself maps them."""
    from tests.conftest import settings_for

    folder = tmp_path_factory.mktemp("routes")
    app = create_app(settings_for(folder, f"sqlite:///{folder / 'none.sqlite3'}"), serving=True)
    return sorted((rule.rule, method) for rule in app.url_map.iter_rules() for method in rule.methods)


def filled(rule: str, name: str) -> str:
    return re.sub(r"<[^>]*>", name, rule)


def told(answer: requests.Response, where: object) -> None:
    """A refusal is a problem in our own words; nothing is a fault of ours."""
    assert answer.status_code < 500 or answer.headers.get("Retry-After") == "60", (where, answer.text[:300])
    if answer.status_code >= 400 and answer.request.method != "HEAD" and "/api/" in answer.url:
        assert answer.headers["Content-Type"] == "application/problem+json", where


def test_every_route_takes_hostile_bodies(server, desk, routes):
    outsider = requests.Session()
    for rule, method in routes:
        if method in ("GET", "HEAD", "OPTIONS"):
            continue
        for name, body in BODIES.items():
            for caller in (desk.http, outsider):
                answer = caller.request(
                    method,
                    server.url + filled(rule, "none-such"),
                    data=body,
                    headers={"Content-Type": "application/json"},
                    timeout=60,
                )
                told(answer, (method, rule, name))
        if rule == "/api/session":
            assert desk.post("/api/session", MANAGER).status_code == 200


def test_every_route_takes_hostile_queries_and_names(server, desk, routes):
    for rule, method in routes:
        for query in QUERIES:
            if method in ("GET", "HEAD"):
                answer = desk.http.request(
                    method, f"{server.url}{filled(rule, 'none-such')}?{query}", timeout=60
                )
                told(answer, (method, rule, query))
        for name in NAMES if "<" in rule else ():
            answer = desk.http.request(
                method,
                server.url + filled(rule, name),
                data=b"{}",
                headers={"Content-Type": "application/json"},
                timeout=60,
            )
            told(answer, (method, rule, name))


def test_every_route_takes_hostile_cookies(server, routes):
    for rule, method in routes:
        for cookie in COOKIES:
            answer = requests.request(
                method,
                server.url + filled(rule, "none-such"),
                data=b"{}",
                headers={
                    "Content-Type": "application/json",
                    "Cookie": f"vesselside-device={cookie}; vesselside-person={cookie}",
                    "X-Forwarded-For": "9" * 500,
                },
                timeout=60,
            )
            told(answer, (method, rule, cookie))


@pytest.mark.parametrize("name", sorted(set(BODIES) - {"object in each", "list in each", "null in each"}))
@pytest.mark.parametrize("path", ["/api/devices", "/api/session", "/api/recipes", "/api/desk/people"])
def test_what_cannot_be_kept_is_400_or_422(desk, path, name):
    answer = desk.send(path, BODIES[name])
    assert answer.status_code in (400, 422), answer.text
    assert answer.json()["type"] in ("urn:vesselside:malformed", "urn:vesselside:invalid")


@pytest.mark.parametrize("query", QUERIES[:3])
def test_a_time_outside_the_calendar_is_422(phone, query):
    assert phone.get(f"/api/runs?{query}").status_code == 422


def test_a_run_with_a_name_nobody_can_have_is_404(phone):
    for name in ("%00", quote("\N{GRINNING FACE}"), new_run() * 9):
        assert phone.get(f"/api/runs/{name}").status_code == 404


def test_enrolment_is_counted_by_an_address_however_long(server):
    code = {"code": "no such code", "name": "phone", "key": Phone(server.url, server.code()).key.jwk}
    far = {"X-Forwarded-For": "9" * 500}
    ends = [requests.post(f"{server.url}/api/devices", json=code, headers=far, timeout=30) for _ in range(40)]
    assert {answer.status_code for answer in ends} == {403, 429}
