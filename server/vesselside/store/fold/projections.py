"""What is made from the log and can be made again: the folded runs, the people's roles, the settings.

A run is folded behind the push that touched it (`behind`), so no fault of the fold can lose a record or keep a phone
waiting. Until then its row is `stale`; so it is after a crash in between, or when a procedure came later than its run,
until the next push, list or `migrate`. A run that cannot be folded keeps what was last kept of it and carries a fault
(`faulty`), and is no longer stale.
"""

import json
import threading
import zlib
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from sqlalchemy import func, select

from vesselside.core import VERSION
from vesselside.core.door import views
from vesselside.core.ground.clock import milliseconds
from vesselside.core.ground.errors import CoreError
from vesselside.core.plant import draws
from vesselside.core.run.authority import Administration
from vesselside.store.base import guard, statements
from vesselside.store.base.db import db, writing
from vesselside.store.base.guard import Fault
from vesselside.store.base.instants import believed, text_of
from vesselside.store.base.models import CautionVersion, Run
from vesselside.store.fold import cleanings, deviating, doubts, faulty, folding, lives
from vesselside.store.fold.folding import Folded, Held

State = Any
AT_ONCE = 5
"""How many runs are folded and kept together, at most."""


@dataclass
class _Known:
    """The administration up to a sequence. It only grows, so a later reader adds what is new."""

    last: int
    events: list[dict[str, Any]]
    administration: Administration


_known: dict[tuple[str, str], _Known] = {}
_lives: dict[tuple[str, str], str] = {}
_known_turn = threading.Lock()


def administration(brewery: str) -> tuple[Administration, list[dict[str, Any]]]:
    """The administration of a brewery, for the core, and its events in order."""
    name = (str(db.engine.url), brewery)
    with _known_turn:
        known = _known.get(name) or _Known(0, [], Administration([]))
    rows = statements.execute(statements.ADMINISTRATION, {"brewery": brewery, "after": known.last}).all()
    if rows:
        fresh = [folding.placed(row.body, row.sequence, row.recorded) for row in rows]
        events = known.events + fresh
        # A new object, not an addition: another thread may be folding with the old one.
        known = _Known(rows[-1].sequence, events, known.administration.grown(fresh))
        with _known_turn:
            _known[name] = known
    return known.administration, known.events


def forget() -> None:
    """Read the administration anew: a log was put back to an earlier state."""
    with _known_turn:
        _known.clear()
        _lives.clear()


def of_life(brewery: str, epoch: str) -> None:
    """Forget the administration of a log that another process has put back since."""
    name = (str(db.engine.url), brewery)
    with _known_turn:
        if _lives.get(name, epoch) != epoch:
            _known.pop(name, None)
        _lives[name] = epoch


def cautions_of(brewery: str) -> list[dict[str, Any]]:
    """The latest version of every caution, by id."""
    rows = db.session.execute(
        select(CautionVersion.id, CautionVersion.content)
        .where(CautionVersion.brewery == brewery)
        .order_by(CautionVersion.id, CautionVersion.version)
    )
    return list({row.id: row.content for row in rows}.values())


def columns(folded: Folded) -> dict[str, Any]:
    """What is kept of a folded run."""
    state = folded.state
    finished = state["finished"]
    told: State = {**state, "findings": state["findings"] + folded.received, "review": folded.review}
    stands = bool(folded.review and folded.review["stands"])
    summary = {**views.summary(told), "digest": folded.digest, "reviewed": stands}
    recipe = state["recipe"] or {"id": None, "version": None}
    return {
        "opened": _opened(state["opened"], folded.recorded),
        "closed": _closed(finished, folded.recorded) if finished else None,
        "procedure": state["procedure"],
        "version": state["version"],
        "vessel": state["vessel"],
        "gyle": state["gyle"],
        "draws": draws.source(state),
        "recipe": recipe["id"],
        "recipe_version": recipe["version"],
        "status": state["status"],
        "core": VERSION,
        "digest": folded.digest,
        "state": packed(state),
        "summary": summary,
        "deviations": summary["deviations_open"],
        "contested": summary["contested"],
        "unreviewed": state["status"] != "open" and not stands,
        **_listed(summary),
    }


def _listed(summary: State) -> dict[str, Any]:
    """What the register filters by, of a run's summary."""
    review = summary["review"]
    if review:
        review = review["verdict"] if summary["reviewed"] else "lapsed"
    return {
        "kind": summary["kind"] or None,
        "opener": summary["opened"]["person"] if summary["opened"] else None,
        "closer": summary["finished"]["person"] if summary["finished"] else None,
        "review": review,
        "answered": summary["deviations"] - summary["deviations_open"],
        "found": len(summary["findings"]),
        "struck": summary["strikes"],
        **summary["tally"],
    }


def _opened(opened: dict[str, Any] | None, recorded: dict[str, int]) -> str:
    """When a run was opened, by the phone's clock; when it was received where that runs far ahead."""
    if opened is None:
        return text_of(min(recorded.values(), default=0))
    return believed(opened["time"], recorded[opened["event"]])


def _closed(finished: dict[str, Any], recorded: dict[str, int]) -> int:
    """When a run was closed: by the phone's clock or by the server's, whichever is earlier."""
    received = recorded[finished["event"]]
    try:
        return min(milliseconds(finished["time"]), received)
    except CoreError:
        return received


def packed(state: State) -> bytes:
    """A state as it is kept."""
    return zlib.compress(json.dumps(state, separators=(",", ":"), sort_keys=True).encode(), 1)


def unpacked(data: bytes) -> State:
    """A state as it was kept."""
    state: State = json.loads(zlib.decompress(data))
    return state


def refresh(
    brewery: str, runs: Iterable[str], *, whole: bool = False, held: Held | None = None
) -> dict[str, str]:
    """Fold runs again and keep what came out; their digests. `whole`: judge all they bear on, changed or not.

    What cannot be folded or kept is marked, and takes nothing else down. Of runs that are `held` only what is new.
    """
    names = sorted(set(runs))
    if not names:
        return {}
    if len(names) > AT_ONCE:
        # whoever keeps runs lets nobody else write: not for many of them at a time
        parts = [names[at : at + AT_ONCE] for at in range(0, len(names), AT_ONCE)]
        some = [refresh(brewery, part, whole=whole, held=held) for part in parts]
        return {run: digest for digests in some for run, digest in digests.items()}
    held = held or Held()
    known = guard.tried("administration", "the brewery", lambda: administration(brewery))
    if isinstance(known, Fault):
        return {run: faulty.mark(brewery, run, known) for run in names}
    through = int(known[1][-1]["sequence"]) if known[1] else 0
    made = {run: folded(brewery, run, *known, held=held) for run in names}
    good = {run: result for run, result in made.items() if isinstance(result, Folded)}
    faults = {run: result for run, result in made.items() if isinstance(result, Fault)}
    faults |= keep(brewery, good, whole=whole, through=through)
    digests = {run: result.digest for run, result in good.items()}
    return digests | {run: faulty.mark(brewery, run, fault) for run, fault in faults.items()}


def folded(
    brewery: str,
    run: str,
    known: Administration,
    said: list[dict[str, Any]] | None = None,
    *,
    held: Held | None = None,
) -> Folded | Fault:
    """Fold one run, or say why it cannot be."""
    return guard.tried("fold", f"run {run}", lambda: (held or Held()).fold(brewery, run, known, said))


def keep(
    brewery: str, folded: dict[str, Folded], *, whole: bool = False, through: int | None = None
) -> dict[str, Fault]:
    """Keep folded runs, and judge again what they bear on; the faults of those that cannot be kept.

    Of a run of which something newer was stored meanwhile nothing is kept, nor of any where the administration reaches
    further than `through`, by which they were folded: they stay stale, and are folded again.
    """
    if not folded:
        return {}
    fault = guard.tried("keep", ", ".join(folded), lambda: _keep(brewery, folded, whole, through))
    if fault is None:
        return {}
    if len(folded) == 1:
        return dict.fromkeys(folded, fault)
    # nothing of the batch was kept: each by itself, so that only what is at fault is left out
    faults: dict[str, Fault] = {}
    for run, result in folded.items():
        faults |= keep(brewery, {run: result}, whole=whole, through=through)
    return faults


def _keep(brewery: str, folded: dict[str, Folded], whole: bool, through: int | None) -> None:
    made = [
        {"at_brewery": brewery, "at_run": run, "at_last": result.last, **columns(result)}
        for run, result in folded.items()
    ]
    with writing(brewery) as session:
        administered = statements.execute(statements.ADMINISTERED, {"brewery": brewery}).scalar() or 0
        if through is not None and administered > through:
            return
        rows = session.execute(select(Run.id, Run.last).where(Run.brewery == brewery, Run.id.in_(folded)))
        last = {row.id: row.last for row in rows}
        kept = [row for row in made if last.get(row["at_run"]) == row["at_last"]]
        if not kept:
            return
        touched = lives.touched(session, brewery, kept, whole=whole)
        statements.execute(statements.KEEP_FOLDED, kept)
        raised = {row["at_run"]: (row["vessel"], folded[row["at_run"]].state["deviations"]) for row in kept}
        deviating.keep(session, brewery, "run", raised)
        cleanings.keep(session, brewery, {row["at_run"]: folded[row["at_run"]].cleaning for row in kept})
        faults = lives.refresh(session, brewery, touched)
        faults |= doubts.refresh(session, brewery, [(row["at_run"], row["summary"]) for row in kept])
        faulty.note(session, brewery, faults)


def behind(brewery: str) -> int:
    """How many runs have records that are not folded yet: lists show them as they were before."""
    waiting = select(func.count()).select_from(Run).where(Run.brewery == brewery, Run.stale)
    return db.session.execute(waiting).scalar_one()


def catch_up(brewery: str, most: int | None = None, *, held: Held | None = None) -> None:
    """Fold the runs that are stale, each once: all of them, or up to `most`."""
    after, left = "", most
    while left is None or left > 0:
        stale = select(Run.id).where(Run.brewery == brewery, Run.stale, Run.id > after)
        at_once = AT_ONCE if left is None else min(AT_ONCE, left)
        runs = db.session.execute(stale.order_by(Run.id).limit(at_once)).scalars().all()
        if not runs:
            return
        refresh(brewery, runs, held=held)
        after = runs[-1]
        left = None if left is None else left - len(runs)


def catch_up_all(brewery: str) -> None:
    """Fold every run that was left stale, and those whose fault is that of another core."""
    faulty.again(brewery)
    catch_up(brewery)


def differences(kept: Any, made: Any, path: str = "") -> list[str]:
    """Where two states differ, as paths with both values."""
    if isinstance(kept, dict) and isinstance(made, dict):
        found = []
        for key in sorted({*kept, *made}):
            found += differences(kept.get(key), made.get(key), f"{path}.{key}" if path else str(key))
        return found
    if isinstance(kept, list) and isinstance(made, list) and len(kept) == len(made):
        pairs = enumerate(zip(kept, made, strict=True))
        return [line for at, pair in pairs for line in differences(*pair, f"{path}[{at}]")]
    return [] if kept == made else [f"{path}: kept {json.dumps(kept)}, made {json.dumps(made)}"]
