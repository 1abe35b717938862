"""What the administration in the log says of all that is kept beside it: people, settings, recipes, plant, devices.

Nothing is written here: each difference brings what would mend it.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Any

from sqlalchemy import select

from vesselside.store.base.db import Sessions
from vesselside.store.base.models import (
    Device,
    Instrument,
    Person,
    ProcedureVersion,
    RecipeVersion,
    SiteSetting,
    Vessel,
)
from vesselside.store.log import signing

Event = dict[str, Any]
Said = dict[str, dict[str, Any]]
PERSON = ("person.changed", "person.retired")
"""What says of a person which role they hold and whether they still work here."""


@dataclass
class Difference:
    """What is kept otherwise than the log says: in words, where, as it stands, and how it is put right, if it is."""

    text: str
    what: str
    kept: Any
    mend: Callable[[Sessions], None] | None


def differences(session: Sessions, brewery: str, events: list[Event]) -> list[Difference]:
    """Everything that is kept otherwise than the administration `events` of the brewery say."""
    return [
        *_people(session, brewery, _latest(events, PERSON, "person")),
        *_settings(session, brewery, _latest(events, ("setting.changed",), "name")),
        *_recipes(session, brewery, events),
        *_instruments(session, brewery, _latest(events, ("instrument.changed",), "id")),
        *_vessels(session, brewery, _latest(events, ("vessel.changed",), "id")),
        *_procedures(session, brewery, events),
        *_devices(session, brewery, events),
    ]


def _latest(events: list[Event], kinds: tuple[str, ...], key: str) -> Said:
    return {event["data"][key]: event["data"] for event in events if event["type"] in kinds}


def _people(session: Sessions, brewery: str, said: Said) -> list[Difference]:
    found = []
    for person in session.execute(select(Person).where(Person.brewery == brewery)).scalars():
        wanted = said.get(person.id, {"role": person.role, "status": "gone"})
        if (person.role, person.status) != (wanted["role"], wanted["status"]):
            kept, meant = f"{person.role}, {person.status}", f"{wanted['role']}, {wanted['status']}"
            text = f"person {person.id}: kept {kept}; the log says {meant}"
            was = {"role": person.role, "status": person.status}
            found.append(Difference(text, f"person {person.id}", was, _person(person, wanted)))
        said.pop(person.id, None)
    # a name stands in no event, so nobody is made again from one
    found += [Difference(f"person {name}: is not kept", f"person {name}", None, None) for name in said]
    return found


def _person(person: Person, wanted: dict[str, Any]) -> Callable[[Sessions], None]:
    def mend(_: Sessions) -> None:
        person.role, person.status = wanted["role"], wanted["status"]

    return mend


def _settings(session: Sessions, brewery: str, said: Said) -> list[Difference]:
    rows = session.execute(select(SiteSetting).where(SiteSetting.brewery == brewery)).scalars()
    kept = {row.name: row for row in rows}
    found = []
    for name in sorted({*kept, *said}):
        was = kept[name].value if name in kept else None
        meant = said[name]["value"] if name in said else None
        if was != meant:
            text = f"setting {name}: kept {was!r}; the log says {meant!r}"
            row = None if meant is None else SiteSetting(brewery=brewery, name=name, value=meant)
            found.append(Difference(text, f"setting {name}", was, _put(kept.get(name), row)))
    return found


def _recipes(session: Sessions, brewery: str, events: list[Event]) -> list[Difference]:
    rows = session.execute(select(RecipeVersion).where(RecipeVersion.brewery == brewery)).scalars()
    kept = {(row.id, row.version): row for row in rows}
    said = {
        (event["data"]["id"], event["data"]["version"]): event["data"]
        for event in events
        if event["type"] == "recipe.changed"
    }
    found = []
    for key in sorted({*kept, *said}):
        row, data = kept.get(key), said.get(key)
        if row is not None and data is not None and row.content == data["recipe"]:
            continue
        name, version = key
        made = data and RecipeVersion(
            brewery=brewery, id=name, version=version, sha256=data["sha256"], content=data["recipe"]
        )
        what = f"recipe {name} version {version}"
        found.append(
            Difference(f"{what}: differs from the log", what, row and row.content, _put(row, made or None))
        )
    return found


def _instruments(session: Sessions, brewery: str, said: Said) -> list[Difference]:
    rows = session.execute(select(Instrument).where(Instrument.brewery == brewery)).scalars()
    return _listed("instrument", {row.id: row for row in rows}, said, partial(Instrument, brewery=brewery))


def _vessels(session: Sessions, brewery: str, said: Said) -> list[Difference]:
    if not said:
        return []  # a log from before vessels stood in it: the next start tells them
    rows = session.execute(select(Vessel).where(Vessel.brewery == brewery)).scalars()
    return _listed("vessel", {row.id: row for row in rows}, said, partial(Vessel, brewery=brewery))


def _listed(what: str, kept: dict[str, Any], said: Said, make: Callable[..., Any]) -> list[Difference]:
    """What is listed by an id and told whole by events of its own."""
    found = []
    for name in sorted({*kept, *said}):
        row, wanted = kept.get(name), said[name][what] if name in said else None
        if row is not None and row.content == wanted:
            continue
        made = None if wanted is None else make(id=name, content=wanted)
        called = f"{what} {name}"
        found.append(
            Difference(f"{called}: differs from the log", called, row and row.content, _put(row, made))
        )
    return found


def _put(row: Any, made: Any) -> Callable[[Sessions], None]:
    def mend(session: Sessions) -> None:
        if row is not None:
            session.delete(row)
            session.flush()
        if made is not None:
            session.add(made)

    return mend


def _procedures(session: Sessions, brewery: str, events: list[Event]) -> list[Difference]:
    """A text is in no event, only its hash: what differs is told and not mended."""
    said = {
        (event["data"]["id"], event["data"]["version"]): event["data"]["sha256"]
        for event in events
        if event["type"] == "procedure.published"
    }
    rows = session.execute(select(ProcedureVersion).where(ProcedureVersion.brewery == brewery)).scalars()
    kept = {(row.id, row.version): row for row in rows}
    found = []
    for name, version in sorted({*kept, *said}):
        row, sha256 = kept.get((name, version)), said.get((name, version))
        if row is None:
            text = "it was published, and its text is not here"
        elif sha256 is None:
            text = "it is kept and was never published"
        elif {row.sha256, signing.sha256(signing.canonical(row.content))} != {sha256}:
            text = "its text is not the one that was published"
        else:
            continue
        what = f"procedure {name} version {version}"
        found.append(Difference(f"{what}: {text}", what, row and row.content, None))
    return found


def _devices(session: Sessions, brewery: str, events: list[Event]) -> list[Difference]:
    """Not mended: the credential that a revocation ended cannot be made again, nor one that was never given out."""
    revoked = _latest(events, ("device.revoked",), "device")
    enrolled = _latest(events, ("device.enrolled",), "device")
    rows = session.execute(
        select(Device.id, Device.name, Device.revoked).where(Device.brewery == brewery)
    ).all()
    found = []
    for row in rows:
        if (row.revoked is not None) != (row.id in revoked):
            text = f"device {row.id}: its revocation differs from the log"
            found.append(Difference(text, f"device {row.id}", row.revoked, None))
        if row.id in enrolled and row.name != enrolled[row.id]["name"]:
            text = f"device {row.id}: kept as {row.name}; the log says {enrolled[row.id]['name']}"
            found.append(Difference(text, f"device {row.id}", row.name, None))
    gone = sorted({*enrolled} - {row.id for row in rows})
    return found + [Difference(f"device {name}: is not kept", f"device {name}", None, None) for name in gone]
