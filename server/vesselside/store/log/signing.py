"""Canonical bytes, hashes, keys and signatures of events.

Canonical bytes are RFC 8785; a hash is SHA-256 over them with the signature in; a signature is ES256 (RFC 7518
§3.4: r ‖ s, 64 bytes, unpadded base64url) over them with the signature out.
"""

import base64
import hashlib
import json
import os
import re
import uuid
from collections.abc import Iterable
from functools import lru_cache
from pathlib import Path
from typing import Any

import rfc8785
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import decode_dss_signature, encode_dss_signature

from vesselside.settings import kept_secret

ZERO = "0" * 64
_ES256 = ec.ECDSA(hashes.SHA256())
_COORDINATE = re.compile(r"[A-Za-z0-9_-]{43}")
_SIGNATURE = re.compile(r"[A-Za-z0-9_-]{86}")
_encode = json.JSONEncoder(ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode
_SERVERS_OWN = ("sequence", "recordedtime", "redacted")

Jwk = dict[str, Any]


class JwkError(ValueError):
    """A JWK that is no public P-256 key."""


def canonical(value: Any) -> bytes:
    """The RFC 8785 bytes of `value`."""
    return rfc8785.dumps(value)


def sha256(data: bytes) -> str:
    """SHA-256 in lower-case hex."""
    return hashlib.sha256(data).hexdigest()


def digest_of(hashes: Iterable[str]) -> str:
    """The digest of a run: SHA-256 (hex) over its event hashes (hex), sorted and joined."""
    return sha256("".join(sorted(hashes)).encode("ascii"))


def stripped(event: dict[str, Any]) -> dict[str, Any]:
    """The event without the attributes that only the server sets."""
    return {key: value for key, value in event.items() if key not in _SERVERS_OWN}


def parts(event: dict[str, Any]) -> tuple[bytes, bytes]:
    """The canonical bytes (whole, signed): with the signature, and without it as it was signed.

    Members sort by name, so both are the same text but for one member in the middle: it is written once. The event
    must be one that can be stored: its numbers are whole.
    """
    before = {key: value for key, value in event.items() if key < "signature"}
    after = {key: value for key, value in event.items() if key > "signature"}
    head, tail = _whole_numbers(before)[1:-1], _whole_numbers(after)[1:-1]
    member = _whole_numbers({"signature": event["signature"]})[1:-1] if "signature" in event else b""
    return _joined(head, member, tail), _joined(head, tail)


def _whole_numbers(value: dict[str, Any]) -> bytes:
    """The RFC 8785 bytes of a value without fractions.

    Python's own encoder, ten times as fast, differs from the standard only in how it writes fractions and in the
    order of keys beyond the Basic Multilingual Plane; ASCII text has neither.
    """
    text = _encode(value)
    return text.encode("ascii") if text.isascii() else canonical(value)


def _joined(*members: bytes) -> bytes:
    return b"{" + b",".join(member for member in members if member) + b"}"


def encoded(data: bytes) -> str:
    """Unpadded base64url (RFC 7515)."""
    return base64.urlsafe_b64encode(data).rstrip(b"=").decode("ascii")


def decoded(text: str) -> bytes:
    """The bytes of unpadded base64url."""
    return base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))


def public_jwk(jwk: object) -> Jwk:
    """The public members of a P-256 JWK that was sent; JwkError says what is wrong with it."""
    if not isinstance(jwk, dict):
        raise JwkError("The key is not a JWK object.")
    if jwk.get("kty") != "EC" or jwk.get("crv") != "P-256":
        raise JwkError("The key must be of kty EC and crv P-256.")
    if "d" in jwk:
        raise JwkError("This is a private key. It must never leave the phone; make a new one.")
    for name in ("x", "y"):
        if not isinstance(jwk.get(name), str) or not _COORDINATE.fullmatch(jwk[name]):
            raise JwkError(f"The key's {name} must be 32 bytes in unpadded base64url.")
    public = {name: jwk[name] for name in ("kty", "crv", "x", "y")}
    try:
        _key(public["x"], public["y"])
    except ValueError as error:
        raise JwkError("The key is not a point of P-256.") from error
    return public


def is_jwk(value: object) -> bool:
    """Whether a value is a public P-256 JWK."""
    try:
        public_jwk(value)
    except JwkError:
        return False
    return True


def thumbprint(jwk: Jwk) -> str:
    """The RFC 7638 thumbprint of a public P-256 JWK."""
    return encoded(hashlib.sha256(canonical({name: jwk[name] for name in ("kty", "crv", "x", "y")})).digest())


@lru_cache(maxsize=1024)
def _key(x: str, y: str) -> ec.EllipticCurvePublicKey:
    numbers = ec.EllipticCurvePublicNumbers(
        int.from_bytes(decoded(x), "big"), int.from_bytes(decoded(y), "big"), ec.SECP256R1()
    )
    return numbers.public_key()


def verified(jwk: Jwk, signature: object, signed: bytes) -> bool:
    """Whether `signature` is one over `signed` by the key `jwk`."""
    if not isinstance(signature, str) or not _SIGNATURE.fullmatch(signature):
        return False
    raw = decoded(signature)
    if encoded(raw) != signature:
        return False
    r, s = int.from_bytes(raw[:32], "big"), int.from_bytes(raw[32:], "big")
    if not r or not s:
        return False
    try:
        _key(jwk["x"], jwk["y"]).verify(encode_dss_signature(r, s), signed, _ES256)
    except InvalidSignature:
        return False
    return True


class ServerKey:
    """The server's own P-256 key, kept in the data folder and readable by its owner only."""

    def __init__(self, folder: Path) -> None:
        pem = kept_secret(folder / "server-key.pem", _new_pem)
        key = serialization.load_pem_private_key(pem.encode("ascii"), password=None)
        if not isinstance(key, ec.EllipticCurvePrivateKey):
            raise JwkError("server-key.pem holds no elliptic-curve key.")
        self._key = key
        numbers = key.public_key().public_numbers()
        x, y = (encoded(value.to_bytes(32, "big")) for value in (numbers.x, numbers.y))
        self.jwk: Jwk = {"kty": "EC", "crv": "P-256", "x": x, "y": y}

    def sign(self, data: bytes) -> str:
        """An ES256 signature over `data`."""
        r, s = decode_dss_signature(self._key.sign(data, _ES256))
        return encoded(r.to_bytes(32, "big") + s.to_bytes(32, "big"))


def _new_pem() -> str:
    key = ec.generate_private_key(ec.SECP256R1())
    return key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    ).decode("ascii")


def uuid7(now: int) -> str:
    """A UUIDv7 (RFC 9562) of the time `now` [ms]."""
    value = (now & (2**48 - 1)) << 80 | 0x7 << 76 | int.from_bytes(os.urandom(10), "big")
    value = value & ~(0xF << 76 | 0b11 << 62) | 0x7 << 76 | 0b10 << 62
    return str(uuid.UUID(int=value))


def loaded(body: bytes) -> dict[str, Any]:
    """The event whose canonical bytes are `body`."""
    event: dict[str, Any] = json.loads(body)
    return event
