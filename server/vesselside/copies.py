"""Copies from end to end: whichever apps, files and keys making one and putting it back take."""

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace as changed
from pathlib import Path

from vesselside import __version__, store
from vesselside.store.base import schema
from vesselside.store.base.db import db
from vesselside.store.base.instants import text_of
from vesselside.store.copies import archive, restoring, rows
from vesselside.store.log import epochs, feed
from vesselside.store.site import founding

from .app import create_app
from .settings import Settings


class HeldError(Exception):
    """The database or the folder holds something that the copy would take the place of."""


def make(settings: Settings, file: Path, *, with_keys: bool) -> None:
    """Write a copy of all there is; the app's context is open, and the server may go on."""
    if file.exists():
        raise FileExistsError(file)
    engine, photos = db.engine, store.kept().photos
    with tempfile.TemporaryDirectory(dir=settings.data) as folder:
        database = Path(folder) / archive.DATABASE
        if engine.dialect.name != "sqlite":
            with _file_app(settings, database):
                schema.upgrade()
        rows.snapshot(engine, database)
        with _file_app(settings, database):
            breweries = [
                {"id": brewery, "name": name, "size": feed.head(brewery), "epoch": epochs.current(brewery)}
                for brewery, name in founding.breweries()
            ]
        keys = _keys(settings) if with_keys else {}
        about = {"made": text_of(store.now_ms()), "program": __version__, "schema": schema.head()}
        archive.write(file, database, photos, breweries, keys, about)


def put_back(settings: Settings, file: Path, *, replace: bool) -> list[restoring.Restored]:
    """Put a copy back; HeldError unless nothing is there or `replace` is given."""
    copy = archive.opened(file)
    with tempfile.TemporaryDirectory(dir=settings.data) as folder:
        database = Path(folder) / archive.DATABASE
        copy.take_out(archive.DATABASE, database)
        with rows.file_at(database) as engine:
            if found := rows.damage(engine):
                raise archive.CopyError(f"its database is damaged: {found[0]}")
        with _file_app(settings, database):
            if not schema.is_known(schema.current()):
                raise archive.CopyError("a newer version of this program made it")
            schema.upgrade()
        app = create_app(settings)
        with app.app_context():
            schema.upgrade()
            held = [name for _, name in founding.breweries()]
            if held and not replace:
                raise HeldError(
                    f"The database holds {', '.join(held)}. Give --replace to put the copy in its place; "
                    "make a copy of what it holds first."
                )
        _put_keys_back(settings, copy)
        with create_app(settings).app_context():
            photos = store.kept().photos
            # before the rows, so that no record names a photo that is on its way
            for name in copy.names("photos"):
                _, brewery, photo = name.split("/")
                photos.put_back(brewery, photo, copy.read(name))
            with rows.file_at(database) as engine:
                done = restoring.restore(store.kept().keys, engine, now=store.now_ms())
            store.release()
    return done


@contextmanager
def _file_app(settings: Settings, database: Path) -> Iterator[None]:
    """The store on a SQLite file of its own."""
    with create_app(changed(settings, database_url=f"sqlite:///{database}")).app_context():
        try:
            yield
        finally:
            store.release()


def _keys(settings: Settings) -> dict[str, str]:
    server = (settings.data / "server-key.pem").read_text(encoding="ascii")
    return {"server-key.pem": server, "secret-key": settings.secret_key}


def _put_keys_back(settings: Settings, copy: archive.Copy) -> None:
    """Put the copy's keys into the data folder; one that lay there is kept beside it under another name."""
    for name in copy.names("keys"):
        path, content = settings.data / name.partition("/")[2], copy.read(name)
        if path.exists() and path.read_bytes() == content:
            continue
        fresh = path.with_name(f"{path.name}.part")
        with os.fdopen(os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        if path.exists():
            path.rename(path.with_name(f"{path.name}.before-{store.now_ms()}"))
        fresh.rename(path)
