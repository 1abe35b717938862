"""What failed checks of instruments put in doubt, kept beside each run it is about.

A projection like the folded runs: the core judges the readings by the checks, whichever of them came last.
"""

from collections.abc import Iterable, Iterator
from functools import partial
from typing import Any

from sqlalchemy import delete, insert, select, update

from vesselside.core.plant import doubts
from vesselside.core.run.events import is_id
from vesselside.store.base import guard
from vesselside.store.base.db import Sessions
from vesselside.store.base.guard import Fault
from vesselside.store.base.models import Instrument, InstrumentRun, Run
from vesselside.store.fold import deviating, faulty

AT_ONCE = 500
Line = Any
Checks = list[tuple[str, list[Line]]]
Part = dict[str, list[Line]]
"""What a run says of each instrument it read or checked: its checks, none when it only read."""


def refresh(session: Sessions, brewery: str, folded: Iterable[tuple[str, Line]]) -> dict[str, Fault]:
    """Judge again what these runs, just folded, change: their own readings, and what changed checks bear on.

    The faults of those that could not be judged, by run: what was told of them before stays.

    To be called in the writing transaction that keeps the folded runs, so that two processes cannot overtake.
    """
    read = {run: guard.tried("doubts", f"run {run}", partial(_parts, summary)) for run, summary in folded}
    faults = {run: part for run, part in read.items() if isinstance(part, Fault)}
    now = {run: part for run, part in read.items() if not isinstance(part, Fault)}
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
    return faults | _judge(session, brewery, sorted(runs))


def renamed(session: Sessions, brewery: str, instrument: str) -> None:
    """Say again, by its new name, what an instrument put in doubt."""
    runs = session.execute(
        select(InstrumentRun.run).where(
            InstrumentRun.brewery == brewery, InstrumentRun.instrument == instrument
        )
    ).scalars()
    faulty.note(session, brewery, _judge(session, brewery, sorted(runs)))


def _parts(summary: Line) -> Part:
    """What a run says of each instrument; a text that is no id names none, and may be too long for an index."""
    said = summary["instruments"]
    found: Part = {row["instrument"]: [] for row in said["read"] if is_id(row["instrument"])}
    for row in said["checks"]:
        if is_id(row["instrument"]):
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


def _judge(session: Sessions, brewery: str, runs: list[str]) -> dict[str, Fault]:
    faults: dict[str, Fault] = {}
    if not runs:
        return faults
    cards = list(session.execute(select(Instrument.content).where(Instrument.brewery == brewery)).scalars())
    for some in _parted(runs):
        read = select(InstrumentRun.instrument).where(
            InstrumentRun.brewery == brewery, InstrumentRun.run.in_(some)
        )
        held = select(InstrumentRun.run, InstrumentRun.checks).where(
            InstrumentRun.brewery == brewery, InstrumentRun.checked, InstrumentRun.instrument.in_(read)
        )
        checks: Checks = [(row.run, row.checks) for row in session.execute(held)]
        query = select(Run.id, Run.summary, Run.doubts).where(Run.brewery == brewery, Run.id.in_(some))
        if guard.tried("doubts", "checks", partial(_all_good, checks)) is True:
            query = query.where(Run.doubted > 0)
        lines = session.execute(query).all()
        found = _found([(row.id, row.summary) for row in lines if row.summary], checks, cards)
        faults |= found.faults | (dict.fromkeys(some, found.fault) if found.fault else {})
        told = {row["run"]: [row] for row in found.made or []}
        for row in lines:
            now = told.get(row.id, [])
            if found.made is not None and row.id not in found.faults and (row.doubts or []) != now:
                values = {
                    "doubts": now,
                    "doubted": sum(len(one["readings"]) for one in now),
                    "doubt_open": sum(one["answered"] is None for one in now),
                    "doubt_told": len(now),
                }
                session.execute(update(Run).where(Run.brewery == brewery, Run.id == row.id).values(values))
                deviating.keep(session, brewery, "doubt", {row.id: deviating.of_told(now)})
    return faults


def _found(
    lines: list[tuple[str, Line]], checks: Checks, cards: list[Line]
) -> guard.Sifted[list[Line], Line]:
    """What the core finds in doubt, without the runs and without the checks that it cannot take."""
    found = guard.sifted("doubts", lines, lambda some: doubts.found(some, _flat(checks), cards))
    if not found.faults and not found.fault:
        return found
    sound = guard.sifted(
        "doubts", [(row[0], row) for row in checks], lambda some: doubts.found([], _flat(some), cards)
    )
    if sound.faults:
        found = guard.sifted("doubts", lines, lambda some: doubts.found(some, _flat(sound.lines), cards))
        found.faults |= sound.faults
    return found


def _all_good(checks: Checks) -> bool:
    return all(row["good"] for row in _flat(checks))


def _flat(checks: Checks) -> list[Line]:
    return [row for _, rows in checks for row in rows]


def _parted(runs: list[str]) -> Iterator[list[str]]:
    for at in range(0, len(runs), AT_ONCE):
        yield runs[at : at + AT_ONCE]
