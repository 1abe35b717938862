"""What an event of the server that returns from an earlier life of the log changes beside the log."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import delete

from vesselside.store.base.db import Sessions
from vesselside.store.base.instants import ms_of
from vesselside.store.base.models import (
    Device,
    Instrument,
    Person,
    RecipeVersion,
    SignIn,
    SiteSetting,
    Vessel,
)
from vesselside.store.log import signing
from vesselside.store.site import publishing

Known = Mapping[str, Any]
Event = dict[str, Any]
LETTERS = 80


@dataclass(frozen=True)
class Rows:
    """The rows beside a log; `known` is what a phone has of names and procedures, which are in no event."""

    session: Sessions
    brewery: str
    known: Known
    now: int

    def follow(self, event: Event) -> bool:
        """Change what the event changes; false where something else stands there, or what it needs is not known."""
        does = _KINDS.get(event["type"])
        return does is None or does(self, event, event["data"])

    def person(self, _event: Event, data: Event) -> bool:
        """A person, without a secret: a manager sets a new one."""
        row = self.session.get(Person, (self.brewery, data["person"]), populate_existing=True)
        if row is None:
            row = Person(brewery=self.brewery, id=data["person"], name=self._name(data["person"]))
            self.session.add(row)
        row.role, row.status = data["role"], data["status"]
        self.session.flush()
        if row.status == "gone":
            mine = (SignIn.brewery == self.brewery, SignIn.person == row.id)
            self.session.execute(delete(SignIn).where(*mine))
        return True

    def device(self, event: Event, data: Event) -> bool:
        """A device, without a token: it gets one when it shows that it has the key."""
        if self.session.get(Device, (self.brewery, data["device"])) is not None:
            return True
        try:
            key = signing.public_jwk(data.get("key"))
        except signing.JwkError:
            return False  # from a time when the event named its key by a thumbprint
        self.session.add(
            Device(
                brewery=self.brewery,
                id=data["device"],
                name=data["name"],
                key=key,
                enrolled=ms_of(event["time"]),
                number=0,
                sequence=0,
            )
        )
        self.session.flush()
        return True

    def revoked(self, event: Event, data: Event) -> bool:
        """The end of a device's credential."""
        row = self.session.get(Device, (self.brewery, data["device"]), populate_existing=True)
        if row is not None and row.revoked is None:
            row.revoked, row.token = ms_of(event["time"]), None
        return True

    def setting(self, _event: Event, data: Event) -> bool:
        """A figure of the site."""
        self.session.merge(SiteSetting(brewery=self.brewery, name=data["name"], value=data["value"]))
        return True

    def instrument(self, _event: Event, data: Event) -> bool:
        """An instrument as it stood."""
        self.session.merge(Instrument(brewery=self.brewery, id=data["id"], content=data["instrument"]))
        return True

    def vessel(self, _event: Event, data: Event) -> bool:
        """A vessel as it stood."""
        self.session.merge(Vessel(brewery=self.brewery, id=data["id"], content=data["vessel"]))
        return True

    def recipe(self, _event: Event, data: Event) -> bool:
        """A version of a recipe."""
        if self.session.get(RecipeVersion, (self.brewery, data["id"], data["version"])) is not None:
            return False
        kept = {name: data[name] for name in ("id", "version", "sha256")}
        self.session.add(RecipeVersion(brewery=self.brewery, content=data["recipe"], **kept))
        return True

    def procedure(self, _event: Event, data: Event) -> bool:
        """A published version: its text comes from a phone, and its hash shows that it is the one."""
        return any(
            publishing.put_back(self.session, self.brewery, data, row, self.now)
            for row in self._listed("procedures")
        )

    def _name(self, person: str) -> str | None:
        for row in self._listed("people"):
            name = row.get("name")
            if row.get("id") == person and isinstance(name, str):
                name = name.strip()
                return name if 1 <= len(name) <= LETTERS and name.isprintable() else None
        return None

    def _listed(self, what: str) -> list[Event]:
        rows = self.known.get(what)
        return [row for row in rows if isinstance(row, dict)] if isinstance(rows, list) else []


_KINDS = {
    "person.changed": Rows.person,
    "person.retired": Rows.person,
    "device.enrolled": Rows.device,
    "device.revoked": Rows.revoked,
    "setting.changed": Rows.setting,
    "instrument.changed": Rows.instrument,
    "vessel.changed": Rows.vessel,
    "recipe.changed": Rows.recipe,
    "procedure.published": Rows.procedure,
}
