"""The register of runs and the board of vessels, read from the projections."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Any

from sqlalchemy import select

from vesselside.core.plant import states
from vesselside.store.base import guard
from vesselside.store.base.db import db
from vesselside.store.base.guard import Fault
from vesselside.store.base.instants import AHEAD_MS, text_of
from vesselside.store.base.models import Logged, Run, Vessel
from vesselside.store.fold import faulty
from vesselside.store.read import sought
from vesselside.store.site import siting

RUNS_A_VESSEL = 40
Line = Any
DRAWS = 200
"""How many of the newest runs that took beer out of another vessel the board reads beside those."""


@dataclass(frozen=True)
class Page:
    """Some of the runs asked for, in order; how many those are, of how many there are at all; and where to go on."""

    runs: list[Line]
    total: int
    held: int
    following: sought.Place | None


def runs(brewery: str, filters: sought.Filters) -> Page:
    """A page of summaries."""
    asked = sought.matching(brewery, filters)
    names, following = sought.page(asked, filters.sort, filters.after, filters.limit)
    rows = db.session.execute(select(*faulty.LINE).where(Run.brewery == brewery, Run.id.in_(names))).all()
    lines = {row.id: faulty.line(row) for row in rows}
    total, held = sought.counted(asked), sought.counted(sought.held(brewery))
    return Page([lines[name] for name in names if name in lines], total, held, following)


def board(brewery: str, *, now: int) -> list[dict[str, Any]]:
    """The state of every vessel, with times as RFC 3339, and what is told of its newest runs.

    That was judged with all that bears on them, which goes further back than the runs a state is made from. A vessel
    with a run that cannot be worked out has its state from the others, and a `fault`: it is not shown as proved.
    """
    vessels = siting.vessels_of(brewery)
    runs = bearing(brewery)
    waiting = select(Run.doubts).where(Run.brewery == brewery, Run.doubted > 0, Run.doubt_open > 0)
    doubted = [told for rows in db.session.execute(waiting).scalars() for told in rows or []]
    settings = siting.settings_of(brewery)

    def placed(some: list[Line], lines: list[Line]) -> list[Line]:
        return states.board(some, lines, settings, now, doubted)

    found = guard.sifted("life", [(run.id, run.summary) for run in runs.values()], partial(placed, vessels))
    rows = found.made
    if rows is None:
        rows = [_alone(vessel, found.lines, placed) for vessel in vessels]
    at_fault = [run for run in runs.values() if run.fault_code is not None or run.id in found.faults]
    heard = _heard(brewery, at_fault)
    troubles = [told for run in runs.values() for told in run.troubles or []]
    clean = states.lasting(settings)["clean"]
    for row in rows:
        mine = [run for run in at_fault if run.vessel == row["id"]]
        if mine:
            told = next((found.faults[run.id] for run in mine if run.id in found.faults), None)
            row["fault"] = _fault(told.code if told else mine[0].fault_code, [run.id for run in mine])
        rests = _rests(row, clean)
        if any(rests <= heard[run.id] for run in mine) or _ahead(row, rests, now):
            _unprove(row)
        for name in ("proved_until", "sanitised_until", "since", "chemical", "check_due"):
            row[name] = None if row[name] is None else text_of(row[name])
        row["trouble"] = [
            {**told, "time": text_of(told["time"])} for told in troubles if told["vessel"] == row["id"]
        ]
    return rows


def bearing(brewery: str) -> dict[str, Any]:
    """The runs that a board is made from, by id: the newest on each vessel, and of those that drew from another."""
    newest = select(Run.id, Run.vessel, Run.last, Run.summary, Run.troubles, Run.fault_code).where(
        Run.brewery == brewery, Run.summary.is_not(None)
    )
    newest = newest.order_by(Run.opened.desc(), Run.id.desc())
    queries = [newest.where(Run.draws.is_not(None)).limit(DRAWS)]
    names = db.session.execute(select(Vessel.id).where(Vessel.brewery == brewery)).scalars().all()
    queries += [newest.where(Run.vessel == name).limit(RUNS_A_VESSEL) for name in names]
    return {run.id: run for query in queries for run in db.session.execute(query).all()}


def _alone(card: Line, lines: list[Line], placed: Callable[[list[Line], list[Line]], list[Line]]) -> Line:
    """A vessel's row worked out beside no other; as nothing were known of it when that cannot be done either."""
    row = guard.tried("life", f"vessel {card.get('id')}", lambda: placed([card], lines)[0])
    if not isinstance(row, Fault):
        return row
    alone: Line = {"id": card["id"]}
    bare = placed([], []) or states.board([alone], [], {}, 0)
    _unprove(bare[0])
    cards = {name: card.get(name) for name in ("id", "name", "kind", "place")}
    return {**bare[0], **cards, "fault": _fault(row.code, [])}


def _fault(code: str, runs: list[str]) -> Line:
    return {"code": code, "runs": runs}


def _rests(row: Line, clean: int) -> int:
    """From when on a vessel's state rests on what was done to it: its clean, however much later it was sanitised."""
    since = row["since"] or 0
    return since if row["proved_until"] is None else min(since, row["proved_until"] - clean)


def _ahead(row: Line, rests: int, now: int) -> bool:
    """Whether a vessel's clocks began in the time to come: then they say nothing."""
    ahead = max(row["since"] or 0, rests) > now + AHEAD_MS
    if ahead and not row.get("fault"):
        row["fault"] = _fault("clock-ahead", [])
    return ahead


def _unprove(row: Line) -> None:
    """Show a vessel as nobody's proof: something done to it may not be known."""
    row["proved_until"] = row["sanitised_until"] = None
    if row["state"] in ("clean", "sanitised"):
        row["state"] = "rinsed"


def _heard(brewery: str, runs: list[Any]) -> dict[str, int]:
    """When the last record of each run was received [ms]: a state that began later does not rest on it."""
    if not runs:
        return {}
    rows = db.session.execute(
        select(Logged.sequence, Logged.recorded).where(
            Logged.brewery == brewery, Logged.sequence.in_([run.last for run in runs])
        )
    )
    recorded = {row.sequence: row.recorded for row in rows}
    return {run.id: recorded[run.last] for run in runs}
