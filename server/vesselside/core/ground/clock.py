"""Times as records carry them: RFC 3339, UTC, milliseconds; and hybrid logical clock stamps."""

from . import days, numbers
from .errors import CoreError

_DIGITS = "0123456789"
_HEX = "0123456789abcdef"
_MONTH_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
_BEFORE_MONTH = (0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334)
_EPOCH = 719162
"""Days from year 1 to 1970."""


def _only(text: str, signs: str) -> bool:
    # Each record asks this a dozen times: a loop over the signs is the slowest part of a fold on a phone.
    return not text.strip(signs)


def _leap(year: int) -> bool:
    return year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)


def read(text: object) -> int | None:
    """Milliseconds since 1970-01-01 UTC of a time as records carry it [ms], or None of what is none."""
    if not isinstance(text, str) or len(text) != 24:
        return None
    if text[4] + text[7] + text[10] + text[13] + text[16] + text[19] + text[23] != "--T::.Z":
        return None
    digits = text[0:4] + text[5:7] + text[8:10] + text[11:13] + text[14:16] + text[17:19] + text[20:23]
    if not _only(digits, _DIGITS):
        return None
    year, month, day = int(digits[0:4]), int(digits[4:6]), int(digits[6:8])
    hour, minute, second = int(digits[8:10]), int(digits[10:12]), int(digits[12:14])
    if not 1 <= month <= 12 or year < 1970 or hour > 23 or minute > 59 or second > 59:
        return None
    leap = _leap(year)
    if not 1 <= day <= _MONTH_DAYS[month - 1] + (1 if month == 2 and leap else 0):
        return None
    before = year - 1
    count = 365 * before + before // 4 - before // 100 + before // 400 - _EPOCH
    count += _BEFORE_MONTH[month - 1] + (1 if month > 2 and leap else 0) + day - 1
    return (count * 86400 + hour * 3600 + minute * 60 + second) * 1000 + int(digits[14:17])


def is_time(text: object) -> bool:
    """Whether `text` is a UTC time with milliseconds, `2026-11-25T05:40:00.000Z` (RFC 3339)."""
    return read(text) is not None


def milliseconds(text: str) -> int:
    """Milliseconds since 1970-01-01 UTC of an RFC 3339 time [ms]; CoreError `bad-time` otherwise.

    Days are counted from the civil date by the Gregorian rule. Example: `1970-01-02T00:00:00.000Z` is 86400000.
    """
    found = read(text)
    if found is None:
        raise CoreError("bad-time", "This is not a UTC time with milliseconds: " + str(text)[:40])
    return found


_LAST = 253402300799999


def is_stamp(text: object) -> bool:
    """Whether `text` is a hybrid logical clock stamp, 12 hex digits of ms, a dash, 4 of counter."""
    return (
        isinstance(text, str) and len(text) == 17 and text[12] == "-" and _only(text[:12] + text[13:], _HEX)
    )


def stamp_ms(text: str) -> int:
    """The milliseconds of a stamp [ms]; 0 of what is none."""
    return int(text[:12], 16) if is_stamp(text) else 0


def stamp(ms: int) -> str:
    """The first stamp of a time [ms]. Example: 1000 is `0000000003e8-0000`."""
    return "{:012x}-0000".format(min(max(ms, 0), _LAST))


def is_sequence(text: object) -> bool:
    """Whether `text` is a server sequence, 16 decimal digits."""
    return isinstance(text, str) and len(text) == 16 and _only(text, _DIGITS)


def is_hash(text: object) -> bool:
    """Whether `text` is a SHA-256 in lower-case hex."""
    return isinstance(text, str) and len(text) == 64 and _only(text, _HEX)


def text(ms: int) -> str:
    """A time written as records carry it, from milliseconds since 1970 [ms]; held to the years 1970 to 9999.

    Example: 86400000 is `1970-01-02T00:00:00.000Z`.
    """
    whole, rest = divmod(min(max(ms, 0), _LAST), 1000)
    count, seconds = divmod(whole, 86400)
    hours, minutes = seconds // 3600, seconds // 60 % 60
    return "{}T{:02d}:{:02d}:{:02d}.{:03d}Z".format(days.text(count), hours, minutes, seconds % 60, rest)


def span(text: str | None, default: str, unit_ms: float) -> int:
    """A site's lasting time [ms]: `text` units of `unit_ms`, or `default` when it is no number from 0 to 10 000.

    Never raises for a sound default. Example: ("72", "24", 3600000.0) is 259200000.
    """
    for given in (text, default):
        try:
            count = -1.0 if given is None else numbers.value(given)
        except CoreError:
            count = -1.0
        if 0 <= count <= 10000:
            return numbers.quantise(count * unit_ms, 0)
    return 0
