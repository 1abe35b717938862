"""Numerical methods: a bracketing root, and marching rates of change with a stated error."""

from .errors import CoreError


def root(function, low: float, high: float, *, within: float = 1e-12):  # type: ignore[no-untyped-def]
    """Where `function` crosses zero between `low` and `high`, to `within` of the larger of 1 and the root.

    Inverse quadratic interpolation where it is safe, bisection elsewhere (Chandrupatla, Adv. Eng. Softw. 28 (1997)
    145), so it always ends. Raises CoreError `no-root` when both ends have the same sign.
    Example: t squared - 2 between 0 and 2 is 1.41421356.
    """
    new, old = low, high
    at_new, at_old = function(new), function(old)
    if at_new == 0.0:
        return new
    if at_old == 0.0:
        return old
    if (at_new > 0.0) == (at_old > 0.0):
        raise CoreError("no-root", "No answer lies in the range this sum holds for.")
    share = 0.5
    for _ in range(200):
        middle = new + share * (old - new)
        at_middle = function(middle)
        if (at_middle > 0.0) == (at_new > 0.0):
            older, at_older = new, at_new
        else:
            older, at_older = old, at_old
            old, at_old = new, at_new
        new, at_new = middle, at_middle
        best = new if abs(at_new) < abs(at_old) else old
        least = within * max(1.0, abs(best)) / abs(old - new)
        if at_new == 0.0 or least > 0.5:
            return best
        share = 0.5
        place = (new - old) / (older - old)
        level = (at_new - at_old) / (at_older - at_old)
        if level * level < place and (1.0 - level) * (1.0 - level) < 1.0 - place:
            share = at_new / (at_old - at_new) * at_older / (at_old - at_older)
            share += (older - new) / (old - new) * at_new / (at_older - at_new) * at_old / (at_older - at_old)
        share = min(1.0 - least, max(least, share))
    return best


def march(rates, state: list, start: float, end: float, *, within: float) -> tuple[list, float]:  # type: ignore[no-untyped-def]
    """`state` carried from `start` to `end` by `rates(time, state)`, and an estimate of its largest error.

    Bogacki and Shampine's pair of third and second order with steps chosen so that the estimate of each stays below
    its share of `within`; the third order is kept. Raises CoreError `no-answer` after 20000 steps.
    """
    time, error = start, 0.0
    span = end - start
    if span <= 0.0:
        return state, 0.0
    step = span
    first = rates(time, state)
    for _ in range(20000):
        step = min(step, end - time)
        second = rates(time + step / 2.0, _moved(state, first, step / 2.0))
        third = rates(time + step * 0.75, _moved(state, second, step * 0.75))
        slope = [(2.0 * a + 3.0 * b + 4.0 * c) / 9.0 for a, b, c in zip(first, second, third)]
        there = _moved(state, slope, step)
        last = rates(time + step, there)
        off = 0.0
        for a, b, c, d in zip(first, second, third, last):
            off = max(off, abs(step * (-5.0 * a / 72.0 + b / 12.0 + c / 9.0 - d / 8.0)))
        allowed = within * step / span
        if off <= allowed or step <= span * 1e-6:
            time, state, first = time + step, there, last
            error += off
            if time >= end - span * 1e-12:
                return state, error
        step *= 4.0 if off == 0.0 else min(4.0, max(0.2, 0.9 * (allowed / off) ** 0.5))
    raise CoreError("no-answer", "This sum did not settle; check what was entered.")


def _moved(state: list, slope: list, step: float) -> list:
    return [x + step * dx for x, dx in zip(state, slope)]
