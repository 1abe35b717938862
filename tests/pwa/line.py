"""The line between phone and server: it passes calls to the real server, and can be cut where a test wants."""

import http.client
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from tests.pwa.house import Called, Reply, Scripted

if TYPE_CHECKING:
    from collections.abc import Callable

# What the phone said that the server must see, and what the server said that the phone must see, byte for byte.
PASSED = ("content-type", "content-encoding", "retry-after", "etag", "set-cookie", "cache-control")


class Line:
    """Answers a scripted server's calls from a real one.

    `bar` may answer a call in the server's stead; `spoil` may replace an answer after the server gave it.
    """

    def __init__(self, url: str) -> None:
        self.place = urlsplit(url).netloc
        self.bar: Callable[[Called], Reply | None] = lambda _called: None
        self.spoil: Callable[[Called, Reply], Reply] = lambda _called, reply: reply
        self.down = False

    def __call__(self, called: Called) -> Reply:
        if self.down:
            return Reply(502, b"no line", "text/plain")
        barred = self.bar(called)
        if barred is not None:
            return barred
        try:
            reply = self.passed(called)
        except (ConnectionError, http.client.HTTPException, TimeoutError):
            return Reply(502, b"no server", "text/plain")
        return self.spoil(called, reply)

    def passed(self, called: Called) -> Reply:
        """What the real server says."""
        connection = http.client.HTTPConnection(self.place, timeout=30)
        try:
            connection.request(called.method, called.path, called.body, called.headers)
            answer = connection.getresponse()
            headers = [(name, value) for name, value in answer.getheaders() if name.lower() in PASSED]
            kind = answer.headers.get("Content-Type", "")
            kept = {
                name: value for name, value in headers if name.lower() not in ("content-type", "set-cookie")
            }
            cookies = [value for name, value in headers if name.lower() == "set-cookie"]
            return Reply(answer.status, answer.read(), kind, kept, cookies=cookies)
        finally:
            connection.close()


def connect(network: Scripted, url: str) -> Line:
    """Put the server at `url` behind the scripted one."""
    line = Line(url)
    network.answer = line
    return line
