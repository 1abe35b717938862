"""Which phones take notices: one subscription a phone, told anew by it whenever the app starts."""

import binascii
import ipaddress
import re
from dataclasses import dataclass
from urllib.parse import urlsplit

from cryptography.hazmat.primitives.asymmetric import ec
from sqlalchemy import delete, select

from vesselside.store.base.db import db, writing
from vesselside.store.base.faults import FieldsError
from vesselside.store.base.models import Person
from vesselside.store.base.notified import Delivery, Subscription
from vesselside.store.log.signing import decoded
from vesselside.store.notices.due import KINDS

KEY_BYTES = 65
AUTH_BYTES = 16
_BASE64URL = re.compile(r"[A-Za-z0-9_-]+")


class SubscriptionError(FieldsError):
    """A subscription that nothing could be sent to."""


@dataclass(frozen=True)
class Wanted:
    """What a browser's subscription says (Push API), of which kinds, and quiet hours [min]: of the day, east of UTC."""

    endpoint: str
    key: str
    auth: str
    kinds: tuple[str, ...]
    person: str | None = None
    quiet: dict[str, int] | None = None


def keep(brewery: str, device: str, wanted: Wanted, *, service: str, now: int) -> None:
    """Keep what a phone wants instead of what it wanted before. SubscriptionError when nothing could be sent to it."""
    faults = _faults(brewery, wanted, service)
    if faults:
        raise SubscriptionError(faults)
    with writing(brewery) as session:
        held = session.get(Subscription, (brewery, device))
        same = held is not None and held.endpoint == wanted.endpoint and held.person == wanted.person
        session.merge(
            Subscription(
                brewery=brewery,
                device=device,
                person=wanted.person,
                endpoint=wanted.endpoint,
                key=wanted.key,
                auth=wanted.auth,
                kinds=sorted(set(wanted.kinds)),
                quiet=wanted.quiet,
                since=held.since if held is not None and same else now,
            )
        )


def drop(brewery: str, device: str) -> None:
    """Send a phone nothing more."""
    with writing(brewery) as session:
        for table in (Delivery, Subscription):
            session.execute(delete(table).where(table.brewery == brewery, table.device == device))


def _faults(brewery: str, wanted: Wanted, service: str) -> list[dict[str, str]]:
    faults = []
    if not sendable(wanted.endpoint, service):
        faults.append({"field": "endpoint", "text": "It must be the https address of a push service."})
    if not _is_point(wanted.key):
        faults.append({"field": "p256dh", "text": "It must be a point of P-256, 65 bytes in base64url."})
    if len(_bytes(wanted.auth)) != AUTH_BYTES:
        faults.append({"field": "auth", "text": "It must be 16 bytes in base64url."})
    faults += [
        {"field": "kinds", "text": f"There is no kind of notice {kind}."}
        for kind in wanted.kinds
        if kind not in KINDS
    ]
    if wanted.person is not None:
        query = select(Person.id).where(Person.brewery == brewery, Person.id == wanted.person)
        if db.session.execute(query.where(Person.status == "active")).first() is None:
            faults.append({"field": "person", "text": "Nobody of that id works here."})
    return faults


def sendable(endpoint: str, service: str) -> bool:
    """Whether an endpoint may be sent to: over https and no bare address, or at the brewery's own push `service`."""
    try:
        parts = urlsplit(endpoint)
        host, port = parts.hostname or "", parts.port
    except ValueError:
        return False
    if service and f"{parts.scheme}://{parts.netloc}" == service:
        return True
    return parts.scheme == "https" and port in (None, 443) and "." in host and not _is_address(host)


def _is_address(host: str) -> bool:
    try:
        ipaddress.ip_address(host)
    except ValueError:
        return False
    return True


def _bytes(text: str) -> bytes:
    bare = text.rstrip("=")
    if not _BASE64URL.fullmatch(bare):
        return b""
    try:
        return decoded(bare)
    except (binascii.Error, ValueError):
        return b""


def _is_point(text: str) -> bool:
    raw = _bytes(text)
    if len(raw) != KEY_BYTES:
        return False
    try:
        ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), raw)
    except ValueError:
        return False
    return True
