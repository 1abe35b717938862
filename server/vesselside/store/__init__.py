"""The database: the log and its one writer, what is kept beside it, and the projections made from it.

All of it needs an application context. `now` is epoch milliseconds, the wall clock when left out, so that a
history can be written with the times it happened at.
"""

from collections.abc import Iterable

from . import log, projections
from .db import now_ms, release
from .devices import enrol_device_with_key
from .feed import head
from .instruments import change_instrument
from .people import add_person
from .recipes import change_recipe
from .reference import (
    add_vessel,
    create_brewery,
    publish_caution,
    publish_procedure,
    set_setting,
)

__all__ = [
    "add_person",
    "add_vessel",
    "change_instrument",
    "change_recipe",
    "create_brewery",
    "enrol_device_with_key",
    "head",
    "ingest",
    "now_ms",
    "publish_caution",
    "publish_procedure",
    "release",
    "set_setting",
]


def ingest(
    brewery: str, events: Iterable[object], *, device_id: str, now: int | None = None
) -> list[dict[str, str]]:
    """Put signed events of a device into the log, as POST /api/sync does; the results in order."""
    appended = log.append(brewery, events, device=device_id, now=now_ms() if now is None else now)
    projections.refresh(brewery, appended.runs)
    return appended.results
