"""A worker whose threads never wait for a caller to go on sending.

Gunicorn's own hands a connection to a thread as soon as something has come, so as many half-sent requests as there
are threads stop it. Here one loop collects each request, head and body, and a thread gets it when it is whole.
A request has its time and its size; when all of them together are too much, the oldest goes. An answer that nobody
takes ends too.
"""

import json
import re
import selectors
import time
from functools import partial
from http import HTTPStatus
from typing import Any

from gunicorn import http
from gunicorn.http.errors import (
    ConfigurationProblem,
    ExpectationFailed,
    InvalidResponseHeader,
    InvalidResponseHeaderName,
    LimitRequestHeaders,
    LimitRequestLine,
    ParseException,
    UnsupportedTransferCoding,
)
from gunicorn.workers.gthread import ThreadWorker

HEAD_BYTES = 65_536
HEAD_SECONDS = 10
BODY_BYTES = 5 * 1024 * 1024
"""A photo, and some more."""
BODY_SECONDS = 60
ANSWER_SECONDS = 60
LEAVE_SECONDS = 2
MOST_HALF_SENT = 400
MOST_BYTES = 64 * 1024 * 1024
PIECE = 65_536

_LENGTH = re.compile(rb"\r\ncontent-length:[ \t]*(\d{1,15})[ \t]*\r\n", re.IGNORECASE)
_CHUNKED = re.compile(rb"\r\ntransfer-encoding:", re.IGNORECASE)
_EXPECTS = re.compile(rb"\r\nexpect:[ \t]*100-continue[ \t]*\r\n", re.IGNORECASE)
_SIZE = re.compile(rb"([0-9a-fA-F]{1,8})[^\r\n]{0,256}\r\n")
_REFUSAL = (
    "HTTP/1.1 {status} {title}\r\nContent-Type: application/problem+json\r\nContent-Length: {length}\r\n"
    "Cache-Control: no-store\r\nConnection: close\r\n\r\n{body}"
)


_UNREADABLE = {
    LimitRequestLine: 414,
    LimitRequestHeaders: 431,
    ExpectationFailed: 417,
    UnsupportedTransferCoding: 501,
}
"""What a request that cannot be read is answered; any other of the kind 400."""
_OURS = (ConfigurationProblem, InvalidResponseHeader, InvalidResponseHeaderName)


def refusal(status: int) -> bytes:
    """An answer to what never became a request."""
    title, kind = HTTPStatus(status).phrase, "too-large" if status in (413, 414, 431) else "malformed"
    problem = {"type": f"urn:vesselside:{kind}", "title": title, "status": status, "detail": f"{title}."}
    body = json.dumps(problem)
    return _REFUSAL.format(status=status, title=title, length=len(body), body=body).encode()


class TooLargeError(Exception):
    """No more of this request is collected."""

    def __init__(self, status: int) -> None:
        super().__init__(HTTPStatus(status).phrase)
        self.answer = refusal(status)


class HalfSent:
    """What has come of one request, until when the rest is waited for, and how far it was looked at."""

    def __init__(self, data: bytes, now: float) -> None:
        self.data = bytearray(data)
        self.until = now + HEAD_SECONDS
        self.refused = False
        self._begun = now
        self._body: int | None = None
        self._chunked = False
        self._at = 0

    @property
    def waits_for_a_word(self) -> bool:
        """Whether the caller sends its body only when it is told to go on."""
        return self._body is not None and bool(_EXPECTS.search(self.data, 0, self._body))

    def whole(self) -> bool:
        """Whether nothing of it is missing; TooLargeError when it is too much."""
        if self._body is None and not self._head():
            return False
        return self._chunks() if self._chunked else len(self.data) >= self._at

    def _head(self) -> bool:
        end = self.data.find(b"\r\n\r\n", self._at)
        if end < 0:
            self._at = max(0, len(self.data) - 3)
            if len(self.data) > HEAD_BYTES:
                raise TooLargeError(431)
            return False
        self._at = self._body = end + 4
        self.until = self._begun + BODY_SECONDS
        self._chunked = bool(_CHUNKED.search(self.data, 0, self._body))
        length = _LENGTH.search(self.data, 0, self._body)
        if length and not self._chunked:
            self._at += int(length[1])
            self._measure(self._at)
        return True

    def _chunks(self) -> bool:
        """Look over the chunks that are there; a framing that is none is left to the parser to refuse."""
        while size := _SIZE.match(self.data, self._at):
            bytes_in_it = int(size[1], 16)
            if not bytes_in_it:
                # Trailers, if there are any, end as a head does.
                return self.data.find(b"\r\n\r\n", size.end() - 2) >= 0
            after = size.end() + bytes_in_it + 2
            self._measure(after)
            if after > len(self.data):
                return False
            self._at = after
        return len(self.data) - self._at > PIECE

    def _measure(self, end: int) -> None:
        if end - (self._body or 0) > BODY_BYTES:
            raise TooLargeError(413)


class Worker(ThreadWorker):  # type: ignore[misc]  # gunicorn carries no types
    """Gunicorn's threads, fed with whole requests."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._half: dict[Any, HalfSent] = {}
        self._bytes = 0

    def enqueue_req(self, conn: Any) -> None:
        """A connection has something to say: collect it, beginning with what was read ahead."""
        if conn.parser is None:
            conn.parser = http.get_parser(conn.cfg, conn.sock, conn.client)
            conn.initialized = True
            # The thread makes the socket wait as long as it takes; this, which it calls then, sets an end.
            conn.init = partial(conn.sock.settimeout, ANSWER_SECONDS)
        conn.sock.setblocking(False)
        half = HalfSent(conn.parser.unreader.take_buffered(), time.monotonic())
        self._half[conn] = half
        self._bytes += len(half.data)
        self.poller.register(conn.sock, selectors.EVENT_READ, partial(self._more, conn))
        self._look(conn, half)
        while self._half and (len(self._half) > MOST_HALF_SENT or self._bytes > MOST_BYTES):
            self._drop(next(iter(self._half)))

    def murder_pending(self) -> None:
        """Close what took too long, and on stopping what has not begun."""
        super().murder_pending()
        now = time.monotonic()
        for conn, half in list(self._half.items()):
            if half.until <= now or not (self.alive or half.data):
                self._drop(conn)

    def handle_quit(self, sig: Any, frame: Any) -> None:
        """End at once; while still setting up, once that is done: to end in its midst is told as a fault."""
        if self.booted:
            super().handle_quit(sig, frame)
        self.alive = False

    def handle_error(self, req: Any, client: Any, addr: Any, exc: BaseException) -> None:
        """Answer what the parser cannot read as any other fault is; a fault of ours is gunicorn's to tell."""
        if not isinstance(exc, ParseException) or isinstance(exc, _OURS):
            super().handle_error(req, client, addr, exc)
            return
        status = next((status for kind, status in _UNREADABLE.items() if isinstance(exc, kind)), 400)
        self.log.debug("A request could not be read: %s", exc)
        try:
            client.sendall(refusal(status))
        except OSError as error:
            self.log.debug("Its caller is gone: %s", error)

    def _more(self, conn: Any, sock: Any) -> None:
        """The socket can be read."""
        half = self._half.get(conn)
        if half is None:
            return  # it was dropped while this was on its way
        try:
            data = sock.recv(PIECE)
        except BlockingIOError:
            return
        except OSError:
            data = b""
        if not data:
            self._drop(conn)
        elif not half.refused:
            half.data += data
            self._bytes += len(data)
            self._look(conn, half)

    def _look(self, conn: Any, half: HalfSent) -> None:
        try:
            before = half.waits_for_a_word
            if half.whole():
                self._take(conn)
                conn.parser.unreader.unread(bytes(half.data))
                super().enqueue_req(conn)
            elif half.waits_for_a_word and not before:
                conn.sock.send(b"HTTP/1.1 100 Continue\r\n\r\n")
        except TooLargeError as error:
            self._refuse(conn, half, error)
        except OSError:
            self._drop(conn)

    def _refuse(self, conn: Any, half: HalfSent, error: TooLargeError) -> None:
        """Answer, then let the caller finish a little, or it would never read the answer."""
        self._bytes -= len(half.data)
        half.data, half.refused = bytearray(b""), True
        half.until = time.monotonic() + LEAVE_SECONDS
        conn.sock.send(error.answer)

    def _take(self, conn: Any) -> None:
        self._bytes -= len(self._half.pop(conn).data)
        self.poller.unregister(conn.sock)

    def _drop(self, conn: Any) -> None:
        self._take(conn)
        self.nr_conns -= 1
        conn.close()
