"""Times as records carry them: RFC 3339, UTC, milliseconds; and hybrid logical clock stamps."""

from . import days, numbers
from .errors import CoreError

_DIGITS = "0123456789"
_HEX = "0123456789abcdef"
_MONTH_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
_SHAPE = "dddd-dd-ddTdd:dd:dd.dddZ"


def _fits(text: object, shape: str) -> bool:
    if not isinstance(text, str) or len(text) != len(shape):
        return False
    for got, wanted in zip(text, shape):
        if wanted == "d":
            if got not in _DIGITS:
                return False
        elif wanted == "x":
            if got not in _HEX:
                return False
        elif got != wanted:
            return False
    return True


def _leap(year: int) -> bool:
    return year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)


def is_time(text: object) -> bool:
    """Whether `text` is a UTC time with milliseconds, `2026-11-25T05:40:00.000Z` (RFC 3339)."""
    if not _fits(text, _SHAPE):
        return False
    text = str(text)
    year, month, day = int(text[0:4]), int(text[5:7]), int(text[8:10])
    if not 1 <= month <= 12 or year < 1970:
        return False
    days = _MONTH_DAYS[month - 1] + (1 if month == 2 and _leap(year) else 0)
    return 1 <= day <= days and int(text[11:13]) < 24 and int(text[14:16]) < 60 and int(text[17:19]) < 60


def milliseconds(text: str) -> int:
    """Milliseconds since 1970-01-01 UTC of an RFC 3339 time [ms]; CoreError `bad-time` otherwise.

    Days are counted from the civil date by the Gregorian rule. Example: `1970-01-02T00:00:00.000Z` is 86400000.
    """
    if not is_time(text):
        raise CoreError("bad-time", "This is not a UTC time with milliseconds: " + str(text)[:40])
    year, month, day = int(text[0:4]), int(text[5:7]), int(text[8:10])
    before = year - 1
    days = (
        365 * (year - 1970)
        + (before // 4 - before // 100 + before // 400)
        - (1969 // 4 - 1969 // 100 + 1969 // 400)
    )
    for index in range(month - 1):
        days += _MONTH_DAYS[index]
    if month > 2 and _leap(year):
        days += 1
    days += day - 1
    seconds = int(text[11:13]) * 3600 + int(text[14:16]) * 60 + int(text[17:19])
    return (days * 86400 + seconds) * 1000 + int(text[20:23])


_LAST = 253402300799999


def is_stamp(text: object) -> bool:
    """Whether `text` is a hybrid logical clock stamp, 12 hex digits of ms, a dash, 4 of counter."""
    return _fits(text, "xxxxxxxxxxxx-xxxx")


def stamp_ms(text: str) -> int:
    """The milliseconds of a stamp [ms]; 0 of what is none."""
    return int(text[:12], 16) if is_stamp(text) else 0


def stamp(ms: int) -> str:
    """The first stamp of a time [ms]. Example: 1000 is `0000000003e8-0000`."""
    return "{:012x}-0000".format(min(max(ms, 0), _LAST))


def is_sequence(text: object) -> bool:
    """Whether `text` is a server sequence, 16 decimal digits."""
    return _fits(text, "dddddddddddddddd")


def is_hash(text: object) -> bool:
    """Whether `text` is a SHA-256 in lower-case hex."""
    return _fits(text, "x" * 64)


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
