"""The server process: gunicorn with threads that get whole requests, each worker with an app of its own."""

from typing import Any

from flask import Flask
from gunicorn.app.base import BaseApplication

from . import heartbeat, notifying
from .app import THREADS, create_app
from .settings import Settings
from .worker import Worker

GRACE_SECONDS = 20


class Server(BaseApplication):  # type: ignore[misc]  # gunicorn carries no types
    """Serve until told to stop; what has begun is finished first."""

    def __init__(self, settings: Settings, host: str, workers: int, *, notices: bool = True) -> None:
        self._settings = settings
        self._notices = notices
        self._options = {
            "bind": [f"{host}:{settings.port}"],
            "workers": workers,
            "threads": THREADS,
            "worker_class": Worker,
            "graceful_timeout": GRACE_SECONDS,
            "timeout": 120,
            "keepalive": 65,
            "loglevel": "warning",
            "control_socket_disable": True,
        }
        super().__init__()

    def load_config(self) -> None:
        """Take the options over."""
        for name, value in self._options.items():
            self.cfg.set(name, value)

    def load(self) -> Flask:
        """One app a worker."""
        app = create_app(self._settings, serving=True)
        heartbeat.start(app)
        if self._notices:
            notifying.start(app, self._settings)
        return app

    def init(self, parser: Any, opts: Any, args: Any) -> None:
        """Nothing comes from a command line of gunicorn's own."""
