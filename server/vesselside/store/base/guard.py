"""The one place where whatever a fold raises is caught.

The log is append-only, so a record that a fold cannot take stays for good: it may cost the projection of its own run,
and nothing else. What is caught is logged with its traceback and becomes a `Fault`, which the run carries until it
folds again. A database that cannot be used is no fault of a run and goes on up.
"""

import logging
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any, Generic, TypeVar

from sqlalchemy import exc

from vesselside.store.base.db import db

LONGEST = 400
_UNUSABLE = (exc.OperationalError, exc.InternalError, exc.TimeoutError)
_TOO_MUCH = "54"
"""PostgreSQL's class of what is too large to keep: it comes as an OperationalError, but a row is to blame."""

_log = logging.getLogger(__name__)
Made = TypeVar("Made")
Line = TypeVar("Line")


@dataclass(frozen=True)
class Fault:
    """Why something of a run could not be worked out: where it happened, and what was raised."""

    code: str
    text: str

    def __str__(self) -> str:
        return f"{self.code}: {self.text}"


@dataclass
class Sifted(Generic[Made, Line]):
    """What could be made of lines, from those that could be taken; by name the fault of each that could not.

    With `fault` even the rest could not be taken together, and nothing was made.
    """

    made: Made | None
    lines: list[Line]
    faults: dict[str, Fault] = field(default_factory=dict)
    fault: Fault | None = None


def tried(code: str, what: str, work: Callable[[], Made]) -> Made | Fault:
    """What `work` makes, or the fault that keeps it from being made; `what` is named in the log of the server.

    What reads the database may be tried outside a writing transaction only: after a fault its reading is given up.
    """
    try:
        return work()
    except Exception as error:  # whatever stored data makes the core raise is one run's fault
        if _unusable(error):
            raise
        if isinstance(error, exc.SQLAlchemyError):
            db.session.rollback()
        _log.warning("%s of %s failed", code, what, exc_info=error)
        return Fault(code, _said(error))


def sifted(
    code: str, named: Iterable[tuple[str, Line]], work: Callable[[list[Line]], Made]
) -> Sifted[Made, Line]:
    """What `work` makes of all lines; when it cannot, of those that it can take when they stand alone."""
    held = list(named)
    lines = [line for _, line in held]
    made = tried(code, "all together", lambda: work(lines))
    if not isinstance(made, Fault):
        return Sifted(made, lines)
    found: Sifted[Made, Line] = Sifted(None, [])
    for name, line in held:
        alone = tried(code, name, lambda line=line: work([line]))  # type: ignore[misc]  # bound at once
        if isinstance(alone, Fault):
            found.faults[name] = alone
        else:
            found.lines.append(line)
    rest = tried(code, "those that stand alone", lambda: work(found.lines)) if found.faults else made
    if isinstance(rest, Fault):
        found.fault = rest
    else:
        found.made = rest
    return found


def _unusable(error: Exception) -> bool:
    """Whether it is the database that failed, and not what it was asked."""
    if isinstance(error, exc.DBAPIError) and error.connection_invalidated:
        return True
    state: Any = getattr(getattr(error, "orig", None), "sqlstate", None)
    return isinstance(error, _UNUSABLE) and not str(state or "").startswith(_TOO_MUCH)


def _said(error: Exception) -> str:
    """An error in one line; the database's own words without the statement."""
    said = getattr(error, "orig", None) or error
    text = " ".join(str(said).split())
    return f"{type(error).__name__}: {text}"[:LONGEST] if text else type(error).__name__
