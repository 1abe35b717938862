"""The statements of the exchange, built once: to build one anew costs more than to run it.

They are on the tables themselves, past the object mapper; the rest of the store uses the mapped classes.
"""

from typing import Any, cast

from sqlalchemy import CursorResult, Executable, Table, and_, bindparam, case, func, or_, select, update
from sqlalchemy.dialects import postgresql, sqlite

from vesselside.store.base.db import db
from vesselside.store.base.models import Device, Logged, ProcedureVersion, Run

LOG = cast("Table", Logged.__table__)
RUNS = cast("Table", Run.__table__)
DEVICES = cast("Table", Device.__table__)
PROCEDURES = cast("Table", ProcedureVersion.__table__)

_here = LOG.c.brewery == bindparam("brewery")
_stored = and_(_here, LOG.c.status == "stored")
_event = (LOG.c.sequence, LOG.c.run, LOG.c.recorded, LOG.c.body)

HEAD = select(func.max(LOG.c.sequence)).where(_here)

# What a batch may collide with.
SAME_ID = select(LOG.c.event, LOG.c.hash, LOG.c.sequence).where(
    _stored, LOG.c.event.in_(bindparam("ids", expanding=True))
)
SAME_BYTES = select(LOG.c.hash, LOG.c.sequence, LOG.c.problem).where(
    _here, LOG.c.status == "quarantined", LOG.c.hash.in_(bindparam("hashes", expanding=True))
)
# In quarantine because nobody knew the device's key.
UNPROVED = (
    select(LOG.c.sequence, LOG.c.hash, LOG.c.body)
    .where(
        _here,
        LOG.c.status == "quarantined",
        LOG.c.problem == "source-mismatch",
        LOG.c.source == bindparam("source"),
    )
    .order_by(LOG.c.number, LOG.c.sequence)
)
_chain = select(LOG.c.number, LOG.c.hash, LOG.c.prevhash).where(_stored, LOG.c.source == bindparam("source"))
CHAIN_SPAN = _chain.where(LOG.c.number.between(bindparam("low"), bindparam("high")))
CHAIN_PLACES = _chain.where(LOG.c.number.in_(bindparam("numbers", expanding=True)))
CHAIN_END = (
    select(LOG.c.number, LOG.c.hash, LOG.c.hlc)
    .where(_stored, LOG.c.source == bindparam("source"))
    .order_by(LOG.c.number.desc())
    .limit(1)
)

# Devices.
_device = and_(DEVICES.c.brewery == bindparam("at_brewery"), DEVICES.c.id == bindparam("at_device"))
CREDENTIAL = select(DEVICES.c.token, DEVICES.c.name).where(_device, DEVICES.c.revoked.is_(None))
LAST_HEARD = select(DEVICES.c.heard).where(_device)
KEYS = select(DEVICES.c.id, DEVICES.c.key).where(
    DEVICES.c.brewery == bindparam("brewery"), DEVICES.c.id.in_(bindparam("ids", expanding=True))
)
REACHED = (
    update(DEVICES)
    .where(_device)
    .values(
        number=case((DEVICES.c.number < bindparam("reached"), bindparam("reached")), else_=DEVICES.c.number),
        sequence=bindparam("last"),
    )
)
HEARD = update(DEVICES).where(_device).values(heard=bindparam("now"), clock_offset=bindparam("offset"))

# Runs and their folding.
_TOUCHED = (
    "brewery",
    "id",
    "stale",
    "last",
    "opened",
    "status",
    "deviations",
    "contested",
    "unreviewed",
)


def _touch(dialect: Any) -> Executable:
    added = dialect.insert(RUNS).values({name: bindparam(name) for name in _TOUCHED})
    new = added.excluded
    changed = {"stale": True, "last": new.last}
    return cast("Executable", added.on_conflict_do_update(index_elements=["brewery", "id"], set_=changed))


TOUCH_RUNS = {"sqlite": _touch(sqlite), "postgresql": _touch(postgresql)}
LATER_OF_SOURCE = (
    update(RUNS)
    .where(
        RUNS.c.brewery == bindparam("at_brewery"),
        RUNS.c.id.in_(
            select(LOG.c.run).where(
                LOG.c.brewery == bindparam("at_brewery"),
                LOG.c.source == bindparam("at_source"),
                LOG.c.number > bindparam("after"),
                LOG.c.run.is_not(None),
            )
        ),
    )
    .values(stale=True)
)
RUN_EVENTS = (
    select(*_event, LOG.c.hash, LOG.c.clock_offset)
    .where(_stored, LOG.c.run == bindparam("run"), LOG.c.sequence > bindparam("after"))
    .order_by(LOG.c.sequence)
)
RUN_HASHES = select(LOG.c.hash).where(_stored, LOG.c.run == bindparam("run"))
ADMINISTERED = select(func.max(LOG.c.sequence)).where(_stored, LOG.c.run.is_(None))
ADMINISTRATION = (
    select(*_event)
    .where(_stored, LOG.c.run.is_(None), LOG.c.sequence > bindparam("after"))
    .order_by(LOG.c.sequence)
)
PROCEDURE = select(PROCEDURES.c.content, PROCEDURES.c.sha256).where(
    PROCEDURES.c.brewery == bindparam("brewery"),
    PROCEDURES.c.id == bindparam("id"),
    PROCEDURES.c.version == bindparam("version"),
)
FOLDED = (
    "opened", "closed", "procedure", "version", "vessel", "gyle", "draws", "recipe", "recipe_version", "status",
    "core", "digest", "state", "summary", "deviations", "contested", "unreviewed",
    "kind", "opener", "closer", "review", "answered", "found", "struck", "stop", "advise", "late", "clock", "paper",
    "unproved", "short",
)  # fmt: skip
KEEP_FOLDED = (
    update(RUNS)
    .where(
        RUNS.c.brewery == bindparam("at_brewery"),
        RUNS.c.id == bindparam("at_run"),
        RUNS.c.last == bindparam("at_last"),
    )
    .values(
        stale=False,
        **dict.fromkeys(("fault_code", "fault_text", "fault_at", "fault_core")),
        **{name: bindparam(name) for name in FOLDED},
    )
)
DIGESTS = select(RUNS.c.id, RUNS.c.digest).where(
    RUNS.c.brewery == bindparam("brewery"),
    RUNS.c.id.in_(bindparam("runs", expanding=True)),
    RUNS.c.stale.is_(False),
)

# What a device pulls.
_run_of = and_(RUNS.c.brewery == LOG.c.brewery, RUNS.c.id == LOG.c.run)
_window = and_(_stored, LOG.c.sequence > bindparam("cursor"), LOG.c.sequence <= bindparam("last"))
_kept = or_(LOG.c.run.is_(None), RUNS.c.closed.is_(None), RUNS.c.closed >= bindparam("since"))
FEED = (
    select(*_event, _kept.label("kept"))
    .select_from(LOG.outerjoin(RUNS, _run_of))
    .where(
        _window,
        or_(_kept, LOG.c.recorded >= bindparam("since")),
        LOG.c.sequence.not_in(bindparam("pushed", expanding=True)),
    )
    .order_by(LOG.c.sequence)
    .limit(bindparam("most"))
)
PASSED_OVER = (
    select(LOG.c.run)
    .select_from(LOG.join(RUNS, _run_of))
    .where(_window, RUNS.c.closed < bindparam("since"), LOG.c.recorded < bindparam("since"))
    .distinct()
)
WHOLE_RUNS = select(*_event).where(_stored, LOG.c.run.in_(bindparam("runs", expanding=True)))


def execute(statement: Executable, parameters: Any = None) -> CursorResult[*tuple[Any, ...]]:
    """Run a statement in the session's own transaction."""
    return db.session.connection().execute(statement, parameters)
