"""The key by which a push service knows this server (VAPID, RFC 8292), made once and kept in the data folder."""

from functools import cached_property
from pathlib import Path

from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric import ec

from vesselside.settings import kept_secret
from vesselside.store.log.signing import decoded, encoded


class PushKey:
    """A P-256 key of its own: the one that signs the log signs nothing else. Made when it is first asked for."""

    def __init__(self, folder: Path) -> None:
        self._path = folder / "push-key"

    @cached_property
    def private(self) -> str:
        """Its 32 bytes in unpadded base64url."""
        return kept_secret(self._path, _new)

    @cached_property
    def public(self) -> str:
        """The uncompressed point, 65 bytes in unpadded base64url, as a browser is told it."""
        number = int.from_bytes(decoded(self.private), "big")
        point = ec.derive_private_key(number, ec.SECP256R1()).public_key()
        return encoded(
            point.public_bytes(serialization.Encoding.X962, serialization.PublicFormat.UncompressedPoint)
        )


def _new() -> str:
    key = ec.generate_private_key(ec.SECP256R1())
    return encoded(key.private_numbers().private_value.to_bytes(32, "big"))
