"""Folding behind the requests: a push answers once its records are on disk, and one thread a process folds after it.

The queue is the stale runs themselves, so nothing is lost with a process: whoever is next to be woken finds them. Of
several processes one at a time folds for a brewery; what another stored meanwhile is seen by the one at work or, once
that has ended, by itself.
"""

import logging
import threading
import time

from flask import Flask
from sqlalchemy.exc import SQLAlchemyError

from vesselside.store.base.db import db
from vesselside.store.base.turns import turn_of
from vesselside.store.fold import folding, projections
from vesselside.store.log import feed

PATIENCE_SECONDS = 1.0
"""How long a list waits for what is not folded yet; then it says how much that is."""
_TURN_SECONDS = 0.05
_log = logging.getLogger(__name__)


class Folder:
    """The thread that folds; it ends when nothing is left, and the next push begins another."""

    def __init__(self, app: Flask) -> None:
        self._app = app
        self._turn = threading.Condition()
        self._waiting: set[str] = set()
        self._current: str | None = None
        self._running = False
        self._held = folding.Held()

    def wake(self, brewery: str) -> None:
        """Have folded what is stale in a brewery."""
        with self._turn:
            self._waiting.add(brewery)
            if not self._running:
                self._running = True
                threading.Thread(target=self._work, name="folder", daemon=True).start()

    def settled(self, brewery: str) -> int:
        """Wait a moment for what is stale; how many runs are so still, which lists show as they were before."""
        left = projections.behind(brewery)
        if left:
            self.wake(brewery)
            db.session.commit()
            with self._turn:
                self._turn.wait_for(lambda: self._done(brewery), PATIENCE_SECONDS)
            left = projections.behind(brewery)
        return left

    def _done(self, brewery: str) -> bool:
        return brewery not in self._waiting and self._current != brewery

    def _work(self) -> None:
        try:
            with self._app.app_context():
                while (brewery := self._next()) is not None:
                    try:
                        self._fold(brewery)
                    except (SQLAlchemyError, OSError):
                        # the runs stay stale: whoever is woken next finds them
                        _log.exception("Runs could not be folded")
                    finally:
                        db.session.remove()
        except BaseException:
            # whatever it was that ended this thread, the next push begins another
            self._let_go()
            raise

    def _let_go(self) -> None:
        with self._turn:
            self._running, self._current = False, None
            self._turn.notify_all()

    def _next(self) -> str | None:
        with self._turn:
            self._current = self._waiting.pop() if self._waiting else None
            self._running = self._current is not None
            self._turn.notify_all()
            return self._current

    def _fold(self, brewery: str) -> None:
        """Go over what is stale, and again while something comes; what could not be kept waits for the next push."""
        gone_over = -1
        while projections.behind(brewery) and (head := feed.head(brewery)) != gone_over:
            with turn_of("fold", brewery) as mine:
                if mine:
                    projections.catch_up(brewery, held=self._held)
                    gone_over = head
            db.session.commit()
            if not mine:
                time.sleep(_TURN_SECONDS)
