"""How often each interlock is overridden: a rule that is overridden often is a rule to be redesigned."""

from typing import Any

from sqlalchemy import select

from vesselside.core.run.procedure import INTERLOCKS
from vesselside.store import projections
from vesselside.store.db import db
from vesselside.store.instants import DAY_MS, text_of
from vesselside.store.models import Run

DAYS = 90
REDESIGN_PCT = 5
"""Above this share of the runs that ask it the rule is to be redesigned: a design rule of the house."""


def share(brewery: str, *, now: int) -> list[dict[str, Any]]:
    """For each interlock asked in the last 90 days: `{interlock, title, runs, overridden, redesign}`."""
    projections.refresh_stale(brewery)
    since = text_of(now - DAYS * DAY_MS)
    asked: dict[str, int] = {}
    overridden: dict[str, int] = {}
    query = select(Run.summary).where(Run.brewery == brewery, Run.opened >= since, Run.summary.is_not(None))
    for summary in db.session.execute(query).scalars():
        for name in (summary or {}).get("asked", []):
            asked[name] = asked.get(name, 0) + 1
        for name in (summary or {}).get("overrides", []):
            overridden[name] = overridden.get(name, 0) + 1
    return [
        {
            "interlock": name,
            "title": title,
            "runs": asked[name],
            "overridden": overridden.get(name, 0),
            "redesign": overridden.get(name, 0) * 100 > asked[name] * REDESIGN_PCT,
        }
        for name, (title, _) in INTERLOCKS.items()
        if asked.get(name)
    ]
