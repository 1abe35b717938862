"""The hash that a run keeps of the procedure version it was opened with."""

import hashlib
from typing import Any

import rfc8785


def sha256(procedure: dict[str, Any]) -> str:
    """SHA-256 (hex) of the RFC 8785 bytes of the procedure without its own `sha256`."""
    bare = {key: value for key, value in procedure.items() if key != "sha256"}
    return hashlib.sha256(rfc8785.dumps(bare)).hexdigest()
