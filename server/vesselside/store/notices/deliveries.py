"""Who was told what: each notice goes to each phone that wants it once, however many processes send.

The rows are the queue, so that nothing is lost with a process: what one took and never answered for is another's after
`LEASE_MS`. Push services hold at most one message of a name (`topic`), and a phone shows at most one (`tag`), so what a
killed process had just handed over is not shown twice.
"""

import hashlib
from dataclasses import dataclass
from typing import Any

from sqlalchemy import and_, delete, select, update

from vesselside.core.run.authority import outranks
from vesselside.core.run.events import ROLES
from vesselside.store.base.db import Sessions, db, writing
from vesselside.store.base.models import Device, Person
from vesselside.store.base.notified import Delivery, Notice, Subscription
from vesselside.store.log.signing import encoded
from vesselside.store.notices.due import Found

DAY_MS = 86_400_000
MINUTE_MS = 60_000
LEASE_MS = 20_000
AT_ONCE = 20
MOST_TRIES = 8
LEAST_WAIT_MS, MOST_WAIT_MS = 5_000, 30 * MINUTE_MS
KEPT_MS = 30 * DAY_MS
"""How long it is remembered what was told."""


@dataclass(frozen=True)
class Sending:
    """A notice on its way to one phone, worth telling `until` then [ms].

    `notice` is its name, of 32 letters of base64url: as many as a push service takes for a topic (RFC 8030 §5.4).
    """

    notice: str
    device: str
    kind: str
    endpoint: str
    key: str
    auth: str
    content: dict[str, Any]
    until: int
    tries: int


def anyone(brewery: str) -> bool:
    """Whether any phone takes notices."""
    return db.session.execute(select(Subscription.device).where(*_live(brewery)).limit(1)).first() is not None


def _live(brewery: str) -> tuple[Any, ...]:
    """Subscriptions of phones that are still enrolled."""
    enrolled = select(Device.id).where(Device.brewery == brewery, Device.revoked.is_(None))
    return Subscription.brewery == brewery, Subscription.device.in_(enrolled)


def take_up(brewery: str, found: list[Found], *, now: int) -> None:
    """Put what is new before the phones that want it, and let go of what is so no more."""
    named = {name_of(one): one for one in found}
    known = select(Notice.id).where(Notice.brewery == brewery)
    held = set(db.session.execute(known).scalars())
    over = set(db.session.execute(known.where(Notice.ended.is_(False))).scalars()) - set(named)
    again = set(db.session.execute(known.where(Notice.ended)).scalars()) & set(named)
    fresh = [name for name in named if name not in held]
    if not over and not again and not fresh:
        return
    with writing(brewery) as session:
        wanting = _wanting(session, brewery)
        for name in fresh:
            _add(session, brewery, name, named[name], wanting, now)
        for names, ended in ((over, True), (again, False)):
            session.execute(
                update(Notice).where(Notice.brewery == brewery, Notice.id.in_(names)).values(ended=ended)
            )
        _forget(session, brewery, now)


def name_of(one: Found) -> str:
    """The short name of something to tell, by kind and name."""
    return encoded(hashlib.sha256(f"{one.kind} {one.name}".encode()).digest()[:24])


def _wanting(session: Sessions, brewery: str) -> list[tuple[Subscription, str | None]]:
    """What live phones want, and the role of whoever holds each; nobody who has left is told anything."""
    people = select(Person.id, Person.role, Person.status).where(Person.brewery == brewery)
    held = {row.id: row.role if row.status == "active" else None for row in session.execute(people)}
    rows = session.execute(select(Subscription).where(*_live(brewery))).scalars()
    wanting = [(row, held.get(row.person) if row.person else ROLES[0]) for row in rows]
    return [(row, role) for row, role in wanting if role is not None]


def _add(
    session: Sessions,
    brewery: str,
    name: str,
    one: Found,
    wanting: list[tuple[Subscription, str | None]],
    now: int,
) -> None:
    content = {"kind": one.kind, "open": list(one.address), "about": one.about}
    session.add(Notice(brewery=brewery, id=name, kind=one.kind, content=content, at=one.at, until=one.until))
    session.flush()
    if one.until <= now:
        return  # it came too late to be news
    for row, role in wanting:
        mine = (one.devices is None or row.device in one.devices) and outranks(role, one.least)
        own = one.but is not None and row.person == one.but
        if one.kind in row.kinds and mine and not own and one.at >= row.since:
            session.add(
                Delivery(brewery=brewery, notice=name, device=row.device, due=waking(row.quiet, now), tries=0)
            )


def waking(quiet: dict[str, int] | None, now: int) -> int:
    """`now`, or when the quiet hours end in which it lies [ms]."""
    if quiet is None or quiet["from"] == quiet["to"]:
        return now
    minute = (now // MINUTE_MS + quiet["offset"]) % 1440
    length, into = (quiet["to"] - quiet["from"]) % 1440, (minute - quiet["from"]) % 1440
    return now if into >= length else (now // MINUTE_MS + length - into) * MINUTE_MS


def _forget(session: Sessions, brewery: str, now: int) -> None:
    old = select(Notice.id).where(Notice.brewery == brewery, Notice.ended, Notice.until < now - KEPT_MS)
    session.execute(delete(Delivery).where(Delivery.brewery == brewery, Delivery.notice.in_(old)))
    session.execute(
        delete(Notice).where(Notice.brewery == brewery, Notice.ended, Notice.until < now - KEPT_MS)
    )


def claim(brewery: str, *, now: int) -> list[Sending]:
    """Take what is to be sent now; nobody else sends it for a while. What is no news any more is given up."""
    waiting = (Delivery.brewery == brewery, Delivery.due.is_not(None), Delivery.due <= now)
    if db.session.execute(select(Delivery.notice).where(*waiting).limit(1)).first() is None:
        return []
    taken = []
    with writing(brewery) as session:
        rows = session.execute(
            select(Delivery, Notice, Subscription)
            .join(Notice, (Notice.brewery == brewery) & (Notice.id == Delivery.notice))
            .join(
                Subscription,
                and_(*_live(brewery), Subscription.device == Delivery.device),
                isouter=True,
            )
            .where(*waiting)
            .order_by(Delivery.due)
            .limit(AT_ONCE)
        ).all()
        for delivery, notice, subscription in rows:
            if subscription is None or notice.ended or notice.until <= now:
                delivery.due, delivery.outcome = None, "dropped"
                continue
            delivery.due, delivery.tries = now + LEASE_MS, delivery.tries + 1
            taken.append(
                Sending(
                    notice=notice.id,
                    device=delivery.device,
                    kind=notice.kind,
                    endpoint=subscription.endpoint,
                    key=subscription.key,
                    auth=subscription.auth,
                    content=notice.content,
                    until=notice.until,
                    tries=delivery.tries,
                )
            )
    return taken


def sent(brewery: str, sending: Sending) -> None:
    """It was taken by the push service."""
    _settle(brewery, sending, None, "sent")


def refused(brewery: str, sending: Sending) -> None:
    """It will never be taken."""
    _settle(brewery, sending, None, "refused")


def put_off(brewery: str, sending: Sending, *, now: int, seconds: int | None = None) -> None:
    """It could not be sent now: later, twice as long each time or as the push service asks, and at last no more."""
    wait = MINUTE_MS * 2 ** (sending.tries - 1) // 2 if seconds is None else seconds * 1000
    if sending.tries >= MOST_TRIES:
        _settle(brewery, sending, None, "given-up")
    else:
        _settle(brewery, sending, now + min(max(wait, LEAST_WAIT_MS), MOST_WAIT_MS), None)


def gone(brewery: str, sending: Sending) -> None:
    """The browser takes nothing there any more: unless it has said anew where, it wants nothing."""
    with writing(brewery) as session:
        mine = (Subscription.brewery == brewery, Subscription.device == sending.device)
        session.execute(delete(Subscription).where(*mine, Subscription.endpoint == sending.endpoint))
    _settle(brewery, sending, None, "gone")


def _settle(brewery: str, sending: Sending, after: int | None, outcome: str | None) -> None:
    with writing(brewery) as session:
        session.execute(
            update(Delivery)
            .where(
                Delivery.brewery == brewery,
                Delivery.notice == sending.notice,
                Delivery.device == sending.device,
            )
            .values(due=after, outcome=outcome)
        )
