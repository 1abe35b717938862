"""Enrolling a device and signing a person in: codes, keys, cookies, and what too many tries lead to."""

import time

import pytest
import requests

from tests.api.outside import Key, Phone
from tests.living import MANAGER, PINS
from vesselside import store
from vesselside.store.site import founding

CODE_LIFE_MS = 600_000


def enrol(url, code, key=None, name="phone"):
    body = {"code": code, "name": name, "key": Key().jwk if key is None else key}
    return requests.post(f"{url}/api/devices", json=body, timeout=30)


def test_a_code_enrols_one_device_once(server):
    code = server.code()
    first, second = enrol(server.url, code), enrol(server.url, code)
    assert first.status_code == 201
    assert set(first.json()) == {"device", "brewery", "now"}
    assert (second.status_code, second.json()["type"]) == (403, "urn:vesselside:code-invalid")


def test_a_code_is_read_as_people_write_it(server):
    code = server.code()
    assert len(code) == 10
    assert set(code) <= set("0123456789ABCDEFGHJKMNPQRSTVWXYZ")
    written = f"{code[:5]}-{code[5:]} ".lower().replace("0", "o").replace("1", "l")
    assert enrol(server.url, written).status_code == 201


def test_a_code_lasts_ten_minutes(server):
    with server.inside():
        brewery = founding.breweries()[0][0]
        now = int(time.time() * 1000)
        old = store.make_code(brewery, "old", now=now - CODE_LIFE_MS - 1)
        young = store.make_code(brewery, "young", now=now - CODE_LIFE_MS + 60_000)
    assert enrol(server.url, old).status_code == 403
    assert enrol(server.url, young).status_code == 201


def bad_keys():
    good = Key().jwk
    return {
        "nothing": {},
        "another curve": {**good, "crv": "P-384"},
        "another kind": {**good, "kty": "RSA"},
        "a short x": {**good, "x": good["x"][:-1]},
        "padded": {**good, "x": good["x"] + "="},
        "not on the curve": {**good, "y": good["x"]},
        "a private key": {**good, "d": good["x"]},
        "numbers": {**good, "x": 5},
    }


@pytest.mark.parametrize("what", bad_keys())
def test_a_bad_key_is_422_and_leaves_the_code_good(server, what):
    code = server.code()
    answer = enrol(server.url, code, bad_keys()[what])
    assert (answer.status_code, answer.json()["type"]) == (422, "urn:vesselside:invalid")
    assert enrol(server.url, code).status_code == 201


@pytest.mark.parametrize(
    "body", [{}, {"code": "x"}, {"code": 5, "name": "a", "key": {}}, {"code": "x", "name": "", "key": {}}]
)
def test_a_bad_shape_is_422(server, body):
    assert requests.post(f"{server.url}/api/devices", json=body, timeout=30).status_code == 422


def test_a_device_without_a_name_is_called_what_its_code_was_made_for(server, desk):
    code = desk.post("/api/desk/codes", {"name": "canning hall"}).json()["code"]
    made = requests.post(f"{server.url}/api/devices", json={"code": code, "key": Key().jwk}, timeout=30)
    assert made.status_code == 201
    names = {row["id"]: row["name"] for row in desk.get("/api/desk/devices").json()["devices"]}
    assert names[made.json()["device"]] == "canning hall"


HTTPS = {"X-Forwarded-Proto": "https"}


def test_over_https_the_cookies_are_this_hosts_alone(server):
    """`__Host-` (RFC 6265bis): Secure, of the whole host, and of no domain."""
    body = {"code": server.code(), "name": "desk", "key": Key().jwk}
    made = requests.post(f"{server.url}/api/devices", json=body, headers=HTTPS, timeout=30)
    signed_in = requests.post(
        f"{server.url}/api/session",
        json=MANAGER,
        headers={**HTTPS, "Cookie": made.headers["Set-Cookie"].partition(";")[0]},
        timeout=30,
    )
    assert signed_in.status_code == 200
    cookies = [answer.headers["Set-Cookie"] for answer in (made, signed_in)]
    for cookie, name in zip(cookies, ("device", "person"), strict=True):
        assert cookie.startswith(f"__Host-vesselside-{name}=")
        assert "Secure" in cookie
        assert "Path=/" in cookie
        assert "Domain" not in cookie
    both = "; ".join(cookie.partition(";")[0] for cookie in cookies)
    needs = f"{server.url}/api/desk/needs"
    assert requests.get(needs, headers={**HTTPS, "Cookie": both}, timeout=30).status_code == 200
    plain = both.replace("__Host-vesselside-person", "vesselside-person")
    assert requests.get(needs, headers={**HTTPS, "Cookie": plain}, timeout=30).status_code == 403


def test_a_phone_enrolled_before_there_was_that_name_goes_on_and_gets_it(server, phone):
    cookie = f"vesselside-device={phone.http.cookies['vesselside-device']}"
    answer = requests.post(
        f"{server.url}/api/sync",
        json={"cursor": "0" * 16},
        headers={**HTTPS, "Cookie": cookie},
        timeout=30,
    )
    assert answer.status_code == 200
    assert answer.headers["Set-Cookie"].startswith("__Host-vesselside-device=")


def test_the_device_cookie_is_as_agreed(server):
    cookie = enrol(server.url, server.code()).headers["Set-Cookie"]
    assert cookie.startswith("vesselside-device=")
    for part in ("HttpOnly", "SameSite=Strict", "Max-Age=34560000"):
        assert part in cookie
    assert "Secure" not in cookie


def test_the_cookie_is_secure_off_the_loopback_and_behind_https(server):
    for headers in ({"Host": "brewery.example"}, {"X-Forwarded-Proto": "https"}):
        body = {"code": server.code(), "name": "phone", "key": Key().jwk}
        answer = requests.post(f"{server.url}/api/devices", json=body, headers=headers, timeout=30)
        assert "Secure" in answer.headers["Set-Cookie"]


@pytest.mark.parametrize("cookie", ["", "x", "a.b.c", "é.ü.ö", "." * 3, "x" * 4000])
def test_no_or_a_wrong_cookie_is_401(server, cookie):
    answer = requests.get(
        f"{server.url}/api/reference", headers={"Cookie": f"vesselside-device={cookie}".encode()}, timeout=30
    )
    assert (answer.status_code, answer.json()["type"]) == (401, "urn:vesselside:not-enrolled")


OWN = "01a22600-0000-7000-8000-00000000000a"
LOST = {"device": "phone-of-before", "records": 12, "torn": 1, "loss": "total"}


def enrol_as(url, code, **brought):
    body = {"code": code, "name": "phone", "key": Key().jwk, **brought}
    return requests.post(f"{url}/api/devices", json=body, timeout=30)


def test_a_phone_that_lost_its_storage_keeps_the_id_it_has_recorded_under_and_the_log_says_so(server, phone):
    made = enrol_as(server.url, server.code(), device=OWN, lost=LOST)
    assert (made.status_code, made.json()["device"]) == (201, OWN)
    (event,) = [row for row in phone.pull() if row["data"].get("device") == OWN]
    assert (event["type"], event["data"]["lost"]) == ("device.enrolled", LOST)


def test_an_id_that_is_taken_is_refused_and_leaves_the_code_good(server, phone):
    code = server.code()
    own = OWN[:-1] + "b"
    assert enrol_as(server.url, server.code(), device=own).status_code == 201
    answer = enrol_as(server.url, code, device=own)
    assert (answer.status_code, answer.json()["type"]) == (409, "urn:vesselside:id-reused")
    assert enrol_as(server.url, code).status_code == 201


@pytest.mark.parametrize(
    "brought",
    [
        {"device": "server"},
        {"device": OWN.upper()},
        {"device": f"{OWN}\n"},
        {"device": 5},
        {"lost": {}},
        {"lost": {**LOST, "records": -1}},
        {"lost": {**LOST, "records": "12"}},
        {"lost": {**LOST, "loss": "x" * 41}},
        {"lost": {**LOST, "device": "No Id"}},
    ],
)
def test_what_a_phone_says_of_its_loss_is_judged_before_the_code_is_spent(server, brought):
    code = server.code()
    answer = enrol_as(server.url, code, **brought)
    assert (answer.status_code, answer.json()["type"]) == (422, "urn:vesselside:invalid")
    assert enrol_as(server.url, code).status_code == 201


def test_enrolling_makes_an_event_with_the_key(server, phone):
    (event,) = [
        row for row in phone.pull() if row["type"] == "device.enrolled" and row["data"]["device"] == phone.id
    ]
    assert event["data"]["key"] == phone.key.jwk
    assert event["log"] == phone.enrolled["brewery"]


def test_after_five_wrong_codes_in_a_minute_even_a_right_one_waits(fresh):
    fresh.start()
    code = fresh.code()
    assert [enrol(fresh.url, "0000000000").status_code for _ in range(5)] == [403] * 5
    answer = enrol(fresh.url, code)
    assert (answer.status_code, answer.json()["type"]) == (429, "urn:vesselside:rate-limited")
    assert 1 <= int(answer.headers["Retry-After"]) <= 60


def test_a_person_signs_in_by_pin_and_a_manager_by_password(phone):
    answer = phone.post("/api/session", {"person": "bern", "pin": PINS["bern"]})
    assert answer.status_code == 200
    assert {name: answer.json()[name] for name in ("person", "role")} == {"person": "bern", "role": "brewer"}
    cookie = answer.headers["Set-Cookie"]
    assert cookie.startswith("vesselside-person=")
    assert "HttpOnly" in cookie
    assert "SameSite=Strict" in cookie
    assert phone.post("/api/session", MANAGER).json()["role"] == "manager"


def test_signing_out_ends_the_session(desk):
    assert desk.get("/api/desk/needs").status_code == 200
    cookie = dict(desk.http.cookies)
    assert desk.http.delete(f"{desk.url}/api/session", timeout=30).status_code == 204
    again = requests.get(f"{desk.url}/api/desk/needs", cookies=cookie, timeout=30)
    assert again.status_code == 403


@pytest.mark.parametrize(
    "body",
    [
        {"person": "bern", "pin": "000000"},
        {"person": "bern", "password": PINS["bern"]},
        {"person": "nobody", "pin": "123456"},
        {"person": "mara", "pin": MANAGER["password"]},
    ],
)
def test_a_wrong_secret_is_403(phone, body):
    assert phone.post("/api/session", body).status_code == 403


@pytest.mark.parametrize(
    "body",
    [
        {},
        {"person": "bern"},
        {"person": "bern", "pin": "1", "password": "2"},
        {"person": "B", "pin": "1"},
        {"person": "bern", "pin": "\ud800"},
        {"person": "bern", "pin": 530917},
    ],
)
def test_a_bad_sign_in_is_422(phone, body):
    assert phone.post("/api/session", body).status_code == 422


def test_signing_in_needs_an_enrolled_device(server):
    answer = requests.post(f"{server.url}/api/session", json=MANAGER, timeout=30)
    assert answer.status_code == 401


def test_wrong_tries_lead_to_waiting_on_that_phone_only(phone, other):
    wrong, right = {"person": "stig", "pin": "999999"}, {"person": "stig", "pin": PINS["stig"]}
    assert [phone.post("/api/session", wrong).status_code for _ in range(5)] == [403] * 5
    answer = phone.post("/api/session", right)
    assert (answer.status_code, answer.json()["type"]) == (429, "urn:vesselside:rate-limited")
    assert 1 <= int(answer.headers["Retry-After"]) <= 5
    assert other.post("/api/session", right).status_code == 200
    assert phone.post("/api/session", {"person": "dora", "pin": PINS["dora"]}).status_code == 200


def test_a_lock_never_stops_recording(phone, run):
    for _ in range(6):
        phone.post("/api/session", {"person": "bern", "pin": "999999"})
    assert phone.push([phone.make(run)])[0]["status"] == "stored"


def test_a_session_is_of_one_device(desk, other):
    stolen = {"vesselside-person": desk.http.cookies["vesselside-person"]}
    answer = requests.get(
        f"{desk.url}/api/desk/needs",
        cookies={"vesselside-device": other.http.cookies["vesselside-device"], **stolen},
        timeout=30,
    )
    assert answer.status_code == 403


def test_phones_of_one_server_get_ids_of_their_own(server):
    phones = [Phone(server.url, server.code()) for _ in range(3)]
    assert len({phone.id for phone in phones}) == 3
    assert len({phone.enrolled["brewery"] for phone in phones}) == 1
