"""The register of runs and the board of vessels, read from the projections."""

from dataclasses import dataclass
from typing import Any

from sqlalchemy import and_, or_, select

from vesselside.core.plant import states

from . import lives, projections, reference
from .db import db
from .instants import text_of
from .models import Run, Vessel

RUNS_A_VESSEL = 40
DRAWS = 200
"""How many of the newest runs that took beer out of another vessel the board reads beside those."""


@dataclass(frozen=True)
class Filters:
    """What the register is asked for; times are RFC 3339 texts of the opening."""

    vessel: str | None = None
    procedure: str | None = None
    status: str | None = None
    opened_from: str | None = None
    opened_to: str | None = None
    after: tuple[str, str] | None = None
    limit: int = 50


def runs(brewery: str, filters: Filters) -> tuple[list[dict[str, Any]], tuple[str, str] | None]:
    """Summaries, newest first, and the place to go on from when there are more."""
    projections.refresh_stale(brewery)
    query = select(Run.opened, Run.id, Run.summary, Run.troubles, Run.doubts).where(Run.brewery == brewery)
    if filters.vessel is not None:
        query = query.where(Run.vessel == filters.vessel)
    if filters.procedure is not None:
        query = query.where(Run.procedure == filters.procedure)
    if filters.status is not None:
        query = query.where(Run.status == filters.status)
    if filters.opened_from:
        query = query.where(Run.opened >= filters.opened_from)
    if filters.opened_to:
        query = query.where(Run.opened < filters.opened_to)
    if filters.after:
        opened, name = filters.after
        query = query.where(or_(Run.opened < opened, and_(Run.opened == opened, Run.id < name)))
    rows = db.session.execute(query.order_by(Run.opened.desc(), Run.id.desc()).limit(filters.limit + 1)).all()
    shown = rows[: filters.limit]
    more = (shown[-1].opened, shown[-1].id) if len(rows) > filters.limit else None
    return [lives.line(row.summary, row.troubles, row.doubts) for row in shown], more


def board(brewery: str, *, now: int) -> list[dict[str, Any]]:
    """The state of every vessel, with times as RFC 3339, and what is told of its newest runs.

    That was judged with all that bears on them, which goes further back than the runs a state is made from.
    """
    projections.refresh_stale(brewery)
    vessels = reference.vessels_of(brewery)
    summaries: dict[str, Any] = {}
    troubles: dict[str, list[dict[str, Any]]] = {}
    newest = select(Run.id, Run.summary, Run.troubles).where(Run.brewery == brewery, Run.summary.is_not(None))
    newest = newest.order_by(Run.opened.desc(), Run.id.desc())
    queries = [newest.where(Run.draws.is_not(None)).limit(DRAWS)]
    names = db.session.execute(select(Vessel.id).where(Vessel.brewery == brewery)).scalars().all()
    queries += [newest.where(Run.vessel == name).limit(RUNS_A_VESSEL) for name in names]
    for query in queries:
        for run in db.session.execute(query).all():
            summaries[run.id], troubles[run.id] = run.summary, run.troubles or []
    waiting = select(Run.doubts).where(Run.brewery == brewery, Run.doubted > 0, Run.doubt_open > 0)
    doubted = [told for rows in db.session.execute(waiting).scalars() for told in rows or []]
    rows = states.board(vessels, list(summaries.values()), reference.settings_of(brewery), now, doubted)
    for row in rows:
        for name in ("proved_until", "sanitised_until", "since", "check_due"):
            row[name] = None if row[name] is None else text_of(row[name])
        row["trouble"] = [
            {**told, "time": text_of(told["time"])}
            for lines in troubles.values()
            for told in lines
            if told["vessel"] == row["id"]
        ]
    return rows
