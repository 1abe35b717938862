"""Where a list goes on: the place of its last row as a text that nobody needs to read."""

import base64
import binascii

from .errors import ProblemError


def token(place: tuple[str, ...]) -> str:
    """A place as an answer gives it out."""
    return base64.urlsafe_b64encode("~".join(place).encode()).decode().rstrip("=")


def place(text: str, parts: int) -> tuple[str, ...]:
    """The place that an answer gave out, of so many printable parts of 64 letters at most; a problem otherwise."""
    try:
        found = base64.urlsafe_b64decode(text + "=" * (-len(text) % 4)).decode("ascii").split("~")
    except (binascii.Error, ValueError) as error:
        raise ProblemError(422, "invalid", "after must be the next of the page before.") from error
    if len(found) != parts or not all(len(one) <= 64 and one.isprintable() for one in found):
        raise ProblemError(422, "invalid", "after must be the next of the page before.")
    return tuple(found)
