"""Callers who begin to send and do not go on: the server goes on, for everyone else, and in time lets them go."""

import socket
import subprocess
from collections.abc import Iterator

import pytest
import requests

MANY = 40
HOST = b"Host: 127.0.0.1\r\n"
JSON = b"Content-Type: application/json\r\n"
HALVES = {
    "nothing": b"",
    "half a head": b"GET /healthz HTTP/1.1\r\n" + HOST,
    "half a body": b"POST /api/devices HTTP/1.1\r\n" + HOST + JSON + b"Content-Length: 60000\r\n\r\n{",
    "half a chunk": b"POST /api/sync HTTP/1.1\r\n"
    + HOST
    + JSON
    + b"Transfer-Encoding: chunked\r\n\r\nff\r\n{",
    "half of more than is taken": b"PUT /api/photos/0 HTTP/1.1\r\n"
    + HOST
    + b"Content-Length: 99999999\r\n\r\n",
}


class Callers:
    """Everybody who calls in a test; hung up at its end."""

    def __init__(self, port: int) -> None:
        self._port = port
        self._open: list[socket.socket] = []

    def __call__(self, sent: bytes) -> socket.socket:
        """Somebody who has sent so much and no more."""
        made = socket.create_connection(("127.0.0.1", self._port), timeout=30)
        self._open.append(made)
        made.sendall(sent)
        return made

    def hang_up(self) -> None:
        """All of them."""
        for one in self._open:
            one.close()


@pytest.fixture
def caller(served) -> Iterator[Callers]:
    """Makes callers of that server's."""
    made = Callers(served.port)
    yield made
    made.hang_up()


@pytest.mark.parametrize("half", HALVES)
def test_forty_half_sent_requests_stop_nobody(served, caller, half):
    for _ in range(MANY):
        caller(HALVES[half])
    for _ in range(5):
        assert requests.get(f"{served.url}/healthz", timeout=5).status_code == 200


def test_callers_who_drip_stop_nobody(served, caller):
    callers = [caller(HALVES["half a head"]) for _ in range(MANY)]
    for letter in b"X-Slow: aaaaaaaaaaaa":
        for one in callers:
            one.send(bytes([letter]))
        assert requests.get(f"{served.url}/healthz", timeout=5).status_code == 200


def test_a_head_that_is_never_finished_is_let_go(caller):
    one = caller(HALVES["half a head"])
    assert one.recv(1) == b"", "the server hangs up"


def test_more_half_sent_requests_than_are_kept_stop_nobody(served, caller):
    """The oldest are let go first."""
    for _ in range(900):
        caller(HALVES["half a body"])
    assert requests.get(f"{served.url}/healthz", timeout=5).status_code == 200


@pytest.mark.parametrize(
    ("sent", "status", "kind"),
    [
        (b"GET / HTTP/1.1\r\n" + HOST + b"X-Long: " + b"a" * 70_000, b"431", b"too-large"),
        (b"GET /" + b"a" * 5_000 + b" HTTP/1.1\r\n" + HOST + b"\r\n", b"414", b"too-large"),
        (HALVES["half of more than is taken"], b"413", b"too-large"),
        (
            b"POST /api/sync HTTP/1.1\r\n" + HOST + b"Transfer-Encoding: chunked\r\n\r\n7fffffff\r\n",
            b"413",
            b"too-large",
        ),
        (b"GET / HTTP/1.1\r\n" + HOST + b"A name: x\r\n\r\n", b"400", b"malformed"),
        (b"no request at all\r\n\r\n", b"400", b"malformed"),
        (b"GET / HTTP/9.9\r\n" + HOST + b"\r\n", b"400", b"malformed"),
        (b"GET / HTTP/1.1\r\n" + HOST + b"Transfer-Encoding: x\r\n\r\n0\r\n\r\n", b"501", b"malformed"),
    ],
)
def test_what_is_too_large_or_no_request_is_told_so(caller, sent, status, kind):
    with caller(sent) as one:
        head, _, rest = one.recv(4096).partition(b"\r\n\r\n")
    assert head.split(b" ")[1] == status
    assert b"application/problem+json" in head
    assert b"urn:vesselside:" + kind in rest


def test_a_request_that_comes_in_pieces_or_with_the_next_is_answered(caller):
    get = b"GET /healthz HTTP/1.1\r\n" + HOST + b"\r\n"
    post = b"POST /api/session HTTP/1.1\r\n" + HOST + JSON
    whole = [
        get,
        post + b"Content-Length: 2\r\n\r\n{}",
        post + b"Transfer-Encoding: chunked\r\n\r\n1\r\n{\r\n1;x=y\r\n}\r\n0\r\nX-End: 1\r\n\r\n",
        post + b"Expect: 100-continue\r\nContent-Length: 2\r\n\r\n{}",
    ]
    with caller(b"") as one, one.makefile("rb") as answers:
        for request in whole:
            for at in range(len(request)):
                one.sendall(request[at : at + 1])
            said = status_of(answers)
            while said == b"100":
                said = status_of(answers)
            assert said == (b"200" if request is get else b"401")
        one.sendall(get * 3 + get[:9])
        assert [status_of(answers) for _ in range(3)] == [b"200"] * 3
        one.sendall(get[9:])
        assert status_of(answers) == b"200"


def status_of(answers) -> bytes:
    """The status of the next answer, which is read to its end."""
    status, length = answers.readline().split(b" ")[1], 0
    while (line := answers.readline().strip()) != b"":
        name, _, value = line.partition(b":")
        if name.lower() == b"content-length":
            length = int(value)
    answers.read(length)
    return status


def test_a_large_body_after_a_word_to_go_on_arrives(served, tmp_path):
    """As command-line clients send it: they wait for that word."""
    (tmp_path / "body").write_bytes(b"[" + b"1," * 700_000 + b"1]")
    done = subprocess.run(
        ["curl", "-s", "-o", "/dev/null", "-w", "%{http_code}", "-H", "Content-Type: application/json",
         "-H", "Expect: 100-continue", "--expect100-timeout", "20", "--data-binary", f"@{tmp_path / 'body'}",
         f"{served.url}/api/sync"],
        capture_output=True, check=True, timeout=60,
    )  # fmt: skip
    assert done.stdout == b"401"


def hung_up(one: socket.socket) -> bool:
    """Whether the server ended the call: in order, or, of one that it had not taken up yet, by a reset."""
    try:
        return one.recv(1) == b""
    except ConnectionResetError:
        return True


def test_stopping_waits_for_nobody_who_has_not_begun(served, caller):
    callers = [caller(b"") for _ in range(5)]
    assert served.stop() == 0
    assert [hung_up(one) for one in callers] == [True] * 5
