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


# Dormand and Prince's pair: where each stage stands, what it is built from, and what its error is estimated by
_NODES = (1 / 5, 3 / 10, 4 / 5, 8 / 9, 1.0, 1.0)
_PARTS = (
    (1 / 5,),
    (3 / 40, 9 / 40),
    (44 / 45, -56 / 15, 32 / 9),
    (19372 / 6561, -25360 / 2187, 64448 / 6561, -212 / 729),
    (9017 / 3168, -355 / 33, 46732 / 5247, 49 / 176, -5103 / 18656),
    (35 / 384, 0.0, 500 / 1113, 125 / 192, -2187 / 6784, 11 / 84),
)
_MISS = (71 / 57600, 0.0, -71 / 16695, 71 / 1920, -17253 / 339200, 22 / 525, -1 / 40)


def march(rates, state: list, start: float, end: float, *, within: float) -> tuple[list, float]:  # type: ignore[no-untyped-def]
    """`state` carried from `start` to `end` by `rates(time, state)`, and an estimate of its largest error.

    Dormand and Prince's pair of fifth and fourth order (J. Comp. Appl. Math. 6 (1980) 19), with steps chosen so that
    the estimate of each stays below its share of `within`; the fifth order is kept. Raises CoreError `no-answer` after
    5000 steps. Example: a rate of half the state a minute leaves 0.36788 of 1 after 2 minutes.
    """
    time, error = start, 0.0
    span = end - start
    if span <= 0.0:
        return state, 0.0
    step = span
    first = rates(time, state)
    for _ in range(5000):
        step = min(step, end - time)
        slopes = [first]
        there = state
        for stage in range(6):
            there = _moved(state, slopes, _PARTS[stage], step)
            slopes.append(rates(time + _NODES[stage] * step, there))
        off = max([abs(miss) for miss in _moved([0.0] * len(state), slopes, _MISS, step)])
        allowed = within * step / span
        if off <= allowed or step <= span * 1e-6:
            time, state, first = time + step, there, slopes[6]
            error += off
            if time >= end - span * 1e-12:
                return state, error
        step *= 4.0 if off == 0.0 else min(4.0, max(0.2, 0.9 * (allowed / off) ** 0.25))
    raise CoreError("no-answer", "This sum did not settle; check what was entered.")


def _moved(state: list, slopes: list, parts: tuple, step: float) -> list:
    moved = []
    for n in range(len(state)):
        total = 0.0
        for stage in range(len(parts)):
            total += parts[stage] * slopes[stage][n]
        moved.append(state[n] + step * total)
    return moved
