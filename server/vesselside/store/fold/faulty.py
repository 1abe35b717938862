"""Runs that cannot be worked out: each keeps its last good state, and carries the fault until it folds again.

A fault is not tried again by whoever reads. It is when something new of the run is stored, when the core's version
has moved (`again`), and by `rebuild`.
"""

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from sqlalchemy import func, select, update

from vesselside.core import VERSION
from vesselside.core.door import views
from vesselside.core.run.authority import Administration
from vesselside.core.run.events import is_count, is_id
from vesselside.core.run.tally import tally
from vesselside.store.base import guard, statements
from vesselside.store.base.db import Sessions, db, writing
from vesselside.store.base.guard import Fault
from vesselside.store.base.instants import believed, sequence_text, text_of
from vesselside.store.base.models import Run
from vesselside.store.fold import lives
from vesselside.store.log import signing

if TYPE_CHECKING:
    from vesselside.store.answers import RunFault

State = Any


def bare(run: str, rows: list[Any]) -> State:
    """The state of a run that was never folded well: what its opening says, and nothing made of it.

    `rows` are its records as they are logged; a body that cannot be read is passed over.
    """
    state = views.fold(run, [], None, Administration([]))
    state["events"] = len(rows)
    openings = []
    for row in rows:
        event = guard.tried("record", f"sequence {row.sequence}", lambda row=row: signing.loaded(row.body))  # type: ignore[misc]  # bound at once
        if isinstance(event, dict) and event.get("type") == "run.opened":
            openings.append((event["hlc"], event["id"], event))
    if openings:
        opening = min(openings, key=lambda row: row[:2])[2]
        state["opened"] = {"event": opening["id"], "person": opening["person"], "time": opening["time"]}
        for name in ("procedure", "vessel", "gyle"):
            state[name] = opening["data"].get(name) if is_id(opening["data"].get(name)) else None
        version = opening["data"].get("version")
        state["version"] = version if is_count(version) else None
    return state


def mark(brewery: str, run: str, fault: Fault) -> str:
    """Keep that a run cannot be worked out as it now is; the digest of its records, which needs no fold."""
    rows = list(statements.execute(statements.RUN_EVENTS, {"brewery": brewery, "run": run, "after": 0}).all())
    digest = signing.digest_of(row.hash for row in rows)
    last = rows[-1].sequence if rows else 0
    values: dict[str, Any] = {**_columns(fault, last), "stale": False, "digest": digest}
    state = guard.tried("bare", f"run {run}", lambda: bare(run, rows))
    first = {} if isinstance(state, Fault) else _first(state, rows, digest)
    here = (Run.brewery == brewery, Run.id == run, Run.last == last)
    with writing(brewery) as session:
        session.execute(update(Run).where(*here).values(values))
        if first:
            session.execute(update(Run).where(*here, Run.state.is_(None)).values(first))
    return digest


def _first(state: State, rows: list[Any], digest: str) -> dict[str, Any]:
    """What lists need of a run that has no good state yet."""
    received = min((row.recorded for row in rows), default=0)
    opened = state["opened"]["time"] if state["opened"] else None
    return {
        "opened": believed(opened, received) if opened else text_of(received),
        "summary": {**views.summary(state), "digest": digest, "reviewed": False},
        **{name: state[name] for name in ("procedure", "version", "vessel", "gyle")},
        "opener": state["opened"]["person"] if state["opened"] else None,
    }


def note(session: Sessions, brewery: str, faults: dict[str, Fault]) -> None:
    """Keep the faults of runs that folded well, but whose vessel, gyle or instruments could not be judged."""
    for run, fault in faults.items():
        session.execute(
            update(Run).where(Run.brewery == brewery, Run.id == run).values(_columns(fault, Run.last))
        )


def _columns(fault: Fault, last: Any) -> dict[str, Any]:
    return {"fault_code": fault.code, "fault_text": fault.text, "fault_at": last, "fault_core": VERSION}


def told(row: Any) -> "RunFault | None":
    """The fault of a run's row as it is answered: `{code, text, sequence}`, or None."""
    if row.fault_code is None:
        return None
    return {
        "code": row.fault_code,
        "text": row.fault_text or "",
        "sequence": sequence_text(row.fault_at or 0),
    }


LINE = (
    Run.id, Run.opened, Run.summary, Run.troubles, Run.doubts, Run.fault_code, Run.fault_text, Run.fault_at,
)  # fmt: skip
"""The columns that a line of the register is made from."""


def line(row: Any) -> State:
    """A run's line of the register, from a row of `LINE`; with `fault` when it carries one."""
    made = guard.tried("summary", f"run {row.id}", lambda: _line(row))
    fault = told(row)
    if isinstance(made, Fault):
        fault = fault or {"code": made.code, "text": made.text}
        made = {**views.summary(bare(row.id, [])), "reviewed": False}
    return {**made, "fault": fault} if fault else made


def _line(row: Any) -> State:
    if row.summary is None:
        return {**views.summary(bare(row.id, [])), "reviewed": False}
    if row.summary["id"] != row.id:
        raise ValueError("The summary is another run's")
    # one of before summaries had a tally: its run is stale, and the list says how many are
    summary = row.summary if "tally" in row.summary else {**row.summary, "tally": tally(bare(row.id, []))}
    return lives.line(summary, row.troubles, row.doubts)


def every(brewery: str) -> Iterator[str]:
    """The fault of every run that carries one, in words."""
    query = select(Run.id, Run.fault_code, Run.fault_text).where(
        Run.brewery == brewery, Run.fault_code.is_not(None)
    )
    for row in db.session.execute(query.order_by(Run.id)):
        yield f"run {row.id} cannot be worked out: {row.fault_code}: {row.fault_text}"


def again(brewery: str) -> None:
    """Let every run be tried again whose fault is that of another version of the core."""
    other = (Run.brewery == brewery, Run.fault_code.is_not(None), Run.fault_core != VERSION)
    if db.session.execute(select(func.count()).select_from(Run).where(*other)).scalar_one():
        with writing(brewery) as session:
            session.execute(update(Run).where(*other).values(stale=True))
