"""A bracketing root finder: bisection kept inside a shrinking bracket, so that it always ends."""

from .errors import CoreError


def root(function, low: float, high: float, *, within: float = 1e-12):  # type: ignore[no-untyped-def]
    """Where `function` crosses zero between `low` and `high`, to a bracket of `within` relative to its ends.

    Illinois variant of false position (Dowell and Jarratt 1971), bisecting when a step gains less than half.
    Raises CoreError `no-root` when both ends have the same sign.
    """
    at_low, at_high = function(low), function(high)
    if at_low == 0.0:
        return low
    if at_high == 0.0:
        return high
    if (at_low > 0.0) == (at_high > 0.0):
        raise CoreError("no-root", "No answer lies in the range this sum holds for.")
    for turn in range(200):
        width = abs(high - low)
        if width <= within * max(1.0, abs(low), abs(high)):
            break
        middle = (low * at_high - high * at_low) / (at_high - at_low)
        if turn % 3 == 2 or not min(low, high) < middle < max(low, high):
            middle = (low + high) / 2.0
        at_middle = function(middle)
        if at_middle == 0.0:
            return middle
        if (at_middle > 0.0) == (at_high > 0.0):
            high, at_high = middle, at_middle
            at_low = at_low / 2.0 if turn % 3 != 2 else at_low
        else:
            low, at_low = middle, at_middle
            at_high = at_high / 2.0 if turn % 3 != 2 else at_high
    return (low + high) / 2.0
