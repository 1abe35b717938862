"""The routes and what stands around them, put onto an app that serves."""

from flask import Flask

from vesselside.settings import Settings

from . import (
    beginning,
    cleanings,
    desk,
    deviations,
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
    push,
    recipes,
    reference,
    runs,
    session,
    shell,
    sync,
    vessels,
    watch,
)

ROUTES = (
    beginning, devices, session, sync, reference, runs, photos, recipes, instruments, vessels, gyles, procedures,
    desk, deviations, cleanings, log, push, health,
)  # fmt: skip


def register(app: Flask, settings: Settings) -> None:
    """Put all routes onto `app`."""
    edge.register(app)
    watch.register(app)
    errors.register(app)
    document = documents.register(app)
    for routes in ROUTES:
        document.register_blueprint(routes.blueprint)
    shell.register(app, settings.pwa)
