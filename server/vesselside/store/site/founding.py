"""Breweries: begun, named, and listed."""

from sqlalchemy import select, update

from vesselside.store.base.db import db, now_ms, writing
from vesselside.store.base.models import Brewery
from vesselside.store.log import signing


def create_brewery(name: str, *, now: int | None = None) -> str:
    """Make a brewery; its id."""
    now = now_ms() if now is None else now
    brewery = signing.uuid7(now)
    with writing(brewery) as session:
        session.add(Brewery(id=brewery, name=name, created=now, revision=0))
    return brewery


def create_first(name: str, *, now: int) -> str | None:
    """Make the first brewery of this server; its id, or None where there is one already."""
    with writing("founding") as session:
        if session.execute(select(Brewery.id).limit(1)).first():
            return None
        brewery = signing.uuid7(now)
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
