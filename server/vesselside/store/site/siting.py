"""What a site has: its vessels and its own figures; and the count of changes that tells phones to ask again."""

from collections.abc import Iterable
from typing import Any

from sqlalchemy import exists, select, update

from vesselside.core.plant import cards
from vesselside.core.run.events import is_id
from vesselside.store.base.db import Sessions, db, now_ms, writing
from vesselside.store.base.faults import FieldsError
from vesselside.store.base.models import Brewery, Instrument, Run, SiteSetting, Vessel
from vesselside.store.log import writer
from vesselside.store.log.book import Book

Content = dict[str, Any]


class ReferenceDataError(ValueError):
    """Reference data that cannot be kept; the text says why."""


class VesselError(FieldsError):
    """A vessel that cannot be kept."""


def touch(session: Sessions, brewery: str) -> None:
    """Count a change, so that no phone keeps what is out of date."""
    session.execute(update(Brewery).where(Brewery.id == brewery).values(revision=Brewery.revision + 1))


def change_vessel(
    book: Book, vessel: object, *, by: str = writer.COMMAND_LINE, now: int | None = None
) -> Content:
    """Keep a vessel, new or changed, as it is then kept. The same content again changes nothing.

    VesselError when it has faults, would become another kind (what was done on it was done on that), would be called
    as another in use is, or is to be taken out of use while something runs on it.
    """
    brewery = book.brewery
    card, faults = cards.read(vessel)
    if faults:
        raise VesselError(faults)
    with writing(brewery) as session:
        held = session.get(Vessel, (brewery, card["id"]))
        if held and held.content == card:
            return card
        if held and held.content["kind"] != card["kind"]:
            raise VesselError([{"field": "kind", "text": "A vessel stays of its kind: list another."}])
        if card.get("in_use", True) and _another_called(brewery, card):
            raise VesselError(
                [
                    {
                        "field": "name",
                        "text": "Another vessel is called so: at the vessel it is the name that counts.",
                    }
                ]
            )
        if not card.get("in_use", True) and _runs_on(session, brewery, card["id"]):
            text = "Something runs on it: finish or stop that first, and leave it empty and safe."
            raise VesselError([{"field": "in_use", "text": text}])
        session.merge(Vessel(brewery=brewery, id=card["id"], content=card))
        _tell(book, card, by, now_ms() if now is None else now)
        touch(session, brewery)
    return card


def _another_called(brewery: str, card: Content) -> bool:
    meant = card["name"].casefold()
    return any(row["id"] != card["id"] and row["name"].casefold() == meant for row in vessels_of(brewery))


def _runs_on(session: Sessions, brewery: str, vessel: str) -> bool:
    open_there = exists().where(Run.brewery == brewery, Run.vessel == vessel, Run.status == "open")
    return bool(session.execute(select(open_there)).scalar())


def _tell(book: Book, card: Content, by: str, now: int) -> None:
    writer.administer(book, "vessel.changed", {"id": card["id"], "vessel": card}, by=by, now=now)


def tell_vessels(book: Book, told: Iterable[Content], now: int) -> None:
    """Write into the log the vessels that are kept from a time when none stood in it; `told` is its administration."""
    if any(event["type"] == "vessel.changed" for event in told):
        return
    with writing(book.brewery):
        for card in every_vessel(book.brewery):
            _tell(book, card, writer.ITSELF, now)


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


def every_vessel(brewery: str) -> list[Content]:
    """The vessels that are listed, those out of use too, in order of id."""
    rows = db.session.execute(select(Vessel.content).where(Vessel.brewery == brewery).order_by(Vessel.id))
    return list(rows.scalars())


def vessels_of(brewery: str) -> list[Content]:
    """The vessels in use, in order of id."""
    return [card for card in every_vessel(brewery) if card.get("in_use", True)]
