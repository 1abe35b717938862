"""Verify the chain of a run from what the server answers, with none of the product's code.

    python tests/outside/chain.py URL COOKIE RUN

asks `GET /api/runs/<run>` and `GET /api/reference` with the device's cookie, then checks every event: its
signature by its device's key, its predecessor's hash wherever both are in the run, and the run's digest. It prints
`ok` with the number of events, or the id of the first event that fails and why. Of a record that something was taken
out of only its kept hash, `redacted`, can be checked; that the server signed the redaction is for `verify`.
"""

import base64
import hashlib
import sys
from typing import Any

import requests
import rfc8785
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import encode_dss_signature

Event = dict[str, Any]
ZERO = "0" * 64


class BrokenError(Exception):
    """Something does not verify: where, and why."""

    def __init__(self, event: str, why: str) -> None:
        super().__init__(f"{event} {why}")
        self.event, self.why = event, why


def _bytes(text: str) -> bytes:
    return base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))


def _key(jwk: dict[str, str]) -> ec.EllipticCurvePublicKey:
    x, y = (int.from_bytes(_bytes(jwk[name]), "big") for name in ("x", "y"))
    return ec.EllipticCurvePublicNumbers(x, y, ec.SECP256R1()).public_key()


def _hash(event: Event) -> str:
    if "redacted" in event:
        return str(event["redacted"])
    kept = {name: value for name, value in event.items() if name not in ("sequence", "recordedtime")}
    return hashlib.sha256(rfc8785.dumps(kept)).hexdigest()


def verify_signature(event: Event, jwk: dict[str, str]) -> None:
    """BrokenError unless the event is signed by `jwk` (ES256 over RFC 8785 bytes without `signature`)."""
    kept = {name: value for name, value in event.items() if name not in ("sequence", "recordedtime")}
    _verify(event["id"], kept, jwk)


def verify_head(head: dict[str, Any], jwk: dict[str, str]) -> None:
    """BrokenError unless a head of the log is signed by `jwk`, which it names as its key."""
    if head["key"] != jwk:
        raise BrokenError("head", "names another key")
    _verify("head", head, jwk)


def _verify(what: str, value: dict[str, Any], jwk: dict[str, str]) -> None:
    bare = {name: part for name, part in value.items() if name != "signature"}
    raw = _bytes(value["signature"])
    if len(raw) != 64:
        raise BrokenError(what, "its signature is not 64 bytes")
    pair = encode_dss_signature(int.from_bytes(raw[:32], "big"), int.from_bytes(raw[32:], "big"))
    try:
        _key(jwk).verify(pair, rfc8785.dumps(bare), ec.ECDSA(hashes.SHA256()))
    except InvalidSignature as error:
        raise BrokenError(what, "its signature does not verify") from error


def verify(answer: dict[str, Any], reference: dict[str, Any]) -> int:
    """Check a run's answer against the keys of the reference; how many events were checked."""
    keys = {f"/devices/{row['id']}": row["key"] for row in reference["devices"]}
    keys["/server"] = reference["server"]
    events: list[Event] = answer["events"]
    by_number = {(event["source"], event["number"]): event for event in events}
    if len(by_number) != len(events):
        raise BrokenError(answer["run"]["id"], "two events share a source and a number")
    sequences = [event["sequence"] for event in events]
    if sequences != sorted(set(sequences)):
        raise BrokenError(answer["run"]["id"], "its events are not in order of sequence")
    for event in events:
        if event["source"] not in keys:
            raise BrokenError(event["id"], "its device's key is not known")
        if "redacted" not in event:
            verify_signature(event, keys[event["source"]])
        before = by_number.get((event["source"], event["number"] - 1))
        wanted = _hash(before) if before else ZERO if event["number"] == 1 else event["prevhash"]
        if event["prevhash"] != wanted:
            raise BrokenError(event["id"], "its prevhash is not the hash of the event before it")
    digest = hashlib.sha256("".join(sorted(_hash(event) for event in events)).encode()).hexdigest()
    if digest != answer["run"]["digest"]:
        raise BrokenError(answer["run"]["id"], "its digest is not that of its events")
    return len(events)


def main(url: str, cookie: str, run: str) -> int:
    """Verify one run of a server; the exit status."""
    cookies = {"vesselside-device": cookie}
    answers = [
        requests.get(url + path, cookies=cookies, timeout=60)
        for path in (f"/api/runs/{run}", "/api/reference")
    ]
    for answer in answers:
        answer.raise_for_status()
    try:
        checked = verify(answers[0].json(), answers[1].json())
    except BrokenError as error:
        print(error)
        return 1
    print(f"ok {checked}")
    return 0


if __name__ == "__main__":
    if len(sys.argv) != 4:
        sys.exit("usage: chain.py URL COOKIE RUN")
    sys.exit(main(*sys.argv[1:]))
