"""Times of the demo's history: said as days ago and a clock time, written as records write them."""

from datetime import UTC, datetime, timedelta


def time_text(at: int) -> str:
    """Epoch milliseconds as RFC 3339, UTC, milliseconds."""
    whole, rest = divmod(at, 1000)
    return f"{datetime.fromtimestamp(whole, UTC):%Y-%m-%dT%H:%M:%S}.{rest:03d}Z"


def moment(now: int, days_ago: int, clock: str) -> int:
    """Epoch milliseconds of `clock` (HH:MM) `days_ago` days before the day of `now`, in UTC."""
    hours, minutes = clock.split(":")
    day = datetime.fromtimestamp(now / 1000, UTC).replace(hour=0, minute=0, second=0, microsecond=0)
    then = day - timedelta(days=days_ago) + timedelta(hours=int(hours), minutes=int(minutes))
    return int(then.timestamp()) * 1000
