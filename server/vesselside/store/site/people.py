"""People, their secrets and their sessions.

A role or its end is an administration event; a name never is, so that it can be erased. Wrong tries are
counted for each person on each device, and counted before the secret is checked, so that trying in parallel
gains nothing.
"""

import secrets
from dataclasses import dataclass
from functools import lru_cache

from argon2 import PasswordHasher
from argon2.exceptions import VerifyMismatchError
from sqlalchemy import delete, select, update

from vesselside.core.run.events import ROLES, is_id
from vesselside.store.base.db import db, now_ms, writing
from vesselside.store.base.models import Attempt, Person, SignIn
from vesselside.store.log import signing, writer
from vesselside.store.log.book import Book
from vesselside.store.site import siting

SESSION_MS = 12 * 3_600_000
FREE_TRIES = 5
FIRST_WAIT_MS = 5_000
LONGEST_WAIT_MS = 900_000
PIN_DIGITS = 6
PASSWORD_LETTERS = 8
NAME_LETTERS = 80

# OWASP's least for Argon2id: a small machine signs in a whole crew at once, and tries are counted anyway.
_hasher = PasswordHasher(time_cost=2, memory_cost=19_456, parallelism=1)


class PersonError(ValueError):
    """What was said of a person cannot be kept; the text says why."""


class SecretError(Exception):
    """The PIN or password is not this person's."""


class WaitError(Exception):
    """Too many wrong tries; no more are heard for `seconds`."""

    def __init__(self, seconds: int) -> None:
        super().__init__(f"Too many wrong tries; try again in {seconds} s.")
        self.seconds = seconds


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
    by: str | None = None,
    now: int | None = None,
) -> str:
    """Add a person and write it into the log; the person's id."""
    brewery, now = book.brewery, now_ms() if now is None else now
    person = person or signing.uuid7(now)
    if not is_id(person):
        raise PersonError(f"{person!r} is no id of a-z, 0-9 and dashes.")
    hashed = {"pin": _hashed_pin(pin), "password": _hashed_password(password)}
    with writing(brewery) as session:
        if session.get(Person, (brewery, person)):
            raise PersonError(f"There is a person {person} already.")
        row = Person(
            brewery=brewery, id=person, name=checked_name(name), role=_role(role), status="active", **hashed
        )
        session.add(row)
        data = {"person": person, "role": role, "status": "active"}
        writer.administer(book, "person.changed", data, by=by, now=now)
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
    by: str | None = None,
    now: int | None = None,
) -> None:
    """Change what is given; a change of role or status is written into the log. PersonError when unknown."""
    brewery = book.brewery
    hashed = {"pin": _hashed_pin(pin), "password": _hashed_password(password)}
    if status not in (None, "active", "gone"):
        raise PersonError("A person's status is active or gone.")
    with writing(brewery) as session:
        row = session.get(Person, (brewery, person))
        if row is None:
            raise PersonError(f"There is no person {person}.")
        if name is not None:
            row.name = checked_name(name)
        for field, value in hashed.items():
            if value:
                setattr(row, field, value)
        before = (row.role, row.status)
        row.role, row.status = _role(role or row.role), status or row.status
        if before != (row.role, row.status):
            data = {"person": person, "role": row.role, "status": row.status}
            writer.administer(book, "person.changed", data, by=by, now=now_ms() if now is None else now)
        if row.status == "gone" or any(hashed.values()):
            session.execute(delete(SignIn).where(SignIn.brewery == brewery, SignIn.person == person))
        siting.touch(session, brewery)


def erase_name(brewery: str, person: str) -> None:
    """Forget a person's name and secrets; the id in the records stays."""
    with writing(brewery) as session:
        session.execute(
            update(Person)
            .where(Person.brewery == brewery, Person.id == person)
            .values(name=None, pin=None, password=None)
        )
        siting.touch(session, brewery)


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


def _role(role: str) -> str:
    if role not in ROLES:
        raise PersonError(f"{role!r} is no role; the roles are {', '.join(ROLES)}.")
    return role


def _hashed_pin(pin: str | None) -> str | None:
    if pin is None:
        return None
    if len(pin) < PIN_DIGITS or not (pin.isascii() and pin.isdigit()):
        raise PersonError(f"A PIN is at least {PIN_DIGITS} digits.")
    return _hasher.hash(pin)


def _hashed_password(password: str | None) -> str | None:
    if password is None:
        return None
    if not PASSWORD_LETTERS <= len(password) <= 1000:
        raise PersonError(f"A password is at least {PASSWORD_LETTERS} letters.")
    return _hasher.hash(password)


@lru_cache(maxsize=1)
def _nobodys() -> str:
    return _hasher.hash(secrets.token_hex(16))


def sign_in(brewery: str, device: str, person: str, kind: str, secret: str, *, now: int) -> tuple[str, str]:
    """Begin a session by `kind` pin or password: (token, role). SecretError or WaitError otherwise."""
    _charge(brewery, device, person, now)
    row = db.session.get(Person, (brewery, person))
    kept = getattr(row, kind) if row and row.status == "active" else None
    try:
        # An unknown person takes as long as a known one.
        _hasher.verify(kept or _nobodys(), secret)
    except VerifyMismatchError as error:
        raise SecretError from error
    if row is None or not kept:
        raise SecretError
    token = secrets.token_urlsafe(32)
    with writing(brewery) as session:
        session.execute(
            delete(Attempt).where(
                Attempt.brewery == brewery, Attempt.person == person, Attempt.device == device
            )
        )
        session.execute(delete(SignIn).where(SignIn.brewery == brewery, SignIn.expires < now))
        session.add(
            SignIn(
                brewery=brewery,
                token=signing.sha256(token.encode()),
                person=person,
                device=device,
                way=kind,
                expires=now + SESSION_MS,
            )
        )
    return f"{brewery}.{token}", row.role


def _charge(brewery: str, device: str, person: str, now: int) -> None:
    """Count a try as wrong before it is made; WaitError while no tries are heard."""
    with writing(brewery) as session:
        row = session.get(Attempt, (brewery, person, device), populate_existing=True)
        if row is None:
            row = Attempt(brewery=brewery, person=person, device=device, wrong=0, until=0)
            session.add(row)
        if row.until > now:
            raise WaitError(-(-(row.until - now) // 1000))
        row.wrong += 1
        if row.wrong >= FREE_TRIES:
            row.until = now + min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** min(row.wrong - FREE_TRIES, 20))


def session_of(brewery: str, device: str, cookie: str, *, now: int) -> Session | None:
    """The session a cookie stands for on this device, or None."""
    owner, _, token = cookie.partition(".")
    if owner != brewery or not token:
        return None
    row = db.session.execute(
        select(SignIn.person, SignIn.way, Person.role, Person.password)
        .join(Person, (Person.brewery == SignIn.brewery) & (Person.id == SignIn.person))
        .where(
            SignIn.brewery == brewery,
            SignIn.token == signing.sha256(token.encode()),
            SignIn.device == device,
            SignIn.expires > now,
            Person.status == "active",
        )
    ).first()
    if row is None:
        return None
    # A manager who has a password needs it at the desk; a six-digit PIN is for the vessel.
    return Session(row.person, row.role, row.way != "pin" or row.password is None)


def sign_out(brewery: str, cookie: str) -> None:
    """End the session a cookie stands for."""
    token = cookie.partition(".")[2]
    with writing(brewery) as session:
        session.execute(
            delete(SignIn).where(SignIn.brewery == brewery, SignIn.token == signing.sha256(token.encode()))
        )
