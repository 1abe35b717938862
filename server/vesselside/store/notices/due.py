"""What comes to a person by itself: all that is worth telling at a moment, read from the projections.

Each has a name that stays the same for as long as it is so, so that it is told once. It says nothing of a person:
a push service carries it.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import select

from vesselside.core.plant.draws import called
from vesselside.core.run.events import KINDS as EVENTS
from vesselside.core.run.events import ROLES
from vesselside.store.base import guard
from vesselside.store.base.db import db
from vesselside.store.base.guard import Fault
from vesselside.store.base.instants import ms_of
from vesselside.store.base.listed import DeviationRow
from vesselside.store.base.models import Logged, Run
from vesselside.store.fold import projections
from vesselside.store.fold.deviating import OPEN
from vesselside.store.read import register, today
from vesselside.store.site import instruments

MINUTE_MS = 60_000
HOUR_MS = 60 * MINUTE_MS
LATE_MS = 15 * MINUTE_MS
"""How long after its end a hold is still worth calling for."""
NEWS_MS = 6 * HOUR_MS
"""How long anything else is: what is older stands on the pages, and is no news. Common practice, no source."""
AHEAD_MS = 2 * HOUR_MS
"""How long before a proof ends it is told of, where beer is on its way to that vessel. Common practice, no source."""
NEWEST = 100
Line = Any


@dataclass(frozen=True)
class Found:
    """Something to tell: its kind, its name among those, since when [ms] and until when it is news.

    `address` is where it is answered, a screen of the app in parts; `about` the vessel or instrument. It is told only
    to `devices`, where those are named, never to the person it came from, and to nobody below `least`.
    """

    kind: str
    name: str
    at: int
    until: int
    address: tuple[str, ...]
    about: str
    devices: frozenset[str] | None = None
    but: str | None = None
    least: str = ROLES[0]


@dataclass(frozen=True)
class _Plant:
    """What all kinds are found in."""

    brewery: str
    now: int
    board: list[Line]
    runs: dict[str, Line] = field(default_factory=dict)

    def name(self, vessel: str | None) -> str:
        """The vessel's name; empty for a run at none."""
        return next((str(row["name"]) for row in self.board if row["id"] == vessel), "")


def found(brewery: str, *, now: int) -> list[Found]:
    """All there is to tell."""
    query = select(Run.id, Run.last, Run.vessel, Run.summary, Run.state).where(
        Run.brewery == brewery, Run.status == "open", Run.state.is_not(None)
    )
    runs = {row.id: row for row in db.session.execute(query.order_by(Run.opened.desc()).limit(NEWEST))}
    plant = _Plant(brewery, now, register.board(brewery, now=now), runs)
    return [one for find in KINDS.values() for one in find(plant)]


def _holds(plant: _Plant) -> Iterator[Found]:
    for run in plant.runs.values():
        hold = (run.summary or {}).get("hold")
        if not hold:
            continue
        at = int(hold["started"] + hold["seconds"] * 1000)
        if at <= plant.now:
            name = f"{run.id} {hold['step']} {hold['started']}"
            yield Found(
                "hold-over",
                name,
                at,
                at + LATE_MS,
                ("run", run.id),
                plant.name(run.vessel),
                _recorded_on(plant.brewery, run.id),
            )


def _recorded_on(brewery: str, run: str) -> frozenset[str]:
    """The phones that recorded anything of a run: those at work on it."""
    query = select(Logged.source).where(
        Logged.brewery == brewery, Logged.run == run, Logged.status == "stored"
    )
    sources = db.session.execute(query.distinct()).scalars()
    return frozenset(str(source).removeprefix("/devices/") for source in sources)


def _seconds(plant: _Plant) -> Iterator[Found]:
    for run in plant.runs.values():
        state = guard.tried("state", f"run {run.id}", lambda run=run: projections.unpacked(run.state))  # type: ignore[misc]  # bound at once
        for name, step in () if isinstance(state, Fault) else state["steps"].items():
            done = step["done"]
            if done is None or not any(wait["code"] == "second" for wait in step["waits"]):
                continue
            at = ms_of(done["time"])
            yield Found(
                "second-wanted",
                f"{run.id} {name} {done['event']}",
                at,
                at + NEWS_MS,
                ("run", run.id, "step", name),
                plant.name(run.vessel),
                but=done["person"],
                least=EVENTS["sign.given"][0],
            )


def _deviations(plant: _Plant) -> Iterator[Found]:
    query = (
        select(DeviationRow)
        .where(DeviationRow.brewery == plant.brewery, DeviationRow.rank == OPEN)
        .order_by(DeviationRow.time.desc())
        .limit(NEWEST)
    )
    for row in db.session.execute(query).scalars():
        at = ms_of(row.time)
        name = f"{row.run} {row.origin} {row.content.get('event', row.place)}"
        yield Found("deviation", name, at, at + NEWS_MS, ("record", "run", row.run), plant.name(row.vessel))


def _vessels_held(plant: _Plant) -> Iterator[Found]:
    for row in plant.board:
        if row["state"] == "hold" and row["since"] is not None:
            at = ms_of(row["since"])
            yield Found(
                "vessel-held", f"{row['id']} {at}", at, at + NEWS_MS, ("vessel", row["id"]), row["name"]
            )


def _checks(plant: _Plant) -> Iterator[Found]:
    for row in plant.board:
        if row["check_due"] is not None and (at := ms_of(row["check_due"])) < plant.now:
            name = f"vessel {row['id']} {at}"
            yield Found("check-overdue", name, at, at + NEWS_MS, ("vessel", row["id"]), row["name"])
    for row in instruments.standing(plant.brewery, now=plant.now):
        since = row["failed"] if row["state"] == "failed" else row["due"] if row["state"] == "due" else None
        if since is not None:
            at = ms_of(since)
            name = f"instrument {row['id']} {row['state']} {at}"
            yield Found(
                "check-overdue", name, at, at + NEWS_MS, ("record", "instrument", row["id"]), row["name"]
            )


def _standing(plant: _Plant) -> Iterator[Found]:
    for row in today.wrong(plant.brewery, plant.board, now=plant.now)["standing"]:
        at = ms_of(row["since"]) + today.STILL_MS
        yield Found(
            "standing", f"{row['run']} {row['since']}", at, at + NEWS_MS, ("run", row["run"]),
            plant.name(row["vessel"]),
        )  # fmt: skip


def _proofs(plant: _Plant) -> Iterator[Found]:
    """Vessels that an open run is bound for, with the proof that they may be filled about to end."""
    bound = [(run.summary or {}).get("bound_for") for run in plant.runs.values()]
    for row in plant.board:
        ends = [ms_of(row[name]) for name in ("proved_until", "sanitised_until") if row[name] is not None]
        if not ends or not any(called(row, name) for name in bound):
            continue
        end = min(ends)
        if plant.now < end <= plant.now + AHEAD_MS:
            name = f"{row['id']} {end}"
            yield Found("proof-ends", name, end - AHEAD_MS, end, ("vessel", row["id"]), row["name"])


KINDS: dict[str, Callable[[_Plant], Iterator[Found]]] = {
    "hold-over": _holds,
    "second-wanted": _seconds,
    "deviation": _deviations,
    "vessel-held": _vessels_held,
    "check-overdue": _checks,
    "standing": _standing,
    "proof-ends": _proofs,
}
"""The kinds of notice, and how each is found."""
