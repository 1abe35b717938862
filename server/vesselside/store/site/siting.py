"""What a site has: its vessels and its own figures; and the count of changes that tells phones to ask again."""

from typing import Any

from sqlalchemy import select, update

from vesselside.core.run.events import is_id
from vesselside.store.base.db import Sessions, db, now_ms, writing
from vesselside.store.base.models import Brewery, Instrument, SiteSetting, Vessel
from vesselside.store.log import writer
from vesselside.store.log.book import Book

Content = dict[str, Any]


class ReferenceDataError(ValueError):
    """Reference data that cannot be kept; the text says why."""


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
    book: Book, name: str, value: str, *, by: str = writer.COMMAND_LINE, now: int | None = None
) -> None:
    """Give a site figure and write it into the log."""
    brewery = book.brewery
    if not is_id(name):
        raise ReferenceDataError(f"{name!r} is no id of a-z, 0-9 and dashes.")
    with writing(brewery) as session:
        session.merge(SiteSetting(brewery=brewery, name=name, value=value))
        data = {"name": name, "value": value}
        writer.administer(book, "setting.changed", data, by=by, now=now_ms() if now is None else now)
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
