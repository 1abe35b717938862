"""The security log: what was turned away, a line of JSON each to standard error, by device and address.

It holds no secret, no body, no name of a person, and of an address asked for only the pattern it goes by.
"""

import json
import logging
import sys

from flask import Flask, Response, g, request

from vesselside.store.base.db import now_ms
from vesselside.store.base.instants import text_of

WATCHED = (403, 429)
ADDRESS_LETTERS = 64
"""As many of an address as are kept: one that only differs beyond is the same to whoever counts its tries."""
WORDS = {
    ("session.sign_in", 403): "sign-in-failed",
    ("devices.enrol", 403): "code-refused",
    ("beginning.begin", 403): "code-refused",
}

log = logging.getLogger("vesselside.security")


def register(app: Flask) -> None:
    """Watch every answer."""
    if not log.handlers:
        handler = logging.StreamHandler(sys.stderr)
        handler.setFormatter(logging.Formatter("%(message)s"))
        log.addHandler(handler)
        log.setLevel(logging.INFO)
        log.propagate = False

    @app.after_request
    def watch(response: Response) -> Response:
        if response.status_code in WATCHED:
            _tell(response.status_code)
        return response


def address() -> str:
    """Where the call came from; a proxy on this machine is asked whom it speaks for."""
    peer = request.remote_addr or ""
    if peer in ("127.0.0.1", "::1") and request.access_route:
        return request.access_route[-1][:ADDRESS_LETTERS]
    return peer


def _tell(status: int) -> None:
    usual = "refused" if status == 403 else "too-many"
    line = {
        "time": text_of(now_ms()),
        "security": WORDS.get((request.endpoint or "", status), usual),
        "status": status,
        "call": f"{request.method} {request.url_rule.rule if request.url_rule else '?'}",
        "device": g.credential.device if "credential" in g else None,
        "address": address(),
    }
    log.warning(json.dumps(line))
