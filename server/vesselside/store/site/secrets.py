"""PINs and passwords: which are taken, and how they are kept.

A secret that many people choose is guessed first, so a list of common ones is kept: that of zxcvbn, which also
knows patterns in passwords. PINs have patterns of their own, told here.
"""

import re
import secrets
from functools import lru_cache
from itertools import pairwise

from argon2 import PasswordHasher
from argon2.exceptions import VerifyMismatchError
from zxcvbn import zxcvbn
from zxcvbn.frequency_lists import FREQUENCY_LISTS

PIN_DIGITS = 6
PASSWORD_LETTERS = 12
STRONG = 3
"""The least score of zxcvbn (0 to 4): more than 10^8 guesses, each of which costs an Argon2 hash."""
JUDGED_LETTERS = 72
"""zxcvbn takes its time over long texts; what is this strong needs no more looking at."""

# OWASP's least for Argon2id: a small machine signs in a whole crew at once, and tries are counted anyway.
_hasher = PasswordHasher(time_cost=2, memory_cost=19_456, parallelism=1)
_COMMON = frozenset(FREQUENCY_LISTS["passwords"])
_YEAR = re.compile(r"(?:19|20)\d\d")


class PersonError(ValueError):
    """What was said of a person cannot be kept; the text says why."""


def hashed_pin(pin: str | None) -> str | None:
    """A PIN as it is kept; PersonError when it is none, or easy to guess."""
    if pin is None:
        return None
    if len(pin) < PIN_DIGITS or not (pin.isascii() and pin.isdigit()):
        raise PersonError(f"A PIN is at least {PIN_DIGITS} digits.")
    if _guessable(pin):
        raise PersonError(
            "This PIN is easy to guess: no run, no year, nothing repeated, none that many people choose."
        )
    return _hasher.hash(pin)


def hashed_password(password: str | None, name: str = "") -> str | None:
    """A password as it is kept; PersonError when it is too short, or easy to guess."""
    if password is None:
        return None
    if not PASSWORD_LETTERS <= len(password) <= 1000:
        raise PersonError(f"A password is at least {PASSWORD_LETTERS} letters.")
    if zxcvbn(password[:JUDGED_LETTERS], [*name.split(), "vesselside", "brewery"])["score"] < STRONG:
        raise PersonError("This password is easy to guess. Take four words that do not belong together.")
    return _hasher.hash(password)


def is_secret(kept: str | None, secret: str) -> bool:
    """Whether `secret` is the one kept. None takes as long as any, so that nobody learns who there is."""
    try:
        _hasher.verify(kept or _nobodys(), secret)
    except VerifyMismatchError:
        return False
    return kept is not None


def _guessable(pin: str) -> bool:
    steps = {(int(later) - int(earlier)) % 10 for earlier, later in pairwise(pin)}
    # all one digit, or a run up or down, over 9 and 0 too
    if steps <= {0} or steps in ({1}, {9}):
        return True
    repeated = any(pin == pin[:width] * (len(pin) // width) for width in (2, 3, 4) if len(pin) % width == 0)
    runs = len(re.findall(r"(\d)\1*", pin)) <= 2  # 111222
    paired = len(pin) % 2 == 0 and all(pin[at] == pin[at + 1] for at in range(0, len(pin), 2))  # 112233
    dated = bool(_YEAR.match(pin) or _YEAR.fullmatch(pin[-4:]))
    return repeated or runs or paired or dated or pin in _COMMON


@lru_cache(maxsize=1)
def _nobodys() -> str:
    return _hasher.hash(secrets.token_hex(16))
