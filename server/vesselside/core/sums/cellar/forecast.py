"""Where a fermentation will end: a curve fitted to its readings and to what this yeast usually does."""

from math import exp, log

from vesselside.core.ground import linear
from vesselside.core.ground.errors import CoreError
from vesselside.core.ground.solve import root
from vesselside.core.sums.brewhouse.gravity import marks
from vesselside.core.sums.inputs import number, series

READING_SG = 0.0007
HUBER = 1.5

# what is known before any reading, beside the attenuation: [middle hour, log of pace in hours, lopsidedness]
_USUAL = (36.0, log(12.0), 0.0)
_SPREAD = (30.0, 0.7, 0.6)

# Student's t, two-sided 95 %, for 2 to 8 degrees of freedom
_STUDENT = (4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306)


def student(*, freedom: int) -> float:
    """Student's t for a two-sided 95 % interval; 2 degrees of freedom or more.

    Formula: a table to 8, then Fisher's expansion 1.960 + 2.372 / n + 2.82 / n² + 2.56 / n³. Range 2 and above.
    Source: student. Example: 20 is 2.086.
    """
    if freedom - 2 < len(_STUDENT):
        return _STUDENT[max(0, freedom - 2)]
    return 1.959964 + 2.3723 / freedom + 2.8225 / freedom**2 + 2.5557 / freedom**3


def _sigmoid(hours: float, middle: float, pace: float, power: float) -> float:
    height = min(60.0, max(-60.0, (hours - middle) / pace))
    return (1.0 + exp(-height)) ** -power


def _turns(hours: float, height: float, shape: tuple) -> tuple[float, float, float]:
    """How the height turns with the middle, the logarithm of the pace, and that of the power."""
    middle, pace, power, _ = shape
    away = min(60.0, max(-60.0, (hours - middle) / pace))
    fading = exp(-away)
    rise = power * height * fading / (1.0 + fading)
    return -rise / pace, -rise * away, -power * height * log(1.0 + fading)


def _shape(at: list) -> tuple[float, float, float, float]:
    """Middle, pace and lopsidedness of the curve, kept where it is a curve, and its height at the start."""
    pace, power = exp(min(6.0, max(-1.0, at[2]))), exp(min(3.0, max(-3.0, at[3])))
    middle = max(at[1], -2.0 * pace)
    return middle, pace, power, _sigmoid(0.0, middle, pace, power)


def _fall(hours: float, shape: tuple) -> float:
    """Share of the whole fall that is done by `hours`: a lopsided sigmoid through zero at the start."""
    middle, pace, power, start = shape
    return (_sigmoid(hours, middle, pace, power) - start) / (1.0 - start)


class _Fit:
    """Readings, what is expected, and the curve that meets both best: [attenuation, middle, log pace, lopsidedness]."""

    def __init__(self, original: float, readings: list, usual: list, spread: list) -> None:
        self.drop = original - 1.0
        self.original = original
        self.readings = readings
        self.usual = usual
        self.spread = spread
        self.sigma = 2.0 * READING_SG
        self.at = list(usual)

    def misses(self, at: list) -> list:
        shape = _shape(at)
        whole = self.drop * at[0]
        return [sg - self.original + whole * _fall(hours, shape) for hours, sg in self.readings]

    def cost(self, at: list) -> float:
        total = 0.0
        for miss in self.misses(at):
            size = abs(miss) / self.sigma
            total += size * size if size <= HUBER else HUBER * (2.0 * size - HUBER)
        for n in range(4):
            total += ((at[n] - self.usual[n]) / self.spread[n]) ** 2
        return total

    def system(self, at: list) -> tuple[list, list]:
        """Normal equations of one step, and their right side, by the curve's own slopes."""
        shape = _shape(at)
        start = shape[3]
        base = _turns(0.0, start, shape)
        whole = self.drop * at[0]
        matrix = [[0.0] * 4 for _ in range(4)]
        right = [0.0] * 4
        for hours, sg in self.readings:
            height = _sigmoid(hours, shape[0], shape[1], shape[2])
            turns = _turns(hours, height, shape)
            share = (height - start) / (1.0 - start)
            miss = sg - self.original + whole * share
            slopes = [self.drop * share]
            for n in range(3):
                slopes.append(whole * (turns[n] - base[n] * (1.0 - share)) / (1.0 - start))
            weight = 1.0 / self.sigma**2
            if abs(miss) > HUBER * self.sigma:
                weight *= HUBER * self.sigma / abs(miss)
            for a in range(4):
                part = weight * slopes[a]
                right[a] -= part * miss
                line = matrix[a]
                for b in range(a + 1):
                    line[b] += part * slopes[b]
        for a in range(4):
            matrix[a][a] += 1.0 / self.spread[a] ** 2
            right[a] -= (at[a] - self.usual[a]) / self.spread[a] ** 2
            for b in range(a):
                matrix[b][a] = matrix[a][b]
        return matrix, right

    def settle(self) -> None:
        """Levenberg and Marquardt's steps until the cost stands still."""
        damp = 1e-2
        cost = self.cost(self.at)
        for _ in range(60):
            matrix, right = self.system(self.at)
            for n in range(4):
                matrix[n][n] *= 1.0 + damp
            step = linear.solve(matrix, right)
            tried = [self.at[n] + step[n] for n in range(4)]
            new = self.cost(tried)
            if new <= cost:
                done = cost - new <= 1e-7 * cost
                self.at, cost, damp = tried, new, damp * 0.3
                if done:
                    return
            else:
                damp *= 5.0
                if damp > 1e8:
                    return

    def run(self) -> None:
        """Fit, judge how far readings scatter, and fit again."""
        for _ in range(3):
            self.settle()
            sizes = sorted([abs(miss) for miss in self.misses(self.at)])
            middle = sizes[len(sizes) // 2]
            self.sigma = max(READING_SG, 1.4826 * middle)
        self.settle()

    def spread_of_end(self) -> float:
        """Standard deviation of the attenuation."""
        matrix, _ = self.system(self.at)
        return float(linear.solve(matrix, [1.0, 0.0, 0.0, 0.0])[0]) ** 0.5


def forecast(*, original_sg: float, readings: list, expected_pct: float, spread_pct: float) -> dict:
    """Terminal gravity a fermentation is heading for, with its 95 % interval, from readings of [hours, SG].

    Formula: gravity falls along a lopsided sigmoid; least squares that a stray reading cannot pull far (Huber), with
    the attenuation usual for this yeast counted as one more reading; interval from the curvature there, by Student's
    t. Range 1.010 to 1.130, at least 3 readings, 0.990 to 1.130, 50 to 100 [%], 1 to 15 [%]. Raises CoreError `order`
    when no reading lies below the original gravity. Sources: robust-fit, student. Example: 1.048, 78 ± 5 %, at
    1.0102 after 96 h: 1.0102, from 1.0083 to 1.0121.
    """
    if min([sg for _, sg in readings]) >= original_sg:
        raise CoreError("order", "The gravity has not begun to fall.", field="readings")
    usual = [expected_pct / 100.0, _USUAL[0], _USUAL[1], _USUAL[2]]
    spread = [spread_pct / 100.0, _SPREAD[0], _SPREAD[1], _SPREAD[2]]
    fit = _Fit(original_sg, readings, usual, spread)
    fit.run()
    share = fit.spread_of_end()
    half = student(freedom=len(readings)) * (fit.drop * share + 0.0002)
    end = fit.original - fit.drop * fit.at[0]
    last, now = readings[-1]
    wait = _hours_to(fit, last)
    said = marks(original_sg)
    if share > 0.7 * spread[0]:
        said.append("Early: this rests mostly on what the yeast usually does.")
    if now < end - 0.002:
        said.append("The gravity is already below this forecast: read it again.")
    return {
        "end_sg": end,
        "low_sg": end - half,
        "high_sg": end + half,
        "attenuation_pct": 100.0 * fit.at[0],
        "left_deg": (now - end) * 1000.0,
        "wait_h": wait,
        "scatter_deg": fit.sigma * 1000.0,
        "marks": said,
    }


def _hours_to(fit: _Fit, last: float) -> float:
    """Hours after `last` until one degree of the fall is left."""
    left = 1.0 - min(1.0, 0.001 / (fit.drop * fit.at[0]))
    shape = _shape(fit.at)

    def short(hours: float) -> float:
        return _fall(hours, shape) - left

    if short(last) >= 0.0:
        return 0.0
    if short(last + 2000.0) <= 0.0:
        return 2000.0
    return float(root(short, last, last + 2000.0, within=1e-6)) - last


ROWS = [
    {
        "name": "terminal-gravity",
        "title": "Terminal gravity, forecast",
        "place": "cellar",
        "inputs": [
            number("original_sg", "Original gravity", "", "1.010", "1.130", 4),
            series(
                "readings",
                "Readings",
                [
                    number("hours", "Hours since pitching", "h", "0", "2000", 1),
                    number("sg", "Gravity", "", "0.990", "1.130", 4),
                ],
                rows=3,
                rising=True,
            ),
            number("expected_pct", "Attenuation usual for this yeast and wort", "%", "50", "100", 0, "78"),
            number("spread_pct", "Give or take", "%", "1", "15", 0, "5"),
        ],
        "formula": "A lopsided sigmoid fitted to the readings, a stray one counting less, and to the usual "
        "attenuation; the interval is where 95 in 100 should end.",
        "steps": [
            ["scatter_deg", "Scatter of the readings", "°", 1],
            ["attenuation_pct", "Apparent attenuation then", "%", 1],
        ],
        "results": [
            ["end_sg", "Terminal gravity", "", 4],
            ["low_sg", "Likely from", "", 4],
            ["high_sg", "Likely to", "", 4],
            ["left_deg", "Still to fall", "°", 1],
            ["wait_h", "Within 1 degree in", "h", 0],
        ],
        "sources": ["robust-fit", "student"],
        "assumptions": [
            "Gravities are of samples with the gas knocked out, at 20 °C; the temperature stays as it is.",
            "It does not replace the forced fermentation: release waits for that.",
        ],
        "function": forecast,
    },
]
