"""The database: the log and its one writer, what is kept beside it, and the projections made from it.

What is named here goes by a brewery's id and needs an application context, where `create_app` has put what the server
keeps to itself; the rooms below are handed it. `now` is epoch milliseconds, the wall clock when left out, so that a
history can be written with the times it happened at.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import wraps
from typing import Concatenate, ParamSpec, TypeVar

from flask import current_app

from vesselside.store.base.db import now_ms, release
from vesselside.store.fold import projections
from vesselside.store.fold.behind import Folder
from vesselside.store.log import writer
from vesselside.store.log.book import Book, Keys
from vesselside.store.log.feed import head
from vesselside.store.notices.vapid import PushKey
from vesselside.store.photos.files import Photos
from vesselside.store.site import (
    announcing,
    devices,
    instruments,
    people,
    presences,
    publishing,
    recipes,
    siting,
)
from vesselside.store.site.founding import create_brewery
from vesselside.store.site.publishing import publish_caution

__all__ = [
    "Kept",
    "add_person",
    "book",
    "change_instrument",
    "change_recipe",
    "change_vessel",
    "create_brewery",
    "enrol_device_with_key",
    "head",
    "ingest",
    "kept",
    "make_code",
    "note_sign_in",
    "now_ms",
    "publish_caution",
    "publish_library",
    "publish_procedure",
    "put_away",
    "release",
    "set_setting",
]


Given = ParamSpec("Given")
Made = TypeVar("Made")


@dataclass(frozen=True)
class Kept:
    """What the server keeps beside its database, the thread that folds, and a push service of the brewery's own."""

    keys: Keys
    photos: Photos
    push: PushKey
    folder: Folder
    service: str


def kept() -> Kept:
    """What this app's server keeps beside its database."""
    found: Kept = current_app.extensions["vesselside"]
    return found


def book(brewery: str) -> Book:
    """The book of a brewery, as this app's server writes it."""
    return kept().keys.book(brewery)


def _by_id(act: Callable[Concatenate[Book, Given], Made]) -> Callable[Concatenate[str, Given], Made]:
    """The same act, told by the brewery's id whose book is written."""

    @wraps(act)
    def done(brewery: str, /, *args: Given.args, **kwargs: Given.kwargs) -> Made:
        return act(book(brewery), *args, **kwargs)

    return done


add_person = _by_id(people.add_person)
change_instrument = _by_id(instruments.change_instrument)
change_recipe = _by_id(recipes.change_recipe)
change_vessel = _by_id(siting.change_vessel)
enrol_device_with_key = _by_id(devices.enrol_device_with_key)
make_code = _by_id(devices.make_code)
publish_library = _by_id(publishing.publish_library)
publish_procedure = _by_id(publishing.publish_procedure)
note_sign_in = _by_id(presences.told_in)
put_away = _by_id(announcing.put_away)
set_setting = _by_id(siting.set_setting)


def ingest(
    brewery: str, events: Iterable[object], *, device_id: str, now: int | None = None
) -> list[dict[str, str]]:
    """Put signed events of a device into the log, as POST /api/sync does; the results in order."""
    appended = writer.append(book(brewery), events, device=device_id, now=now_ms() if now is None else now)
    projections.refresh(brewery, appended.runs)
    return appended.results
