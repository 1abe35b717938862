"""Small systems of linear equations, and least squares whose answers may not be negative."""

from .errors import CoreError


def solve(matrix: list, right: list) -> list:
    """x of `matrix` x = `right`, by elimination with row pivoting; for a handful of unknowns.

    Raises CoreError `no-answer` when the equations do not settle every unknown.
    Example: [[2, 1], [1, 3]] and [3, 5] give [0.8, 1.4].
    """
    size = len(right)
    rows = [list(matrix[n]) + [right[n]] for n in range(size)]
    largest = max([abs(x) for row in matrix for x in row] + [0.0])
    for column in range(size):
        pivot = column
        for n in range(column + 1, size):
            if abs(rows[n][column]) > abs(rows[pivot][column]):
                pivot = n
        if abs(rows[pivot][column]) <= 1e-13 * largest:
            raise CoreError(
                "no-answer", "These figures do not settle the answer; more different ones are needed."
            )
        rows[column], rows[pivot] = rows[pivot], rows[column]
        for n in range(column + 1, size):
            factor = rows[n][column] / rows[column][column]
            for m in range(column, size + 1):
                rows[n][m] -= factor * rows[column][m]
    found = [0.0] * size
    for n in range(size - 1, -1, -1):
        total = rows[n][size]
        for m in range(n + 1, size):
            total -= rows[n][m] * found[m]
        found[n] = total / rows[n][n]
    return found


def normal(design: list, wanted: list) -> tuple[list, list]:
    """The normal equations of least squares: design' design, and design' wanted."""
    width = len(design[0])
    square = [[sum([row[a] * row[b] for row in design]) for b in range(width)] for a in range(width)]
    right = [sum([design[n][a] * wanted[n] for n in range(len(design))]) for a in range(width)]
    return square, right


def least_squares(design: list, wanted: list) -> list:
    """x with the smallest sum of squares of `design` x - `wanted`. Raises CoreError `no-answer` as `solve`."""
    square, right = normal(design, wanted)
    return solve(square, right)


def not_negative(design: list, wanted: list) -> list:
    """x with the smallest sum of squares of `design` x - `wanted`, none of it below zero.

    Every choice of unknowns held at zero is tried and the best that keeps the rest positive is the answer (at most
    six unknowns). Example: [[1, 0], [0, 1]] and [2, -1] give [2, 0].
    """
    square, right = normal(design, wanted)
    width = len(right)
    best = [0.0] * width
    most = 0.0
    for mask in range(1, 2**width):
        free = [n for n in range(width) if mask >> n & 1]
        try:
            found = solve([[square[a][b] for b in free] for a in free], [right[a] for a in free])
        except CoreError:
            continue
        if min(found) < 0.0:
            continue
        # at the least squares of a choice they fall short of those of nothing by as much as right' x
        gain = sum([right[free[n]] * found[n] for n in range(len(free))])
        if gain > most:
            most = gain
            best = [0.0] * width
            for n in range(len(free)):
                best[free[n]] = found[n]
    return best
