"""The site's instruments. Each change is an administration event that holds the instrument whole."""

from typing import Any

from sqlalchemy import select

from vesselside.core.plant import doubts as core
from vesselside.core.run import instruments
from vesselside.store.base import guard
from vesselside.store.base.db import db, now_ms, writing
from vesselside.store.base.faults import FieldsError
from vesselside.store.base.instants import text_of
from vesselside.store.base.models import Instrument, InstrumentRun, Run
from vesselside.store.fold import doubts
from vesselside.store.log import writer
from vesselside.store.log.book import Book
from vesselside.store.site import siting

Content = Any
SHOWN = 200
"""How many runs with a reading in doubt are listed, the newest first."""


class InstrumentError(FieldsError):
    """An instrument that cannot be kept."""


def change_instrument(
    book: Book, instrument: object, *, by: str = writer.COMMAND_LINE, now: int | None = None
) -> Content:
    """Keep an instrument, new or changed, as it is then kept. The same content again changes nothing.

    InstrumentError when it has faults, or would become another kind: its records are of the kind it is.
    """
    brewery = book.brewery
    card, faults = instruments.read(instrument)
    if faults:
        raise InstrumentError(faults)
    with writing(brewery) as session:
        held = session.get(Instrument, (brewery, card["id"]))
        if held and held.content == card:
            return card
        if held and held.content["kind"] != card["kind"]:
            raise InstrumentError(
                [{"field": "kind", "text": "An instrument stays of its kind: list another."}]
            )
        other_name = held is not None and held.content["name"] != card["name"]
        session.merge(Instrument(brewery=brewery, id=card["id"], content=card))
        data = {"id": card["id"], "instrument": card}
        writer.administer(book, "instrument.changed", data, by=by, now=now_ms() if now is None else now)
        siting.touch(session, brewery)
        if other_name:
            session.flush()
            doubts.renamed(session, brewery, card["id"])
    return card


def standing(brewery: str, *, now: int) -> list[Content]:
    """How each instrument stands and what it put in doubt, by kind and name, times as RFC 3339."""
    checked = select(InstrumentRun.run, InstrumentRun.checks).where(
        InstrumentRun.brewery == brewery, InstrumentRun.checked
    )
    checks = [(row.run, row.checks) for row in db.session.execute(checked)]
    held = db.session.execute(
        select(Run.id, Run.opened, Run.summary, Run.doubts)
        .where(Run.brewery == brewery, Run.doubted > 0)
        .order_by(Run.opened.desc(), Run.id.desc())
        .limit(SHOWN)
    ).all()
    about = {row.id: {"title": (row.summary or {}).get("title", ""), "opened": row.opened} for row in held}
    doubted = [told for row in held for told in row.doubts or []]
    rows = _states(siting.instruments_of(brewery), checks, doubted, now)
    for row in rows:
        for name in ("last_good", "failed", "due"):
            row[name] = None if row[name] is None else text_of(row[name])
        row["doubt"] = [{**told, **about[told["run"]]} for told in row["doubt"]]
    return sorted(rows, key=lambda row: (row["kind"], row["name"], row["id"]))


def _states(
    cards: list[Content], checks: list[tuple[str, list[Content]]], doubted: list[Content], now: int
) -> list[Content]:
    """How each instrument stands, by the checks that can be taken; one that cannot be judged is due for a check."""

    def judged(parts: list[list[Content]]) -> list[Content]:
        return core.states(cards, [row for part in parts for row in part], doubted, now)

    found = guard.sifted("doubts", checks, judged)
    if found.made is not None:
        return found.made
    unknown: Content = {"last_good": None, "failed": None, "due": None, "state": "due", "doubt": []}
    return [{**card, **unknown} for card in cards]
