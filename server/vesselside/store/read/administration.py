"""What was administered, by whom, newest first; and what of it is announced until a manager has put it away."""

from typing import Any

from sqlalchemy import Select, func, select

from vesselside.core.run.events import SIGN_INS
from vesselside.store.base.db import db
from vesselside.store.base.instants import sequence_text, text_of
from vesselside.store.base.models import Device, Logged, Person
from vesselside.store.log import signing
from vesselside.store.log.writer import SERVER

ANNOUNCED = ("device.enrolled", "person.secret-set", "sign-in.refused")
"""What a manager who has not done it must hear of at once: a new phone, a secret set, sign-ins refused in a row."""
PUT_AWAY = "announcement.put-away"
SHOWN = 50


def listed(brewery: str, *, before: int | None, limit: int) -> list[dict[str, Any]]:
    """The administration of a brewery, newest first."""
    # sign-ins are many, and stand with the records that they prove
    query = _administered(brewery).where(Logged.kind.not_in(SIGN_INS))
    if before is not None:
        query = query.where(Logged.sequence < before)
    return _told(brewery, query, limit)


def announced(brewery: str) -> tuple[int, list[dict[str, Any]]]:
    """How much is announced, and the newest of it."""
    waiting = _administered(brewery).where(Logged.kind.in_(ANNOUNCED), Logged.sequence > _through(brewery))
    count = db.session.execute(select(func.count()).select_from(waiting.subquery())).scalar_one()
    return count, _told(brewery, waiting, SHOWN)


def _administered(brewery: str) -> Select[Any]:
    return select(Logged).where(
        Logged.brewery == brewery,
        Logged.run.is_(None),
        Logged.status == "stored",
        Logged.source == SERVER,
    )


def _through(brewery: str) -> int:
    """Up to which place of the log everything was put away."""
    newest = _administered(brewery).where(Logged.kind == PUT_AWAY).order_by(Logged.sequence.desc()).limit(1)
    row = db.session.execute(newest).scalars().first()
    return int(signing.loaded(row.body)["data"]["through"]) if row else 0


def _told(brewery: str, query: Select[Any], limit: int) -> list[dict[str, Any]]:
    rows = db.session.execute(query.order_by(Logged.sequence.desc()).limit(limit)).scalars().all()
    events = [(row, signing.loaded(row.body)) for row in rows]
    people = {event["data"].get("person") for _, event in events} | {_by(event) for _, event in events}
    devices = {event["data"].get("device") for _, event in events}
    names = {
        Person: _names(Person, brewery, people),
        Device: _names(Device, brewery, devices),
    }
    return [
        {
            "sequence": sequence_text(row.sequence),
            "recordedtime": text_of(row.recorded),
            "kind": row.kind,
            "by": _named(names[Person], _by(event)),
            "person": _named(names[Person], event["data"].get("person")),
            "device": _named(names[Device], event["data"].get("device")),
            "data": event["data"],
        }
        for row, event in events
    ]


def _by(event: dict[str, Any]) -> str | None:
    """Who did it; a record from before that was written down names at most a person."""
    by: str | None = event.get("by", event.get("person"))
    return by


def _names(of: type[Person] | type[Device], brewery: str, ids: set[Any]) -> dict[str, str | None]:
    rows = db.session.execute(select(of.id, of.name).where(of.brewery == brewery, of.id.in_(ids - {None})))
    return {row.id: row.name for row in rows}


def _named(names: dict[str, str | None], one: str | None) -> dict[str, str | None] | None:
    return None if one is None else {"id": one, "name": names.get(one)}
