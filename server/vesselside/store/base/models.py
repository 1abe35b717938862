"""The tables. Times are epoch milliseconds; `brewery` leads every key.

`log` is the record: triggers refuse update and delete on it. What a comment calls a projection can be made
again from the log by `projections`; those that only lists are read from stand in `listed`.
"""

from typing import Any

from sqlalchemy import (
    JSON,
    BigInteger,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    LargeBinary,
    String,
    Text,
    text,
)
from sqlalchemy.orm import Mapped, mapped_column

from vesselside.store.base.db import Base

Key = String(64)


def of_brewery() -> Mapped[str]:
    """The column that leads every key."""
    return mapped_column(Key, ForeignKey("breweries.id"), primary_key=True)


def _count() -> Mapped[int]:
    return mapped_column(BigInteger, default=0, server_default="0")


def _only(condition: str) -> dict[str, Any]:
    return {"sqlite_where": text(condition), "postgresql_where": text(condition)}


class Brewery(Base):
    """`revision` counts changes of the reference data; `epoch` is the life its log is in since a restore."""

    __tablename__ = "breweries"
    id: Mapped[str] = mapped_column(Key, primary_key=True)
    name: Mapped[str] = mapped_column(Text)
    created: Mapped[int] = mapped_column(BigInteger)
    revision: Mapped[int] = mapped_column(BigInteger, default=0)
    epoch: Mapped[str | None] = mapped_column(Key)


class Logged(Base):
    """One event as it came. `body` is its canonical bytes; the other columns are read from it once."""

    __tablename__ = "log"
    brewery: Mapped[str] = of_brewery()
    sequence: Mapped[int] = mapped_column(BigInteger, primary_key=True, autoincrement=False)
    status: Mapped[str] = mapped_column(String(16))
    problem: Mapped[str | None] = mapped_column(String(32))
    event: Mapped[str] = mapped_column(Key)
    source: Mapped[str | None] = mapped_column(String(80))
    number: Mapped[int | None] = mapped_column(BigInteger)
    run: Mapped[str | None] = mapped_column(Key)
    kind: Mapped[str | None] = mapped_column(String(64))
    hlc: Mapped[str | None] = mapped_column(String(17))
    hash: Mapped[str] = mapped_column(Key)
    prevhash: Mapped[str | None] = mapped_column(Key)
    body: Mapped[bytes] = mapped_column(LargeBinary)
    recorded: Mapped[int] = mapped_column(BigInteger)
    clock_offset: Mapped[int | None] = mapped_column(BigInteger)
    carrier: Mapped[str | None] = mapped_column(Key)

    # A forgery in quarantine must not block the genuine event: only what is stored is unique.
    __table_args__ = (
        Index("uq_log_event", "brewery", "event", unique=True, **_only("status = 'stored'")),
        Index("uq_log_number", "brewery", "source", "number", unique=True, **_only("status = 'stored'")),
        Index("ix_log_quarantine", "brewery", "hash", **_only("status = 'quarantined'")),
        Index("ix_log_run", "brewery", "run", "sequence", **_only("run IS NOT NULL")),
        Index("ix_log_admin", "brewery", "sequence", **_only("run IS NULL AND status = 'stored'")),
        Index(
            "ix_log_redacted", "brewery", "sequence", **_only("kind = 'event.redacted' AND status = 'stored'")
        ),
    )


class Device(Base):
    """An enrolled phone or desk browser. Its row is never removed: what it signed stays valid."""

    __tablename__ = "devices"
    brewery: Mapped[str] = of_brewery()
    id: Mapped[str] = mapped_column(Key, primary_key=True)
    name: Mapped[str] = mapped_column(Text)
    key: Mapped[dict[str, Any]] = mapped_column(JSON)
    token: Mapped[str | None] = mapped_column(Key)
    enrolled: Mapped[int] = mapped_column(BigInteger)
    revoked: Mapped[int | None] = mapped_column(BigInteger)
    heard: Mapped[int | None] = mapped_column(BigInteger)
    number: Mapped[int] = mapped_column(BigInteger, default=0)
    sequence: Mapped[int] = mapped_column(BigInteger, default=0)
    clock_offset: Mapped[int | None] = mapped_column(BigInteger)


class Code(Base):
    """A one-time enrolment code, by its keyed hash; `by` is who made it."""

    __tablename__ = "codes"
    brewery: Mapped[str] = of_brewery()
    hash: Mapped[str] = mapped_column(Key, primary_key=True)
    name: Mapped[str] = mapped_column(Text)
    expires: Mapped[int] = mapped_column(BigInteger)
    used: Mapped[int | None] = mapped_column(BigInteger)
    by: Mapped[str | None] = mapped_column(Key)


class Try(Base):
    """A wrong enrolment code, by the address it came from; kept for a minute. No brewery is known yet."""

    __tablename__ = "tries"
    address: Mapped[str] = mapped_column(Key, primary_key=True)
    at: Mapped[int] = mapped_column(BigInteger, primary_key=True, autoincrement=False)
    salt: Mapped[str] = mapped_column(String(16), primary_key=True)


class Person(Base):
    """A person. The name can be erased; the id in the records stays. Role and status are projections."""

    __tablename__ = "people"
    brewery: Mapped[str] = of_brewery()
    id: Mapped[str] = mapped_column(Key, primary_key=True)
    name: Mapped[str | None] = mapped_column(Text)
    role: Mapped[str] = mapped_column(String(16))
    status: Mapped[str] = mapped_column(String(16))
    pin: Mapped[str | None] = mapped_column(Text)
    password: Mapped[str | None] = mapped_column(Text)


class SignIn(Base):
    """A person's session on one device, by the hash of its token; `used` is kept to the minute."""

    __tablename__ = "sessions"
    brewery: Mapped[str] = of_brewery()
    token: Mapped[str] = mapped_column(Key, primary_key=True)
    person: Mapped[str] = mapped_column(Key)
    device: Mapped[str] = mapped_column(Key)
    way: Mapped[str] = mapped_column(String(16))
    expires: Mapped[int] = mapped_column(BigInteger)
    used: Mapped[int] = mapped_column(BigInteger, default=0, server_default="0")
    __table_args__ = (
        ForeignKeyConstraint(["brewery", "person"], ["people.brewery", "people.id"]),
        ForeignKeyConstraint(["brewery", "device"], ["devices.brewery", "devices.id"]),
    )


class Attempt(Base):
    """Wrong PINs or passwords, and until when no more are heard; an empty person, device or kind stands for any."""

    __tablename__ = "attempts"
    brewery: Mapped[str] = of_brewery()
    person: Mapped[str] = mapped_column(Key, primary_key=True)
    device: Mapped[str] = mapped_column(Key, primary_key=True)
    kind: Mapped[str] = mapped_column(String(16), primary_key=True)
    wrong: Mapped[int] = mapped_column(BigInteger)
    until: Mapped[int] = mapped_column(BigInteger)
    last: Mapped[int] = mapped_column(BigInteger)


class Brought(Base):
    """How full a device's allowance of one kind was at a moment."""

    __tablename__ = "brought"
    brewery: Mapped[str] = of_brewery()
    device: Mapped[str] = mapped_column(Key, primary_key=True)
    kind: Mapped[str] = mapped_column(String(16), primary_key=True)
    level: Mapped[int] = mapped_column(BigInteger)
    at: Mapped[int] = mapped_column(BigInteger)


class ProcedureVersion(Base):
    """A published procedure, immutable."""

    __tablename__ = "procedures"
    brewery: Mapped[str] = of_brewery()
    id: Mapped[str] = mapped_column(Key, primary_key=True)
    version: Mapped[int] = mapped_column(BigInteger, primary_key=True, autoincrement=False)
    sha256: Mapped[str] = mapped_column(Key)
    content: Mapped[dict[str, Any]] = mapped_column(JSON)
    published: Mapped[int] = mapped_column(BigInteger)


class CautionVersion(Base):
    """A published caution, immutable."""

    __tablename__ = "cautions"
    brewery: Mapped[str] = of_brewery()
    id: Mapped[str] = mapped_column(Key, primary_key=True)
    version: Mapped[int] = mapped_column(BigInteger, primary_key=True, autoincrement=False)
    content: Mapped[dict[str, Any]] = mapped_column(JSON)
    published: Mapped[int] = mapped_column(BigInteger)


class Vessel(Base):
    """A vessel or line, as reference data."""

    __tablename__ = "vessels"
    brewery: Mapped[str] = of_brewery()
    id: Mapped[str] = mapped_column(Key, primary_key=True)
    content: Mapped[dict[str, Any]] = mapped_column(JSON)


class Instrument(Base):
    """An instrument of the site as it stands: a projection of `instrument.changed`."""

    __tablename__ = "instruments"
    brewery: Mapped[str] = of_brewery()
    id: Mapped[str] = mapped_column(Key, primary_key=True)
    content: Mapped[dict[str, Any]] = mapped_column(JSON)


class RecipeVersion(Base):
    """A version of a recipe, immutable: a projection of `recipe.changed`."""

    __tablename__ = "recipe_versions"
    brewery: Mapped[str] = of_brewery()
    id: Mapped[str] = mapped_column(Key, primary_key=True)
    version: Mapped[int] = mapped_column(BigInteger, primary_key=True, autoincrement=False)
    sha256: Mapped[str] = mapped_column(Key)
    content: Mapped[dict[str, Any]] = mapped_column(JSON)


class SiteSetting(Base):
    """A site figure that overrides a procedure's default: a projection of `setting.changed`."""

    __tablename__ = "settings"
    brewery: Mapped[str] = of_brewery()
    name: Mapped[str] = mapped_column(Key, primary_key=True)
    value: Mapped[str] = mapped_column(Text)


class Run(Base):
    """A projection: one run folded. `stale` until it has been folded again after new events.

    `state` is deflated JSON; `troubles` is what its vessel's life brings to light of it, `trouble_open` how many of
    those are not answered, `trouble_told` how many there are; `doubts` is what failed checks of instruments put in
    doubt, `doubted` how many readings, `doubt_open` how many of `doubts` wait, `doubt_told` how many there are; `draws`
    is the gyle it took out of another vessel than its own. A run with a `fault_code` could not be worked out at the
    record `fault_at` by the core `fault_core` (`store/faulty`): what is kept of it is the last that could.

    From `kind` to `short` stands what the register filters by, drawn from the summary: who opened and closed it,
    whether its review stands (`accepted`, `rejected`, `lapsed`), how many deviations are `answered`, how many kinds of
    finding were `found`, how many strikes, and what the core tallies. It all lies in one index, for a row is long.
    """

    __tablename__ = "runs"
    brewery: Mapped[str] = of_brewery()
    id: Mapped[str] = mapped_column(Key, primary_key=True)
    stale: Mapped[bool] = mapped_column(default=True)
    last: Mapped[int] = mapped_column(BigInteger)
    opened: Mapped[str] = mapped_column(String(24), default="")
    closed: Mapped[int | None] = mapped_column(BigInteger)
    procedure: Mapped[str | None] = mapped_column(Key)
    version: Mapped[int | None] = mapped_column(BigInteger)
    vessel: Mapped[str | None] = mapped_column(Key)
    gyle: Mapped[str | None] = mapped_column(Key)
    draws: Mapped[str | None] = mapped_column(Key)
    recipe: Mapped[str | None] = mapped_column(Key)
    recipe_version: Mapped[int | None] = mapped_column(BigInteger)
    status: Mapped[str] = mapped_column(String(16), default="open")
    core: Mapped[str | None] = mapped_column(String(16))
    digest: Mapped[str | None] = mapped_column(Key)
    state: Mapped[bytes | None] = mapped_column(LargeBinary)
    summary: Mapped[dict[str, Any] | None] = mapped_column(JSON)
    deviations: Mapped[int] = mapped_column(BigInteger, default=0)
    contested: Mapped[int] = mapped_column(BigInteger, default=0)
    unreviewed: Mapped[bool] = mapped_column(default=False)
    troubles: Mapped[list[dict[str, Any]] | None] = mapped_column(JSON)
    trouble_open: Mapped[int] = _count()
    doubts: Mapped[list[dict[str, Any]] | None] = mapped_column(JSON)
    doubted: Mapped[int] = _count()
    doubt_open: Mapped[int] = _count()
    fault_code: Mapped[str | None] = mapped_column(String(16))
    fault_text: Mapped[str | None] = mapped_column(Text)
    fault_at: Mapped[int | None] = mapped_column(BigInteger)
    fault_core: Mapped[str | None] = mapped_column(String(16))
    kind: Mapped[str | None] = mapped_column(Key)
    opener: Mapped[str | None] = mapped_column(Key)
    closer: Mapped[str | None] = mapped_column(Key)
    review: Mapped[str | None] = mapped_column(String(16))
    answered: Mapped[int] = _count()
    found: Mapped[int] = _count()
    struck: Mapped[int] = _count()
    stop: Mapped[int] = _count()
    advise: Mapped[int] = _count()
    late: Mapped[int] = _count()
    clock: Mapped[int] = _count()
    paper: Mapped[int] = _count()
    unproved: Mapped[int] = _count()
    short: Mapped[int] = _count()
    trouble_told: Mapped[int] = _count()
    doubt_told: Mapped[int] = _count()

    __table_args__ = (
        Index(
            "ix_runs_register",
            "brewery",
            "opened",
            "id",
            "kind",
            "vessel",
            "procedure",
            "status",
            "opener",
            "closer",
            "review",
            "unreviewed",
            "deviations",
            "trouble_open",
            "doubt_open",
            "answered",
            "found",
            "struck",
            "stop",
            "advise",
            "late",
            "clock",
            "paper",
            "unproved",
            "short",
            "trouble_told",
            "doubt_told",
        ),
        Index("ix_runs_opened", "brewery", "opened", "id"),
        Index("ix_runs_vessel", "brewery", "vessel", "opened", "id"),
        Index("ix_runs_gyle", "brewery", "gyle", "opened", "id", **_only("gyle IS NOT NULL")),
        Index("ix_runs_draws", "brewery", "draws", **_only("draws IS NOT NULL")),
        Index("ix_runs_recipe", "brewery", "recipe", "opened", "id", **_only("recipe IS NOT NULL")),
        Index("ix_runs_procedure", "brewery", "procedure", "opened", "id"),
        Index("ix_runs_status", "brewery", "status", "opened", "id"),
        Index("ix_runs_deviations", "brewery", "opened", **_only("deviations > 0")),
        Index("ix_runs_trouble_open", "brewery", "opened", **_only("trouble_open > 0")),
        Index("ix_runs_doubted", "brewery", "opened", **_only("doubted > 0")),
        Index("ix_runs_contested", "brewery", "opened", **_only("contested > 0")),
        Index("ix_runs_unreviewed", "brewery", "opened", **_only("unreviewed")),
        Index("ix_runs_stale", "brewery", "id", **_only("stale")),
        Index("ix_runs_fault", "brewery", "opened", **_only("fault_code IS NOT NULL")),
    )


class InstrumentRun(Base):
    """A projection: a run that read or checked an instrument, with what its checks say (`core/readwith`)."""

    __tablename__ = "instrument_runs"
    brewery: Mapped[str] = of_brewery()
    instrument: Mapped[str] = mapped_column(Text, primary_key=True)
    run: Mapped[str] = mapped_column(Key, primary_key=True)
    checked: Mapped[bool] = mapped_column()
    checks: Mapped[list[dict[str, Any]]] = mapped_column(JSON)
    __table_args__ = (
        Index("ix_instrument_runs_run", "brewery", "run"),
        Index("ix_instrument_runs_checked", "brewery", "instrument", **_only("checked")),
    )


class Node(Base):
    """A projection: the hash over a whole block of 2^level leaves of a brewery's log tree."""

    __tablename__ = "nodes"
    brewery: Mapped[str] = of_brewery()
    level: Mapped[int] = mapped_column(BigInteger, primary_key=True, autoincrement=False)
    place: Mapped[int] = mapped_column(BigInteger, primary_key=True, autoincrement=False)
    hash: Mapped[bytes] = mapped_column(LargeBinary)


class Head(Base):
    """A signed head of a brewery's log tree, as it was given out."""

    __tablename__ = "heads"
    brewery: Mapped[str] = of_brewery()
    size: Mapped[int] = mapped_column(BigInteger, primary_key=True, autoincrement=False)
    time: Mapped[int] = mapped_column(BigInteger, primary_key=True, autoincrement=False)
    root: Mapped[str] = mapped_column(Key)
    signature: Mapped[str] = mapped_column(Text)


class Replaced(Base):
    """What `rebuild` found otherwise than the log says and replaced, as it stood (JSON): only ever added to."""

    __tablename__ = "replaced"
    brewery: Mapped[str] = of_brewery()
    place: Mapped[int] = mapped_column(BigInteger, primary_key=True, autoincrement=False)
    at: Mapped[int] = mapped_column(BigInteger)
    what: Mapped[str] = mapped_column(Text)
    kept: Mapped[str] = mapped_column(Text)


class Readiness(Base):
    """One row that the readiness probe really writes."""

    __tablename__ = "readiness"
    id: Mapped[int] = mapped_column(BigInteger, primary_key=True, autoincrement=False)
    at: Mapped[int] = mapped_column(BigInteger)
