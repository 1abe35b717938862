"""What several runs on one vessel bring to light, kept beside each run it is about: fills not proved, checks missed.

A projection like the folded runs: the core replays a vessel's life from the summaries, whoever changed one of them.
What a run takes out of another vessel bears on that one's life too, so it is judged again with its own.
"""

from collections.abc import Iterable, Mapping
from typing import Any

from sqlalchemy import Select, or_, select, update

from vesselside.core import draws, plant

from .db import Sessions
from .instants import DAY_MS, ms_of, text_of
from .models import Run, Vessel

BEFORE_MS = 45 * DAY_MS
"""How far back a vessel's life is read: no site's clean lasts so long, so nothing older decides a fill."""
CHANGED_MS = 15 * DAY_MS
"""How long before a changed run another may have been opened that it still bears on."""

Line = dict[str, Any]


def touched(session: Sessions, brewery: str, kept: list[Line]) -> dict[str, str]:
    """The vessels whose lives the runs about to be kept bear on, each with the earliest opening changed.

    Their own; and where what bears on others has changed, every vessel that holds a gyle they are of or draw.
    """
    names = [row["at_run"] for row in kept]
    was = {
        row.id: row
        for row in session.execute(
            select(Run.id, Run.draws, Run.summary).where(Run.brewery == brewery, Run.id.in_(names))
        )
    }
    found: dict[str, str] = {}
    gyles: dict[str, str] = {}
    for new in kept:
        before = was.get(new["at_run"])
        _earliest(found, new["vessel"], new["opened"])
        if not before or draws.reach(before.summary or {}) != draws.reach(new["summary"]):
            for gyle in (new["gyle"], new["draws"], before.draws if before else None):
                _earliest(gyles, gyle, new["opened"])
    if gyles:
        holders = select(Run.vessel, Run.gyle).where(
            Run.brewery == brewery, Run.gyle.in_(list(gyles)), Run.vessel.is_not(None)
        )
        for row in session.execute(holders.distinct()):
            _earliest(found, row.vessel, gyles[str(row.gyle)])
    return found


def _earliest(found: dict[str, str], name: str | None, opened: str) -> None:
    if name:
        found[name] = min(opened, found.get(name, opened))


def refresh(session: Sessions, brewery: str, touched: Mapping[str, str]) -> None:
    """Judge again what the runs on these vessels bring to light; `touched` gives each the earliest opening changed.

    To be called in the writing transaction that keeps the folded runs, so that two processes cannot overtake.
    """
    if not touched:
        return
    cards = session.execute(select(Vessel.content).where(Vessel.brewery == brewery)).scalars().all()
    for name in sorted(touched):
        since = text_of(max(0, ms_of(touched[name]) - BEFORE_MS))
        columns = select(Run.id, Run.gyle, Run.opened, Run.summary, Run.troubles).where(
            Run.brewery == brewery, Run.summary.is_not(None), or_(Run.opened >= since, Run.status == "open")
        )
        rows = session.execute(columns.where(Run.vessel == name)).all()
        lines = [row.summary for row in rows if row.summary]
        lines += _elsewhere(session, columns, name, {row.gyle for row in rows if row.gyle})
        found: dict[str, list[Line]] = {}
        for told in plant.troubles(list(cards), lines, name):
            found.setdefault(told["run"], []).append(told)
        changed = text_of(max(0, ms_of(touched[name]) - CHANGED_MS))
        for row in rows:
            now = found.get(row.id, [])
            if row.opened >= changed and (row.troubles or []) != now:
                still = sum(told["answered"] is None for told in now)
                session.execute(
                    update(Run)
                    .where(Run.brewery == brewery, Run.id == row.id)
                    .values(troubles=now, trouble_open=still)
                )


def _elsewhere(session: Sessions, columns: Select[Any], name: str, gyles: set[str]) -> list[Line]:
    """The summaries of runs elsewhere that drew one of these gyles, and what tells which vessels held it then."""
    drawing = session.execute(
        columns.where(Run.draws.in_(gyles), or_(Run.vessel != name, Run.vessel.is_(None)))
    ).all()
    if not drawing:
        return []
    drawn = {row.summary["id"]: row.summary for row in drawing if row.summary}
    wanted = {draws.source(line) for line in drawn.values()}
    beside = session.execute(columns.where(Run.gyle.in_(wanted), Run.vessel != name)).all()
    return list({**drawn, **{row.summary["id"]: row.summary for row in beside if row.summary}}.values())


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
    for told in troubles:
        for row in told.get("readings", [told]):
            found = {"code": told["code"], "event": row["event"], "text": row.get("found", told["text"])}
            state["findings"].append(found)
        deviation = {
            name: told[name] for name in ("event", "step", "text", "person", "interlock", "answered")
        }
        state["deviations"].append({**deviation, "time": text_of(told["time"]), "trouble": told["code"]})
