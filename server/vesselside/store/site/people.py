"""People, their secrets and their sessions.

What is done to a person is an administration event; a name never stands in one, so that it can be erased. A device
has one session at a time. One that was begun by password opens the desk, and ends when the desk is left alone.
"""

import secrets
from dataclasses import dataclass
from typing import Any

from sqlalchemy import delete, exists, select, update

from vesselside.core.run.events import ROLES, is_id
from vesselside.core.run.presence import DESK_MS
from vesselside.store.base.db import db, now_ms, writing
from vesselside.store.base.models import Person, SignIn
from vesselside.store.log import signing, writer
from vesselside.store.log.book import Book
from vesselside.store.site import presences, siting, tries
from vesselside.store.site.secrets import (
    PASSWORD_LETTERS,
    PersonError,
    hashed_password,
    hashed_pin,
    is_secret,
)

SESSION_MS = DESK_MS
DESK_IDLE_MS = 20 * 60_000
USED_EVERY_MS = 60_000
"""How often the last use of a session is written down."""
NAME_LETTERS = 80
_IN_CHARGE = ("manager", "active")
PASSWORD, SHORT = "password", "short"
"""Ways of a session: a password of today's length opens the desk, one from before it does not."""


class SecretError(Exception):
    """The PIN or password is not this person's."""


class ActiveError(Exception):
    """Whoever is still here cannot be forgotten."""


class NoPersonError(PersonError):
    """Nobody of that id is known here."""


class LastManagerError(PersonError):
    """Without this person nobody could open the desk."""


@dataclass(frozen=True)
class Session:
    """Who is signed in on a device, and whether the secret given is good enough for the desk."""

    person: str
    role: str
    desk: bool


def add_person(
    book: Book,
    name: str,
    role: str,
    *,
    pin: str | None = None,
    password: str | None = None,
    person: str | None = None,
    by: str = writer.COMMAND_LINE,
    now: int | None = None,
) -> str:
    """Add a person and write it into the log; the person's id."""
    brewery, now = book.brewery, now_ms() if now is None else now
    person = person or signing.uuid7(now)
    if not is_id(person) or person in (writer.COMMAND_LINE, writer.ITSELF):
        raise PersonError(f"{person!r} is no id of a-z, 0-9 and dashes.")
    hashed = {"pin": hashed_pin(pin), "password": hashed_password(password, name)}
    with writing(brewery) as session:
        if session.get(Person, (brewery, person)):
            raise PersonError(f"There is a person {person} already.")
        row = Person(
            brewery=brewery, id=person, name=checked_name(name), role=_role(role), status="active", **hashed
        )
        session.add(row)
        data = {"person": person, "role": role, "status": "active", "changed": ["added"]}
        writer.administer(book, "person.changed", data, by=by, now=now)
        _tell_secrets(book, person, hashed, by, now)
        siting.touch(session, brewery)
    return person


def change_person(
    book: Book,
    person: str,
    *,
    name: str | None = None,
    role: str | None = None,
    status: str | None = None,
    pin: str | None = None,
    password: str | None = None,
    by: str = writer.COMMAND_LINE,
    now: int | None = None,
) -> None:
    """Change what is given, and write it into the log.

    NoPersonError when unknown, LastManagerError when nobody else could open the desk then.
    """
    brewery, now = book.brewery, now_ms() if now is None else now
    hashed = {
        "pin": hashed_pin(pin),
        "password": hashed_password(password, name or _name_of(brewery, person)),
    }
    if status not in (None, "active", "gone"):
        raise PersonError("A person's status is active or gone.")
    with writing(brewery) as session:
        row = session.get(Person, (brewery, person), populate_existing=True)
        if row is None:
            raise NoPersonError(f"There is no person {person}.")
        before = (row.name, row.role, row.status)
        if name is not None:
            row.name = checked_name(name)
        for field, value in hashed.items():
            if value:
                setattr(row, field, value)
        row.role, row.status = _role(role or row.role), status or row.status
        after = (row.name, row.role, row.status)
        if before[1:] == _IN_CHARGE and after[1:] != _IN_CHARGE and not _others_in_charge(brewery, person):
            raise LastManagerError("This is the last manager. Make someone else a manager first.")
        changed = [
            what
            for what, old, new in zip(("name", "role", "status"), before, after, strict=True)
            if old != new
        ]
        retired = "status" in changed and row.status == "gone"
        data = {"person": person, "role": row.role, "status": row.status}
        if retired:
            writer.administer(book, "person.retired", data, by=by, now=now)
        if set(changed) - {"status" if retired else ""}:
            writer.administer(book, "person.changed", {**data, "changed": changed}, by=by, now=now)
        _tell_secrets(book, person, hashed, by, now)
        if row.status == "gone" or any(hashed.values()):
            session.execute(delete(SignIn).where(SignIn.brewery == brewery, SignIn.person == person))
        siting.touch(session, brewery)


def _others_in_charge(brewery: str, person: str) -> bool:
    managers = (Person.brewery == brewery, Person.role == "manager", Person.status == "active")
    return bool(db.session.execute(select(exists().where(*managers, Person.id != person))).scalar())


def _tell_secrets(book: Book, person: str, hashed: dict[str, str | None], by: str, now: int) -> None:
    kinds = [kind for kind, value in hashed.items() if value]
    if kinds:
        data = {"person": person, "kinds": kinds}
        writer.administer(book, "person.secret-set", data, by=by, now=now)


def erase_name(book: Book, person: str, *, by: str = writer.COMMAND_LINE) -> bool:
    """Forget the name and secrets of someone who has left; the id in the records stays. False when unknown."""
    brewery = book.brewery
    with writing(brewery) as session:
        row = session.get(Person, (brewery, person), populate_existing=True)
        if row is None:
            return False
        if row.status == "active":
            raise ActiveError("This person is still active. Note first that they have left.")
        if row.name is not None:
            data = {"person": person, "role": row.role, "status": row.status, "changed": ["erased"]}
            writer.administer(book, "person.changed", data, by=by, now=now_ms())
        row.name = row.pin = row.password = None
        siting.touch(session, brewery)
    return True


def everyone(brewery: str) -> list[dict[str, str | None]]:
    """Everyone, those who have left included."""
    rows = db.session.execute(
        select(Person.id, Person.name, Person.role, Person.status)
        .where(Person.brewery == brewery)
        .order_by(Person.name, Person.id)
    )
    return [{"id": row.id, "name": row.name, "role": row.role, "status": row.status} for row in rows]


def checked_name(name: str) -> str:
    """A name of a person or a device, as it is kept; PersonError when it is none."""
    name = name.strip()
    if not 1 <= len(name) <= NAME_LETTERS or not name.isprintable():
        raise PersonError(f"A name is 1 to {NAME_LETTERS} printable letters.")
    return name


def _name_of(brewery: str, person: str) -> str:
    row = db.session.get(Person, (brewery, person))
    return (row.name if row else None) or ""


def _role(role: str) -> str:
    if role not in ROLES:
        raise PersonError(f"{role!r} is no role; the roles are {', '.join(ROLES)}.")
    return role


@dataclass(frozen=True)
class Judged:
    """Whose secret it was, and the event that says so."""

    role: str
    event: dict[str, Any]


def sign_in(book: Book, device: str, person: str, kind: str, secret: str, *, now: int) -> tuple[str, Judged]:
    """Begin the device's session by `kind` pin or password: its token. SecretError or LaterError otherwise."""
    brewery = book.brewery
    row, tried = _judged(book, device, person, kind, secret, now)
    token = secrets.token_urlsafe(32)
    way = SHORT if kind == PASSWORD and len(secret) < PASSWORD_LETTERS else kind
    with writing(brewery) as session:
        tries.forgive(session, tried)
        for held in session.execute(
            select(SignIn.person, SignIn.used).where(
                SignIn.brewery == brewery,
                SignIn.device == device,
                SignIn.way == PASSWORD,
                SignIn.person != person,
            )
        ).all():
            presences.told_out(
                book, held.person, device, presences.IDLE, now=now, at=_desk_end(held.used, now)
            )
        ended = (SignIn.device == device) | (SignIn.expires < now)
        session.execute(delete(SignIn).where(SignIn.brewery == brewery, ended))
        session.add(
            SignIn(
                brewery=brewery,
                token=signing.sha256(token.encode()),
                person=person,
                device=device,
                way=way,
                expires=now + SESSION_MS,
                used=now,
            )
        )
    event = presences.told_in(book, person, device, kind, desk=way == PASSWORD, now=now)
    return f"{brewery}.{token}", Judged(row.role, event)


def judge(book: Book, device: str, person: str, kind: str, secret: str, *, now: int) -> Judged:
    """Judge a second person's secret, and leave the device's session alone. Errors as `sign_in`."""
    row, tried = _judged(book, device, person, kind, secret, now)
    with writing(book.brewery) as session:
        tries.forgive(session, tried)
    return Judged(row.role, presences.told_in(book, person, device, kind, desk=False, now=now))


def _desk_end(used: int, now: int) -> int:
    return min(now, used + DESK_IDLE_MS)


def _judged(
    book: Book, device: str, person: str, kind: str, secret: str, now: int
) -> tuple[Person, tries.Try]:
    tried = tries.Try(book.brewery, device, person, kind)
    counts = tries.charge(tried, now)
    row = db.session.get(Person, (book.brewery, person))
    kept = getattr(row, kind) if row and row.status == "active" else None
    if not is_secret(kept, secret) or row is None:
        tries.refused(book, counts, now)
        raise SecretError
    return row, tried


def session_of(book: Book, device: str, cookie: str, *, now: int) -> Session | None:
    """The session a cookie stands for on this device, or None; that it was used is kept."""
    brewery = book.brewery
    owner, _, token = cookie.partition(".")
    if owner != brewery or not token:
        return None
    hashed = signing.sha256(token.encode())
    row = db.session.execute(
        select(SignIn.person, SignIn.way, SignIn.used, Person.role)
        .join(Person, (Person.brewery == SignIn.brewery) & (Person.id == SignIn.person))
        .where(
            SignIn.brewery == brewery,
            SignIn.token == hashed,
            SignIn.device == device,
            SignIn.expires > now,
            Person.status == "active",
        )
    ).first()
    if row is None:
        return None
    desk = row.way == PASSWORD
    if desk and now - row.used > DESK_IDLE_MS:
        end_idle(book, device, now=now)
        return None
    if desk and now - row.used >= USED_EVERY_MS:
        with writing(brewery) as session:
            session.execute(
                update(SignIn).where(SignIn.brewery == brewery, SignIn.token == hashed).values(used=now)
            )
    return Session(row.person, row.role, desk)


def end_idle(book: Book, device: str, *, now: int) -> None:
    """End the session of a desk that was left alone: what comes from there later was made with no desk open."""
    idle = (SignIn.brewery == book.brewery, SignIn.device == device, SignIn.way == PASSWORD)
    alone = (*idle, SignIn.used < now - DESK_IDLE_MS)
    if not db.session.execute(select(exists().where(*alone))).scalar():
        return
    with writing(book.brewery) as session:
        for row in session.execute(select(SignIn.person, SignIn.used).where(*alone)).all():
            presences.told_out(book, row.person, device, presences.IDLE, now=now, at=row.used + DESK_IDLE_MS)
        session.execute(delete(SignIn).where(*alone))


def sign_out(book: Book, cookie: str, *, now: int) -> None:
    """End the session a cookie stands for, and say so in the log."""
    token = signing.sha256(cookie.partition(".")[2].encode())
    held = (SignIn.brewery == book.brewery, SignIn.token == token)
    with writing(book.brewery) as session:
        row = session.execute(select(SignIn.person, SignIn.device, SignIn.way).where(*held)).first()
        if row is None:
            return
        how = "pin" if row.way == "pin" else PASSWORD
        presences.told_out(book, row.person, row.device, how, now=now)
        session.execute(delete(SignIn).where(*held))
