"""A client written from the contract alone: it enrols, signs, chains, pushes and pulls.

It uses none of the product's code: canonical JSON is the `rfc8785` library's, keys and signatures are
`cryptography`'s, calls are `requests`'.
"""

import base64
import gzip
import hashlib
import json
import os
import time
import uuid
from datetime import UTC, datetime
from typing import Any

import requests
import rfc8785
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import decode_dss_signature

ZERO = "0" * 64
START = "0" * 16
Event = dict[str, Any]


def b64(data: bytes) -> str:
    """Unpadded base64url."""
    return base64.urlsafe_b64encode(data).rstrip(b"=").decode()


def uuid7() -> str:
    """A UUIDv7 of now."""
    raw = bytearray(int(time.time() * 1000).to_bytes(6, "big") + os.urandom(10))
    raw[6] = raw[6] & 0x0F | 0x70
    raw[8] = raw[8] & 0x3F | 0x80
    return str(uuid.UUID(bytes=bytes(raw)))


def instant(ms: int) -> str:
    """RFC 3339, UTC, milliseconds."""
    return datetime.fromtimestamp(ms / 1000, UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def hash_of(event: Event) -> str:
    """SHA-256 over the canonical bytes, signature in, the server's attributes out; `redacted` where it has one."""
    if "redacted" in event:
        return str(event["redacted"])
    kept = {key: value for key, value in event.items() if key not in ("sequence", "recordedtime")}
    return hashlib.sha256(rfc8785.dumps(kept)).hexdigest()


def digest_of(events: list[Event]) -> str:
    """The digest of a run: SHA-256 over its events' hashes, sorted and joined."""
    return hashlib.sha256("".join(sorted(hash_of(event) for event in events)).encode()).hexdigest()


class Key:
    """A P-256 key that signs events."""

    def __init__(self) -> None:
        self._private = ec.generate_private_key(ec.SECP256R1())
        numbers = self._private.public_key().public_numbers()
        self.jwk = {
            "kty": "EC",
            "crv": "P-256",
            "x": b64(numbers.x.to_bytes(32, "big")),
            "y": b64(numbers.y.to_bytes(32, "big")),
        }

    def sign(self, event: Event) -> Event:
        """The event with its signature."""
        bare = {key: value for key, value in event.items() if key != "signature"}
        r, s = decode_dss_signature(self._private.sign(rfc8785.dumps(bare), ec.ECDSA(hashes.SHA256())))
        return {**bare, "signature": b64(r.to_bytes(32, "big") + s.to_bytes(32, "big"))}


class Phone:
    """An enrolled device with its own chain."""

    def __init__(
        self, url: str, code: str, name: str = "outside phone", *, verify: str | bool = True
    ) -> None:
        """`verify` is the file of root certificates to trust, where the usual ones are not enough."""
        self.url = url
        self.http = requests.Session()
        self.http.verify = verify
        self.http.trust_env = verify is True  # the environment may name other roots
        self.key = Key()
        answer = self.post("/api/devices", {"code": code, "name": name, "key": self.key.jwk})
        assert answer.status_code == 201, answer.text
        self.enrolled = answer.json()
        self.id = self.enrolled["device"]
        self.number = 0
        self.prevhash = ZERO
        self.cursor = START
        self.pulled: list[Event] = []

    def post(self, path: str, body: Any, **headers: str) -> requests.Response:
        """POST JSON."""
        return self.send(path, json.dumps(body).encode(), **headers)

    def send(self, path: str, data: bytes, *, method: str = "POST", **headers: str) -> requests.Response:
        """Send bytes as JSON."""
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        return self.http.request(
            method,
            self.url + path,
            data=data,
            headers={"Content-Type": "application/json", **named},
            timeout=60,
        )

    def sign_in(self, person: str, pin: str) -> None:
        """Give a person's PIN on this phone, so that what it pushes in their name is proved."""
        answer = self.post("/api/session", {"person": person, "pin": pin})
        assert answer.status_code == 200, answer.text

    def get(self, path: str, **query: Any) -> requests.Response:
        """GET."""
        return self.http.get(self.url + path, params=query, timeout=60)

    def draft(self, run: str, kind: str = "note.added", data: Event | None = None, **changes: Any) -> Event:
        """The next event of the chain, unsigned and not yet counted."""
        now = int(time.time() * 1000)
        return {
            "specversion": "1.0",
            "id": uuid7(),
            "source": f"/devices/{self.id}",
            "type": kind,
            "subject": f"/runs/{run}",
            "time": instant(now),
            "person": "bern",
            "hlc": f"{now:012x}-{self.number % 65536:04x}",
            "seen": self.cursor,
            "number": self.number + 1,
            "data": {"text": f"note {self.number + 1}"} if data is None else data,
            "prevhash": self.prevhash,
            **changes,
        }

    def make(self, run: str, kind: str = "note.added", data: Event | None = None, **changes: Any) -> Event:
        """The next event of the chain, signed."""
        event = self.key.sign(self.draft(run, kind, data, **changes))
        self.number, self.prevhash = self.number + 1, hash_of(event)
        return event

    def exchange(self, events: list[Any] | None = None, **more: Any) -> requests.Response:
        """One round trip."""
        body = {"cursor": self.cursor, "clock": instant(int(time.time() * 1000)), **more}
        if events is not None:
            body["events"] = events
        return self.post("/api/sync", body)

    def push(self, events: list[Any], **more: Any) -> list[dict[str, str]]:
        """The results of pushing `events`, the cursor left where it is."""
        answer = self.exchange(events, **more)
        assert answer.status_code == 200, answer.text
        results: list[dict[str, str]] = answer.json()["results"]
        return results

    def gzipped(self, body: Any) -> requests.Response:
        """One round trip with a gzipped body."""
        return self.send("/api/sync", gzip.compress(json.dumps(body).encode()), Content_Encoding="gzip")

    def pull(self, limit: int = 500) -> list[Event]:
        """Pull all there is; the events, in the order they came."""
        fresh: list[Event] = []
        more = True
        while more:
            answer = self.exchange(limit=limit).json()
            assert answer["cursor"] >= self.cursor
            fresh += answer["events"]
            self.cursor, more = answer["cursor"], answer["more"]
        self.pulled += fresh
        return fresh


def new_run() -> str:
    """The id of a run nobody has."""
    return uuid7()
