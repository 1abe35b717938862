"""A push service and a browser's subscription of our own; what arrives is read by other code than it was made by.

The service keeps, as RFC 8030 §5.4 has it, of the messages to one address that name a topic only the newest.
"""

import base64
import json
import os
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

from cryptography.hazmat.primitives import hashes, hmac, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import encode_dss_signature
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.kdf.hkdf import HKDFExpand


def b64(data: bytes) -> str:
    """Unpadded base64url."""
    return base64.urlsafe_b64encode(data).rstrip(b"=").decode()


def raw(text: str) -> bytes:
    """The bytes of unpadded base64url."""
    return base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))


def _point(key: ec.EllipticCurvePublicKey) -> bytes:
    return key.public_bytes(serialization.Encoding.X962, serialization.PublicFormat.UncompressedPoint)


def _extract(salt: bytes, secret: bytes) -> bytes:
    made = hmac.HMAC(salt, hashes.SHA256())
    made.update(secret)
    return made.finalize()


def _expand(secret: bytes, info: bytes, length: int) -> bytes:
    return HKDFExpand(hashes.SHA256(), length, info).derive(secret)


class Browser:
    """The keys of one subscription, and the reading of what was encrypted for it: RFC 8291 §3.4, RFC 8188 §2."""

    def __init__(self, service: "Service", name: str) -> None:
        self._private = ec.generate_private_key(ec.SECP256R1())
        self._auth = os.urandom(16)
        self.address = f"/to/{name}"
        self.subscription = {
            "endpoint": service.url + self.address,
            "expirationTime": None,
            "keys": {"p256dh": b64(_point(self._private.public_key())), "auth": b64(self._auth)},
        }

    def read(self, body: bytes) -> Any:
        """The JSON of a message."""
        salt, size, length = body[:16], int.from_bytes(body[16:20], "big"), body[20]
        theirs, sealed = body[21 : 21 + length], body[21 + length :]
        assert len(sealed) <= size
        sender = ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), theirs)
        shared = self._private.exchange(ec.ECDH(), sender)
        info = b"WebPush: info\0" + _point(self._private.public_key()) + theirs
        secret = _extract(salt, _expand(_extract(self._auth, shared), info, 32))
        key = _expand(secret, b"Content-Encoding: aes128gcm\0", 16)
        nonce = _expand(secret, b"Content-Encoding: nonce\0", 12)
        opened = AESGCM(key).decrypt(nonce, sealed, None).rstrip(b"\0")
        assert opened[-1] == 2, "the last record ends with 2"
        return json.loads(opened[:-1])


@dataclass
class Message:
    """One that came in."""

    address: str
    headers: dict[str, str]
    body: bytes


@dataclass
class Service:
    """A push service; `answers` are the statuses it gives by address, `held` keeps it from answering."""

    url: str = ""
    came: list[Message] = field(default_factory=list)
    answers: dict[str, int] = field(default_factory=dict)
    held: threading.Event = field(default_factory=threading.Event)

    def to(self, browser: Browser) -> list[Any]:
        """What is shown in a browser: of one topic the newest."""
        shown: dict[str, Any] = {}
        for message in self.came:
            if message.address == browser.address:
                shown[message.headers["topic"]] = browser.read(message.body)
        return list(shown.values())


@contextmanager
def service() -> Iterator[Service]:
    """A push service on a port of this machine."""
    told = Service()
    told.held.set()

    class Taking(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            body = self.rfile.read(int(self.headers["Content-Length"]))
            headers = {name.lower(): value for name, value in self.headers.items()}
            told.came.append(Message(self.path, headers, body))
            told.held.wait(30)
            status = told.answers.get(self.path, 201)
            self.send_response(status)
            if status == 503:
                self.send_header("Retry-After", "5")
            self.send_header("Content-Length", "0")
            self.end_headers()

        def log_message(self, *_: object) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Taking)
    told.url = f"http://127.0.0.1:{server.server_port}"
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield told
    finally:
        told.held.set()
        server.shutdown()
        server.server_close()


def signed_by(message: Message) -> tuple[str, dict[str, Any]]:
    """Whose key signed a message (RFC 8292), after verifying that it did, and what it claims."""
    scheme, _, rest = message.headers["authorization"].partition(" ")
    assert scheme == "vapid"
    parts = dict(part.strip().split("=", 1) for part in rest.split(","))
    head, claims, signature = parts["t"].split(".")
    assert json.loads(raw(head))["alg"] == "ES256"
    known = ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), raw(parts["k"]))
    r, s = raw(signature)[:32], raw(signature)[32:]
    given = encode_dss_signature(int.from_bytes(r, "big"), int.from_bytes(s, "big"))
    known.verify(given, f"{head}.{claims}".encode(), ec.ECDSA(hashes.SHA256()))
    return parts["k"], json.loads(raw(claims))
