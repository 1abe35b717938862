"""The demo brewery: an invented place, its people, vessels and recipes, and a week of its records.

`load(store, now)` writes it through `store`, the functions that the rest of the house uses, and answers what the
command line prints. It is handed the store so that the library never reaches up to it.
"""

from pathlib import Path as File
from typing import Any, Protocol

from vesselside.core.run.procedure import own_figure
from vesselside.library import Library, LibraryError
from vesselside.library import load as load_library
from vesselside.library.source import read

from .device import Device, Event
from .history import History, moment_in, way_in

FOLDER = File(__file__).parent
DAY = 86_400_000
_MANAGER = "ishbel"


class Store(Protocol):
    """What the demo needs of the store; times are epoch milliseconds."""

    def create_brewery(self, name: str, *, now: int | None = None) -> str: ...
    def add_person(
        self, brewery: str, name: str, role: str, *, pin: str | None = None, password: str | None = None,
        person: str | None = None, now: int | None = None,
    ) -> str: ...  # fmt: skip
    def change_vessel(self, brewery: str, vessel: object, *, by: str, now: int) -> dict[str, Any]: ...
    def change_instrument(
        self, brewery: str, instrument: object, *, by: str = ..., now: int | None = None
    ) -> dict[str, Any]: ...
    def change_recipe(
        self, brewery: str, recipe: object, *, by: str = ..., now: int | None = None
    ) -> dict[str, Any]: ...
    def publish_procedure(
        self, brewery: str, procedure: dict[str, Any], *, by: str = ..., now: int | None = None
    ) -> str: ...
    def publish_caution(self, brewery: str, caution: dict[str, Any]) -> None: ...
    def set_setting(
        self, brewery: str, name: str, value: str, *, by: str = ..., now: int | None = None
    ) -> None: ...
    def enrol_device_with_key(
        self, brewery: str, name: str, jwk: dict[str, str], *, now: int | None = None
    ) -> str: ...
    def ingest(
        self, brewery: str, events: list[dict[str, Any]], *, device_id: str, now: int | None = None
    ) -> list[dict[str, str]]: ...
    def note_sign_in(
        self, brewery: str, person: str, device: str, how: str, *, desk: bool, now: int
    ) -> dict[str, Any]: ...
    def head(self, brewery: str) -> int: ...
    def put_away(self, brewery: str, through: int, *, by: str = ..., now: int | None = None) -> None: ...


def load(store: Store, now: int) -> dict[str, Any]:
    """Write the demo brewery and its week, ending at `now` [ms]; what `told` says of it."""
    place, script, library = _place(), _data("runs.yaml"), load_library()
    place["settings"] = {**_signed(library), **place["settings"]}
    began = now - 30 * DAY
    brewery = store.create_brewery(place["name"], now=began)
    admin = _reference(store, brewery, place, library, began)
    devices = {name: Device(name) for name in script["devices"]}
    for device in devices.values():
        device.id = store.enrol_device_with_key(brewery, device.name, device.jwk, now=began)
    store.put_away(brewery, store.head(brewery), by=_MANAGER, now=began)
    for device in devices.values():
        device.seen = f"{store.head(brewery):016d}"
    history = History(
        now=now,
        procedures={row["id"]: row for row in library.procedures},
        cautions=library.cautions,
        admin=admin,
        devices=devices,
        place=place,
    )
    for row in script["runs"]:
        history.perform(row, script["usual"].get(row.get("procedure"), {}))
    for at, person, signed_on in history.sign_ins():
        store.note_sign_in(brewery, person, signed_on, **way_in(history.people[person]), now=at)
    for received, device, events in history.in_order():
        _check(store.ingest(brewery, events, device_id=device.id, now=received))
    return told(brewery)


def told(brewery: str) -> dict[str, Any]:
    """What is said of the demo brewery once it is there: `{brewery, name, people[{id, name, role, pin, …}]}`."""
    place = _data("brewery.yaml")
    return {"brewery": brewery, "name": place["name"], "people": [dict(row) for row in place["people"]]}


def faults(now: int) -> list[dict[str, Any]]:
    """What the desk must find in the week up to `now`: `{kind, text, instrument?}`; of a run `{procedure, begun}`."""
    script = _data("runs.yaml")
    named = {row["name"]: row for row in script["runs"] if "name" in row}
    found = []
    for row in script["faults"]:
        run = named[row["run"]] if "run" in row else None
        about = {"procedure": run["procedure"], "begun": moment_in(run, now)} if run else {}
        found.append({**row, **about})
    return found


def name() -> str:
    """The demo brewery's name, by which a database that has it is known."""
    return str(_data("brewery.yaml")["name"])


def _data(file: str) -> dict[str, Any]:
    source = read(FOLDER / file, FOLDER)
    if source.faults:
        raise LibraryError(source.faults)
    return dict(source.data)


def _place() -> dict[str, Any]:
    """The brewery; in the files every scalar is text, and versions and days are numbers."""
    place = _data("brewery.yaml")
    place["instruments"] = [
        {**row, "check_days": int(row["check_days"]), "in_use": row.get("in_use", "yes") == "yes"}
        for row in place["instruments"]
    ]
    place["recipes"] = [{**row, "version": int(row["version"])} for row in place["recipes"]]
    return place


def _signed(library: Library) -> dict[str, str]:
    """What a clean or a canning run asks to be signed, at its usual value; the rest is left for the manager to find."""
    return {
        row["id"]: row["default"]
        for procedure in library.procedures
        if procedure["kind"] in ("cleaning", "packaging")
        for row in procedure.get("settings", [])
        if own_figure(row)
    }


def _reference(
    store: Store, brewery: str, place: dict[str, Any], library: Library, began: int
) -> list[Event]:
    """Write people, site data, recipes and the library; the administration as the phones will know it."""
    admin = []
    for person in place["people"]:
        secrets = {kind: person[kind] for kind in ("pin", "password") if kind in person}
        store.add_person(brewery, person["name"], person["role"], person=person["id"], now=began, **secrets)
        admin.append(("person.changed", {"person": person["id"], "role": person["role"], "status": "active"}))
    for setting, value in place["settings"].items():
        store.set_setting(brewery, setting, value, by=_MANAGER, now=began)
        admin.append(("setting.changed", {"name": setting, "value": value}))
    for vessel in place["vessels"]:
        store.change_vessel(brewery, vessel, by=_MANAGER, now=began)
    for instrument in place["instruments"]:
        card = store.change_instrument(brewery, instrument, by=_MANAGER, now=began)
        admin.append(("instrument.changed", {"id": card["id"], "instrument": card}))
    for recipe in place["recipes"]:
        store.change_recipe(brewery, recipe, by=_MANAGER, now=began)
    for caution in library.cautions:
        store.publish_caution(brewery, caution)
    for procedure in library.procedures:
        store.publish_procedure(brewery, procedure, now=began)
    return [
        {"source": "/server", "subject": "/admin", "sequence": f"{at:016d}", "type": kind, "data": data}
        for at, (kind, data) in enumerate(admin, 1)
    ]


def _check(results: list[dict[str, str]]) -> None:
    wrong = [result for result in results if result["status"] != "stored"]
    if wrong:
        raise RuntimeError(f"The demo's history was not taken in whole: {wrong[0]}")
