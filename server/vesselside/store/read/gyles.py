"""Gyles, read from the projections: what was brewed by which recipe, and one gyle with the last brew beside it."""

from collections.abc import Sequence
from functools import partial
from typing import Any

from sqlalchemy import func, or_, select

from vesselside.core.brew import gyles as core
from vesselside.core.brew import sitefigures
from vesselside.store.base import guard, statements
from vesselside.store.base.db import db
from vesselside.store.base.guard import Fault
from vesselside.store.base.instants import sequence_text
from vesselside.store.base.models import Logged, Run
from vesselside.store.fold import faulty, projections
from vesselside.store.log import signing
from vesselside.store.site import recipes, siting

MASHES = 20
State = Any
Row = dict[str, Any]
_NOTHING: dict[str, Any] = {
    "sheet": None, "brews": 1, "rows": [], "readings": [], "results": [], "corrections": [], "tun": None,
    "curve": [], "forecast": None, "chart": None, "moves": {"rows": [], "account": None},
}  # fmt: skip
"""The page of a gyle of which nothing can be worked out: its runs are all it shows."""


def gyles(brewery: str, *, limit: int) -> list[dict[str, Any]]:
    """The gyles begun last, newest first: `{id, recipe, begun, last, runs, open, vessels}`."""
    query = (
        select(Run.gyle, func.min(Run.opened).label("begun"))
        .where(Run.brewery == brewery, Run.gyle.is_not(None))
        .group_by(Run.gyle)
        .order_by(func.min(Run.opened).desc(), Run.gyle.desc())
        .limit(limit)
    )
    return [_line(brewery, row.gyle, row.begun) for row in db.session.execute(query).all()]


def _line(brewery: str, name: str, begun: str) -> dict[str, Any]:
    rows = db.session.execute(
        select(Run.opened, Run.status, Run.vessel, Run.recipe, Run.recipe_version)
        .where(Run.brewery == brewery, Run.gyle == name)
        .order_by(Run.opened, Run.id)
    ).all()
    by = next((row for row in rows if row.recipe is not None), None)
    return {
        "id": name,
        "recipe": _named(brewery, by.recipe, by.recipe_version) if by else None,
        "begun": begun,
        "last": rows[-1].opened,
        "runs": len(rows),
        "open": sum(row.status == "open" for row in rows),
        "vessels": list(dict.fromkeys(row.vessel for row in rows if row.vessel)),
    }


def _named(brewery: str, name: str, number: int) -> dict[str, Any]:
    held = recipes.version(brewery, name, number)
    return {"id": name, "version": number, "name": held["name"] if held else name}


def gyle(brewery: str, name: str) -> dict[str, Any] | None:
    """One gyle's page and `last`, the brew of the same recipe before it; None when no run names it."""
    runs = _runs(brewery, name)
    if not runs:
        return None
    last = guard.tried("gyle", f"the brew before {name}", lambda: _last(brewery, runs))
    last = None if isinstance(last, Fault) else last
    page = _page(brewery, name, runs, _mashes(brewery, runs), last["curve"] if last else [])
    return {**page, "last": last}


def _last(brewery: str, runs: list[Row]) -> dict[str, Any] | None:
    """What is shown of the last brew of the same recipe, or None."""
    before = _before(brewery, _recipe_of(runs), runs[0]["run"])
    if before is None:
        return None
    held = _page(brewery, before, _runs(brewery, before), [], [])
    return {key: held[key] for key in ("id", "recipe", "begun", "rows", "results", "curve", "forecast")}


def _recipe_of(runs: list[dict[str, Any]]) -> dict[str, Any] | None:
    """The recipe version the gyle was begun with: its first run's that names one."""
    return next((row["run"]["recipe"] for row in runs if row["run"].get("recipe")), None)


def _runs(brewery: str, name: str) -> list[dict[str, Any]]:
    rows = db.session.execute(
        select(*faulty.LINE, Run.state)
        .where(Run.brewery == brewery, Run.gyle == name, Run.state.is_not(None))
        .order_by(Run.opened, Run.id)
    ).all()
    return _readable(brewery, rows)


def _elsewhere(brewery: str, name: str) -> list[dict[str, Any]]:
    """Runs of other gyles, or of none, that drew this one."""
    other = or_(Run.gyle != name, Run.gyle.is_(None))
    rows = db.session.execute(
        select(*faulty.LINE, Run.state)
        .where(Run.brewery == brewery, Run.draws == name, other, Run.state.is_not(None))
        .order_by(Run.opened, Run.id)
    ).all()
    return _readable(brewery, rows)


def _readable(brewery: str, rows: Sequence[Any]) -> list[Row]:
    """The runs that can be read as they were kept."""
    found = [
        guard.tried("state", f"run {row.id}", partial(_with_procedure, brewery, row.state, row))
        for row in rows
    ]
    return [row for row in found if not isinstance(row, Fault)]


def _with_procedure(brewery: str, packed: bytes, kept: Any) -> Row:
    state = projections.unpacked(packed)
    row = None
    if state["procedure"] is not None:
        asked = {"brewery": brewery, "id": state["procedure"], "version": state["version"]}
        row = statements.execute(statements.PROCEDURE, asked).first()
    return {"run": state, "procedure": row.content if row else None, "summary": faulty.line(kept)}


def _page(
    brewery: str, name: str, runs: list[Any], mashes: list[dict[str, str]], before: list[Any]
) -> dict[str, Any]:
    by = _recipe_of(runs)
    recipe = recipes.version(brewery, by["id"], by["version"]) if by else None
    settings = _settings_then(brewery, runs[0]["run"])

    vessels, elsewhere = siting.every_vessel(brewery), _elsewhere(brewery, name)

    def paged(some: list[Any]) -> Any:
        mine = [row for row in some if row["run"]["gyle"] == name]
        drew = [row for row in some if row["run"]["gyle"] != name]
        place: Any = {"gyle": name, "vessels": vessels, "elsewhere": drew}
        return core.gyle(recipe, settings, mine, mashes, before, place)

    found = guard.sifted("gyle", [(row["run"]["id"], row) for row in (*runs, *elsewhere)], paged)
    page = _NOTHING if found.made is None else found.made
    if found.faults or found.fault:
        page = {**page, "fault": {"code": "gyle", "runs": sorted(found.faults)}}
    return {
        "id": name,
        "recipe": _named(brewery, by["id"], by["version"]) if by else None,
        "begun": runs[0]["summary"]["opened"]["time"] if runs[0]["summary"]["opened"] else None,
        "runs": [row["summary"] for row in runs],
        **page,
    }


def _settings_then(brewery: str, run: State) -> dict[str, str]:
    """The site's figures as the phone that began the gyle knew them."""
    known, _ = projections.administration(brewery)
    if run["opened"] is None:
        return {}
    row = db.session.execute(
        select(Logged.body, Logged.sequence).where(
            Logged.brewery == brewery, Logged.event == run["opened"]["event"], Logged.status == "stored"
        )
    ).one()
    # what it claims to have seen beyond the head of then it has not seen
    return sitefigures.as_known(known, min(signing.loaded(row.body)["seen"], sequence_text(row.sequence)))


def _before(brewery: str, recipe: dict[str, Any] | None, first: State) -> str | None:
    """The gyle of the same recipe, any version, begun last before this one."""
    if recipe is None or first["opened"] is None:
        return None
    query = (
        select(Run.gyle)
        .where(
            Run.brewery == brewery,
            Run.recipe == recipe["id"],
            Run.gyle.is_not(None),
            Run.gyle != first["gyle"],
            Run.opened < first["opened"]["time"],
        )
        .order_by(Run.opened.desc(), Run.id.desc())
        .limit(1)
    )
    return db.session.execute(query).scalar()


def _mashes(brewery: str, runs: list[Any]) -> list[dict[str, str]]:
    """What the mashes up to this one read in the same tun."""
    mash = next((row["run"] for row in runs if "mash-temperature" in _mash(row)), None)
    if mash is None:
        return []
    rows = db.session.execute(
        select(*faulty.LINE, Run.state)
        .where(
            Run.brewery == brewery,
            Run.vessel == mash["vessel"],
            Run.procedure == mash["procedure"],
            Run.opened <= runs[-1]["run"]["opened"]["time"],
            Run.state.is_not(None),
        )
        .order_by(Run.opened.desc(), Run.id.desc())
        .limit(MASHES)
    ).all()
    held = _readable(brewery, rows)
    return [mash for mash in (_mash(row) for row in held) if mash]


def _mash(run: Any) -> dict[str, str]:
    made = guard.tried("gyle", f"run {run['run']['id']}", lambda: core.mash_of([run]))
    return {} if isinstance(made, Fault) else made
