"""Who may do what, as a device knew it: administration events read up to a run event's `seen`."""

from vesselside.core.ground.clock import is_sequence, is_time, milliseconds

from .events import KINDS, ROLES, SIGN_INS, is_count
from .presence import Presences
from .procedure import INTERLOCKS, Plan
from .record import Record

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from vesselside.core.shapes import InstrumentCard

    Told = dict[str, list[tuple[str, dict[str, Any]]]]

OWN_REVIEW = "own-review"
"""The site's setting: `yes` where there is nobody but the one who did the work to accept a run."""


class Administration:
    """The administration events a reader holds, asked as of a sequence.

    Only events of `/server` count, and a phone's own sign-ins for what they are. Sequences are 16-digit text and
    compared as text. An event that is said again after the log was put back (`again`) counts from where it first stood,
    next after its `seen`, if that is earlier: what was recorded before the restore names places of the log as it was
    then.
    """

    def __init__(self, events: "list[dict[str, Any]]") -> None:
        self._people: Told = {}
        self._settings: Told = {}
        self._revoked: Told = {}
        self._instruments: Told = {}
        self.presences = Presences()
        self._restored: list[tuple[str, int]] = []
        for event in events:
            self.add(event)

    def add(self, event: "dict[str, Any]") -> None:
        """Take one administration event in; order of arrival and repeats change nothing."""
        if event.get("type") in SIGN_INS:
            self.presences.add(event)
            return
        data = event.get("data")
        sequence = event.get("sequence")
        if event.get("source") != "/server" or not isinstance(data, dict) or not isinstance(sequence, str):
            return
        if "again" in event and is_sequence(event.get("seen")):
            first = str(int(event["seen"]) + 1)
            sequence = min(sequence, "0" * (16 - len(first)) + first)
        kind = event.get("type")
        if kind in ("person.changed", "person.retired"):
            _insert(self._people, data.get("person"), sequence, data)
        elif kind == "setting.changed":
            _insert(self._settings, data.get("name"), sequence, data)
        elif kind == "device.revoked":
            _insert(self._revoked, data.get("device"), sequence, data)
        elif kind == "instrument.changed" and isinstance(data.get("instrument"), dict):
            _insert(self._instruments, data.get("id"), sequence, data)
        elif kind == "person.secret-set":
            self.presences.secret_set(data.get("person"), event.get("hlc"))
        elif kind == "sign-ins.kept" and is_time(event.get("time")):
            self.presences.kept_since(milliseconds(event["time"]))
        elif kind == "log.restored" and is_count(data.get("size")):
            self._restored.append((sequence, data["size"]))

    def grown(self, events: "list[dict[str, Any]]") -> "Administration":
        """This and `events` together; this one stays as it is, for whoever is reading it."""
        made = Administration([])
        made._people = _copied(self._people)
        made._settings = _copied(self._settings)
        made._revoked = _copied(self._revoked)
        made._instruments = _copied(self._instruments)
        made._restored = self._restored[:]
        made.presences = self.presences.copied()
        for event in events:
            made.add(event)
        return made

    def went_back(self, sequence: str, seen: str) -> bool:
        """Whether a log that had reached `seen` was put back to less before `sequence`."""
        if not is_sequence(seen):
            return False
        for place, size in self._restored:
            if place <= sequence and size < int(seen):
                return True
        return False

    def role(self, person: str, seen: str) -> str | None:
        """The role `person` held at sequence `seen`, or None when unknown or gone."""
        data = _latest(self._people, person, seen)
        if data is None or data.get("status", "active") != "active":
            return None
        role = data.get("role")
        return role if role in ROLES else None

    def setting(self, name: str, seen: str) -> str | None:
        """The value the site gave setting `name` at sequence `seen`, or None for the default."""
        data = _latest(self._settings, name, seen)
        value = None if data is None else data.get("value")
        return value if isinstance(value, str) else None

    def instrument(self, name: str, seen: str) -> "InstrumentCard | None":
        """The instrument of that id as it stood at sequence `seen`, or None when the site listed none."""
        data = _latest(self._instruments, name, seen)
        return None if data is None else data["instrument"].copy()

    def instruments(self) -> "list[InstrumentCard]":
        """Every instrument as it stands by the newest administration held, in order of id."""
        return [self._instruments[name][-1][1]["instrument"].copy() for name in sorted(self._instruments)]

    def revoked(self, source: str, seen: str) -> bool:
        """Whether the device behind `source` was known to be revoked at sequence `seen`."""
        return _latest(self._revoked, source[9:], seen) is not None


def _copied(rows: "Told") -> "Told":
    return {name: held[:] for name, held in rows.items()}


def _insert(rows: "Told", key: object, sequence: str, data: "dict[str, Any]") -> None:
    if not isinstance(key, str):
        return
    held = rows.setdefault(key, [])
    at = len(held)
    while at > 0 and held[at - 1][0] >= sequence:
        at -= 1
    if at < len(held) and held[at][0] == sequence:
        return
    held.insert(at, (sequence, data))


def _latest(rows: "Told", key: str, seen: str) -> "dict[str, Any] | None":
    found = None
    for sequence, data in rows.get(key, ()):
        if sequence > seen:
            break
        found = data
    return found


def outranks(role: str | None, least: str) -> bool:
    """Whether `role` is `least` or above, in the order starter, brewer, duty, manager."""
    return role is not None and ROLES.index(role) >= ROLES.index(least)


def may(kind: str, role: str | None) -> bool:
    """Whether a person of `role` has the right to make an event of `kind`."""
    row = KINDS.get(kind)
    return True if row is None else outranks(role, row[0])


def override_wrong(interlock: str, step: str, plan: Plan, role: str | None) -> str | None:
    """Why an override (a deviation that names an interlock) has no effect, or None when it has; `step` may be empty."""
    row = INTERLOCKS.get(interlock)
    if row is None:
        return "there is no interlock called " + interlock
    if not row[1]:
        return "nobody may override " + row[0]
    if not outranks(role, "duty"):
        return "it takes a duty brewer"
    if step and interlock not in [ask["interlock"] for ask in plan.asks(step)]:
        return "the step does not ask this interlock"
    return None


def strike_wrong(target: Record | None, person: str, role: str | None) -> str | None:
    """Why `person`, who holds `role`, cannot strike the record `target` of a run, or None when they can."""
    if target is None:
        return "its target is not held here"
    if target.type in ("struck", "run.opened"):
        return "a strike or an opening cannot be struck"
    least = KINDS.get(target.type, ("starter",))[0]
    if target.person != person and not outranks(role, "brewer"):
        return "striking another person's record takes a brewer"
    if least != "starter" and not outranks(role, least):
        return "striking this record takes a " + least
    return None
