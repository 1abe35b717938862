"""Foul weather between phones and their server: what can happen to one call on its way, drawn at random.

A call can be lost before the server has it or after, be cut short in either direction, come twice, come late and out of
order, be answered by somebody else (a hotel's page, a proxy's), and find a server that is killed in the middle of it.
"""

import random
import socket
import threading
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import replace

from tests.living import Living
from tests.pwa.house import Called, Reply, problem
from tests.pwa.line import Line

PORTAL = b"<!doctype html><title>Welcome</title><p>Accept our terms to go on.</p>"
LONGEST_WAIT_S = 0.2


class Weather(Line):
    """The line to `living`, which while it is `foul` spoils about two calls in three, each in a way of its own.

    `seed` gives the same draws again; which call each falls on is for threads to settle, so a run comes again only
    as nearly as the machine is as fast.
    """

    def __init__(self, living: Living, seed: str, *, kills: bool = True) -> None:
        super().__init__(living.url)
        self.spoilt: Counter[str] = Counter()
        self.foul = False
        self._living = living
        self._draw = random.Random(seed)
        self._lock = threading.Lock()
        self._late: list[Called] = []
        self._dying = threading.Lock()
        self._ways = [*WAYS, killed] if kills else [*WAYS]
        self._weights = [1 if way is killed else 12 for way in self._ways]

    def __call__(self, called: Called) -> Reply:
        if not self.foul:
            return super().__call__(called)
        with self._lock:
            [way] = self._draw.choices(self._ways, self._weights)
            share, spoil, late = self._draw.random(), self._draw.random() < 2 / 3, self._draw.random() < 0.5
        if late:
            self.deliver()
        if not spoil:
            return super().__call__(called)
        with self._lock:
            self.spoilt[way.__name__] += 1
        try:
            return way(self, called, share)
        except OSError:
            return Reply(502, b"no server", "text/plain")  # another call has killed it

    def keep(self, called: Called) -> None:
        """Hold a call back, to be delivered later."""
        with self._lock:
            self._late.append(called)

    def deliver(self) -> None:
        """Let the server have what was held back, in any order; nobody waits for its answers."""
        with self._lock:
            late, self._late = self._late, []
            self._draw.shuffle(late)
        for called in late:
            super().__call__(called)

    def dying(self, wait: float) -> None:
        """Kill the server in `wait` seconds and start it again, unless that is going on already."""
        if not self._dying.acquire(blocking=False):
            return
        try:
            time.sleep(wait)
            self._living.kill()
            self._living.start()
        finally:
            self._dying.release()

    def clear(self) -> None:
        """Fair again: what was late has arrived, and the server is up."""
        self.foul = False
        with self._dying:
            self.deliver()


Way = Callable[[Weather, Called, float], Reply]


def unreached(line: Weather, called: Called, share: float) -> Reply:
    """The server never heard of it."""
    return Reply(dropped=True)


def cut_on_the_way(line: Weather, called: Called, share: float) -> Reply:
    """The server gets its beginning."""
    host, port = line.place.rsplit(":", 1)
    kept = {name: value for name, value in called.headers.items() if name != "host"}
    head = "".join(f"{name}: {value}\r\n" for name, value in kept.items())
    whole = (
        f"{called.method} {called.path} HTTP/1.1\r\nhost: {line.place}\r\n{head}\r\n".encode() + called.body
    )
    with socket.create_connection((host, int(port)), timeout=10) as one:
        one.sendall(whole[: int(len(whole) * share)])
    return Reply(dropped=True)


def unanswered(line: Weather, called: Called, share: float) -> Reply:
    """The server did it, and nobody heard."""
    line.passed(called)
    return Reply(dropped=True)


def cut_on_the_way_back(line: Weather, called: Called, share: float) -> Reply:
    """The answer stops in the middle."""
    return replace(line.passed(called), cut=True, share=share)


def shortened(line: Weather, called: Called, share: float) -> Reply:
    """Some of the answer is missing, and nothing says so."""
    reply = line.passed(called)
    body = reply.content()
    return replace(reply, body=body[: int(len(body) * share)])


def twice(line: Weather, called: Called, share: float) -> Reply:
    """The server gets it again before the phone has its answer."""
    first, second = line.passed(called), line.passed(called)
    return first if share < 0.5 else second


def late(line: Weather, called: Called, share: float) -> Reply:
    """The phone gives it up, and the server gets it after all, behind what came later."""
    line.keep(called)
    return Reply(dropped=True)


def delayed(line: Weather, called: Called, share: float) -> Reply:
    """It takes its time."""
    time.sleep(share * LONGEST_WAIT_S)
    return line.passed(called)


def portal(line: Weather, called: Called, share: float) -> Reply:
    """Somebody else answers, and says that all is well."""
    return Reply(200, PORTAL, "text/html")


def portal_that_says_json(line: Weather, called: Called, share: float) -> Reply:
    """The same, under the media type that was asked for."""
    return Reply(200, PORTAL, "application/json")


def another_shape(line: Weather, called: Called, share: float) -> Reply:
    """JSON, of somebody else's."""
    return Reply(200, random.choice([{}, [], None, {"results": None}, {"status": "ok"}]))


def turned_away(line: Weather, called: Called, share: float) -> Reply:
    """A hotel's page that wants a sign-in."""
    return Reply(401 if share < 0.3 else 511, PORTAL, "text/html")


def failing(line: Weather, called: Called, share: float) -> Reply:
    """A proxy without a server, or a server with a fault."""
    status = (500, 502, 504)[int(share * 3)]
    return Reply(status, b"no", "text/plain")


def busy(line: Weather, called: Called, share: float) -> Reply:
    """The server asks to wait."""
    return problem(503 if share < 0.5 else 429, "busy", **{"Retry-After": "0"})


def killed(line: Weather, called: Called, share: float) -> Reply:
    """The server is killed a few milliseconds after it has begun."""
    killer = threading.Thread(target=line.dying, args=(share * 0.02,))
    killer.start()
    try:
        return line.passed(called)
    finally:
        killer.join()


WAYS: tuple[Way, ...] = (
    unreached,
    cut_on_the_way,
    unanswered,
    cut_on_the_way_back,
    shortened,
    twice,
    late,
    delayed,
    portal,
    portal_that_says_json,
    another_shape,
    turned_away,
    failing,
    busy,
)
