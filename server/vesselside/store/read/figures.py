"""Every figure, limit and statement a site gives for itself: who signed it and when, and what rests on it."""

from collections.abc import Iterable, Iterator
from decimal import Decimal
from typing import Any

from sqlalchemy import select

from vesselside.core.brew import sitefigures
from vesselside.core.ground import numbers
from vesselside.core.ground.errors import CoreError
from vesselside.core.run.authority import OWN_REVIEW
from vesselside.core.run.lasting import LASTING
from vesselside.core.run.procedure import own_figure
from vesselside.store.base.db import db
from vesselside.store.base.instants import text_of
from vesselside.store.base.models import Logged, Person
from vesselside.store.fold import projections
from vesselside.store.log import signing
from vesselside.store.log.writer import SERVER
from vesselside.store.site import procedures, siting

Row = dict[str, Any]
COMMON = "common practice, no source"
OWN = "the site's own figure, to be filled in; default is common practice, no source"
HOURS = {
    "clean-hours": "A clean lasts, vessel kept shut",
    "sanitised-hours": "A sanitising lasts",
    "shift-hours": "A shift, and what is overridden in it, lasts",
    "pre-start-hours": "A pre-start of the canning line lasts",
    "check-minutes": "Between two checks of the canning line",
}
STATEMENTS = (
    ("emergency-number", "Number to call in an emergency", "112 or 999"),
    ("meeting-place", "Where everyone meets and is counted", ""),
    (OWN_REVIEW, "Nobody else is there to accept a run, so whoever did the work may", "no"),
)
_YES_NO = ("yes", "no")
FAR = 4
"""How many times its usual value, or what part of it, a figure may be without being asked about."""


def listed(brewery: str) -> list[Row]:
    """Every figure, sorted by label; one that several procedures use stands once."""
    told = _told(brewery)
    given = siting.settings_of(brewery)
    rows = _shipped(brewery)
    for name, row in rows.items():
        row["value"] = given.get(name, row["usual"])
        row["signed"] = told.get(name)
        if row["signed"] and row["signed"]["before"] is None and row["value"] != row["usual"]:
            row["signed"]["before"] = row["usual"]
        row["fault"] = wrong(row["usual"], row["value"])
        row["far"] = _is_far(row["usual"], row["value"])
    return sorted(rows.values(), key=lambda row: (row["label"].casefold(), row["id"]))


def wrong(usual: str, value: str) -> str | None:
    """What keeps a text from being this figure, or None; one whose usual value is no number takes any text.

    But where that is yes or no, it takes yes or no.
    """
    if usual in _YES_NO:
        return None if value in _YES_NO else "Answer yes or no."
    if not _is_number(usual):
        return None
    try:
        numbers.parse(value)
    except CoreError as error:
        return error.text
    return None


def usual_of(brewery: str, name: str) -> str | None:
    """The usual value of a figure, or None where nothing here rests on one of that name."""
    row = _shipped(brewery).get(name)
    return None if row is None else str(row["usual"])


def _shipped(brewery: str) -> dict[str, Row]:
    """Every figure by id, as it ships; one that several procedures use bears on what it bears on in each."""
    rows: dict[str, Row] = {}
    for row in (*_statements(), *_hours(), *_of_the_sheet(), *_of_procedures(brewery)):
        held = rows.setdefault(row["id"], row)
        if held is not row:
            held["hazards"] = sorted({*held["hazards"], *row["hazards"]})
            held["procedures"] = sorted({*held["procedures"], *row["procedures"]})
            held["own"] = held["own"] or row["own"]
    return rows


def _is_number(text: str) -> bool:
    try:
        numbers.parse(text)
    except CoreError:
        return False
    return True


def _is_far(usual: str, value: str) -> bool:
    """Whether a figure is so far from its usual value that a point or a unit may be amiss."""
    if not (_is_number(usual) and _is_number(value)):
        return False
    common, given = Decimal(numbers.parse(usual)), Decimal(numbers.parse(value))
    if common * given < 0:
        return True
    return common != 0 and not abs(common) / FAR <= abs(given) <= abs(common) * FAR


def _row(name: str, label: str, usual: str, source: str, *, unit: str = "", own: bool = False) -> Row:
    return {
        "id": name,
        "label": label,
        "unit": unit,
        "usual": usual,
        "source": source,
        "own": own,
        "hazards": list[str](),
        "procedures": list[str](),
    }


def _statements() -> Iterator[Row]:
    for name, label, usual in STATEMENTS:
        yield _row(name, label, usual, "the site's own, to be filled in", own=True)


def _hours() -> Iterator[Row]:
    for name, (usual, _, unit) in LASTING.items():
        yield _row(name, HOURS[name], usual, OWN, unit=unit, own=True)


def _of_the_sheet() -> Iterator[Row]:
    for name, label, unit, usual in sitefigures.FIGURES:
        yield _row(name, label, usual, COMMON, unit=unit)


def _of_procedures(brewery: str) -> Iterator[Row]:
    groups = {row["id"]: row["group"] for row in projections.cautions_of(brewery)}
    for procedure in procedures.newest(brewery):
        resting = _hazards(procedure, groups)
        for row in procedure.get("settings", []):
            name = row["id"]
            told = _row(name, row["label"], row["default"], row["source"], unit=row.get("unit", ""))
            told["own"] = own_figure(row)
            told["hazards"] = sorted(resting.get(name, ()))
            told["procedures"] = [procedure["id"]]
            yield told


def _hazards(procedure: Row, groups: dict[str, str]) -> dict[str, set[str]]:
    """The hazard groups met at the steps that use each setting."""
    found: dict[str, set[str]] = {}
    for step in procedure["steps"]:
        met = {groups[key] for key in step.get("cautions", []) if key in groups}
        for name in _named(step):
            found.setdefault(name, set()).update(met)
    return found


def _named(part: object) -> Iterator[str]:
    """Every setting named anywhere in a step."""
    if isinstance(part, dict):
        for key, value in part.items():
            if key == "setting" and isinstance(value, str):
                yield value
            else:
                yield from _named(value)
    elif isinstance(part, list):
        for value in part:
            yield from _named(value)


def _told(brewery: str) -> dict[str, Row]:
    """Who signed each figure last and when, and what it was before: `{by, time, before}`."""
    query = select(Logged.body, Logged.recorded).where(
        Logged.brewery == brewery,
        Logged.kind == "setting.changed",
        Logged.status == "stored",
        Logged.source == SERVER,
    )
    events = [
        (row.recorded, signing.loaded(row.body))
        for row in db.session.execute(query.order_by(Logged.sequence)).all()
    ]
    names = _names(brewery, (event.get("by") for _, event in events))
    found: dict[str, Row] = {}
    for recorded, event in events:
        name, value, by = event["data"]["name"], event["data"]["value"], event.get("by")
        last = found.get(name)
        before = None if last is None else last["value"] if last["value"] != value else last["before"]
        found[name] = {
            "by": {"id": by, "name": names.get(by)} if by else None,
            "time": text_of(recorded),
            "value": value,
            "before": before,
        }
    return found


def _names(brewery: str, people: Iterable[str | None]) -> dict[str, str | None]:
    rows = db.session.execute(
        select(Person.id, Person.name).where(
            Person.brewery == brewery, Person.id.in_({person for person in people if person})
        )
    )
    return {row.id: row.name for row in rows}
