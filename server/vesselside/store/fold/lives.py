"""What several runs on one vessel bring to light, kept beside each run it is about: fills not proved, checks missed.

A projection like the folded runs: the core replays a vessel's life from the summaries, whoever changed one of them.
What a run takes out of another vessel bears on that one's life too, so it is judged again with its own; and what was
let go of a gyle is judged by all that its runs showed of it. A run whose life cannot be replayed is left out and
carries the fault; where the rest cannot be judged either, what was told before stays.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import Any

from sqlalchemy import Select, or_, select, update

from vesselside.core.plant import draws, fitness, states
from vesselside.store.base import guard
from vesselside.store.base.db import Sessions
from vesselside.store.base.guard import Fault
from vesselside.store.base.instants import DAY_MS, ms_of, text_of
from vesselside.store.base.models import Run, Vessel
from vesselside.store.fold import deviating

BEFORE_MS = 45 * DAY_MS
"""How far back a vessel's life is read: no site's clean lasts so long, so nothing older decides a fill."""
CHANGED_MS = 15 * DAY_MS
"""How long before a changed run another may have been opened that it still bears on."""

_OF_GYLE = set(fitness.CODES.values())
Line = Any
Named = list[tuple[str, Line]]


@dataclass
class Touched:
    """What `runs`, about to be kept, bear on: vessels, with the earliest opening changed; gyles; runs of no gyle."""

    vessels: dict[str, str] = field(default_factory=dict)
    gyles: set[str] = field(default_factory=set)
    alone: set[str] = field(default_factory=set)
    runs: list[str] = field(default_factory=list)


def touched(session: Sessions, brewery: str, kept: list[Line], *, whole: bool) -> Touched:
    """What must be judged again once these runs are kept; `whole`: whether or not anything in them has changed.

    Their own vessels; where what bears on others has changed, every vessel that holds a gyle they are of or draw; and
    the gyle where what they show or let go of it has. An opening that comes late may name another vessel or gyle:
    those that the run was of till then count too.
    """
    names = [row["at_run"] for row in kept]
    was = {
        row.id: row
        for row in session.execute(
            select(Run.id, Run.vessel, Run.gyle, Run.opened, Run.draws, Run.summary).where(
                Run.brewery == brewery, Run.id.in_(names)
            )
        )
    }
    found = Touched(runs=names)
    drawn: dict[str, str] = {}
    for new in kept:
        before = was.get(new["at_run"])
        old: Any = (before.summary if before else None) or {}
        then = (before.vessel, before.gyle, before.draws) if before else (None, None, None)
        opened = min(new["opened"], (before.opened if before else None) or new["opened"])
        for vessel in (new["vessel"], then[0]):
            _earliest(found.vessels, vessel, opened)
        if whole or _other(draws.reach, old, new):
            for gyle in (new["gyle"], new["draws"], *then[1:]):
                _earliest(drawn, gyle, opened)
        if whole or _other(fitness.reach, old, new):
            found.gyles.update(gyle for gyle in (new["gyle"], then[1]) if gyle)
            found.alone.update([] if new["gyle"] else [new["at_run"]])
    if drawn:
        holders = select(Run.vessel, Run.gyle).where(
            Run.brewery == brewery, Run.gyle.in_(list(drawn)), Run.vessel.is_not(None)
        )
        for row in session.execute(holders.distinct()):
            _earliest(found.vessels, row.vessel, drawn[str(row.gyle)])
    return found


def _other(reach: Callable[[Line], Any], old: Line, new: Line) -> bool:
    """Whether what bears on others has changed; when it cannot be told, it has."""
    name = f"run {new['at_run']}"
    before, now = (guard.tried("life", name, partial(reach, line)) for line in (old, new["summary"]))
    return isinstance(before, Fault) or isinstance(now, Fault) or before != now


def _earliest(found: dict[str, str], name: str | None, opened: str) -> None:
    if name:
        found[name] = min(opened, found.get(name, opened))


def refresh(session: Sessions, brewery: str, touched: Touched) -> dict[str, Fault]:
    """Judge again what is to be told of the runs on these vessels and of these gyles; the faults found, by run.

    To be called in the writing transaction that keeps the folded runs, so that two processes cannot overtake.
    """
    every = select(Run.id, Run.gyle, Run.opened, Run.summary, Run.troubles)
    every = every.where(Run.brewery == brewery, Run.summary.is_not(None))
    cards = list(session.execute(select(Vessel.content).where(Vessel.brewery == brewery)).scalars())
    faults: dict[str, Fault] = {}

    def judged(code: str, named: Named, work: Callable[[list[Line]], list[Line]]) -> list[Line] | None:
        found = guard.sifted(code, named, work)
        faults.update(found.faults)
        if found.fault:
            faults.update(dict.fromkeys(touched.runs, found.fault))
        return found.made

    for name in sorted(touched.vessels):
        since = text_of(max(0, ms_of(touched.vessels[name]) - BEFORE_MS))
        lately = every.where(or_(Run.opened >= since, Run.status == "open"))
        rows = session.execute(lately.where(Run.vessel == name)).all()
        named = [(row.id, row.summary) for row in rows if row.summary is not None]
        named += _elsewhere(session, lately, name, {row.gyle for row in rows if row.gyle})
        changed = text_of(max(0, ms_of(touched.vessels[name]) - CHANGED_MS))
        told = judged("life", named, partial(_of_vessel, cards, name))
        _tell(session, brewery, [row for row in rows if row.opened >= changed], told, of_gyle=False)
    # what was shown of a gyle counts however long ago: beer may lie for months
    queries = [every.where(Run.gyle == gyle) for gyle in sorted(touched.gyles)]
    queries += [every.where(Run.id.in_(touched.alone))] if touched.alone else []
    for query in queries:
        rows = session.execute(query).all()
        told = judged("gyle", [(row.id, row.summary) for row in rows], fitness.troubles)
        _tell(session, brewery, rows, told, of_gyle=True)
    return faults


def _of_vessel(cards: list[Line], name: str, lines: list[Line]) -> list[Line]:
    return states.troubles(cards, lines, name)


def _tell(
    session: Sessions, brewery: str, rows: Sequence[Any], told: list[Line] | None, *, of_gyle: bool
) -> None:
    """Keep what is told of each run: of its vessel, or of its gyle, in place of what was told of that before.

    Nothing was told, not even that there is nothing, where `told` is None.
    """
    if told is None:
        return
    for row in rows:
        mine = [line for line in told if line["run"] == row.id]
        other = [line for line in row.troubles or [] if (line["code"] in _OF_GYLE) != of_gyle]
        now = mine + other if not of_gyle else other + mine
        if (row.troubles or []) != now:
            still = sum(line["answered"] is None for line in now)
            session.execute(
                update(Run)
                .where(Run.brewery == brewery, Run.id == row.id)
                .values(troubles=now, trouble_open=still, trouble_told=len(now))
            )
            deviating.keep(session, brewery, "life", {row.id: deviating.of_told(now)})


def _elsewhere(session: Sessions, columns: Select[Any], name: str, gyles: set[str]) -> Named:
    """The summaries of runs elsewhere that drew one of these gyles, and what tells which vessels held it then."""
    columns = columns.add_columns(Run.draws)
    drawing = session.execute(
        columns.where(Run.draws.in_(gyles), or_(Run.vessel != name, Run.vessel.is_(None)))
    ).all()
    if not drawing:
        return []
    wanted = {row.draws for row in drawing}
    beside = session.execute(columns.where(Run.gyle.in_(wanted), Run.vessel != name)).all()
    return list({row.id: row.summary for row in (*drawing, *beside) if row.summary is not None}.items())


def line(summary: Line, *told_of: list[Line] | None) -> Line:
    """A run's line of the register, with what the lives of its vessel and instruments brought to light counted in."""
    troubles = [told for rows in told_of for told in rows or []]
    if not troubles:
        return summary
    still = sum(told["answered"] is None for told in troubles)
    codes = {told["code"] for told in troubles}
    return {
        **summary,
        "deviations": summary["deviations"] + len(troubles),
        "deviations_open": summary["deviations_open"] + still,
        "findings": sorted({*summary["findings"], *codes}),
    }


def added(state: Line, troubles: Iterable[Line]) -> None:
    """Add to a run's state, in place, the findings and the deviation of each of its troubles.

    A trouble is found at its record, or at each of its readings.
    """
    findings, deviations = [], []
    for told in troubles:
        for row in told.get("readings", [told]):
            found = {"code": told["code"], "event": row["event"], "text": row.get("found", told["text"])}
            findings.append(found)
        deviation = {
            name: told[name] for name in ("event", "step", "text", "person", "interlock", "answered")
        }
        deviations.append({**deviation, "time": text_of(told["time"]), "trouble": told["code"]})
    state["findings"] += findings
    state["deviations"] += deviations
