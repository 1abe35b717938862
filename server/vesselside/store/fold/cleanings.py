"""Every clean as a row of the cleaning register, with the figures that the core reads off its run.

A projection, written where the run is kept. What is found and said of it since (lives, instruments, reviews) stands
beside the run itself and is read with it.
"""

from collections.abc import Iterable
from typing import Any

from sqlalchemy import delete, insert, select

from vesselside.core.run import cleaned
from vesselside.core.run.ledger import Run as CoreRun
from vesselside.store.base.db import Sessions
from vesselside.store.base.instants import believed
from vesselside.store.base.listed import Cleaning

Line = Any


def of(run: CoreRun, state: Line, recorded: dict[str, int]) -> Line | None:
    """The row of a folded run, `{time, vessel, content}`; None where it is no clean. `recorded`: receipts [ms]."""
    if state["kind"] != "cleaning" or state["opened"] is None:
        return None
    closing = run.end() or run.opened
    if closing is None:
        return None
    content = {
        "status": state["status"],
        "left": state["left"],
        "procedure": state["procedure"],
        "version": state["version"],
        "title": state["title"],
        "gyle": state["gyle"],
        "person": closing.person,
        "device": closing.source.rpartition("/")[2],
        **cleaned.figures(run),
    }
    time = believed(closing.time, recorded.get(closing.id, closing.ms))
    return {"time": time, "vessel": state["vessel"], "content": content}


def held(session: Sessions, brewery: str, runs: Iterable[str]) -> dict[str, Line]:
    """The rows of these runs that are kept, as `of` makes them."""
    query = select(Cleaning.run, Cleaning.time, Cleaning.vessel, Cleaning.content)
    return {
        row.run: {"time": row.time, "vessel": row.vessel, "content": row.content}
        for row in session.execute(query.where(Cleaning.brewery == brewery, Cleaning.run.in_(list(runs))))
    }


def keep(session: Sessions, brewery: str, rows: dict[str, Line | None]) -> None:
    """Keep the rows of these runs in the place of what stood there; what is alike stays."""
    if not rows:
        return
    before = held(session, brewery, rows)
    changed = [run for run, row in rows.items() if row != before.get(run)]
    gone = [run for run in changed if run in before]
    if gone:
        session.execute(delete(Cleaning).where(Cleaning.brewery == brewery, Cleaning.run.in_(gone)))
    fresh = [{"brewery": brewery, "run": run, **row} for run in changed if (row := rows[run]) is not None]
    if fresh:
        session.execute(insert(Cleaning), fresh)
