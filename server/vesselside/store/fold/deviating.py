"""Every deviation of the brewery as a row of its own, so that those of all runs can be listed, answered or not.

A projection: what a run raised is in its state, what lives and instruments bring to light stands beside it (`troubles`,
`doubts`). Whoever writes one of those has its rows here written too, in the same transaction.
"""

from collections.abc import Callable, Iterable
from typing import Any, Literal

from sqlalchemy import delete, insert, select

from vesselside.store.base import guard
from vesselside.store.base.db import Sessions
from vesselside.store.base.guard import Fault
from vesselside.store.base.instants import text_of
from vesselside.store.base.listed import DeviationRow

Origin = Literal["run", "life", "doubt"]
"""Where it was found: in the run itself, in the life of its vessel or gyle, at an instrument."""
OPEN, PENDING, CLOSED = 0, 1, 2
"""The ranks by which they are listed: not answered; answered, and what is to prevent it still to be done; closed."""
Line = Any


def rank_of(answered: Line) -> int:
    """The rank of a deviation with this answer, or with none."""
    if answered is None:
        return OPEN
    return PENDING if answered.get("pending") else CLOSED


def keep(
    session: Sessions, brewery: str, origin: Origin, found: dict[str, tuple[str | None, Iterable[Line]]]
) -> None:
    """Keep what was found of each run, as (vessel, rows), in the place of what stood there; what is alike stays."""
    if not found:
        return
    here = (DeviationRow.brewery == brewery, DeviationRow.origin == origin)
    held = select(DeviationRow.run, DeviationRow.place, DeviationRow.vessel, DeviationRow.content)
    before: dict[str, list[Any]] = {}
    for row in session.execute(held.where(*here, DeviationRow.run.in_(found)).order_by(DeviationRow.place)):
        before.setdefault(row.run, []).append((row.place, row.vessel, row.content))
    rows = {run: [_content(line) for line in lines] for run, (_, lines) in found.items()}
    wanted = {run: [(at, found[run][0], line) for at, line in enumerate(rows[run])] for run in found}
    changed = [run for run in found if wanted[run] != before.get(run, [])]
    gone = [run for run in changed if run in before]
    if gone:
        session.execute(delete(DeviationRow).where(*here, DeviationRow.run.in_(gone)))
    fresh = [
        {
            "brewery": brewery,
            "run": run,
            "origin": origin,
            "place": at,
            "rank": rank_of(line["answered"]),
            "time": line["time"],
            "vessel": vessel,
            "content": line,
        }
        for run in changed
        for at, vessel, line in wanted[run]
    ]
    if fresh:
        session.execute(insert(DeviationRow), fresh)


def list_run(session: Sessions, brewery: str, row: Any, unpacked: Callable[[bytes], Line]) -> None:
    """List all that is kept of one run: its `state`, unless nobody can read it, its `troubles`, its `doubts`."""
    state = guard.tried("state", f"run {row.id}", lambda: unpacked(row.state)) if row.state else {}
    if not isinstance(state, Fault) and row.state:
        keep(session, brewery, "run", {row.id: (row.vessel, state["deviations"])})
    beside: tuple[tuple[Origin, Line], ...] = (("life", row.troubles), ("doubt", row.doubts))
    for origin, told in beside:
        keep(session, brewery, origin, {row.id: of_told([line for line in told or [] if _whole(line)])})


def _whole(line: Line) -> bool:
    """Whether what is kept can be listed: changed beside the log it may be anything, and what judges it tells so."""
    return {"answered", "code", "time", "vessel"}.issubset(line)


def of_told(told: list[Line]) -> tuple[str | None, list[Line]]:
    """What lives or instruments bring to light of a run, and on which vessel."""
    return next((row["vessel"] for row in told if row["vessel"]), None), told


_TOLD = (
    "event", "step", "text", "person", "value", "limit", "interlock", "check", "trouble", "answered",
)  # fmt: skip


def _content(line: Line) -> Line:
    """A deviation as it is listed, from one of a run's state or from what several runs bring to light."""
    time = line.get("received") or line["time"]
    made = {name: line[name] for name in _TOLD if name in line}
    made["time"] = text_of(time) if isinstance(time, int) else time
    if "code" in line:
        made["trouble"] = line["code"]
    return made
