"""The cleaning register: every clean with its figures, newest first, and the same as a table for a spreadsheet."""

import csv
import io
import re
from dataclasses import dataclass, replace
from typing import Any

from sqlalchemy import and_, or_, select

from vesselside.core.run.findings import FINDINGS, TROUBLES
from vesselside.store.base.db import db
from vesselside.store.base.listed import Cleaning
from vesselside.store.base.models import Device, Person, Run, Vessel
from vesselside.store.fold import faulty

AT_ONCE = 200
MOST_ROWS = 10_000
"""How many cleans one table holds at most: a span of that many is asked for in parts."""
Line = Any
Place = tuple[str, str]


@dataclass(frozen=True)
class Filters:
    """What is asked for; times are RFC 3339 texts of when a clean was closed, or opened where it is not closed."""

    vessel: str | None = None
    procedure: str | None = None
    done_from: str | None = None
    done_to: str | None = None
    after: Place | None = None
    limit: int = 50


def listed(brewery: str, filters: Filters) -> tuple[list[Line], Place | None]:
    """Cleans, newest first, and the place to go on from when there are more."""
    of_run = and_(Run.brewery == Cleaning.brewery, Run.id == Cleaning.run)
    columns = (Cleaning.time, Cleaning.run, Cleaning.vessel, Cleaning.content, *faulty.LINE)
    query = select(*columns).join(Run, of_run).where(Cleaning.brewery == brewery)
    if filters.vessel is not None:
        query = query.where(Cleaning.vessel == filters.vessel)
    if filters.procedure is not None:
        query = query.where(Run.procedure == filters.procedure)
    if filters.done_from:
        query = query.where(Cleaning.time >= filters.done_from)
    if filters.done_to:
        query = query.where(Cleaning.time < filters.done_to)
    if filters.after:
        time, run = filters.after
        query = query.where(or_(Cleaning.time < time, and_(Cleaning.time == time, Cleaning.run < run)))
    rows = db.session.execute(
        query.order_by(Cleaning.time.desc(), Cleaning.run.desc()).limit(filters.limit + 1)
    ).all()
    shown = rows[: filters.limit]
    more = (shown[-1].time, shown[-1].run) if len(rows) > filters.limit else None
    return [_line(row) for row in shown], more


def _line(row: Any) -> Line:
    line = faulty.line(row)
    # the words of a finding may lead up to what it is about, which the record says
    said = [_WORDS.get(code, code).rstrip(" :.") for code in line["findings"]]
    return {
        **row.content,
        "run": row.run,
        "time": row.time,
        "vessel": row.vessel,
        "found": sorted(set(said)),
        "deviations": line["deviations"],
        "deviations_open": line["deviations_open"],
        "review": line["review"],
        "reviewed": line["reviewed"],
    }


_WORDS = {str(code): words for told in (FINDINGS, TROUBLES) for code, words in told.items()}

HEADS = (
    "closed (UTC)", "vessel", "procedure", "version", "status", "by", "phone",
    "strength at start", "unit", "strength at end", "unit", "lowest °C", "minutes in band", "minutes by the clock",
    "rinse pH", "rinse µS/cm", "found", "deviations", "not answered", "review", "reviewed by", "reviewed (UTC)",
    "review stands", "remarks", "run",
)  # fmt: skip


def table(brewery: str, filters: Filters) -> str | None:
    """The same as CSV (RFC 4180), with names; None where it would hold more than MOST_ROWS.

    No cell begins a formula in a spreadsheet: a text that would has an apostrophe before it. A number stays a number.
    """
    names = _Names(brewery)
    file = io.StringIO(newline="")
    writer = csv.writer(file)
    writer.writerow(HEADS)
    place, count = filters.after, 0
    while True:
        rows, place = listed(brewery, replace(filters, after=place, limit=AT_ONCE))
        count += len(rows)
        if count > MOST_ROWS:
            return None
        for row in rows:
            writer.writerow([cell(value) for value in _cells(row, names)])
        if place is None:
            return "\ufeff" + file.getvalue()


class _Names:
    """What people, vessels and devices of a brewery are called; one that has no name by its id."""

    def __init__(self, brewery: str) -> None:
        def of(table: Any, column: Any) -> dict[str, Any]:
            query = select(table.id, column).where(table.brewery == brewery)
            return {row[0]: row[1] for row in db.session.execute(query)}

        self.people = of(Person, Person.name)
        self.devices = of(Device, Device.name)
        self.vessels = {name: card.get("name") for name, card in of(Vessel, Vessel.content).items()}


def _cells(row: Line, names: _Names) -> list[Any]:
    start, end, cold = row["strength_start"], row["strength_end"], row["coldest"]
    rinse = {one["unit"]: one["value"] for one in row["rinse"]}
    review = row["review"]
    return [
        _moment(row["time"]),
        names.vessels.get(row["vessel"]) or row["vessel"],
        row["title"] or row["procedure"],
        row["version"],
        row["status"],
        names.people.get(row["person"]) or row["person"],
        names.devices.get(row["device"]) or row["device"],
        start and start["value"],
        start and start["unit"],
        end and end["value"],
        end and end["unit"],
        cold and cold["value"],
        row["minutes"],
        row["held"],
        rinse.get("pH"),
        rinse.get("µS/cm"),
        "; ".join(row["found"]),
        row["deviations"],
        row["deviations_open"],
        review["verdict"] if review else "",
        (names.people.get(review["person"]) or review["person"]) if review else "",
        _moment(review["time"]) if review else "",
        ("yes" if row["reviewed"] else "no") if review else "",
        review["text"] if review else "",
        row["run"],
    ]


def _moment(time: str) -> str:
    """As spreadsheets read a date: `2026-11-29 05:40:00`."""
    return time[:10] + " " + time[11:19]


_NUMBER = re.compile(r"-?[0-9]{1,15}(\.[0-9]{1,15})?")
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
"""What a spreadsheet takes a cell for a formula by, wide forms and what it skips before one included."""


def cell(value: Any) -> str:
    """A value as a cell that a spreadsheet reads and never works out."""
    text = "" if value is None else str(value)
    if _NUMBER.fullmatch(text):
        return text
    return "'" + text if text.lstrip(" ").startswith(_FORMULA) else text
