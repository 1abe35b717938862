"""Finds what is to be told every few seconds, and has it sent."""

import logging
import threading
import weakref

import requests
from flask import Flask
from sqlalchemy.exc import SQLAlchemyError

from vesselside import store
from vesselside.settings import Settings
from vesselside.store.base.turns import turn_of
from vesselside.store.notices import deliveries, due
from vesselside.store.notices.deliveries import Sending
from vesselside.store.site import founding

from .post import Answer, post, session

EVERY_SECONDS = 10
_log = logging.getLogger(__name__)


def start(app: Flask, settings: Settings) -> None:
    """Begin; the thread ends with its process."""
    threading.Thread(target=_go_on, args=(weakref.ref(app), settings), name="notices", daemon=True).start()


def _go_on(known: weakref.ref[Flask], settings: Settings) -> None:
    """Hold the app only while it is asked: at the end of the process its connections are closed in order."""
    pause = threading.Event()
    while (app := known()) is not None:
        _tried(app, settings)
        del app
        pause.wait(EVERY_SECONDS)


def work(app: Flask, settings: Settings, stop: threading.Event) -> None:
    """Until `stop` is set."""
    while not stop.is_set():
        _tried(app, settings)
        stop.wait(EVERY_SECONDS)


def _tried(app: Flask, settings: Settings) -> None:
    try:
        turn(app, settings)
    except (SQLAlchemyError, OSError):
        # a database that cannot be used just now is asked again; a thread that ended would be missed by nobody
        _log.exception("Notices could not be sent")


def turn(app: Flask, settings: Settings) -> int:
    """Take up what there is to tell in every brewery, and send what is due; how many were taken."""
    handed = 0
    with app.app_context():
        for brewery, _ in founding.breweries():
            if not deliveries.anyone(brewery):
                continue
            with turn_of("notices", brewery) as mine:
                if mine:
                    deliveries.take_up(brewery, due.found(brewery, now=store.now_ms()), now=store.now_ms())
                    handed += _send_due(brewery, settings)
    return handed


def _send_due(brewery: str, settings: Settings) -> int:
    """One after another; a service that does not answer, and a browser that is gone, are not asked again this turn."""
    handed = 0
    skipped: dict[str, Answer] = {}
    with session() as line:
        while taken := deliveries.claim(brewery, now=store.now_ms()):
            for sending in taken:
                answer = _send(sending, settings, line, skipped)
                _settle(brewery, sending, answer)
                handed += answer.word == "taken"
    return handed


def _send(sending: Sending, settings: Settings, line: requests.Session, skipped: dict[str, Answer]) -> Answer:
    """Send one, unless its push service or its browser has answered for all of them already."""
    origin = sending.endpoint.split("/")[2]
    for name in (origin, sending.endpoint):
        if name in skipped:
            return skipped[name]
    answer = post(sending, settings, line, now=store.now_ms())
    if answer.word == "later":
        skipped[origin] = answer
    if answer.word == "gone":
        skipped[sending.endpoint] = answer
    return answer


def _settle(brewery: str, sending: Sending, answer: Answer) -> None:
    if answer.word == "taken":
        deliveries.sent(brewery, sending)
    elif answer.word == "gone":
        deliveries.gone(brewery, sending)
    elif answer.word == "refused":
        _log.warning("A push service refused a notice: %s", answer.why)
        deliveries.refused(brewery, sending)
    else:
        deliveries.put_off(brewery, sending, now=store.now_ms(), seconds=answer.after)
