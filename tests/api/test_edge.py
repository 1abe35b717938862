"""The edge: where calls may come from, what goes out with every answer, gzip both ways."""

import gzip
import json

import pytest
import requests

from tests.api.outside import START

POLICY = (
    "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self'; connect-src 'self'; "
    "style-src 'self'; img-src 'self' blob: data:; font-src 'self'; manifest-src 'self'; base-uri 'none'; "
    "form-action 'none'; frame-ancestors 'none'"
)


def test_every_answer_is_hardened(server):
    for path in ("/", "/healthz", "/api/reference", "/api/nothing", "/api/openapi.json"):
        headers = requests.get(server.url + path, timeout=30).headers
        assert headers["Content-Security-Policy"] == POLICY, path
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["Referrer-Policy"] == "no-referrer"
        assert headers["Cross-Origin-Opener-Policy"] == "same-origin"
        assert "geolocation=()" in headers["Permissions-Policy"]
        assert "microphone=()" in headers["Permissions-Policy"]


def test_only_over_https_a_browser_is_told_to_stay_there(server):
    for path in ("/", "/healthz", "/api/reference"):
        plain = requests.get(server.url + path, timeout=30)
        secure = requests.get(server.url + path, headers={"X-Forwarded-Proto": "https"}, timeout=30)
        assert "Strict-Transport-Security" not in plain.headers
        assert int(secure.headers["Strict-Transport-Security"].removeprefix("max-age=")) > 31_000_000


@pytest.mark.parametrize(
    "origin", ["https://elsewhere.example", "null", "http://127.0.0.1:1", "http://localhost"]
)
def test_another_origin_is_turned_away(phone, run, origin):
    event = phone.make(run)
    answer = phone.post("/api/sync", {"cursor": START, "events": [event]}, Origin=origin)
    assert (answer.status_code, answer.json()["type"]) == (403, "urn:vesselside:cross-origin")
    assert phone.get(f"/api/runs/{run}").status_code == 404


def test_our_own_origin_passes(server, phone):
    assert phone.post("/api/sync", {"cursor": START}, Origin=server.url).status_code == 200


@pytest.mark.parametrize(
    "kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data", ""]
)
def test_what_a_form_could_send_is_turned_away(phone, kind):
    answer = phone.send("/api/sync", json.dumps({"cursor": START}).encode(), Content_Type=kind)
    assert (answer.status_code, answer.json()["type"]) == (403, "urn:vesselside:cross-origin")


def test_gzip_both_ways(phone, run):
    events = [phone.make(run) for _ in range(20)]
    answer = phone.gzipped({"cursor": START, "events": events})
    assert answer.status_code == 200
    assert {row["status"] for row in answer.json()["results"]} == {"stored"}
    assert answer.headers["Content-Encoding"] == "gzip"
    plain = phone.post("/api/sync", {"cursor": START}, Accept_Encoding="identity")
    assert "Content-Encoding" not in plain.headers


def test_sizes_are_after_unpacking(phone):
    packed = gzip.compress(b'{"cursor": "0000000000000000", "events": [' + b"{}," * 200_000 + b"{}]}")
    assert len(packed) < 10_000
    answer = phone.send("/api/sync", packed, Content_Encoding="gzip")
    assert (answer.status_code, answer.json()["type"]) == (413, "urn:vesselside:too-large")


def test_a_bomb_is_not_unpacked(phone):
    answer = phone.send("/api/sync", gzip.compress(b" " * 500_000_000, 9), Content_Encoding="gzip")
    assert answer.status_code == 413


CUT_SHORT = gzip.compress(b'{"cursor": "0000000000000000"}')[:-4]


@pytest.mark.parametrize("data", [b"not gzip", CUT_SHORT, b""], ids=["another format", "cut short", "empty"])
def test_what_gzip_did_not_write_is_400(phone, data):
    answer = phone.send("/api/sync", data, Content_Encoding="gzip")
    assert (answer.status_code, answer.json()["type"]) == (400, "urn:vesselside:malformed")


def test_another_encoding_is_415(phone):
    assert phone.send("/api/sync", b"x", Content_Encoding="br").status_code == 415


def test_a_body_beyond_all_measure_is_413(phone):
    answer = phone.send("/api/sync", b"x" * 2_000_000)
    assert (answer.status_code, answer.json()["type"]) == (413, "urn:vesselside:too-large")


def test_what_is_private_is_not_kept_by_caches(phone):
    assert phone.exchange().headers["Cache-Control"] == "no-store"
    assert phone.get("/api/runs").headers["Cache-Control"] == "no-store"
