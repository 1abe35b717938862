"""Who was there: what sign-ins prove of the person a record names.

The signature of a record proves the device alone. That the person was there is proved by a sign-in on that device: the
server's own event, made when it took the PIN or password, or the phone's word where the server could not be asked. The
phone's word counts only where the server itself had taken that person's secret on that phone not long before, and is
told apart. Everything is compared by logical clocks, so a phone's wrong clock proves nothing and harms nobody.
"""

from vesselside.core.ground import clock

from .events import SIGN_INS, WAYS_IN, is_id
from .record import Record

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from vesselside.core.shapes import Presence

_DAY_MS = 86_400_000
PROVED_MS = 14 * _DAY_MS
"""How long a sign-in proves that the person was there."""
RESTS_MS = 28 * _DAY_MS
"""How long before a phone's own word the server must have taken the secret itself."""
DESK_MS = 12 * 3_600_000
"""How long a password opens the desk at most."""


class Sign:
    """One sign-in or sign-out, as it is compared."""

    def __init__(self, event: "dict[str, Any]", data: "dict[str, Any]") -> None:
        self.id = event["id"]
        self.hlc = event["hlc"]
        self.sequence: str = "~"  # not in the log yet: after every sequence
        if clock.is_sequence(event.get("sequence")):
            self.sequence = event["sequence"]
        self.into = event["type"] == "person.signed-in"
        self.how = data["how"]
        self.desk = self.how == "password" and bool(data.get("desk"))
        self.ended = clock.stamp_ms(self.hlc)
        if clock.is_time(data.get("at")):
            self.ended = clock.milliseconds(data["at"])

    def before(self, record: Record) -> bool:
        """Whether the record was made after it, or by a device that had seen it."""
        return self.hlc < record.stamped or self.sequence <= record.seen


class Presences:
    """The sign-ins and sign-outs of a brewery, by person and device."""

    def __init__(self) -> None:
        self._server: dict[tuple[str, str], list[Sign]] = {}
        self._phone: dict[tuple[str, str], list[Sign]] = {}
        self._held: set[str] = set()
        self._secrets: dict[str, list[str]] = {}
        self._kept_ms = 0

    def copied(self) -> "Presences":
        """The same, to add to."""
        made = Presences()
        made._server = {key: rows[:] for key, rows in self._server.items()}
        made._phone = {key: rows[:] for key, rows in self._phone.items()}
        made._held = self._held.copy()
        made._secrets = {key: rows[:] for key, rows in self._secrets.items()}
        made._kept_ms = self._kept_ms
        return made

    def add(self, event: "dict[str, Any]") -> None:
        """Take a sign-in or sign-out in; order and repeats change nothing, and what is none is passed over."""
        data, source, hlc = event.get("data"), event.get("source"), event.get("hlc")
        name = event.get("id")
        if not isinstance(data, dict) or not isinstance(source, str) or not is_id(name) or name in self._held:
            return
        if not clock.is_stamp(hlc) or not is_id(data.get("person")) or data.get("how") not in WAYS_IN:
            return
        server = source == "/server"
        device = data.get("device") if server else source[9:]
        if not is_id(device) or event.get("type") not in SIGN_INS:
            return
        self._held.add(str(name))
        rows = self._server if server else self._phone
        held = rows.setdefault((data["person"], str(device)), [])
        one = Sign(event, data)
        at = len(held)
        while at > 0 and (held[at - 1].hlc, held[at - 1].id) > (one.hlc, one.id):
            at -= 1
        held.insert(at, one)

    def secret_set(self, person: object, hlc: object) -> None:
        """Take in that a person's secret was set: no phone's word rests on an older one."""
        if isinstance(person, str) and isinstance(hlc, str):
            self._secrets.setdefault(person, []).append(hlc)

    def kept_since(self, ms: int) -> None:
        """Take in that sign-ins are in this log only since `ms`: what was received before is not judged by them."""
        self._kept_ms = min(self._kept_ms or ms, ms)

    def way(self, record: Record) -> "Presence":
        """How the record's person was proved to be there: `pin` or `password` by the server, `offline` by the phone's
        word alone, `before` where no sign-ins were kept then, or empty where nothing proves it.
        """
        if record.received and record.received < self._kept_ms:
            return "before"
        key = (record.person, record.source[9:])
        server, phone = _last(self._server.get(key, ()), record), _last(self._phone.get(key, ()), record)
        if server and server.into and _within(server, record):
            if not phone or phone.into or phone.hlc < server.hlc:
                how: Presence = server.how
                return how
        if phone and phone.into and _within(phone, record) and self._rests(key, phone):
            if not server or server.into or server.hlc < phone.hlc:
                return "offline"
        return ""

    def at_desk(self, record: Record) -> bool:
        """Whether the record was made while its person had that desk open by password."""
        if record.received and record.received < self._kept_ms:
            return True
        opened: Sign | None = None
        for one in self._server.get((record.person, record.source[9:]), ()):
            if one.into:
                if one.before(record):
                    opened = one
            elif opened is not None and opened.hlc < one.hlc:
                if one.before(record) or (record.received and one.ended <= record.received):
                    opened = None
        if opened is None or [
            s for s in self._secrets.get(record.person, ()) if opened.hlc < s < record.stamped
        ]:
            return False
        return opened.desk and clock.stamp_ms(record.stamped) - clock.stamp_ms(opened.hlc) <= DESK_MS

    def told_in(self, person: str, device: str) -> Sign | None:
        """The server's last word of a person on a device, where that is that they are signed in."""
        rows = self._server.get((person, device), ())
        return rows[-1] if rows and rows[-1].into else None

    def _rests(self, key: tuple[str, str], phone: Sign) -> bool:
        """Whether the server had taken this secret on that phone, and no other was set since."""
        for one in self._server.get(key, ()):
            if (
                one.into
                and one.hlc < phone.hlc
                and clock.stamp_ms(phone.hlc) - clock.stamp_ms(one.hlc) <= RESTS_MS
            ):
                if not [hlc for hlc in self._secrets.get(key[0], ()) if one.hlc < hlc < phone.hlc]:
                    return True
        return False


def _last(rows: "list[Sign] | tuple[()]", record: Record) -> Sign | None:
    """The last that was before a record; a desk that was left alone still had its person."""
    for at in range(len(rows) - 1, -1, -1):
        if rows[at].before(record) and rows[at].how != "idle":
            return rows[at]
    return None


def _within(one: Sign, record: Record) -> bool:
    return clock.stamp_ms(record.stamped) - clock.stamp_ms(one.hlc) <= PROVED_MS
