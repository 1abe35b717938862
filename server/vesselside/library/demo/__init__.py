"""The demo brewery: an invented place, its people, vessels and recipes, and a week of its records.

`load(store, now)` writes it through `store`, the functions that the rest of the house uses, and answers what the
command line prints. It is handed the store so that the library never reaches up to it.
"""

from collections.abc import Mapping
from pathlib import Path as File
from typing import Any, Protocol

from .. import load as load_library
from ..source import read
from .device import Device
from .history import History

FOLDER = File(__file__).parent
DAY = 86_400_000


class Store(Protocol):
    """What the demo needs of the store; times are epoch milliseconds."""

    def create_brewery(self, name: str, *, now: int | None = None) -> str: ...
    def add_person(
        self, brewery: str, name: str, role: str, *, pin: str | None = None, password: str | None = None,
        person: str | None = None, now: int | None = None,
    ) -> str: ...  # fmt: skip
    def add_vessel(self, brewery: str, vessel: dict[str, Any]) -> None: ...
    def add_recipe(self, brewery: str, recipe: dict[str, Any]) -> None: ...
    def publish_procedure(
        self, brewery: str, procedure: dict[str, Any], *, by: str | None = None, now: int | None = None
    ) -> str: ...
    def publish_caution(self, brewery: str, caution: dict[str, Any]) -> None: ...
    def set_setting(
        self, brewery: str, name: str, value: str, *, by: str | None = None, now: int | None = None
    ) -> None: ...
    def enrol_device_with_key(
        self, brewery: str, name: str, jwk: dict[str, str], *, now: int | None = None
    ) -> str: ...
    def ingest(
        self, brewery: str, events: list[dict[str, Any]], *, device_id: str, now: int | None = None
    ) -> list[dict[str, Any]]: ...


def load(store: Store, now: int) -> dict[str, Any]:
    """Write the demo brewery and its week, ending at `now` [ms]; `{brewery, name, people[{id, name, role, …}]}`."""
    place, script = _data("brewery.yaml"), _data("runs.yaml")
    began = now - 30 * DAY
    brewery = store.create_brewery(place["name"], now=began)
    admin = _reference(store, brewery, place, began)
    devices = {name: Device(name) for name in script["devices"]}
    for device in devices.values():
        device.id = store.enrol_device_with_key(brewery, device.name, device.jwk, now=began)
    library = load_library()
    history = History(
        now=now,
        procedures={row["id"]: row for row in library.procedures},
        cautions=library.cautions,
        admin=admin,
        devices=devices,
        people={row["id"]: {"id": row["id"], "role": row["role"]} for row in place["people"]},
    )
    for row in script["runs"]:
        history.perform(row, script["usual"].get(row["procedure"], {}))
    for received, device, events in history.in_order():
        _taken(store.ingest(brewery, events, device_id=device.id, now=received))
    return {"brewery": brewery, "name": place["name"], "people": [dict(row) for row in place["people"]]}
