"""What needs a manager now, read from the projections."""

from typing import Any

from sqlalchemy import ColumnElement, and_, exists, func, or_, select
from sqlalchemy.orm import aliased

from vesselside.store.base.db import db
from vesselside.store.base.instants import DAY_MS, ms_of, sequence_text, text_of
from vesselside.store.base.models import Device, Logged, Run
from vesselside.store.fold import faulty
from vesselside.store.log import signing
from vesselside.store.read import doubts, register, today
from vesselside.store.site import instruments, returning

SHOWN = 50
SOON_MS = 12 * 3_600_000

_WAITING: dict[str, ColumnElement[bool]] = {
    "faults": Run.fault_code.is_not(None),
    "deviations": or_(Run.deviations > 0, Run.trouble_open > 0, Run.doubt_open > 0),
    "contested": Run.contested > 0,
    "reviews": Run.unreviewed.is_(True),
}


def needs(brewery: str, behind: int, *, now: int) -> dict[str, Any]:
    """Counts of what waits, the newest runs behind each count, vessels whose proof ends soon, instruments to see to."""
    counts: dict[str, int] = {}
    runs: dict[str, list[dict[str, Any]]] = {}
    for name, waiting in _WAITING.items():
        mine = (Run.brewery == brewery, waiting)
        counts[name] = db.session.execute(select(func.count()).select_from(Run).where(*mine)).scalar_one()
        newest = select(*faulty.LINE).where(*mine)
        rows = db.session.execute(newest.order_by(Run.opened.desc(), Run.id.desc()).limit(SHOWN)).all()
        runs[name] = [faulty.line(row) for row in rows]
    counts["quarantine"] = db.session.execute(select(func.count()).where(*_doubted(brewery))).scalar_one()
    board = register.board(brewery, now=now)
    vessels = [row for row in board if _ends_soon(row, now)]
    counts["vessels"] = len(vessels)
    found_out = [row for row in instruments.standing(brewery, now=now) if row["state"] in ("failed", "due")]
    counts["instruments"] = len(found_out)
    return {
        "counts": counts,
        "runs": runs,
        "vessels": vessels,
        "instruments": found_out,
        "behind": behind,
        **today.wrong(brewery, board, now=now),
        "silent": [row for row in devices(brewery) if _silent(row, now)],
        **doubts.lately(brewery, now=now),
    }


def _silent(row: dict[str, Any], now: int) -> bool:
    """Whether nothing was heard for a day of a device in use: what was recorded there may wait on it alone."""
    return row["revoked"] is None and now - ms_of(row["heard"] or row["enrolled"]) > DAY_MS


def reviews(
    brewery: str, *, after: tuple[str, str] | None, limit: int
) -> tuple[list[dict[str, Any]], tuple[str, str] | None]:
    """The closed runs that no review stands for, those that wait longest first, and where to go on from."""
    query = select(*faulty.LINE).where(Run.brewery == brewery, Run.unreviewed.is_(True))
    if after:
        opened, name = after
        query = query.where(or_(Run.opened > opened, and_(Run.opened == opened, Run.id > name)))
    rows = db.session.execute(query.order_by(Run.opened, Run.id).limit(limit + 1)).all()
    shown = rows[:limit]
    more = (shown[-1].opened, shown[-1].id) if len(rows) > limit else None
    return [faulty.line(row) for row in shown], more


def _ends_soon(row: dict[str, Any], now: int) -> bool:
    return row["proved_until"] is not None and ms_of(row["proved_until"]) - now < SOON_MS


def _doubted(brewery: str) -> tuple[ColumnElement[bool], ...]:
    """What nobody believes: not what was judged again since, nor what the server said itself before a restore."""
    stored = aliased(Logged)
    since = exists().where(
        stored.brewery == Logged.brewery,
        stored.event == Logged.event,
        stored.status == "stored",
        stored.hash == Logged.hash,
    )
    return (
        Logged.brewery == brewery,
        Logged.status == "quarantined",
        Logged.problem.is_distinct_from(returning.RETURNED),
        ~since,
    )


def quarantine(brewery: str, *, before: int | None, limit: int) -> list[dict[str, Any]]:
    """What was stored but is not believed, newest first."""
    query = select(Logged).where(*_doubted(brewery))
    if before is not None:
        query = query.where(Logged.sequence < before)
    return [
        {
            "sequence": sequence_text(row.sequence),
            "recordedtime": text_of(row.recorded),
            "problem": row.problem,
            "carrier": row.carrier,
            "run": row.run,
            "event": signing.loaded(row.body),
        }
        for row in db.session.execute(query.order_by(Logged.sequence.desc()).limit(limit)).scalars()
    ]


def devices(brewery: str) -> list[dict[str, Any]]:
    """Every device there ever was, newest first, and how far each was heard."""
    rows = db.session.execute(
        select(Device).where(Device.brewery == brewery).order_by(Device.enrolled.desc(), Device.id)
    ).scalars()
    return [
        {
            "id": row.id,
            "name": row.name,
            "enrolled": text_of(row.enrolled),
            "revoked": None if row.revoked is None else text_of(row.revoked),
            "heard": None if row.heard is None else text_of(row.heard),
            "number": row.number,
            "sequence": sequence_text(row.sequence),
            "offset_ms": row.clock_offset,
        }
        for row in rows
    ]
