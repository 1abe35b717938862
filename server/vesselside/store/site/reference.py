"""The reference as phones get it: procedures, cautions, vessels, people, recipes, instruments, settings.

Phones get the latest version of each procedure and those older ones that open runs were opened with; recipes likewise
(`recipes` keeps them).
"""

import gzip
import json
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from sqlalchemy import Select, and_, select, tuple_

from vesselside.core import OLDEST
from vesselside.store.base.db import db, now_ms
from vesselside.store.base.instants import text_of
from vesselside.store.base.models import (
    Brewery,
    Device,
    Logged,
    Person,
    ProcedureVersion,
    RecipeVersion,
    Run,
)
from vesselside.store.fold.projections import cautions_of
from vesselside.store.log import signing
from vesselside.store.log.book import Book
from vesselside.store.site.siting import Content, every_vessel, instruments_of, settings_of

BREWED_MS = 90 * 86_400_000
"""How long a phone keeps the recipe version a gyle was begun with."""


@dataclass(frozen=True)
class Document:
    """The reference as it is sent, plain and gzipped, and its entity tag."""

    tag: str
    body: bytes
    packed: bytes


def document(book: Book) -> Document:
    """The reference as phones get it."""
    brewery = book.brewery
    revision = db.session.execute(select(Brewery.revision).where(Brewery.id == brewery)).scalar_one()
    opened = select(Run.procedure, Run.version).where(
        Run.brewery == brewery, Run.status == "open", Run.procedure.is_not(None)
    )
    brewed = select(Run.recipe, Run.recipe_version).where(
        Run.brewery == brewery, Run.recipe.is_not(None), Run.opened >= text_of(now_ms() - BREWED_MS)
    )
    received = _received(brewery)
    in_use = _versions(opened, received, "procedure", "version")
    recipes = _versions(brewed, received, "recipe", "recipe_version")
    server = json.dumps(book.keys.server.jwk, sort_keys=True)
    return _document(str(db.engine.url), brewery, revision, in_use, recipes, server)


def _received(brewery: str) -> list[Content]:
    """What runs were opened with that have been received and never folded: their rows do not say it yet."""
    openings = (
        select(Logged.body)
        .join(Run, and_(Run.brewery == Logged.brewery, Run.id == Logged.run))
        .where(
            Run.brewery == brewery,
            Run.procedure.is_(None),
            Logged.kind == "run.opened",
            Logged.status == "stored",
        )
    )
    found = (json.loads(body).get("data") for body in db.session.execute(openings).scalars())
    return [data for data in found if isinstance(data, dict)]


def _versions(
    kept: Select[Any, Any], received: list[Content], name: str, version: str
) -> tuple[tuple[str, int], ...]:
    said = [(data.get(name), data.get(version)) for data in received]
    also = [(key, count) for key, count in said if isinstance(key, str) and isinstance(count, int)]
    return tuple(sorted({*map(tuple, db.session.execute(kept.distinct())), *also}))


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
        "vessels": every_vessel(brewery),
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
        select(Device.id, Device.name, Device.key).where(Device.brewery == brewery).order_by(Device.id)
    )
    return [{"id": row.id, "name": row.name, "key": row.key} for row in rows]
