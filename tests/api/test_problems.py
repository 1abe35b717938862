"""Every error answer has one shape, on every route, and the OpenAPI document knows every route."""

import json
import re
import time

import pytest
import requests
from sqlalchemy import text

from tests.living import Living
from vesselside.app import create_app
from vesselside.store.base.db import db

LISTED = {
    "not-enrolled",
    "code-invalid",
    "malformed",
    "too-large",
    "id-reused",
    "number-reused",
    "chain-broken",
    "signature-invalid",
    "source-mismatch",
    "cross-origin",
    "rate-limited",
    "not-found",
    "invalid",
}


def is_problem(answer: requests.Response) -> None:
    """RFC 9457, with one of the kinds the contract lists."""
    assert answer.headers["Content-Type"] == "application/problem+json"
    body = answer.json()
    assert body["status"] == answer.status_code
    assert body["type"].removeprefix("urn:vesselside:") in LISTED, body
    assert body["title"]
    assert body["detail"]


@pytest.fixture(scope="session")
def document(server: Living) -> dict:
    """The OpenAPI document, as served."""
    return requests.get(f"{server.url}/api/openapi.json", timeout=30).json()


def operations(document: dict):
    return [
        (method, path, operation)
        for path, row in document["paths"].items()
        for method, operation in row.items()
        if method in ("get", "put", "post", "delete", "patch")
    ]


def filled(path: str) -> str:
    return re.sub(r"\{[^}]+\}", "nothing-of-that-id", path)


def test_every_route_answers_a_stranger_with_a_problem(server, document):
    seen = 0
    for method, path, operation in operations(document):
        if "security" not in operation:
            continue
        answer = requests.request(method, server.url + filled(path), json={}, timeout=30)
        is_problem(answer)
        assert answer.status_code == 401, (method, path)
        seen += 1
    assert seen >= 15


def test_every_route_answers_nonsense_with_a_documented_problem(server, desk, document):
    """Sent by a manager, so that it gets past the credentials."""
    for method, path, operation in operations(document):
        for body in (b"{", b"[]", b'{"name": "\\u0000", "role": 7, "reason": "", "value": []}'):
            if method == "get" or (method, path) == ("delete", "/api/session"):
                continue
            answer = desk.send(filled(path), body, method=method)
            if answer.status_code >= 400:
                is_problem(answer)
            assert str(answer.status_code) in operation["responses"], (
                method,
                path,
                answer.status_code,
                answer.text,
            )


@pytest.mark.parametrize(
    "query",
    ["limit=0", "limit=x", "from=yesterday", "after=%ff", "after=eA", "status=ended", "vessel=A%20B"],
)
def test_a_bad_query_is_a_problem(phone, query):
    answer = phone.http.get(f"{phone.url}/api/runs?{query}", timeout=30)
    is_problem(answer)
    assert answer.status_code == 422


@pytest.mark.parametrize("method", ["PUT", "PATCH", "POST", "DELETE"])
def test_a_method_a_route_lacks_is_a_problem_and_says_what_it_has(phone, method):
    answer = phone.send("/api/reference", b"{}", method=method)
    is_problem(answer)
    assert answer.status_code == 405
    assert "GET" in answer.headers["Allow"]


@pytest.mark.parametrize(
    "path", ["/api/nothing", "/api/", "/api/runs/", "/nothing.js", "/api/runs/Not%20An%20Id", "/api/runs/a/b"]
)
def test_an_address_that_is_not_there_is_a_problem(phone, path):
    answer = phone.get(path)
    is_problem(answer)
    assert answer.status_code == 404


def test_a_page_that_wants_no_html_is_a_problem(phone):
    answer = phone.http.get(f"{phone.url}/board", headers={"Accept": "application/json"}, timeout=30)
    is_problem(answer)
    assert answer.status_code == 404


def test_the_document_is_openapi_3_1(document):
    """Against the published JSON Schema of OpenAPI 3.1, as shipped by openapi-spec-validator."""
    from openapi_spec_validator import OpenAPIV31SpecValidator

    assert document["openapi"].startswith("3.1")
    assert [error.message for error in OpenAPIV31SpecValidator(document).iter_errors()] == []


def test_the_document_has_every_route(fresh, document):
    app = create_app(fresh.settings, serving=True)
    routes = {
        (method.lower(), re.sub(r"<(?:\w+:)?(\w+)>", r"{\1}", rule.rule))
        for rule in app.url_map.iter_rules()
        for method in rule.methods - {"HEAD", "OPTIONS"}
        if rule.endpoint not in ("screen", "api-docs.openapi_json")
    }
    assert routes == {(method, path) for method, path, _ in operations(document)}


def test_every_operation_says_what_it_is_and_how_it_may_fail(document):
    for method, path, operation in operations(document):
        assert operation["summary"], (method, path)
        if path != "/healthz":
            assert "503" in operation["responses"], (method, path)
        for status, answer in operation["responses"].items():
            if status >= "400":
                assert set(answer["content"]) == {"application/problem+json"}, (method, path, status)


def test_the_frozen_addresses_are_all_there(document):
    for method, path in (
        ("post", "/api/devices"),
        ("post", "/api/session"),
        ("delete", "/api/session"),
        ("post", "/api/sync"),
        ("get", "/api/reference"),
        ("get", "/api/runs"),
        ("get", "/api/runs/{run}"),
        ("get", "/api/vessels"),
        ("get", "/healthz"),
        ("get", "/readyz"),
    ):
        assert method in document["paths"][path], path


def test_probes(server):
    assert requests.get(f"{server.url}/healthz", timeout=30).json() == {"status": "alive"}
    assert requests.get(f"{server.url}/readyz", timeout=30).json() == {"status": "ready"}


def test_readiness_asked_for_without_end_writes_no_more_than_once_a_second(server):
    def written() -> int:
        with server.inside():
            return db.session.execute(text("SELECT at FROM readiness")).scalar() or 0

    began, seen = time.monotonic(), set()
    for _ in range(60):
        assert requests.get(f"{server.url}/readyz", timeout=30).status_code == 200
        seen.add(written())
    assert len(seen) <= 2 + (time.monotonic() - began)


def test_the_document_is_json_and_small_enough_to_read(document):
    assert len(json.dumps(document)) < 200_000
