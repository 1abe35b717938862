"""How often each interlock is overridden: a rule that is overridden often is a rule to be redesigned."""

from functools import partial
from typing import Any

from sqlalchemy import select

from vesselside.core.run.procedure import INTERLOCKS
from vesselside.store.base import guard
from vesselside.store.base.db import db
from vesselside.store.base.instants import DAY_MS, text_of
from vesselside.store.base.models import Run

DAYS = 90
REDESIGN_PCT = 5
"""Above this share of the runs that ask it the rule is to be redesigned: a design rule of the house."""


def share(brewery: str, *, now: int) -> list[dict[str, Any]]:
    """For each interlock asked in the last 90 days: `{interlock, title, runs, overridden, redesign}`."""
    since = text_of(now - DAYS * DAY_MS)
    asked: dict[str, int] = {}
    overridden: dict[str, int] = {}
    query = select(Run.id, Run.summary).where(
        Run.brewery == brewery, Run.opened >= since, Run.summary.is_not(None)
    )
    for row in db.session.execute(query):
        said = guard.tried("summary", f"run {row.id}", partial(_said, row.summary))
        if not isinstance(said, guard.Fault):
            for name in said[0]:
                asked[name] = asked.get(name, 0) + 1
            for name in said[1]:
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


def _said(summary: dict[str, Any]) -> tuple[list[str], list[str]]:
    """The interlocks a run was asked and those it was overridden on, of those there are."""
    asked, overridden = summary.get("asked", []), summary.get("overrides", [])
    return [name for name in asked if name in INTERLOCKS], [name for name in overridden if name in INTERLOCKS]
