"""A demo phone: its key, its count and its chain, as a real one has them."""

import base64
import hashlib
import os
import uuid
from typing import Any

import rfc8785
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import decode_dss_signature

from .moments import time_text

Event = dict[str, Any]


class Device:
    """Makes signed, chained events; `id` is given by the server on enrolling, before the first event."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.id = ""
        self.seen = "0" * 16
        self._key = ec.generate_private_key(ec.SECP256R1())
        self._number = 0
        self._before = "0" * 64
        self._stamp = (0, 0)

    @property
    def jwk(self) -> dict[str, str]:
        """The public key, as sent on enrolling."""
        point = self._key.public_key().public_numbers()
        x, y = (_base64url(value.to_bytes(32, "big")) for value in (point.x, point.y))
        return {"kty": "EC", "crv": "P-256", "x": x, "y": y}

    def event(self, kind: str, run: str, person: str, data: dict[str, Any], at: int) -> Event:
        """The next event of this phone, made at `at` [ms]."""
        self._number += 1
        self._stamp = max((at, 0), (self._stamp[0], self._stamp[1] + 1))
        event: Event = {
            "specversion": "1.0",
            "id": uuid7(at),
            "source": f"/devices/{self.id}",
            "type": kind,
            "subject": f"/runs/{run}",
            "time": time_text(at),
            "person": person,
            "hlc": f"{self._stamp[0]:012x}-{self._stamp[1]:04x}",
            "seen": self.seen,
            "number": self._number,
            "data": data,
            "prevhash": self._before,
        }
        r, s = decode_dss_signature(self._key.sign(rfc8785.dumps(event), ec.ECDSA(hashes.SHA256())))
        event["signature"] = _base64url(r.to_bytes(32, "big") + s.to_bytes(32, "big"))
        self._before = hash_of(event)
        return event


def hash_of(event: Event) -> str:
    """SHA-256 (hex) of an event's canonical bytes, its signature included."""
    return hashlib.sha256(rfc8785.dumps(event)).hexdigest()


def digest_of(events: list[Event]) -> str:
    """The digest of a run: SHA-256 over its events' hashes, sorted and joined."""
    return hashlib.sha256("".join(sorted(hash_of(event) for event in events)).encode("ascii")).hexdigest()


def uuid7(at: int) -> str:
    """A UUIDv7 (RFC 9562 §5.7) of the time `at` [ms]."""
    value = (
        at << 80 | 0x7 << 76 | (int.from_bytes(os.urandom(10), "big") & ~(0xF << 76 | 0x3 << 62)) | 0x2 << 62
    )
    return str(uuid.UUID(int=value))


def _base64url(data: bytes) -> str:
    return base64.urlsafe_b64encode(data).rstrip(b"=").decode("ascii")
