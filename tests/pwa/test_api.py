"""What counts as an answer of the server, and what counts as no network."""

import gzip
import json

import pytest

from tests.pwa.house import Reply, problem

ANSWER = {
    "results": [],
    "events": [],
    "cursor": "0000000000000003",
    "more": False,
    "now": "2026-11-25T05:40:00.000Z",
    "digests": {},
    "withheld": [],
}
CAUGHT = """async ([name, ...given]) => {
    try { return { value: await parts.api[name](...given) }; }
    catch ({ name, kind, status, detail, retryAfter }) { return { name, kind, status, detail, retryAfter }; }
}"""
PORTAL = b"<!doctype html><title>Welcome to our guest network</title><p>Accept the terms to go on."


def test_an_answer_of_the_right_status_type_and_shape_is_taken(page, network):
    network.answer = lambda _: Reply(200, {**ANSWER, "added-later": 1})
    assert page.evaluate(CAUGHT, ["exchange", "{}"])["value"]["cursor"] == "0000000000000003"


@pytest.mark.parametrize(
    "reply",
    [
        Reply(200, PORTAL, "text/html"),
        Reply(200, PORTAL, "application/json"),
        Reply(200, ANSWER, "text/plain"),
        Reply(201, ANSWER),
        Reply(204),
        Reply(302, PORTAL, "text/html", {"Location": "/login"}),
        Reply(307, PORTAL, "text/html", {"Location": "/index.html"}),
        Reply(403, PORTAL, "text/html"),
        Reply(502, b"<h1>Bad gateway</h1>", "text/html"),
        Reply(500, {"type": "about:blank"}, "application/problem+json"),
        Reply(200, {"type": "urn:vesselside:not-enrolled"}, "application/problem+json"),
        Reply(511, {"type": "urn:vesselside:not-enrolled"}, "application/json"),
        Reply(200, ANSWER, cut=True),
        *(Reply(200, {name: value for name, value in ANSWER.items() if name != left}) for left in ANSWER),
        Reply(200, {**ANSWER, "cursor": "3"}),
        Reply(200, {**ANSWER, "now": "yesterday"}),
        Reply(200, {**ANSWER, "results": [{"id": "x", "status": "perhaps"}]}),
        Reply(200, {**ANSWER, "events": ["event"]}),
        Reply(200, [ANSWER]),
    ],
    ids=lambda reply: f"{reply.status} {reply.kind} {reply.content()[:24]!r}",
)
def test_anything_else_is_no_network(page, network, reply):
    network.answer = lambda _: reply
    assert page.evaluate(CAUGHT, ["exchange", "{}"])["name"] == "NoNetwork"


def test_a_server_that_cannot_be_reached_is_no_network(browser, page):
    browser.set_offline(True)
    try:
        assert page.evaluate(CAUGHT, ["exchange", "{}"])["name"] == "NoNetwork"
    finally:
        browser.set_offline(False)


def test_a_body_that_never_ends_is_no_network(timed_page, network):
    """The time limit holds to the end of the body; the clock is the test's own."""
    network.answer = lambda _: Reply(200, ANSWER, headers={"Transfer-Encoding": "chunked"})
    timed_page.evaluate(f"() => {{ window.asked = ({CAUGHT})(['exchange', '{{}}']); }}")
    timed_page.wait_for_timeout(300)
    timed_page.clock.run_for(31_000)
    assert timed_page.evaluate("() => window.asked")["name"] == "NoNetwork"


@pytest.mark.parametrize(
    ("status", "kind", "headers", "retry"),
    [
        (401, "not-enrolled", {}, None),
        (413, "too-large", {}, None),
        (429, "rate-limited", {"Retry-After": "7"}, 7000),
        (503, "unavailable", {"Retry-After": "5"}, 5000),
        (422, "invalid", {}, None),
        (403, "code-invalid", {}, None),
    ],
)
def test_a_refusal_keeps_its_kind_and_what_it_asks_for(page, network, status, kind, headers, retry):
    network.answer = lambda _: problem(status, kind, **headers)
    known = "unknown" if kind == "unavailable" else kind
    assert page.evaluate(CAUGHT, ["exchange", "{}"]) == {
        "name": "Problem",
        "kind": known,
        "status": status,
        "detail": f"it is {kind}",
        "retryAfter": retry,
    }


def test_a_date_to_come_back_at_is_understood(page, network):
    # RFC 9110 section 10.2.3 gives both forms.
    network.answer = lambda _: problem(503, "failed", **{"Retry-After": "Fri, 31 Dec 2100 23:59:59 GMT"})
    assert page.evaluate(CAUGHT, ["exchange", "{}"])["retryAfter"] > 10**12


def test_a_long_body_travels_compressed_and_whole(page, network):
    network.answer = lambda _: Reply(200, ANSWER)
    body = json.dumps({"events": [{"text": "rinsed " * 500}]})
    page.evaluate(CAUGHT, ["exchange", body])
    page.evaluate(CAUGHT, ["exchange", "{}"])
    long, short = network.calls[-2:]
    assert long.headers["content-encoding"] == "gzip"
    assert len(long.body) < len(body) / 5
    assert gzip.decompress(long.body).decode() == body
    assert "content-encoding" not in short.headers
    assert short.body == b"{}"
    assert {call.headers["content-type"] for call in (long, short)} == {"application/json"}


def test_no_other_address_is_sent_a_packed_body(page, network):
    """Only the exchange's contract has one: any other route would take it for nonsense."""
    network.answer = lambda _: Reply(201, {"sha256": "0"})
    sent = {"summary": "rinsed " * 500}
    page.evaluate("sent => parts.api.send('POST', '/api/desk/procedures', sent, () => true)", sent)
    assert "content-encoding" not in network.calls[-1].headers
    assert json.loads(network.calls[-1].body) == sent


REFERENCE = {
    "version": "7",
    "minCore": "1.0",
    "procedures": [],
    "cautions": [],
    "vessels": [],
    "people": [{"id": "ada", "name": "Ada", "role": "brewer"}],
    "recipes": [],
    "settings": {},
}


def test_a_reference_is_asked_for_by_its_tag_and_kept(page, network):
    def answer(called):
        if called.headers.get("if-none-match") == '"seven"':
            return Reply(304, headers={"ETag": '"seven"'})
        return Reply(200, REFERENCE, headers={"ETag": '"seven"'})

    network.answer = answer
    refresh = "() => parts.api.refreshReference(() => Promise.resolve(true))"
    assert page.evaluate(refresh) == "taken"
    assert page.evaluate(refresh) == "unchanged"
    page.reload()
    page.wait_for_function("() => window.parts !== undefined")
    page.evaluate("() => parts.identity.loadIdentity()")
    assert page.evaluate("() => parts.api.reference.value.version") == "7"
    assert page.evaluate(refresh) == "unchanged"


def test_a_reference_turned_down_leaves_the_one_that_is_held(page, network):
    network.answer = lambda _: Reply(200, REFERENCE, headers={"ETag": '"seven"'})
    page.evaluate("() => parts.api.refreshReference(() => Promise.resolve(true))")
    network.answer = lambda _: Reply(200, {**REFERENCE, "version": "8"}, headers={"ETag": '"eight"'})
    turned = page.evaluate("() => parts.api.refreshReference(() => Promise.resolve(false))")
    assert turned == "turned-down"
    assert page.evaluate("() => parts.api.reference.value.version") == "7"


def test_filters_become_a_query(page, network):
    network.answer = lambda _: Reply(200, {"runs": [], "next": None})
    page.evaluate(CAUGHT, ["runs", {"vessel": "fv 1", "limit": 5}])
    assert network.calls[-1].path == "/api/runs?vessel=fv+1&limit=5"


@pytest.mark.parametrize(
    ("reply", "sent"),
    [
        (Reply(201, {"sha256": "ab", "bytes": 1}), True),
        (Reply(200, {"sha256": "ab", "bytes": 1}), True),
        (Reply(201, {"sha256": "cd", "bytes": 1}), False),
        (Reply(200), False),
        (Reply(200, PORTAL, "text/html"), False),
        (Reply(200, b"thank you", "text/plain"), False),
    ],
    ids=["stored", "held already", "another photo", "silence", "a portal", "somebody else"],
)
def test_a_photo_counts_as_sent_only_by_an_answer_of_the_server(page, network, reply, sent):
    network.answer = lambda _: reply
    told = page.evaluate(
        """() => parts.api.sendPhoto("ab", new Blob(["x"], { type: "image/jpeg" }))
            .then(() => "sent", (error) => error.name)"""
    )
    assert told == ("sent" if sent else "NoNetwork")
