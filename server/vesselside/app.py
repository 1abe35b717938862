"""The only wiring: settings, database and routes become one Flask app."""

from flask import Flask

from vesselside.store import Kept
from vesselside.store.base import models  # noqa: F401  # fills the metadata
from vesselside.store.base.db import connect, db
from vesselside.store.base.schema import migrate
from vesselside.store.fold.behind import Folder
from vesselside.store.log.book import Keys
from vesselside.store.log.signing import ServerKey
from vesselside.store.photos.files import Photos

from .api import (
    desk,
    devices,
    documents,
    edge,
    errors,
    gyles,
    health,
    instruments,
    log,
    photos,
    procedures,
    recipes,
    reference,
    runs,
    session,
    shell,
    sync,
    watch,
)
from .settings import Settings

THREADS = 8
ROUTES = (
    devices, session, sync, reference, runs, photos, recipes, instruments, gyles, procedures, desk, log, health,
)  # fmt: skip


def create_app(settings: Settings | None = None, *, serving: bool = False) -> Flask:
    """The app, for `settings` or those of the environment; `serving` requests, it lets no statement last."""
    settings = settings or Settings.from_environment()
    app = Flask("vesselside", static_folder=None)
    keys = Keys(ServerKey(settings.data), settings.secret_key)
    app.extensions["vesselside"] = Kept(keys, Photos(settings.data / "photos"), Folder(app))
    connect(app, settings.database_url, THREADS, serving=serving)
    migrate.init_app(app, db, directory=migrate.directory)
    edge.register(app)
    watch.register(app)
    errors.register(app)
    document = documents.register(app)
    for routes in ROUTES:
        document.register_blueprint(routes.blueprint)
    shell.register(app, settings.pwa)
    return app
