"""Times at the edge: RFC 3339 text and 16-digit sequences outside, integers inside."""

from datetime import UTC, datetime
from functools import lru_cache

DAY_MS = 86_400_000
FIRST_MS = -62_135_596_800_000
"""The first millisecond of the year 1."""
AHEAD_MS = 300_000
"""How far ahead of its receipt a record's time may be and still be believed: clocks differ by as much."""
LAST_MS = 253_402_300_799_999
"""The last millisecond of the year 9999: later ones have no RFC 3339 text."""


@lru_cache(maxsize=4096)
def text_of(ms: int) -> str:
    """Epoch milliseconds as RFC 3339, UTC, milliseconds; what lies outside 1970 to 9999 as the nearest time inside."""
    whole, rest = divmod(min(max(ms, 0), LAST_MS), 1000)
    return f"{datetime.fromtimestamp(whole, UTC):%Y-%m-%dT%H:%M:%S}.{rest:03d}Z"


def ms_of(text: str) -> int:
    """Epoch milliseconds of an RFC 3339 time; ValueError when it is none, or is none in UTC."""
    moment = datetime.fromisoformat(text)
    if moment.tzinfo is None:
        raise ValueError("A time without an offset")
    ms = int(moment.timestamp() * 1000)
    if not FIRST_MS <= ms <= LAST_MS:
        raise ValueError("A time outside the years 1 to 9999")
    return ms


def believed(text: str, recorded: int) -> str:
    """A record's time, or that of its receipt [ms] when it is too far ahead of it, or no time at all."""
    try:
        return text if ms_of(text) - recorded <= AHEAD_MS else text_of(recorded)
    except ValueError:
        return text_of(recorded)


def sequence_text(sequence: int) -> str:
    """A sequence as records carry it, 16 digits."""
    return f"{sequence:016d}"
