"""What the server does by itself while it serves: it signs the log at least daily, whether or not anybody asks.

A thread in every serving process asks the database now and then whether a head is due. Whichever is first signs; the
database's lock keeps the others from doing it too. No request waits for it.
"""

import logging
import threading
import weakref

from flask import Flask
from sqlalchemy.exc import SQLAlchemyError

from vesselside import store
from vesselside.store.log import tree
from vesselside.store.site import founding

EVERY_SECONDS = 600
_log = logging.getLogger(__name__)


def start(app: Flask) -> None:
    """Begin; the thread ends with its process."""
    threading.Thread(target=_beat, args=(weakref.ref(app),), name="heartbeat", daemon=True).start()


def _beat(known: weakref.ref[Flask]) -> None:
    """Hold the app only while it is asked: at the end of the process its connections are closed in order."""
    pause = threading.Event()
    while (app := known()) is not None:
        try:
            sign(app)
        except (SQLAlchemyError, tree.TreeError):
            # a database that cannot be used just now is asked again; a thread that ended would be missed by nobody
            _log.exception("The log could not be signed")
        del app
        pause.wait(EVERY_SECONDS)


def sign(app: Flask) -> None:
    """Sign every log of which no head is younger than a day."""
    with app.app_context():
        for brewery, _ in founding.breweries():
            tree.sign_when_due(store.book(brewery), store.now_ms())
