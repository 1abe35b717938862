"""Writes `envelope.json`: a key, three chained events, their canonical bytes, hashes and signatures.

`python -m tests.vectors.make_envelope`. The key is for tests only; signing is deterministic (RFC 6979).
"""

import base64
import hashlib
import json
from pathlib import Path

import rfc8785
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import decode_dss_signature

SCALAR = int.from_bytes(hashlib.sha256(b"vesselside envelope vector").digest(), "big")
DEVICE, RUN = "vector-phone", "019b0000-0000-7000-8000-000000000001"


def base64url(raw):
    return base64.urlsafe_b64encode(raw).rstrip(b"=").decode()


def signed(key, event):
    signature = key.sign(rfc8785.dumps(event), ec.ECDSA(hashes.SHA256(), deterministic_signing=True))
    r, s = decode_dss_signature(signature)
    return {**event, "signature": base64url(r.to_bytes(32, "big") + s.to_bytes(32, "big"))}


DATA = [
    (
        "run.opened",
        {
            "procedure": "fermenter-caustic-clean",
            "version": 1,
            "sha256": "5a" * 32,
            "vessel": "fv1",
            "inputs": {"charge-volume": "120"},
        },
    ),
    (
        "entry.made",
        {
            "step": "strength-start",
            "field": "free",
            "value": "2.05",
            "typed": "2,05",
            "unit": "% w/v",
            "how": "keyed",
            "verdict": "target",
            "core": "1",
            "over": [],
        },
    ),
    ("note.added", {"text": "Gauge read 0,00 \u2014 vent open; \u00b5S/cm \U0001f527"}),
]


def main():
    key = ec.derive_private_key(SCALAR, ec.SECP256R1())
    numbers = key.public_key().public_numbers()
    before, rows = "0" * 64, []
    for index, (kind, data) in enumerate(DATA):
        event = {
            "specversion": "1.0",
            "id": f"019b0000-0000-7000-8000-00000000010{index}",
            "source": f"/devices/{DEVICE}",
            "type": kind,
            "subject": f"/runs/{RUN}",
            "time": f"2026-11-25T05:40:0{index}.000Z",
            "person": "bay",
            "hlc": f"{1795585200000 + index * 1000:012x}-0000",
            "seen": "0000000000000007",
            "number": index + 1,
            "data": data,
            "prevhash": before,
        }
        event = signed(key, event)
        raw = rfc8785.dumps(event)
        before = hashlib.sha256(raw).hexdigest()
        unsigned = rfc8785.dumps({name: event[name] for name in event if name != "signature"})
        rows.append({"event": event, "signed_bytes": unsigned.hex(), "bytes": raw.hex(), "hash": before})
    vector = {
        "key": {
            "kty": "EC",
            "crv": "P-256",
            "x": base64url(numbers.x.to_bytes(32, "big")),
            "y": base64url(numbers.y.to_bytes(32, "big")),
        },
        "private": base64url(SCALAR.to_bytes(32, "big")),
        "events": rows,
        "digest": hashlib.sha256("".join(sorted(row["hash"] for row in rows)).encode()).hexdigest(),
    }
    path = Path(__file__).parent / "envelope.json"
    path.write_text(json.dumps(vector, indent=1, ensure_ascii=True) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
