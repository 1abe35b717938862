"""The average-quantity rules, 5 mL to 25 L: tolerable error, where to set the filler, and the reference test."""

from vesselside.core.ground import numbers
from vesselside.core.ground.errors import CoreError
from vesselside.core.sums.inputs import choice, number, series

# nominal volume up to [mL]: tolerable negative error in thousandths of nominal, or in tenths of a mL (one is zero)
_ERRORS = (
    (50, 90, 0),
    (100, 0, 45),
    (200, 45, 0),
    (300, 0, 90),
    (500, 30, 0),
    (1000, 0, 150),
    (10000, 15, 0),
    (15000, 0, 1500),
    (25000, 10, 0),
)

# batch from: size of a sample, accept and reject at the first, accept and reject at both together
_DOUBLE = ((3201, 80, 3, 7, 8, 9), (501, 50, 2, 5, 6, 7), (100, 30, 1, 3, 4, 5))
# batch from: size of the sample, accept and reject
_SINGLE = ((3201, 125, 7, 8), (501, 80, 5, 6), (100, 50, 3, 4))
_DESTRUCTIVE = (20, 1, 2)
_LARGEST = 10000
_MEAN_FACTORS = {"small": (30, 0.503), "large": (50, 0.379), "destructive": (20, 0.640)}


def _error_tenths(nominal_ml: float) -> int:
    """Tolerable negative error in whole tenths of a mL, percentages rounded up as the rules say."""
    nominal = numbers.quantise(nominal_ml, 1)
    for most, share, tenths in _ERRORS:
        if nominal <= most * 10:
            return tenths or -(-nominal * share // 1000)
    raise CoreError("out-of-range", "These rules hold from 5 mL to 25 L.", field="nominal_ml")


def tolerable_negative_error(*, nominal_ml: float) -> dict:
    """Tolerable negative error, T1 and T2 [mL] for packages of `nominal_ml`, 5 mL to 25 L.

    Formula: the table of Directive 76/211/EEC Annex I, percentages rounded up to a tenth of a mL; T1 = nominal - error,
    T2 = nominal - twice the error. Range 5 to 25000 [mL]. Raises CoreError `out-of-range`. Source: average-quantity.
    Example: 440 mL has an error of 13.2, T1 426.8, T2 413.6 mL.
    """
    error = _error_tenths(nominal_ml) / 10.0
    return {"error_ml": error, "t1_ml": nominal_ml - error, "t2_ml": nominal_ml - 2.0 * error}


# nominal volume up to [mL]: least height of its figures [mm]
_HEIGHTS = ((50, 2), (200, 3), (1000, 4))
_TALLEST = 6


def marking_height(*, nominal_ml: float) -> dict:
    """Least height of the figures that mark the volume on a package [mm], for `nominal_ml`, 5 mL to 25 L.

    Formula: 2 mm up to 50 mL, 3 mm up to 200 mL, 4 mm up to 1 L, 6 mm above. Range 5 to 25000 [mL].
    Source: marking-height. Example: 440 mL wants figures of 4 mm.
    """
    for most, height in _HEIGHTS:
        if nominal_ml <= most:
            return {"height_mm": float(height)}
    return {"height_mm": float(_TALLEST)}


def fill_target(*, nominal_ml: float, spread_ml: float, wander_ml: float) -> dict:
    """Mean to set the filler to [mL], so that the packers' three rules hold.

    Formula: the largest of nominal, T1 + 1.960 s and T2 + 3.719 s, s the root of spread² + wander²: on average full, at
    most 1 in 40 below T1, 1 in 10 000 below T2. Range 5 to 25000 [mL], 0.01 to 500, 0 to 500 [mL].
    Sources: average-quantity, packers-rules. Example: 440 mL with a spread of 4 and a wander of 2: 440.0 mL.
    """
    limits = tolerable_negative_error(nominal_ml=nominal_ml)
    whole = (spread_ml**2 + wander_ml**2) ** 0.5
    for_t1 = limits["t1_ml"] + 1.960 * whole
    for_t2 = limits["t2_ml"] + 3.719 * whole
    target = max(nominal_ml, for_t1, for_t2)
    return {
        "target_ml": target,
        "over_ml": target - nominal_ml,
        "whole_ml": whole,
        "for_t1_ml": for_t1,
        "for_t2_ml": for_t2,
        "error_ml": limits["error_ml"],
    }


def _stages(batch: float, way: str) -> list:
    """Each number that may be measured, with how many may be defective and how many reject, at most."""
    if batch < 100:
        if way == "opened":
            raise CoreError("wrong-sample", "Fewer than 100 are not opened: measure them all.", field="way")
        # all of them, and one in twenty may be defective
        return [(int(batch), int(batch) // 20, int(batch) // 20 + 1)]
    if way == "opened":
        return [_DESTRUCTIVE]
    if way == "single":
        return [row[1:] for row in _SINGLE if batch >= row[0]][:1]
    _, size, one, two, three, four = next(row for row in _DOUBLE if batch >= row[0])
    return [(size, one, two), (2 * size, three, four)]


def reference_test(*, nominal_ml: float, batch: float, way: str, contents: list) -> dict:
    """The inspector's reference test of a batch: packages below T1 counted, and the mean judged.

    Formula: defective are contents below T1, against the double or the single plan for the batch; the mean passes at
    nominal - 0.503 s (30), 0.379 s (50) or 0.640 s (20, opened). Fewer than 100 packages are all measured: 5 % may be
    defective, and the mean is at least nominal. Range 5 to 25000 [mL], 20 to 1000000 packages, 20 to 160 contents; the
    mean is of the first of them. A batch above 10 000 is marked: only an hour's output may be larger. Raises CoreError
    `wrong-sample` when the number measured fits no stage of the plan. It is apart from the packer's own control.
    Source: reference-test. Example: 30 of 440 mL, one below 426.8, mean 441.0 with a deviation of 5: accepted.
    """
    limits = tolerable_negative_error(nominal_ml=nominal_ml)
    values = [row[0] for row in contents]
    defective = len([value for value in values if value < limits["t1_ml"]])
    stages = _stages(batch, way)
    if batch < 100:
        wanted, factor = int(batch), 0.0
    else:
        wanted, factor = _MEAN_FACTORS[
            "destructive" if way == "opened" else "small" if batch <= 500 else "large"
        ]
    marks = ["The packer's own control is by mean and range, and must hold before this is ever asked for."]
    if batch > _LARGEST:
        marks.append("More than 10 000: only as the line's output of an hour, checked at its end.")
    accept, reject = -1, -1
    for size, low, high in stages:
        if len(values) == size:
            accept, reject = low, high
    if accept < 0:
        sizes = " or ".join([str(stage[0]) for stage in stages])
        raise CoreError("wrong-sample", "This plan measures " + sizes + " packages.", field="contents")
    first = values[:wanted]
    mean = sum(first) / len(first)
    spread = (sum([(value - mean) ** 2 for value in first]) / (len(first) - 1)) ** 0.5
    least = nominal_ml - factor * spread
    return {
        "defective": defective,
        "accept": accept,
        "reject": reject,
        "mean_ml": mean,
        "spread_ml": spread,
        "least_ml": least,
        "t1_ml": limits["t1_ml"],
        "verdict": _verdict(defective, accept, reject, mean >= least),
        "marks": marks,
    }


def _verdict(defective: int, accept: int, reject: int, full: bool) -> str:
    if not full:
        return "Rejected on the mean"
    if defective >= reject:
        return "Rejected on single packages"
    return "Accepted" if defective <= accept else "A second sample is to be measured"


_NOMINAL = number("nominal_ml", "Nominal volume", "mL", "5", "25000", 0)

ROWS = [
    {
        "name": "tolerable-negative-error",
        "title": "Tolerable negative error",
        "place": "packaging",
        "inputs": [_NOMINAL],
        "formula": "From the table of the average-quantity rules; "
        "T1 = nominal − error, T2 = nominal − twice the error.",
        "steps": [],
        "results": [
            ["error_ml", "Tolerable negative error", "mL", 1],
            ["t1_ml", "T1: at most 2.5 % below", "mL", 1],
            ["t2_ml", "T2: none below", "mL", 1],
        ],
        "sources": ["average-quantity"],
        "assumptions": ["Packages of one nominal volume; local law decides."],
        "function": tolerable_negative_error,
    },
    {
        "name": "marking-height",
        "title": "Height of the volume on the label",
        "place": "packaging",
        "inputs": [_NOMINAL],
        "formula": "2 mm up to 50 mL, 3 mm up to 200 mL, 4 mm up to 1 L, 6 mm above.",
        "steps": [],
        "results": [["height_mm", "Figures at least", "mm", 0]],
        "sources": ["marking-height"],
        "assumptions": ["The figures of the quantity alone; local law decides."],
        "function": marking_height,
    },
    {
        "name": "fill-target",
        "title": "Where to set the filler",
        "place": "packaging",
        "inputs": [
            _NOMINAL,
            number("spread_ml", "Spread of single packages", "mL", "0.01", "500", 2),
            number("wander_ml", "Wander of the mean between samples", "mL", "0", "500", 2, "0"),
        ],
        "formula": "The largest of nominal, T1 + 1.960 × spread, and T2 + 3.719 × spread; "
        "spread and wander added as squares.",
        "steps": [
            ["whole_ml", "Spread and wander", "mL", 2],
            ["error_ml", "Tolerable negative error", "mL", 1],
            ["for_t1_ml", "For 1 in 40 below T1", "mL", 1],
            ["for_t2_ml", "For 1 in 10 000 below T2", "mL", 1],
        ],
        "results": [["target_ml", "Mean to fill to", "mL", 1], ["over_ml", "Given away", "mL", 1]],
        "sources": ["average-quantity", "packers-rules"],
        "assumptions": ["Fills scatter normally; the scales' own error is to be added by the site."],
        "function": fill_target,
    },
    {
        "name": "reference-test",
        "title": "Reference test of a batch",
        "place": "packaging",
        "inputs": [
            _NOMINAL,
            number("batch", "Packages in the batch", "", "20", "1000000", 0, whole=True),
            choice(
                "way",
                "Packages are",
                [
                    ["whole", "Weighed whole, double plan"],
                    ["single", "Weighed whole, single plan"],
                    ["opened", "Opened"],
                ],
                "whole",
            ),
            series(
                "contents",
                "Contents",
                [number("ml", "Contents at 20 °C", "mL", "1", "30000", 1)],
                rows=20,
                most=400,
            ),
        ],
        "formula": "Packages below T1 counted against the plan; "
        "mean at least nominal − the plan's factor × standard deviation.",
        "steps": [
            ["t1_ml", "T1", "mL", 1],
            ["accept", "Accepted up to", "", 0],
            ["reject", "Rejected from", "", 0],
            ["mean_ml", "Mean", "mL", 2],
            ["spread_ml", "Standard deviation", "mL", 2],
            ["least_ml", "Mean at least", "mL", 2],
        ],
        "results": [["verdict", "Batch", "", None], ["defective", "Below T1", "", 0]],
        "sources": ["reference-test", "average-quantity"],
        "assumptions": [
            "An hour's output, or a batch of at most 10 000, sampled at random; local law decides.",
            "The single plan is the United Kingdom's.",
        ],
        "function": reference_test,
    },
]
