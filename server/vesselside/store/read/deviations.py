"""All deviations of a brewery: those that wait first, then those followed up, then those closed; each newest first."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Select, and_, func, or_, select

from vesselside.store.base.db import db
from vesselside.store.base.listed import DeviationRow
from vesselside.store.base.models import Run
from vesselside.store.fold.deviating import CLOSED, OPEN, PENDING

RANKS = {"open": OPEN, "pending": PENDING, "closed": CLOSED}
_STATES = {rank: state for state, rank in RANKS.items()}
Line = Any
Place = tuple[str, str, str, str, str]
"""Where a list goes on: rank, time, run, origin and place of the row before, as texts."""


@dataclass(frozen=True)
class Filters:
    """What is asked for; times are RFC 3339 texts of when it was raised."""

    state: str | None = None
    vessel: str | None = None
    procedure: str | None = None
    raised_from: str | None = None
    raised_to: str | None = None
    after: Place | None = None
    limit: int = 50


def counts(brewery: str) -> dict[str, int]:
    """How many of each state there are in all."""
    query = select(DeviationRow.rank, func.count()).where(DeviationRow.brewery == brewery)
    held = {int(rank): int(n) for rank, n in db.session.execute(query.group_by(DeviationRow.rank))}
    return {state: held.get(rank, 0) for state, rank in RANKS.items()}


def listed(brewery: str, filters: Filters) -> tuple[list[Line], Place | None]:
    """The rows asked for, and the place to go on from when there are more."""
    rows = []
    for row in _rows(brewery, filters):
        rows.append(row)
        if len(rows) > filters.limit:
            break
    shown = rows[: filters.limit]
    last = shown[-1] if len(rows) > filters.limit else None
    more = None if last is None else (str(last.rank), last.time, last.run, last.origin, str(last.place))
    return [_line(row) for row in shown], more


def _rows(brewery: str, filters: Filters) -> Iterator[Any]:
    """One rank after another, each in the order of an index."""
    first = int(filters.after[0]) if filters.after else OPEN
    wanted = [RANKS[filters.state]] if filters.state else sorted(_STATES)
    for rank in wanted:
        if rank < first:
            continue
        query = _query(brewery, filters).where(DeviationRow.rank == rank)
        if filters.after and rank == first:
            query = query.where(_beyond(filters.after))
        newest = (
            DeviationRow.time.desc(),
            DeviationRow.run.desc(),
            DeviationRow.origin.desc(),
            DeviationRow.place.desc(),
        )
        yield from db.session.execute(query.order_by(*newest).limit(filters.limit + 1))


def _query(brewery: str, filters: Filters) -> Select[Any]:
    columns = (
        DeviationRow.rank, DeviationRow.time, DeviationRow.run, DeviationRow.origin, DeviationRow.place,
        DeviationRow.content, Run.vessel, Run.gyle, Run.procedure, Run.status, Run.summary,
    )  # fmt: skip
    of_run = and_(Run.brewery == DeviationRow.brewery, Run.id == DeviationRow.run)
    query = select(*columns).join(Run, of_run).where(DeviationRow.brewery == brewery)
    if filters.vessel is not None:
        query = query.where(DeviationRow.vessel == filters.vessel)
    if filters.procedure is not None:
        query = query.where(Run.procedure == filters.procedure)
    if filters.raised_from:
        query = query.where(DeviationRow.time >= filters.raised_from)
    if filters.raised_to:
        query = query.where(DeviationRow.time < filters.raised_to)
    return query


def _beyond(after: Place) -> Any:
    _, time, run, origin, place = after
    at = DeviationRow
    return or_(
        at.time < time,
        and_(at.time == time, at.run < run),
        and_(at.time == time, at.run == run, at.origin < origin),
        and_(at.time == time, at.run == run, at.origin == origin, at.place < int(place)),
    )


def _line(row: Any) -> Line:
    return {
        **row.content,
        "run": row.run,
        "title": (row.summary or {}).get("title", ""),
        "procedure": row.procedure,
        "vessel": row.vessel,
        "gyle": row.gyle,
        "status": row.status,
        "state": _STATES[row.rank],
    }
