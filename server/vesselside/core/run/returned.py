"""Contact time as it was read at the return: minutes count only between readings that are both in band."""

from .fields import Made
from .record import Record


def _stretches(holds: list[Record], now: int | None) -> list[list[int]]:
    found = []
    started = None
    for record in holds:
        if record.type == "hold.started":
            started = record.clock_ms
        elif started is not None:
            found.append([started, record.clock_ms])
            started = None
    if started is not None and now is not None:
        found.append([started, now])
    return [row for row in found if row[1] > row[0]]


def _credit(start: int, end: int, read: list[tuple[int, bool]]) -> int:
    credited = 0
    last, good = start, read[0][1]
    for made, here in read:
        at = max(last, min(end, made))
        if good and here:
            credited += at - last
        last, good = at, here
    return credited + (end - last if good else 0)


def held_ms(holds: list[Record], now: int | None) -> int:
    """The longest hold of a step by the clock [ms]; `now` [ms] ends one that is running."""
    return max([end - start for start, end in _stretches(holds, now)] or [0])


def credited_ms(holds: list[Record], readings: list[Made], now: int | None) -> int:
    """Contact time [ms] that counts over the holds of a step.

    Between two neighbouring readings at the return the time counts only when both are on target; from the start of a
    hold to its first reading, and from its last to its end, when that one is. A hold without a reading counts nothing.
    `readings` are the live entries in order; `now` [ms] ends a hold that is running.
    Source: contact-both-in-band. Example: in band at 0, 10 and 30 min, out of it at 20: 10 of 30 min count.
    """
    stretches = _stretches(holds, now)
    total = 0
    for number, (start, end) in enumerate(stretches):
        low = stretches[number - 1][1] if number else None
        high = end if number + 1 < len(stretches) else None
        here = []
        for made in readings:
            at = made.clock_ms
            if (low is None or at > low) and (high is None or at <= high):
                here.append((at, made.verdict == "target"))
        if here:
            total += _credit(start, end, here)
    return total
