"""The only wiring: settings, database and routes become one Flask app."""

from flask import Flask

from vesselside.store import Kept
from vesselside.store.base import listed, models, notified  # noqa: F401  # fill the metadata
from vesselside.store.base.db import connect, db
from vesselside.store.base.schema import migrate
from vesselside.store.fold.behind import Folder
from vesselside.store.log.book import Keys
from vesselside.store.log.signing import ServerKey
from vesselside.store.notices.vapid import PushKey
from vesselside.store.photos.files import Photos

from .settings import Settings

THREADS = 8


def create_app(settings: Settings | None = None, *, serving: bool = False) -> Flask:
    """The app, for `settings` or those of the environment.

    `serving` requests it has routes and lets no statement last; otherwise it is the store alone, for commands.
    """
    settings = settings or Settings.from_environment()
    app = Flask("vesselside", static_folder=None)
    keys = Keys(ServerKey(settings.data), settings.secret_key)
    photos, push = Photos(settings.data / "photos"), PushKey(settings.data)
    app.extensions["vesselside"] = Kept(keys, photos, push, Folder(app), settings.push_service)
    connect(app, settings.database_url, THREADS, serving=serving)
    migrate.init_app(app, db, directory=migrate.directory)
    if serving:
        from .api import wiring  # noqa: PLC0415 - a command is not to wait for routes that it does not serve

        wiring.register(app, settings)
    return app
