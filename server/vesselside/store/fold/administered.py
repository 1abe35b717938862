"""What the administration in the log says of people, settings, recipes, instruments and devices, beside what is kept.

Nothing is written here: each difference brings what would mend it.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from sqlalchemy import select

from vesselside.store.base.db import Sessions
from vesselside.store.base.models import Device, Instrument, Person, RecipeVersion, SiteSetting

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
        *_devices(session, brewery, _latest(events, ("device.revoked",), "device")),
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
    kept = {row.id: row for row in rows}
    found = []
    for name in sorted({*kept, *said}):
        row, wanted = kept.get(name), said[name]["instrument"] if name in said else None
        if row is not None and row.content == wanted:
            continue
        made = None if wanted is None else Instrument(brewery=brewery, id=name, content=wanted)
        what = f"instrument {name}"
        found.append(Difference(f"{what}: differs from the log", what, row and row.content, _put(row, made)))
    return found


def _put(row: Any, made: Any) -> Callable[[Sessions], None]:
    def mend(session: Sessions) -> None:
        if row is not None:
            session.delete(row)
            session.flush()
        if made is not None:
            session.add(made)

    return mend


def _devices(session: Sessions, brewery: str, said: Said) -> list[Difference]:
    """A revocation is not mended: the credential it ended cannot be made again."""
    rows = session.execute(select(Device.id, Device.revoked).where(Device.brewery == brewery))
    return [
        Difference(
            f"device {row.id}: its revocation differs from the log", f"device {row.id}", row.revoked, None
        )
        for row in rows
        if (row.revoked is not None) != (row.id in said)
    ]
