"""The shipped vector of the envelope, re-derived: canonical bytes, hashes, chain, signatures, digest."""

import base64
import hashlib
import json
from pathlib import Path

import pytest
import rfc8785
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import encode_dss_signature

from vesselside.core.run import events

VECTOR = json.loads((Path(__file__).parent / "envelope.json").read_text(encoding="utf-8"))


def number(text):
    return int.from_bytes(base64.urlsafe_b64decode(text + "=="), "big")


def verify(event):
    key = ec.EllipticCurvePublicNumbers(
        number(VECTOR["key"]["x"]), number(VECTOR["key"]["y"]), ec.SECP256R1()
    ).public_key()
    raw = base64.urlsafe_b64decode(event["signature"] + "==")
    signature = encode_dss_signature(int.from_bytes(raw[:32], "big"), int.from_bytes(raw[32:], "big"))
    key.verify(
        signature,
        rfc8785.dumps({k: v for k, v in event.items() if k != "signature"}),
        ec.ECDSA(hashes.SHA256()),
    )


@pytest.mark.parametrize("row", VECTOR["events"], ids=lambda row: row["event"]["type"])
def test_bytes_hash_and_signature_are_as_published(row):
    assert rfc8785.dumps(row["event"]).hex() == row["bytes"]
    assert hashlib.sha256(bytes.fromhex(row["bytes"])).hexdigest() == row["hash"]
    verify(row["event"])
    assert events.check(row["event"]) == []


def test_each_names_the_one_before():
    before = "0" * 64
    for place, row in enumerate(VECTOR["events"], 1):
        assert (row["event"]["number"], row["event"]["prevhash"]) == (place, before)
        before = row["hash"]


def test_the_digest_is_over_the_sorted_hashes():
    joined = "".join(sorted(row["hash"] for row in VECTOR["events"]))
    assert hashlib.sha256(joined.encode()).hexdigest() == VECTOR["digest"]


@pytest.mark.parametrize(
    "attribute",
    ["id", "time", "person", "hlc", "seen", "number", "prevhash", "type", "subject", "source", "data"],
)
def test_a_changed_attribute_breaks_the_signature(attribute):
    event = dict(VECTOR["events"][1]["event"])
    changed = {"number": 9, "data": {}}.get(attribute, f"{event[attribute]}0")
    event[attribute] = changed
    with pytest.raises(InvalidSignature):
        verify(event)


def test_published_canonical_json_vectors():
    # RFC 8785 reference data (cyberphone/json-canonicalization, testdata): arrays and unicode.
    assert rfc8785.dumps([56, {"d": True, "10": None, "1": []}]).hex() == (
        "5b35362c7b2231223a5b5d2c223130223a6e756c6c2c2264223a747275657d5d"
    )
    assert rfc8785.dumps({"Unnormalized Unicode": "A\u030a"}).hex() == (
        "7b22556e6e6f726d616c697a656420556e69636f6465223a2241cc8a227d"
    )
