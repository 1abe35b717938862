"""What can't wait at the plant: vessels on hold, chemical standing in one, checks overdue; and what may be filled."""

from typing import Any

from sqlalchemy import select

from vesselside.core.plant import states
from vesselside.store.base import guard
from vesselside.store.base.db import db
from vesselside.store.base.guard import Fault
from vesselside.store.base.instants import ms_of, text_of
from vesselside.store.base.models import Logged, Run
from vesselside.store.read import register
from vesselside.store.site import siting

STILL_MS = 60 * 60_000
"""How long nothing may be recorded of a run with chemical in, after the end of its hold. Common practice, no source."""
Line = Any


def wrong(brewery: str, board: list[Line], *, now: int) -> dict[str, Any]:
    """Of the vessels as the board has them (`register.board`): what is wrong, and which may be filled."""
    filling = _filling(brewery, board, now)
    return {
        "holds": [row for row in board if row["state"] == "hold"],
        "checks": [row for row in board if row["check_due"] is not None and ms_of(row["check_due"]) < now],
        "standing": _standing(brewery, filling, now),
        "filling": [row for row in filling if row["beer"]],
    }


def _filling(brewery: str, board: list[Line], now: int) -> list[Line]:
    """What may be filled; of a vessel with a fault nothing is known to speak for a fill."""
    cards: Any = siting.vessels_of(brewery)
    settings = siting.settings_of(brewery)
    named = [(run.id, run.summary) for run in register.bearing(brewery).values()]

    def made(lines: list[Line]) -> list[Line]:
        return list(states.fills(cards, lines, settings, now))

    found = guard.sifted("life", named, made)
    faults = {row["id"]: row["fault"] for row in board if row.get("fault")}
    rows = found.made
    if rows is None:
        bare = guard.tried("life", "no run", lambda: made([]))
        rows = [] if isinstance(bare, Fault) else bare
        faults = {row["id"]: None for row in rows}
    for row in rows:
        if row["id"] in faults:
            row["ready"], row["why"] = "no", ["Not all of its runs can be worked out."]
    return rows


def _standing(brewery: str, filling: list[Line], now: int) -> list[Line]:
    """Runs that put chemical in which nothing shows to be out, and of which nothing was recorded for long."""
    held = {run: row for row in filling for run in row["chemical"]}
    if not held:
        return []
    query = (
        select(Run.id, Run.status, Run.summary, Logged.recorded)
        .join(Logged, (Logged.brewery == Run.brewery) & (Logged.sequence == Run.last))
        .where(Run.brewery == brewery, Run.id.in_(held))
    )
    found = []
    for run in db.session.execute(query).all():
        summary = run.summary or {}
        since = max(run.recorded, _hold_ends(summary)) if run.status == "open" else run.recorded
        if run.status != "open" or now - since > STILL_MS:
            found.append(
                {
                    "run": run.id,
                    "vessel": held[run.id]["id"],
                    "title": summary.get("title", ""),
                    "status": run.status,
                    "since": text_of(run.recorded),
                }
            )
    return sorted(found, key=lambda row: (row["since"], row["run"]))


def _hold_ends(summary: Line) -> int:
    hold = summary.get("hold")
    return int(hold["started"] + hold["seconds"] * 1000) if hold else 0
