"""Make every projection again from the log, say where it was not what the log says, and replace it when told to.

What is replaced is kept, in the table `replaced`, which only grows: it may be the one trace of what somebody did.
"""

import base64
import json
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import func, select, update

from vesselside.core import VERSION
from vesselside.store.base import guard, statements
from vesselside.store.base.db import Sessions, db, now_ms, writing
from vesselside.store.base.guard import Fault
from vesselside.store.base.listed import DeviationRow
from vesselside.store.base.models import InstrumentRun, Logged, Replaced, Run
from vesselside.store.fold import administered, cleanings, deviating, doubts, faulty, lives, projections

PAGE = 200
_TOLD = (
    Run.troubles, Run.trouble_open, Run.trouble_told, Run.doubts, Run.doubted, Run.doubt_open, Run.doubt_told,
)  # fmt: skip
Rows = list[tuple[str, Any]]
"""What is to be kept of what was replaced: what it is, and as it stood."""


@dataclass
class Rebuilt:
    """How many runs were folded, and each difference; those of another core version are no fault.

    `broken` are the runs that cannot be worked out, each with why.
    """

    runs: int = 0
    broken: list[str] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)
    changed: list[str] = field(default_factory=list)


def rebuild(brewery: str, *, apply: bool = False) -> Rebuilt:
    """Fold all runs and all administration of a brewery again; `apply`: put what comes out in the place of what was."""
    report = Rebuilt()
    # before the runs: what a failed instrument puts in doubt is told by its name
    report.faults += _administration(brewery, apply=apply)
    for names in _pages(brewery):
        _folds(brewery, names, report, apply=apply)
    report.faults += _lives(brewery, apply=apply)
    report.broken += faulty.every(brewery)
    return report


def differences(brewery: str) -> Iterator[str]:
    """Every stored figure of a run and every row of the site that is not what the log says; nothing is written."""
    yield from _administration(brewery, apply=False)
    for names in _pages(brewery):
        report = Rebuilt()
        _folds(brewery, names, report, apply=False)
        yield from (*report.faults, *report.broken)
    yield from _lives(brewery, apply=False)


def _administration(brewery: str, *, apply: bool) -> list[str]:
    events = projections.administration(brewery)[1]
    if not apply:
        return [row.text for row in administered.differences(db.session, brewery, events)]
    with writing(brewery) as session:
        found = administered.differences(session, brewery, events)
        mended = [row for row in found if row.mend]
        _keep(session, brewery, [(row.what, row.kept) for row in mended])
        for row in mended:
            if row.mend:
                row.mend(session)
    return [row.text for row in found]


def _pages(brewery: str) -> Iterator[list[str]]:
    after = ""
    while True:
        query = select(Run.id).where(Run.brewery == brewery, Run.id > after).order_by(Run.id).limit(PAGE)
        page = list(db.session.execute(query).scalars())
        if not page:
            return
        yield page
        after = page[-1]


def _folds(brewery: str, names: list[str], report: Rebuilt, *, apply: bool) -> None:
    """Fold these runs and compare; `apply`: what differs is kept aside and replaced, what was left over is folded."""
    known = projections.administration(brewery)[0]
    query = select(Run).where(Run.brewery == brewery, Run.id.in_(names)).order_by(Run.id)
    again, wrong = [], {}
    cleans: dict[str, Any] = {}
    for run in db.session.execute(query.execution_options(populate_existing=True)).scalars().all():
        report.runs += 1
        made = projections.folded(brewery, run.id, known)
        if isinstance(made, Fault) or run.stale or run.state is None or run.fault_code is not None:
            again.append(run.id)
            if isinstance(made, Fault) and run.fault_code is None and not apply:
                report.broken.append(f"run {run.id} cannot be worked out: {made}")
            continue
        columns = projections.columns(made)
        lines = [f"run {run.id}: {line}" for line in _differences(run, columns)]
        # the row was read before the log was: it reaches further only where the log has lost what it was folded from
        if run.last > made.last:
            lines.append(f"run {run.id}: last: kept {run.last}, made {made.last}")
        if run.core != VERSION:
            report.changed += lines
            again.append(run.id)
            continue
        cleans[run.id] = made.cleaning
        if lines:
            report.faults += lines
            wrong[run.id] = (
                _as_it_stands(run),
                {"at_brewery": brewery, "at_run": run.id, "at_last": made.last, **columns},
            )
    db.session.expunge_all()
    _cleans(brewery, cleans, report, apply=apply)
    if apply and wrong:
        with writing(brewery) as session:
            _keep(session, brewery, [(f"run {run}", kept) for run, (kept, _) in wrong.items()])
            for name, (_, row) in wrong.items():
                held = select(func.max(Logged.sequence)).where(
                    Logged.brewery == brewery, Logged.run == name, Logged.status == "stored"
                )
                if (session.execute(held).scalar() or 0) == row["at_last"]:
                    here = (Run.brewery == brewery, Run.id == name)
                    session.execute(update(Run).where(*here).values(last=row["at_last"]))
            statements.execute(statements.KEEP_FOLDED, [row for _, row in wrong.values()])
    if apply:
        projections.refresh(brewery, again, whole=True)


def _cleans(brewery: str, made: dict[str, Any], report: Rebuilt, *, apply: bool) -> None:
    """Compare the cleaning register with what these runs are in it; `apply`: put that in its place."""
    listed = cleanings.held(db.session, brewery, made)
    wrong = {run: row for run, row in made.items() if listed.get(run) != row}
    for run, row in wrong.items():
        found = projections.differences(listed.get(run) or {}, row or {})
        report.faults += [f"run {run}: in the cleaning register: {line}" for line in found]
    if apply and wrong:
        with writing(brewery) as session:
            what = [(f"run {run} in the cleaning register", listed.get(run)) for run in wrong]
            _keep(session, brewery, what)
            cleanings.keep(session, brewery, wrong)


def _differences(run: Run, made: dict[str, Any]) -> list[str]:
    kept = guard.tried("state", f"run {run.id}", lambda: projections.unpacked(run.state or b""))
    if isinstance(kept, Fault):
        return [f"what was kept cannot be read: {kept}"]
    lines = projections.differences(kept, projections.unpacked(made["state"]))
    for name in statements.FOLDED:
        was, now = getattr(run, name), made[name]
        # the summary is drawn from the state: only one that stands alone in being wrong is told
        if name in ("state", "core") or was == now or (name == "summary" and lines):
            continue
        if name == "summary":
            lines += [f"summary.{line}" for line in projections.differences(was, now)]
        else:
            lines.append(f"{name}: kept {was}, made {now}")
    return lines


def _as_it_stands(row: Any) -> dict[str, Any]:
    """A row of a table, as JSON can hold it."""
    held = {column.name: getattr(row, column.name) for column in row.__table__.columns}
    return {
        name: base64.b64encode(value).decode("ascii") if isinstance(value, bytes) else value
        for name, value in held.items()
    }


def _lives(brewery: str, *, apply: bool) -> list[str]:
    """What the lives of vessels, gyles and instruments bring to light, judged again from what is kept of the runs.

    A part at a time, each in a transaction of its own, so that nothing that is pushed waits for all of them.
    """
    found: list[str] = []
    for judge in _parts(brewery):
        kept: Rows = []
        with writing(brewery) as session:
            before = _told(session, brewery)
            judge(session)
            after = _told(session, brewery)
            for what in sorted({*before, *after}):
                lines = projections.differences(before.get(what, {}), after.get(what, {}))
                found += [f"{what}: {line}" for line in lines]
                kept += [(what, before.get(what))] if lines else []
            if apply:
                _keep(session, brewery, kept)
            else:
                session.rollback()  # it was only made to be looked at
    return found


def _told(session: Sessions, brewery: str) -> dict[str, Any]:
    told = select(Run.id, *_TOLD).where(
        Run.brewery == brewery, (Run.troubles.is_not(None)) | (Run.doubts.is_not(None))
    )
    found: dict[str, Any] = {
        f"run {row.id}": {name: value for name, value in row._mapping.items() if name != "id" and value}
        for row in session.execute(told)
    }
    read = select(InstrumentRun.instrument, InstrumentRun.run, InstrumentRun.checks)
    for row in session.execute(read.where(InstrumentRun.brewery == brewery)):
        found[f"instrument {row.instrument} in run {row.run}"] = {"checks": row.checks}
    listed = select(DeviationRow).where(DeviationRow.brewery == brewery)
    for one in session.execute(listed.execution_options(populate_existing=True)).scalars():
        found[f"deviation {one.place} of {one.origin} in run {one.run}"] = _as_it_stands(one)
    return {what: kept for what, kept in found.items() if kept}


def _parts(brewery: str) -> Iterator[Callable[[Sessions], None]]:
    """The vessels, then the gyles, then the runs by pages: what judges each, in the transaction it is handed."""
    here = Run.brewery == brewery

    def lived(touched: lives.Touched) -> Callable[[Sessions], None]:
        return lambda session: faulty.note(session, brewery, lives.refresh(session, brewery, touched))

    def doubted(rows: list[Any]) -> Callable[[Sessions], None]:
        told = [(row.id, row.summary) for row in rows if row.summary]
        return lambda session: faulty.note(session, brewery, doubts.refresh(session, brewery, told))

    def listed(names: list[str]) -> Callable[[Sessions], None]:
        return lambda session: _list(session, brewery, names)

    vessels = (
        select(Run.vessel, func.min(Run.opened)).where(here, Run.vessel.is_not(None)).group_by(Run.vessel)
    )
    for vessel, opened in db.session.execute(vessels).all():
        yield lived(lives.Touched(vessels={str(vessel): opened}))
    gyles = db.session.execute(select(Run.gyle).where(here, Run.gyle.is_not(None)).distinct()).scalars().all()
    for at in range(0, len(gyles), PAGE):
        yield lived(lives.Touched(gyles={str(gyle) for gyle in gyles[at : at + PAGE]}))
    after = ""
    while True:
        query = select(Run.id, Run.gyle, Run.summary).where(here, Run.id > after).order_by(Run.id).limit(PAGE)
        rows = list(db.session.execute(query).all())
        if not rows:
            return
        yield lived(lives.Touched(alone={row.id for row in rows if row.gyle is None}))
        yield doubted(rows)
        yield listed([row.id for row in rows])
        after = rows[-1].id


def _list(session: Sessions, brewery: str, names: list[str]) -> None:
    """The deviations of these runs as they stand in the list, from what stands beside each run."""
    query = select(Run.id, Run.vessel, Run.state, Run.troubles, Run.doubts)
    for row in session.execute(query.where(Run.brewery == brewery, Run.id.in_(names))).all():
        deviating.list_run(session, brewery, row, projections.unpacked)


def _keep(session: Sessions, brewery: str, rows: Iterable[tuple[str, Any]]) -> None:
    """Keep what is about to be replaced, in the transaction that replaces it."""
    at = now_ms()
    held = select(func.max(Replaced.place)).where(Replaced.brewery == brewery)
    place = session.execute(held).scalar() or 0
    for what, kept in rows:
        place += 1
        text = json.dumps(kept, ensure_ascii=False, sort_keys=True)
        session.add(Replaced(brewery=brewery, place=place, at=at, what=what, kept=text))
    session.flush()


def replaced(brewery: str) -> list[tuple[int, str]]:
    """What was ever replaced: when, and what."""
    query = select(Replaced.at, Replaced.what).where(Replaced.brewery == brewery).order_by(Replaced.place)
    return [(row.at, row.what) for row in db.session.execute(query)]
