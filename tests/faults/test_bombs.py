"""Bodies that cost far more to take in than to send: each is answered with its problem, and nobody else waits."""

import gzip
import hashlib
import io
import json
import threading
from functools import cache

import pytest
import requests
from PIL import Image

from tests.api.outside import Phone, new_run
from tests.living import MANAGER

AT_ONCE, EACH = 3, 3


@cache
def picture(side: int) -> bytes:
    """A picture of one colour: few bytes to send, `side` squared to unfold."""
    file = io.BytesIO()
    Image.new("RGB", (side, side), (9, 9, 9)).save(file, "PNG")
    return file.getvalue()


def aliases() -> str:
    """YAML of a few lines that stands for a billion."""
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{at}: &a{at} [{', '.join([f'*a{at - 1}'] * 9)}]" for at in range(1, 10)]
    return "\n".join(lines)


def sync(phone: Phone, events: bytes, **headers: str) -> requests.Response:
    body = b'{"cursor":"%s","events":[%s]}' % (phone.cursor.encode(), events)
    return phone.send("/api/sync", body, **headers)


def deep(phone: Phone) -> int:
    return sync(phone, b"[" * 100_000 + b"]" * 100_000).status_code


def deep_in_an_event(phone: Phone) -> int:
    return sync(phone, b'{"data":' + b'{"a":' * 20_000 + b"1" + b"}" * 20_000 + b"}").status_code


def huge_integer(phone: Phone) -> int:
    return sync(phone, b"9" * 200_000).status_code


def zipped(phone: Phone) -> int:
    body = gzip.compress(b'{"cursor":"0000000000000000","events":[' + b" " * 50_000_000 + b"]}")
    return phone.send("/api/sync", body, Content_Encoding="gzip").status_code


def alias(phone: Phone) -> int:
    return phone.post("/api/desk/procedures/file", {"text": aliases()}).status_code


def image(phone: Phone) -> int:
    content, run = picture(12_000), new_run()
    sha256 = hashlib.sha256(content).hexdigest()
    phone.push(
        [phone.make(run, "photo.added", {"sha256": sha256, "mime": "image/png", "bytes": len(content)})]
    )
    return phone.send(f"/api/photos/{sha256}", content, method="PUT", Content_Type="image/png").status_code


BOMBS = {
    deep: {200},
    deep_in_an_event: {200},
    huge_integer: {200},
    zipped: {413},
    alias: {422},
    image: {413, 422},
}
"""What each is answered with; an event that cannot be taken is refused by itself, in an answer to all."""


@pytest.mark.parametrize("bomb", BOMBS, ids=lambda bomb: bomb.__name__)
def test_a_bomb_is_answered_and_nobody_waits_for_it(served, bomb):
    phones = [Phone(served.url, served.code(f"phone {at}")) for at in range(AT_ONCE)]
    for phone in phones:
        assert phone.post("/api/session", MANAGER).status_code == 200
    told: list[int] = []
    callers = [
        threading.Thread(target=lambda phone=phone: told.extend(bomb(phone) for _ in range(EACH)))
        for phone in phones
    ]
    for caller in callers:
        caller.start()
    asked = 0
    while any(caller.is_alive() for caller in callers) or not asked:
        # far above the second it should take, since this machine has others to serve
        assert requests.get(f"{served.url}/healthz", timeout=5).status_code == 200
        asked += 1
    assert len(told) == AT_ONCE * EACH
    assert {status for status in told if status != 429} <= BOMBS[bomb], json.dumps(told)
    assert any(status != 429 for status in told)
