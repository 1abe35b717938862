"""How much a device may bring: a day's backlog and more at once, and then as much as it can run down again.

Each kind is a vessel with a hole: what is brought fills it, time empties it, and while it is full nothing more is
taken. The level is in the database, for all processes; small amounts wait in the process until they are worth a
write, so a level may be short by that much for each process.
"""

import threading
from dataclasses import dataclass

from vesselside.store.base.db import db, writing
from vesselside.store.base.faults import LaterError
from vesselside.store.base.models import Brought


@dataclass(frozen=True)
class Kind:
    """What is measured: how much at once, how much runs off in an hour, how much is worth a write."""

    name: str
    most: int
    hourly: int
    step: int


EVENTS = Kind("events", 20_000, 10_000, 50)
BYTES = Kind("bytes", 256 * 2**20, 64 * 2**20, 2**20)
QUARANTINED = Kind("quarantined", 2_000, 200, 20)
PHOTOS = Kind("photos", 1_000, 200, 5)
PHOTO_BYTES = Kind("photo-bytes", 2 * 2**30, 2**29, 16 * 2**20)
HOUR_MS = 3_600_000

_waiting: dict[tuple[str, str, str], int] = {}
_lock = threading.Lock()


def check(brewery: str, device: str, kinds: tuple[Kind, ...], *, now: int) -> None:
    """LaterError while one of the kinds is full."""
    for kind in kinds:
        row = db.session.get(Brought, (brewery, device, kind.name), populate_existing=True)
        over = _level(row, kind, now) - kind.most if row else -1
        if over >= 0:
            raise LaterError("This device has sent more than it may at once", over * 3600 // kind.hourly + 1)


def bring(brewery: str, device: str, amounts: dict[Kind, int], *, now: int) -> None:
    """Count what was brought."""
    due = {}
    with _lock:
        for kind, amount in amounts.items():
            key = (brewery, device, kind.name)
            waiting = _waiting.pop(key, 0) + amount
            if waiting >= kind.step:
                due[kind] = waiting
            elif waiting:
                _waiting[key] = waiting
    if due:
        with writing(brewery) as session:
            for kind, amount in due.items():
                row = session.get(Brought, (brewery, device, kind.name), populate_existing=True)
                if row is None:
                    row = Brought(brewery=brewery, device=device, kind=kind.name, level=0, at=now)
                    session.add(row)
                row.level, row.at = _level(row, kind, now) + amount, now


def _level(row: Brought, kind: Kind, now: int) -> int:
    return max(0, row.level - max(0, now - row.at) * kind.hourly // HOUR_MS)
