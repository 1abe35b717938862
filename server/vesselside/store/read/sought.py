"""What the register can be asked for: which runs, in what order, and how many there are.

All of it is answered out of one index (`ix_runs_register`): neither a count nor a page reads the runs themselves.
"""

from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement, and_, func, or_, select

from vesselside.store.base.db import db
from vesselside.store.base.models import Run

Place = tuple[str | int, str, str]
"""Where a page ended: what it is sorted by, when that run was opened, its id."""

_OPEN = Run.deviations + Run.trouble_open + Run.doubt_open
_ANSWERED = Run.answered + Run.trouble_told - Run.trouble_open + Run.doubt_told - Run.doubt_open
_TALLIED = {
    "struck": Run.struck,
    "stop": Run.stop,
    "advise": Run.advise,
    "late": Run.late,
    "clock": Run.clock,
    "paper": Run.paper,
    "unproved": Run.unproved,
    "short": Run.short,
}
COUNTS: dict[str, ColumnElement[int]] = {
    "deviations-open": _OPEN,
    "deviations-answered": _ANSWERED,
    **{name: column.expression for name, column in _TALLIED.items()},
}
"""What is counted of a run, by the word a register is asked with."""
_ALL = Run.found + Run.struck + Run.stop + Run.advise + _OPEN + _ANSWERED
"""Nothing is found against a run where this is nothing; the other counts are of findings."""

FOUND = ("some", "none", *COUNTS)
STATUSES = ("open", "finished", "abandoned", "closed")
REVIEWS = ("waiting", "accepted", "rejected", "lapsed")
"""One that lapsed waits for another."""

SORTS: dict[str, ColumnElement[Any]] = {
    "opened": Run.opened.expression,
    "vessel": func.coalesce(Run.vessel, ""),
    "procedure": func.coalesce(Run.procedure, ""),
    "person": func.coalesce(Run.closer, Run.opener, ""),
    "review": func.coalesce(Run.review, ""),
    "found": _ALL,
}
"""By what it can be sorted, with - before it for the last first; of equals the newest stands first."""


@dataclass(frozen=True)
class Filters:
    """What the register is asked for; times are RFC 3339 texts of the opening."""

    vessel: str | None = None
    procedure: str | None = None
    kind: str | None = None
    status: str | None = None
    person: str | None = None
    found: str | None = None
    review: str | None = None
    opened_from: str | None = None
    opened_to: str | None = None
    sort: str = "-opened"
    after: Place | None = None
    limit: int = 50


def held(brewery: str) -> ColumnElement[bool]:
    """Every run that a register can show: of one that is not folded yet no opening is known."""
    return and_(Run.brewery == brewery, Run.opened != "")


def counted(condition: ColumnElement[bool]) -> int:
    """How many runs these are."""
    return db.session.execute(select(func.count()).select_from(Run).where(condition)).scalar_one()


def matching(brewery: str, filters: Filters) -> ColumnElement[bool]:
    """Which runs are asked for."""
    asked = [held(brewery)]
    for column, value in (
        (Run.vessel, filters.vessel),
        (Run.procedure, filters.procedure),
        (Run.kind, filters.kind),
    ):
        if value is not None:
            asked.append(column == value)
    if filters.status is not None:
        asked.append(Run.status != "open" if filters.status == "closed" else Run.status == filters.status)
    if filters.person is not None:
        asked.append(or_(Run.opener == filters.person, Run.closer == filters.person))
    if filters.opened_from:
        asked.append(Run.opened >= filters.opened_from)
    if filters.opened_to:
        asked.append(Run.opened < filters.opened_to)
    if filters.found is not None:
        asked.append(_found(filters.found))
    if filters.review == "waiting":
        asked.append(Run.unreviewed.is_(True))
    elif filters.review is not None:
        asked.append(Run.review == filters.review)
    return and_(*asked)


def _found(name: str) -> ColumnElement[bool]:
    if name == "none":
        return _ALL == 0
    return (_ALL if name == "some" else COUNTS[name]) > 0


def page(
    condition: ColumnElement[bool], sort: str, after: Place | None, limit: int
) -> tuple[list[str], Place | None]:
    """The ids of the runs of one page in order, and the place to go on from where there are more."""
    key, down = SORTS[sort.lstrip("-")], sort.startswith("-")
    by_time = sort.lstrip("-") == "opened"
    rising = by_time and not down
    order: list[ColumnElement[Any]] = (
        [Run.opened.expression, Run.id.expression] if rising else [Run.opened.desc(), Run.id.desc()]
    )
    if not by_time:
        order.insert(0, key.desc() if down else key)
    query = select(Run.id, Run.opened, key.label("key")).where(condition)
    if after is not None:
        query = query.where(_beyond(key, down, by_time, after))
    rows = db.session.execute(query.order_by(*order).limit(limit + 1)).all()
    shown = rows[:limit]
    last = shown[-1] if len(rows) > limit else None
    return [row.id for row in shown], None if last is None else (last.key, last.opened, last.id)


def _beyond(key: ColumnElement[Any], down: bool, by_time: bool, after: Place) -> ColumnElement[bool]:
    value, opened, run = after
    if by_time and not down:
        return or_(Run.opened > opened, and_(Run.opened == opened, Run.id > run))
    later = or_(Run.opened < opened, and_(Run.opened == opened, Run.id < run))
    if by_time:
        return later
    return or_(key < value if down else key > value, and_(key == value, later))
