"""Make every projection again from the log, and say where it was not what the log says."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import partial
from typing import Any

from sqlalchemy import delete, insert, select

from vesselside.core import VERSION
from vesselside.store.base import guard
from vesselside.store.base.db import Sessions, db, writing
from vesselside.store.base.guard import Fault
from vesselside.store.base.models import Device, Instrument, Person, RecipeVersion, Run, SiteSetting
from vesselside.store.fold import faulty, projections

PERSON = ("person.changed", "person.retired")
"""What says of a person which role they hold and whether they still work here."""


@dataclass
class Rebuilt:
    """How many runs were folded, and each difference; those of another core version are no fault.

    `broken` are the runs that cannot be worked out, each with why.
    """

    runs: int = 0
    broken: list[str] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)
    changed: list[str] = field(default_factory=list)


def rebuild(brewery: str) -> Rebuilt:
    """Fold all runs and all administration of a brewery again."""
    report = Rebuilt()
    known, events = projections.administration(brewery)
    for run in _runs(brewery):
        folded = projections.folded(brewery, run.id, known)
        report.runs += 1
        if isinstance(folded, Fault) or run.stale or run.state is None or run.fault_code is not None:
            continue
        kept = guard.tried("state", f"run {run.id}", partial(projections.unpacked, run.state))
        if isinstance(kept, Fault):
            report.faults.append(f"run {run.id}: what was kept cannot be read: {kept}")
            continue
        lines = projections.differences(kept, folded.state)
        if run.digest != folded.digest:
            lines.append(f"digest: kept {run.digest}, made {folded.digest}")
        where = report.faults if run.core == VERSION else report.changed
        where += [f"run {run.id}: {line}" for line in lines]
        db.session.expunge(run)
    # before the runs: what a failed instrument puts in doubt is told by its name
    report.faults += _administration(brewery, events)
    _refold(brewery)
    report.broken += faulty.every(brewery)
    return report


def _runs(brewery: str) -> Iterator[Run]:
    after = ""
    while True:
        query = select(Run).where(Run.brewery == brewery, Run.id > after).order_by(Run.id).limit(200)
        page = db.session.execute(query).scalars().all()
        if not page:
            return
        yield from page
        after = page[-1].id


def _refold(brewery: str) -> None:
    after = ""
    while True:
        query = select(Run.id).where(Run.brewery == brewery, Run.id > after).order_by(Run.id).limit(200)
        page = db.session.execute(query).scalars().all()
        if not page:
            return
        projections.refresh(brewery, page, whole=True)
        after = page[-1]


def _administration(brewery: str, events: list[dict[str, Any]]) -> list[str]:
    with writing(brewery) as session:
        return [
            *_people(session, brewery, _latest(events, PERSON, "person")),
            *_settings(session, brewery, _latest(events, ("setting.changed",), "name")),
            *_recipes(session, brewery, events),
            *_instruments(session, brewery, _latest(events, ("instrument.changed",), "id")),
            *_devices(session, brewery, _latest(events, ("device.revoked",), "device")),
        ]


def _latest(events: list[dict[str, Any]], kinds: tuple[str, ...], key: str) -> dict[str, dict[str, Any]]:
    return {event["data"][key]: event["data"] for event in events if event["type"] in kinds}


def _people(session: Sessions, brewery: str, said: dict[str, dict[str, Any]]) -> list[str]:
    found = []
    for person in session.execute(select(Person).where(Person.brewery == brewery)).scalars():
        wanted = said.get(person.id, {"role": person.role, "status": "gone"})
        if (person.role, person.status) != (wanted["role"], wanted["status"]):
            kept, meant = f"{person.role}, {person.status}", f"{wanted['role']}, {wanted['status']}"
            found.append(f"person {person.id}: kept {kept}; the log says {meant}")
            person.role, person.status = wanted["role"], wanted["status"]
    return found


def _settings(session: Sessions, brewery: str, said: dict[str, dict[str, Any]]) -> list[str]:
    found = []
    rows = session.execute(select(SiteSetting).where(SiteSetting.brewery == brewery)).scalars()
    kept = {row.name: row.value for row in rows}
    wanted = {name: data["value"] for name, data in said.items()}
    for name in sorted({*kept, *wanted}):
        if kept.get(name) != wanted.get(name):
            found.append(f"setting {name}: kept {kept.get(name)!r}; the log says {wanted.get(name)!r}")
            session.execute(
                delete(SiteSetting).where(SiteSetting.brewery == brewery, SiteSetting.name == name)
            )
            if name in wanted:
                session.execute(insert(SiteSetting).values(brewery=brewery, name=name, value=wanted[name]))
    return found


def _recipes(session: Sessions, brewery: str, events: list[dict[str, Any]]) -> list[str]:
    found = []
    kept = {
        (row.id, row.version): row
        for row in session.execute(select(RecipeVersion).where(RecipeVersion.brewery == brewery)).scalars()
    }
    said = {
        (event["data"]["id"], event["data"]["version"]): event["data"]
        for event in events
        if event["type"] == "recipe.changed"
    }
    for key in sorted({*kept, *said}):
        row, data = kept.get(key), said.get(key)
        if row is not None and data is not None and row.content == data["recipe"]:
            continue
        found.append(f"recipe {key[0]} version {key[1]}: differs from the log")
        if row is not None:
            session.delete(row)
            session.flush()
        if data is not None:
            session.add(
                RecipeVersion(
                    brewery=brewery, id=key[0], version=key[1], sha256=data["sha256"], content=data["recipe"]
                )
            )
    return found


def _instruments(session: Sessions, brewery: str, said: dict[str, dict[str, Any]]) -> list[str]:
    found = []
    rows = session.execute(select(Instrument).where(Instrument.brewery == brewery)).scalars()
    kept = {row.id: row for row in rows}
    for name in sorted({*kept, *said}):
        wanted = said[name]["instrument"] if name in said else None
        if name in kept and kept[name].content == wanted:
            continue
        found.append(f"instrument {name}: differs from the log")
        if wanted is None:
            session.delete(kept[name])
        else:
            session.merge(Instrument(brewery=brewery, id=name, content=wanted))
    return found


def _devices(session: Sessions, brewery: str, said: dict[str, dict[str, Any]]) -> list[str]:
    rows = session.execute(select(Device.id, Device.revoked).where(Device.brewery == brewery))
    return [
        f"device {row.id}: its revocation differs from the log"
        for row in rows
        if (row.revoked is not None) != (row.id in said)
    ]
