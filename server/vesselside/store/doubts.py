"""What failed checks of instruments put in doubt, kept beside each run it is about.

A projection like the folded runs: the core judges the readings by the checks, whichever of them came last.
"""

from collections.abc import Iterable, Iterator
from typing import Any

from sqlalchemy import delete, insert, select, update

from vesselside.core.plant import doubts

from .db import Sessions
from .models import Instrument, InstrumentRun, Run

AT_ONCE = 500
Line = dict[str, Any]
Part = dict[str, list[Line]]
"""What a run says of each instrument it read or checked: its checks, none when it only read."""


def refresh(session: Sessions, brewery: str, folded: Iterable[tuple[str, Line]]) -> None:
    """Judge again what these runs, just folded, change: their own readings, and what changed checks bear on.

    To be called in the writing transaction that keeps the folded runs, so that two processes cannot overtake.
    """
    now = {run: _parts(summary) for run, summary in folded}
    before: dict[str, Part] = {run: {} for run in now}
    rows = session.execute(
        select(InstrumentRun.run, InstrumentRun.instrument, InstrumentRun.checks).where(
            InstrumentRun.brewery == brewery, InstrumentRun.run.in_(now)
        )
    )
    for row in rows:
        before[row.run][row.instrument] = row.checks
    changed = [run for run in now if now[run] != before[run]]
    _keep(session, brewery, {run: now[run] for run in changed})
    checked = {
        instrument
        for run in changed
        for instrument in {*now[run], *before[run]}
        if now[run].get(instrument, []) != before[run].get(instrument, [])
    }
    runs = {run for run in now if now[run] or before[run]}
    runs.update(
        session.execute(
            select(InstrumentRun.run).where(
                InstrumentRun.brewery == brewery, InstrumentRun.instrument.in_(checked)
            )
        ).scalars()
        if checked
        else []
    )
    _judge(session, brewery, sorted(runs))


def renamed(session: Sessions, brewery: str, instrument: str) -> None:
    """Say again, by its new name, what an instrument put in doubt."""
    runs = session.execute(
        select(InstrumentRun.run).where(
            InstrumentRun.brewery == brewery, InstrumentRun.instrument == instrument
        )
    ).scalars()
    _judge(session, brewery, sorted(runs))


def _parts(summary: Line) -> Part:
    said = summary["instruments"]
    found: Part = {row["instrument"]: [] for row in said["read"]}
    for row in said["checks"]:
        found.setdefault(row["instrument"], []).append(row)
    return found


def _keep(session: Sessions, brewery: str, parts: dict[str, Part]) -> None:
    if not parts:
        return
    session.execute(
        delete(InstrumentRun).where(InstrumentRun.brewery == brewery, InstrumentRun.run.in_(parts))
    )
    rows = [
        {
            "brewery": brewery,
            "instrument": instrument,
            "run": run,
            "checked": bool(checks),
            "checks": checks,
        }
        for run, part in parts.items()
        for instrument, checks in part.items()
    ]
    if rows:
        session.execute(insert(InstrumentRun), rows)


def _judge(session: Sessions, brewery: str, runs: list[str]) -> None:
    if not runs:
        return
    cards = session.execute(select(Instrument.content).where(Instrument.brewery == brewery)).scalars().all()
    for some in _parted(runs):
        read = select(InstrumentRun.instrument).where(
            InstrumentRun.brewery == brewery, InstrumentRun.run.in_(some)
        )
        held = select(InstrumentRun.checks).where(
            InstrumentRun.brewery == brewery, InstrumentRun.checked, InstrumentRun.instrument.in_(read)
        )
        checks = [row for rows in session.execute(held).scalars() for row in rows]
        query = select(Run.id, Run.summary, Run.doubts).where(Run.brewery == brewery, Run.id.in_(some))
        if all(row["good"] for row in checks):
            query = query.where(Run.doubted > 0)
        lines = session.execute(query).all()
        told = {
            row["run"]: [row]
            for row in doubts.found([row.summary for row in lines if row.summary], checks, list(cards))
        }
        for row in lines:
            now = told.get(row.id, [])
            if (row.doubts or []) != now:
                values = {
                    "doubts": now,
                    "doubted": sum(len(one["readings"]) for one in now),
                    "doubt_open": sum(one["answered"] is None for one in now),
                }
                session.execute(update(Run).where(Run.brewery == brewery, Run.id == row.id).values(values))


def _parted(runs: list[str]) -> Iterator[list[str]]:
    for at in range(0, len(runs), AT_ONCE):
        yield runs[at : at + AT_ONCE]
