"""Reference data: breweries, vessels, settings, and the published procedures and cautions.

A published version is immutable: another content under the same version is refused. Phones get the latest
version of each procedure and those older ones that open runs were opened with; recipes likewise (`recipes` keeps them).
"""

import gzip
import json
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from flask import current_app
from sqlalchemy import func, select, tuple_, update

from vesselside.core import OLDEST
from vesselside.core.run.events import is_id

from . import log, signing
from .db import Sessions, db, now_ms, writing
from .instants import text_of
from .models import (
    Brewery,
    CautionVersion,
    Device,
    Instrument,
    Person,
    ProcedureVersion,
    RecipeVersion,
    Run,
    SiteSetting,
    Vessel,
)
from .procedures import publications
from .projections import cautions_of

Content = dict[str, Any]
BREWED_MS = 90 * 86_400_000
"""How long a phone keeps the recipe version a gyle was begun with."""


class ReferenceDataError(ValueError):
    """Reference data that cannot be kept; the text says why."""


class OutOfTurnError(ReferenceDataError):
    """Another version has been published meanwhile, or this one already was with other content."""


@dataclass(frozen=True)
class Document:
    """The reference as it is sent, plain and gzipped, and its entity tag."""

    tag: str
    body: bytes
    packed: bytes


def create_brewery(name: str, *, now: int | None = None) -> str:
    """Make a brewery; its id."""
    now = now_ms() if now is None else now
    brewery = signing.uuid7(now)
    with writing(brewery) as session:
        session.add(Brewery(id=brewery, name=name, created=now, revision=0))
    return brewery


def rename_brewery(brewery: str, name: str) -> None:
    """Give a brewery another name."""
    with writing(brewery) as session:
        session.execute(update(Brewery).where(Brewery.id == brewery).values(name=name))


def breweries() -> list[tuple[str, str]]:
    """Every brewery's (id, name), oldest first."""
    rows = db.session.execute(select(Brewery.id, Brewery.name).order_by(Brewery.created, Brewery.id))
    return [(row.id, row.name) for row in rows]


def touch(session: Sessions, brewery: str) -> None:
    """Count a change, so that no phone keeps what is out of date."""
    session.execute(update(Brewery).where(Brewery.id == brewery).values(revision=Brewery.revision + 1))


def add_vessel(brewery: str, vessel: Content) -> None:
    """Keep a vessel; a second call with its id replaces it."""
    for name in ("id", "name", "kind", "place"):
        if not isinstance(vessel.get(name), str):
            raise ReferenceDataError(f"A vessel needs a text {name}.")
    if not is_id(vessel["id"]):
        raise ReferenceDataError(f"{vessel['id']!r} is no id of a-z, 0-9 and dashes.")
    with writing(brewery) as session:
        session.merge(Vessel(brewery=brewery, id=vessel["id"], content=vessel))
        touch(session, brewery)


def set_setting(
    brewery: str, name: str, value: str, *, by: str | None = None, now: int | None = None
) -> None:
    """Give a site figure and write it into the log."""
    if not is_id(name):
        raise ReferenceDataError(f"{name!r} is no id of a-z, 0-9 and dashes.")
    with writing(brewery) as session:
        session.merge(SiteSetting(brewery=brewery, name=name, value=value))
        data = {"name": name, "value": value}
        log.administer(brewery, "setting.changed", data, by=by, now=now_ms() if now is None else now)
        touch(session, brewery)


def publish_procedure(
    brewery: str,
    procedure: Content,
    *,
    by: str | None = None,
    note: str | None = None,
    now: int | None = None,
) -> str:
    """Publish a version of a procedure, with a note of what changed; its SHA-256. The same again changes nothing."""
    with writing(brewery) as session:
        return _publish_procedure(session, brewery, procedure, by, now_ms() if now is None else now, note)


def publish_next(brewery: str, procedure: Content, *, by: str, note: str | None = None) -> str:
    """As `publish_procedure`, but only the version after the newest. OutOfTurnError otherwise."""
    with writing(brewery) as session:
        name, version = procedure["id"], procedure["version"]
        newest = session.execute(
            select(func.max(ProcedureVersion.version)).where(
                ProcedureVersion.brewery == brewery, ProcedureVersion.id == name
            )
        ).scalar()
        held = session.get(ProcedureVersion, (brewery, name, version))
        if held is None and version != (newest or 0) + 1:
            raise OutOfTurnError(_out_of_turn(name, newest))
        return _publish_procedure(session, brewery, procedure, by, now_ms(), note)


def _out_of_turn(name: str, newest: int | None) -> str:
    if newest is None:
        return f"There is no procedure {name} yet: its first version is 1."
    return f"The procedure {name} is at version {newest} now: look at that, then make version {newest + 1}."


def publish_caution(brewery: str, caution: Content, *, now: int | None = None) -> None:
    """Publish a version of a caution. The same content again changes nothing."""
    with writing(brewery) as session:
        _publish_caution(session, brewery, caution, now_ms() if now is None else now)


def publish_library(
    brewery: str, procedures: Iterable[Content], cautions: Iterable[Content], *, now: int | None = None
) -> list[str]:
    """Publish all that is not published yet, in one go, and name what was left out.

    A procedure of which a person here has published a version is the brewery's own: what ships does not replace it.
    """
    now = now_ms() if now is None else now
    left: list[str] = []
    with writing(brewery) as session:
        for caution in cautions:
            _publish_caution(session, brewery, caution, now)
        own = {event["data"]["id"] for event in publications(brewery) if event.get("person")}
        for procedure in procedures:
            if procedure["id"] not in own:
                _publish_procedure(session, brewery, procedure, None, now)
            elif not _held(session, brewery, procedure):
                left.append(f"{procedure['id']} version {procedure['version']}")
    return left


def _held(session: Sessions, brewery: str, procedure: Content) -> bool:
    held = session.get(ProcedureVersion, (brewery, procedure["id"], procedure["version"]))
    return held is not None and held.sha256 == procedure["sha256"]


def _publish_procedure(
    session: Sessions, brewery: str, procedure: Content, by: str | None, now: int, note: str | None = None
) -> str:
    content = {key: value for key, value in procedure.items() if key != "sha256"}
    name, version = content["id"], content["version"]
    sha256 = signing.sha256(signing.canonical(content))
    held = session.get(ProcedureVersion, (brewery, name, version))
    if held:
        if held.sha256 != sha256:
            raise OutOfTurnError(
                f"{name} version {version} is published with other content: give it a new version."
            )
        return sha256
    session.add(
        ProcedureVersion(
            brewery=brewery, id=name, version=version, sha256=sha256, content=content, published=now
        )
    )
    session.flush()
    data = {"id": name, "version": version, "sha256": sha256} | ({"note": note} if note else {})
    log.administer(brewery, "procedure.published", data, by=by, now=now)
    # A run may have been received before its procedure was.
    session.execute(
        update(Run)
        .where(Run.brewery == brewery, Run.procedure == name, Run.version == version)
        .values(stale=True)
    )
    touch(session, brewery)
    return sha256


def _publish_caution(session: Sessions, brewery: str, caution: Content, now: int) -> None:
    name, version = caution["id"], caution["version"]
    held = session.get(CautionVersion, (brewery, name, version))
    if held:
        if held.content != caution:
            what = f"Caution {name} version {version}"
            raise ReferenceDataError(f"{what} is published with other content; give it a new version.")
        return
    session.add(CautionVersion(brewery=brewery, id=name, version=version, content=caution, published=now))
    touch(session, brewery)


def settings_of(brewery: str) -> dict[str, str]:
    """The site's figures by name."""
    rows = db.session.execute(
        select(SiteSetting.name, SiteSetting.value).where(SiteSetting.brewery == brewery)
    )
    return {row.name: row.value for row in rows}


def instruments_of(brewery: str) -> list[Content]:
    """The instruments, in order of id."""
    rows = db.session.execute(
        select(Instrument.content).where(Instrument.brewery == brewery).order_by(Instrument.id)
    )
    return list(rows.scalars())


def vessels_of(brewery: str) -> list[Content]:
    """The vessels, in order of id."""
    rows = db.session.execute(select(Vessel.content).where(Vessel.brewery == brewery).order_by(Vessel.id))
    return list(rows.scalars())


def document(brewery: str) -> Document:
    """The reference as phones get it."""
    revision = db.session.execute(select(Brewery.revision).where(Brewery.id == brewery)).scalar_one()
    opened = (
        select(Run.procedure, Run.version)
        .where(Run.brewery == brewery, Run.status == "open", Run.procedure.is_not(None))
        .distinct()
        .order_by(Run.procedure, Run.version)
    )
    in_use = tuple((row.procedure, row.version) for row in db.session.execute(opened))
    brewed = (
        select(Run.recipe, Run.recipe_version)
        .where(Run.brewery == brewery, Run.recipe.is_not(None), Run.opened >= text_of(now_ms() - BREWED_MS))
        .distinct()
        .order_by(Run.recipe, Run.recipe_version)
    )
    recipes = tuple((row.recipe, row.recipe_version) for row in db.session.execute(brewed))
    server = json.dumps(current_app.extensions["vesselside-key"].jwk, sort_keys=True)
    return _document(str(db.engine.url), brewery, revision, in_use, recipes, server)


@lru_cache(maxsize=8)
def _document(
    _database: str, brewery: str, _revision: int, in_use: tuple[tuple[str, int], ...],
    brewed: tuple[tuple[str, int], ...], server: str,
) -> Document:  # fmt: skip
    """Kept by all it depends on: the revision changes with every change of reference data."""
    content = {
        "minCore": OLDEST,
        "procedures": _procedures(brewery, in_use),
        "cautions": cautions_of(brewery),
        "vessels": vessels_of(brewery),
        "instruments": instruments_of(brewery),
        "people": _people(brewery),
        "recipes": _recipes(brewery, brewed),
        "settings": settings_of(brewery),
        "devices": _keys(brewery),
        "server": json.loads(server),
    }
    tag = signing.sha256(signing.canonical(content))
    body = json.dumps({"version": tag[:16], **content}, ensure_ascii=False, separators=(",", ":"))
    return Document(tag, body.encode(), gzip.compress(body.encode(), mtime=0))


def _procedures(brewery: str, in_use: tuple[tuple[str, int], ...]) -> list[Content]:
    kept: dict[str, int] = {}
    rows = db.session.execute(
        select(ProcedureVersion.id, ProcedureVersion.version).where(ProcedureVersion.brewery == brewery)
    ).all()
    for row in rows:
        kept[row.id] = max(row.version, kept.get(row.id, 0))
    wanted = sorted({*kept.items(), *in_use})
    found = db.session.execute(
        select(ProcedureVersion.content, ProcedureVersion.sha256)
        .where(
            ProcedureVersion.brewery == brewery,
            tuple_(ProcedureVersion.id, ProcedureVersion.version).in_(wanted),
        )
        .order_by(ProcedureVersion.id, ProcedureVersion.version)
    )
    return [{**row.content, "sha256": row.sha256} for row in found]


def _recipes(brewery: str, brewed: tuple[tuple[str, int], ...]) -> list[Content]:
    """The newest version of each recipe, and after it the older ones that gyles of late were begun with."""
    rows = db.session.execute(
        select(RecipeVersion.id, RecipeVersion.version, RecipeVersion.content)
        .where(RecipeVersion.brewery == brewery)
        .order_by(RecipeVersion.id, RecipeVersion.version.desc())
    ).all()
    newest: dict[str, int] = {}
    for row in rows:
        newest.setdefault(row.id, row.version)
    wanted = {*newest.items(), *brewed}
    return [row.content for row in rows if (row.id, row.version) in wanted]


def _people(brewery: str) -> list[Content]:
    rows = db.session.execute(
        select(Person.id, Person.name, Person.role)
        .where(Person.brewery == brewery, Person.status == "active", Person.name.is_not(None))
        .order_by(Person.name, Person.id)
    )
    return [{"id": row.id, "name": row.name, "role": row.role} for row in rows]


def _keys(brewery: str) -> list[Content]:
    rows = db.session.execute(
        select(Device.id, Device.key).where(Device.brewery == brewery).order_by(Device.id)
    )
    return [{"id": row.id, "key": row.key} for row in rows]
