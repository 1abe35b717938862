"""Devices: one-time codes, enrolling, credentials, revoking.

A code is 10 Crockford base-32 characters, good once and for 10 minutes, kept only as a keyed hash. Enrolling
always makes a new device; ids are never used again. A phone whose storage was lost with no signal has begun a chain
under an id of its own making: it brings that id, and what it recorded meanwhile is its own.
"""

import hmac
import secrets
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from sqlalchemy import delete, func, select, update

from vesselside.core.run.events import is_id
from vesselside.store.base import statements
from vesselside.store.base.db import Sessions, db, now_ms, writing
from vesselside.store.base.faults import LaterError
from vesselside.store.base.instants import ms_of, text_of
from vesselside.store.base.models import Code, Device, Try
from vesselside.store.log import signing, writer
from vesselside.store.log.book import Book, Keys
from vesselside.store.site import founding, returning, siting
from vesselside.store.site.people import checked_name

ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
CODE_LETTERS = 10
CODE_MS = 600_000
TRIES = 5
TRIES_MS = 60_000
HEARD_EVERY_MS = 60_000
KNOWN_MS = 300_000
"""How old a device's word may be that it is the one it was."""


class CodeError(Exception):
    """The code is wrong, used or expired; nobody is told which."""


class TakenError(Exception):
    """A device brought an id that is another's already; its code is as good as before."""


@dataclass(frozen=True)
class Credential:
    """The device a request comes from."""

    brewery: str
    device: str
    name: str


@dataclass(frozen=True)
class Enrolled:
    """A device just enrolled, with the token its cookie carries, and the runs that changed by it."""

    brewery: str
    device: str
    token: str
    runs: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Brought:
    """What a phone says of itself whose storage was lost: the id it goes by since, and what became of its records."""

    device: str | None = None
    lost: Mapping[str, Any] | None = None


def make_code(book: Book, name: str, *, by: str = writer.COMMAND_LINE, now: int | None = None) -> str:
    """A fresh one-time code for a device to be called `name`."""
    brewery, now = book.brewery, now_ms() if now is None else now
    code = "".join(secrets.choice(ALPHABET) for _ in range(CODE_LETTERS))
    hashed, name, expires = book.keys.hashed(read_code(code)), checked_name(name), now + CODE_MS
    with writing(brewery) as session:
        session.execute(delete(Code).where(Code.brewery == brewery, Code.expires < now - CODE_MS))
        session.add(Code(brewery=brewery, hash=hashed, name=name, expires=expires, by=by))
        data = {"hash": hashed, "name": name, "expires": text_of(expires)}
        writer.administer(book, "code.made", data, by=by, now=now)
    return code


def read_code(code: str) -> str:
    """A code as it is read, however it was written down."""
    return code.upper().replace("-", "").replace(" ", "").translate(str.maketrans("OIL", "011"))


def enrol(
    keys: Keys, code: str, name: str | None, jwk: signing.Jwk, *,
    address: str, now: int, brought: Brought = Brought(),
) -> Enrolled:  # fmt: skip
    """Enrol a device by a one-time code, by the code's name unless it brings its own.

    CodeError, LaterError, or TakenError for an id that it brings and is another's.
    """
    check_tries(address, now)
    hashed = keys.hashed(read_code(code))
    row = db.session.execute(
        select(Code.brewery, Code.name, Code.by).where(
            Code.hash == hashed, Code.used.is_(None), Code.expires > now
        )
    ).first()
    if row is None:
        note_try(address, now)
        raise CodeError
    found = row.brewery
    with writing(found) as session:
        spent = session.execute(
            update(Code)
            .where(Code.brewery == found, Code.hash == hashed, Code.used.is_(None))
            .values(used=now)
        )
        if spent.rowcount != 1:  # type: ignore[attr-defined]
            raise CodeError
        if brought.device and session.get(Device, (found, brought.device)) is not None:
            raise TakenError
        given = {"hash": hashed, "name": row.name}
        by, book = row.by or writer.ITSELF, Book(found, keys)
        made = _add(session, book, name or row.name, jwk, now, by=by, code=given, brought=brought)
        if brought.device:  # another phone may have carried here what this one recorded meanwhile
            made = replace(made, runs=frozenset(writer.judge_again(book, made.device, now=now)))
        return made


@dataclass(frozen=True)
class Word:
    """What a device says of itself: which it is, in which log, when; its signature; and the event that enrolled it."""

    log: str
    device: str
    time: str
    signature: str
    enrolled: object = None

    def claim(self) -> bytes:
        """What it signs."""
        said = {"purpose": "known-again", "log": self.log, "device": self.device, "time": self.time}
        return signing.canonical(said)


def known_again(keys: Keys, word: Word, *, address: str, now: int) -> tuple[Enrolled, set[str]]:
    """Know a device again that was enrolled before its log was put back: it shows that it has its key.

    The key stands in the server's own event that enrolled it, brought by others before or by itself now. It gets
    another token; the runs that its records touch are to be folded. CodeError or LaterError.
    """
    check_tries(address, now)
    made = _judged(keys, word, now)
    if made is None:
        note_try(address, now)
        raise CodeError
    device, runs = made
    token = secrets.token_urlsafe(32)
    with writing(word.log) as session:
        mine = (Device.brewery == word.log, Device.id == device, Device.revoked.is_(None))
        session.execute(update(Device).where(*mine).values(token=signing.sha256(token.encode())))
    return Enrolled(word.log, device, f"{word.log}.{device}.{token}"), runs


def _judged(keys: Keys, word: Word, now: int) -> tuple[str, set[str]] | None:
    if abs(ms_of(word.time) - now) > KNOWN_MS or word.log not in {name for name, _ in founding.breweries()}:
        return None
    row, runs = db.session.get(Device, (word.log, word.device), populate_existing=True), set[str]()
    event: Any = word.enrolled if isinstance(word.enrolled, dict) else {}
    data: Any = event.get("data") if isinstance(event.get("data"), dict) else {}
    key: Any = row.key if row else data.get("key")
    if not signing.is_jwk(key) or not signing.verified(key, word.signature, word.claim()):
        return None
    if row is None and data.get("device") == word.device:
        row, runs = returning.enrolled_again(keys.book(word.log), event, now=now)
    if row is None or row.revoked is not None or row.key != key:
        return None
    return row.id, runs


def enrol_device_with_key(book: Book, name: str, jwk: signing.Jwk, *, now: int | None = None) -> str:
    """Enrol a device without a code, for a history that is written; its id."""
    with writing(book.brewery) as session:
        public = signing.public_jwk(jwk)
        at = now_ms() if now is None else now
        return _add(session, book, checked_name(name), public, at, by=writer.COMMAND_LINE).device


def _add(
    session: Sessions, book: Book, name: str, jwk: signing.Jwk, now: int, *,
    by: str, code: dict[str, str] | None = None, brought: Brought = Brought(),
) -> Enrolled:  # fmt: skip
    """Enrol a device and write it into the log: in the name of who made the code it came by."""
    brewery = book.brewery
    device, token = brought.device or signing.uuid7(now), secrets.token_urlsafe(32)
    session.add(
        Device(
            brewery=brewery,
            id=device,
            name=name,
            key=jwk,
            token=signing.sha256(token.encode()),
            enrolled=now,
            number=0,
            sequence=0,
        )
    )
    session.flush()
    data = {"device": device, "key": jwk, "name": name} | ({"code": code} if code else {})
    if brought.lost is not None:
        data["lost"] = dict(brought.lost)
    writer.administer(book, "device.enrolled", data, by=by, now=now)
    siting.touch(session, brewery)
    return Enrolled(brewery, device, f"{brewery}.{device}.{token}")


def check_tries(address: str, now: int) -> None:
    """LaterError for an address that has given too many wrong codes of late."""
    row = db.session.execute(
        select(func.count(), func.min(Try.at)).where(Try.address == address, Try.at > now - TRIES_MS)
    ).one()
    if row[0] >= TRIES:
        raise LaterError("Too many wrong codes", max(1, -(-(row[1] + TRIES_MS - now) // 1000)))


def note_try(address: str, now: int) -> None:
    """Write down that an address gave a wrong code."""
    with writing("tries") as session:
        session.execute(delete(Try).where(Try.at <= now - TRIES_MS))
        session.add(Try(address=address[:64], at=now, salt=secrets.token_hex(8)))


def credential(cookie: str) -> Credential | None:
    """The device a cookie stands for, or None when unknown or revoked."""
    brewery, _, rest = cookie.partition(".")
    device, _, token = rest.partition(".")
    if not is_id(brewery) or not is_id(device):
        return None
    at = {"at_brewery": brewery, "at_device": device}
    row = statements.execute(statements.CREDENTIAL, at).first()
    if row is None or row.token is None or not hmac.compare_digest(row.token, signing.sha256(token.encode())):
        return None
    return Credential(brewery, device, row.name)


def was_revoked(cookie: str) -> bool:
    """Whether the device a cookie names was revoked; nothing is known of the token any more."""
    brewery, _, rest = cookie.partition(".")
    device = rest.partition(".")[0]
    if not is_id(brewery) or not is_id(device):
        return False
    row = db.session.get(Device, (brewery, device))
    return row is not None and row.revoked is not None


def heard(brewery: str, device: str, *, now: int, clock_offset: int | None) -> None:
    """Note that a device was heard, not more often than the desk needs."""
    at = {"at_brewery": brewery, "at_device": device}
    last = statements.execute(statements.LAST_HEARD, at).scalar()
    if last is not None and now - last < HEARD_EVERY_MS:
        return
    with writing(brewery):
        statements.execute(statements.HEARD, {**at, "now": now, "offset": clock_offset})


def revoke(book: Book, device: str, reason: str, *, by: str, now: int | None = None) -> bool:
    """End a device's credential; what it signed stays valid. False when there is no such device in use."""
    brewery, now = book.brewery, now_ms() if now is None else now
    with writing(brewery) as session:
        row = session.get(Device, (brewery, device), populate_existing=True)
        if row is None or row.revoked is not None:
            return False
        row.revoked, row.token = now, None
        writer.administer(book, "device.revoked", {"device": device, "reason": reason}, by=by, now=now)
        siting.touch(session, brewery)
    return True
