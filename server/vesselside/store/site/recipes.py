"""Recipes in versions. A version, once kept, never changes; each is an administration event that holds it whole."""

from typing import Any

from sqlalchemy import select

from vesselside.core.brew import recipes as core
from vesselside.store.base.db import db, now_ms, writing
from vesselside.store.base.faults import FieldsError
from vesselside.store.base.models import RecipeVersion
from vesselside.store.log import signing, writer
from vesselside.store.log.book import Book
from vesselside.store.site import siting

Content = dict[str, Any]


class RecipeError(FieldsError):
    """A recipe that cannot be kept."""


def change_recipe(
    book: Book, recipe: object, *, by: str = writer.COMMAND_LINE, now: int | None = None
) -> dict[str, Any]:
    """Keep a new version of a recipe, or its first: `{id, version, sha256}`. The same content again changes nothing.

    RecipeError when it has faults, or its version is not the one after the newest.
    """
    brewery = book.brewery
    shaped, faults = core.read(recipe)
    if faults:
        raise RecipeError(faults)
    name, version = shaped["id"], shaped["version"]
    sha256 = signing.sha256(signing.canonical(shaped))
    kept = {"id": name, "version": version, "sha256": sha256}
    with writing(brewery) as session:
        held = session.get(RecipeVersion, (brewery, name, version))
        if held and held.sha256 == sha256:
            return kept
        newest = session.execute(
            select(RecipeVersion.version)
            .where(RecipeVersion.brewery == brewery, RecipeVersion.id == name)
            .order_by(RecipeVersion.version.desc())
            .limit(1)
        ).scalar()
        if version != (newest or 0) + 1:
            raise RecipeError([{"field": "version", "text": _out_of_turn(name, newest)}])
        session.add(RecipeVersion(brewery=brewery, content=shaped, **kept))
        data = {**kept, "recipe": shaped}
        writer.administer(book, "recipe.changed", data, by=by, now=now_ms() if now is None else now)
        siting.touch(session, brewery)
    return kept


def _out_of_turn(name: str, newest: int | None) -> str:
    if newest is None:
        return f"There is no recipe {name} yet: its first version is 1."
    return f"The recipe {name} is at version {newest} now: look at that, then make version {newest + 1}."


def newest(brewery: str) -> list[Content]:
    """The newest version of every recipe, by name."""
    rows = db.session.execute(
        select(RecipeVersion.id, RecipeVersion.content)
        .where(RecipeVersion.brewery == brewery)
        .order_by(RecipeVersion.id, RecipeVersion.version)
    )
    found = {row.id: row.content for row in rows}
    return sorted(found.values(), key=lambda content: (content["name"], content["id"]))


def versions(brewery: str, name: str) -> list[Content]:
    """Every version of a recipe, newest first."""
    query = (
        select(RecipeVersion.content)
        .where(RecipeVersion.brewery == brewery, RecipeVersion.id == name)
        .order_by(RecipeVersion.version.desc())
    )
    return list(db.session.execute(query).scalars())


def version(brewery: str, name: str, number: int) -> Content | None:
    """One version of a recipe, or None when it was never kept here."""
    held = db.session.get(RecipeVersion, (brewery, name, number))
    return held.content if held else None
