"""Times at the edge: RFC 3339 text and 16-digit sequences outside, integers inside."""

from datetime import UTC, datetime

DAY_MS = 86_400_000


def text_of(ms: int) -> str:
    """Epoch milliseconds as RFC 3339, UTC, milliseconds."""
    whole, rest = divmod(ms, 1000)
    return f"{datetime.fromtimestamp(whole, UTC):%Y-%m-%dT%H:%M:%S}.{rest:03d}Z"


def ms_of(text: str) -> int:
    """Epoch milliseconds of an RFC 3339 time; ValueError when it is none."""
    moment = datetime.fromisoformat(text)
    if moment.tzinfo is None:
        raise ValueError("A time without an offset")
    return int(moment.timestamp() * 1000)


def sequence_text(sequence: int) -> str:
    """A sequence as records carry it, 16 digits."""
    return f"{sequence:016d}"
