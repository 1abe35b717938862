"""What several runs on one vessel bring to light, kept beside each run it is about: fills not proved, checks missed.

A projection like the folded runs: the core replays a vessel's life from the summaries, whoever changed one of them.
"""

from collections.abc import Iterable, Mapping
from typing import Any

from sqlalchemy import or_, select, update

from vesselside.core import plant

from .db import Sessions
from .instants import DAY_MS, ms_of, text_of
from .models import Run, Vessel

BEFORE_MS = 45 * DAY_MS
"""How far back a vessel's life is read: no site's clean lasts so long, so nothing older decides a fill."""
CHANGED_MS = 15 * DAY_MS
"""How long before a changed run another may have been opened that it still bears on."""

Line = dict[str, Any]


def refresh(session: Sessions, brewery: str, touched: Mapping[str, str]) -> None:
    """Judge again what the runs on these vessels bring to light; `touched` gives each the earliest opening changed.

    To be called in the writing transaction that keeps the folded runs, so that two processes cannot overtake.
    """
    for name in sorted(touched):
        card = session.execute(
            select(Vessel.content).where(Vessel.brewery == brewery, Vessel.id == name)
        ).scalar()
        since = text_of(max(0, ms_of(touched[name]) - BEFORE_MS))
        rows = session.execute(
            select(Run.id, Run.opened, Run.summary, Run.troubles).where(
                Run.brewery == brewery,
                Run.vessel == name,
                Run.summary.is_not(None),
                or_(Run.opened >= since, Run.status == "open"),
            )
        ).all()
        found: dict[str, list[Line]] = {}
        for told in plant.troubles([card] if card else [], [row.summary for row in rows if row.summary]):
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
