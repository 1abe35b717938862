"""The database: the log and its one writer, what is kept beside it, and the projections made from it.

All of it needs an application context. `now` is epoch milliseconds, the wall clock when left out, so that a
history can be written with the times it happened at.
"""

from collections.abc import Iterable

from vesselside.store.base.db import now_ms, release
from vesselside.store.fold import projections
from vesselside.store.log import writer
from vesselside.store.log.feed import head
from vesselside.store.site.devices import enrol_device_with_key
from vesselside.store.site.founding import create_brewery
from vesselside.store.site.instruments import change_instrument
from vesselside.store.site.people import add_person
from vesselside.store.site.publishing import publish_caution, publish_procedure
from vesselside.store.site.recipes import change_recipe
from vesselside.store.site.siting import add_vessel, set_setting

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
    appended = writer.append(brewery, events, device=device_id, now=now_ms() if now is None else now)
    projections.refresh(brewery, appended.runs)
    return appended.results
