"""An independent reading of a device's chain: RFC 8785, SHA-256 and ES256 from PyPI's libraries."""

import base64
import hashlib
from typing import Any

import rfc8785
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import encode_dss_signature
from cryptography.hazmat.primitives.hashes import SHA256

Event = dict[str, Any]
ZERO = "0" * 64


def _bytes(text: str) -> bytes:
    return base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))


def public_key(jwk: dict[str, str]) -> ec.EllipticCurvePublicKey:
    """The key of a JWK (RFC 7518 section 6.2.1)."""
    x, y = (int.from_bytes(_bytes(jwk[part]), "big") for part in ("x", "y"))
    return ec.EllipticCurvePublicNumbers(x, y, ec.SECP256R1()).public_key()


def hash_of(event: Event) -> str:
    """The hash that chains: canonical bytes with the signature, without the server's two attributes."""
    kept = {name: value for name, value in event.items() if name not in ("sequence", "recordedtime")}
    return hashlib.sha256(rfc8785.dumps(kept)).hexdigest()


def check_signature(event: Event, jwk: dict[str, str]) -> None:
    """cryptography's InvalidSignature when the device did not sign these bytes."""
    raw = _bytes(event["signature"])
    assert len(raw) == 64
    der = encode_dss_signature(int.from_bytes(raw[:32], "big"), int.from_bytes(raw[32:], "big"))
    unsigned = {
        name: value for name, value in event.items() if name not in ("signature", "sequence", "recordedtime")
    }
    public_key(jwk).verify(der, rfc8785.dumps(unsigned), ec.ECDSA(SHA256()))


def check_chain(events: list[Event], jwk: dict[str, str]) -> None:
    """Numbers gapless from 1, each event signed and holding the hash of the one before, clocks never back."""
    chain = sorted(events, key=lambda event: event["number"])
    assert [event["number"] for event in chain] == list(range(1, len(chain) + 1))
    previous, clock = ZERO, ""
    for event in chain:
        assert event["prevhash"] == previous
        assert event["hlc"] > clock
        check_signature(event, jwk)
        previous, clock = hash_of(event), event["hlc"]


def digest_of(events: list[Event]) -> str:
    """A run's digest as the records page defines it."""
    return hashlib.sha256("".join(sorted(hash_of(event) for event in events)).encode()).hexdigest()
