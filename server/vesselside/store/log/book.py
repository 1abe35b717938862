"""The book of a brewery: which log is written, and with whose key the server signs in it.

It is made where the app is made and handed to whoever writes, so that nothing in the store asks an app for a key.
"""

import hashlib
import hmac
from dataclasses import dataclass, field

from vesselside.store.log.signing import ServerKey


@dataclass(frozen=True)
class Keys:
    """What the server keeps to itself: the key it signs with, and the secret that short secrets are hashed with."""

    server: ServerKey = field(repr=False)
    secret: str = field(repr=False)

    def hashed(self, text: str) -> str:
        """A keyed hash, so that a copy of the database alone does not let `text` be guessed."""
        return hmac.new(self.secret.encode(), text.encode(), hashlib.sha256).hexdigest()

    def book(self, brewery: str) -> "Book":
        """The book of the brewery with this id."""
        return Book(brewery, self)


@dataclass(frozen=True)
class Book:
    """The log of one brewery, by the brewery's id, with the server's keys."""

    brewery: str
    keys: Keys

    def sign(self, data: bytes) -> str:
        """The server's signature over `data`."""
        return self.keys.server.sign(data)
