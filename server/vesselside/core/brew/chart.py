"""Where a fermentation's readings lie on a drawing, in thousandths of its width and height, so that screens do no sums.

Time runs from the left, in whole days; gravity and temperature each rise on a scale of their own.
"""

from math import ceil, floor

from vesselside.core.ground.numbers import quantise, text, value

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Literal

    from vesselside.core.shapes import AxisMark, Chart, Curve, ForecastBand, Point, Working

    Reading = Literal["gravity", "temperature", "hours"]

DAY_H = 24.0
GRAVITY_STEP = 0.010
WARMTH_STEP = 5.0
MOST_DAY_MARKS = 8
_DRAWN = {"gravity": (0.9, 1.2), "temperature": (-20.0, 120.0)}
"""What beer can read; a slip of the thumb beyond it stands in the table, and would leave nothing to be seen here."""


def _place(at: float, low: float, high: float) -> int:
    return quantise(1000.0 * (at - low) / (high - low), 0)


def _scale(readings: list[float], step: float) -> tuple[float, float]:
    """The marks just outside the readings, at least one step apart."""
    low = floor(min(readings) / step + 1e-6) * step
    high = ceil(max(readings) / step - 1e-6) * step
    return low, high if high > low else low + step


def _marks(low: float, high: float, step: float, places: int) -> "list[AxisMark]":
    found: list[AxisMark] = []
    for n in range(quantise((high - low) / step, 0) + 1):
        at = low + n * step
        found.append({"at": 1000 - _place(at, low, high), "text": text(at, places)})
    return found


def _days(hours: float) -> "list[AxisMark]":
    whole = max(1, ceil(hours / DAY_H - 1e-6))
    every = ceil(whole / MOST_DAY_MARKS)
    return [{"at": _place(day, 0.0, whole), "text": str(day)} for day in range(0, whole + 1, every)]


def _drawn(point: "Point", name: "Reading") -> float | None:
    """Such a reading of a point; None when there is none, or none that can be drawn."""
    said = point[name]
    if said is None:
        return None
    low, high = _DRAWN.get(name, (0.0, float("inf")))
    return value(said) if low <= value(said) <= high else None


def _line(
    curve: "list[Point]", name: "Reading", days: float, scale: tuple[float, float]
) -> "list[tuple[int, int]]":
    found: list[tuple[int, int]] = []
    for point in curve:
        read = _drawn(point, name)
        if read is not None:
            across = _place(value(point["hours"]), 0.0, days * DAY_H)
            found.append((across, 1000 - _place(read, scale[0], scale[1])))
    return found


def _of(curves: "list[list[Point]]", name: "Reading") -> list[float]:
    read = [_drawn(point, name) for curve in curves for point in curve]
    return [reading for reading in read if reading is not None]


def chart(
    curve: "list[Point]", before: "list[Point]", forecast: "Working | None", planned: str | None
) -> "Chart | None":
    """The drawing of a fermentation, the brew `before` it on the same scales, its forecast and the planned end.

    All from 0 to 1000, y downwards; None without a gravity to draw. What no beer reads is left out.
    Example: a reading of 1.042 lies at 800 on a scale from 1.040 to 1.050.
    """
    gravities = _of([curve, before], "gravity")
    if not _of([curve], "gravity"):
        return None
    ends: dict[str, float] = {}
    if forecast is not None:
        for row in forecast["results"]:
            if row["id"] in ("end_sg", "low_sg", "high_sg"):
                ends[row["id"]] = value(row["value"])
    if planned is not None:
        gravities.append(value(planned))
    scale = _scale(gravities + [ends[key] for key in ends], GRAVITY_STEP)
    warmths = _of([curve, before], "temperature")
    warmth = _scale(warmths, WARMTH_STEP) if warmths else (0.0, WARMTH_STEP)
    hours = max(_of([curve, before], "hours"))
    days = max(1, ceil(hours / DAY_H - 1e-6))
    lines: list[Curve] = []
    both: list[tuple[Literal["now", "before"], list[Point]]] = [("now", curve), ("before", before)]
    for key, points in both:
        if points:
            lines.append(
                {
                    "id": key,
                    "gravity": _line(points, "gravity", days, scale),
                    "temperature": _line(points, "temperature", days, warmth),
                }
            )
    drawn: ForecastBand | None = None
    if ends:
        drawn = {
            "end": 1000 - _place(ends["end_sg"], scale[0], scale[1]),
            "low": 1000 - _place(ends["low_sg"], scale[0], scale[1]),
            "high": 1000 - _place(ends["high_sg"], scale[0], scale[1]),
        }
    return {
        "days": _days(hours),
        "gravity": _marks(scale[0], scale[1], GRAVITY_STEP, 3),
        "temperature": _marks(warmth[0], warmth[1], WARMTH_STEP, 0) if warmths else [],
        "lines": lines,
        "forecast": drawn,
        "planned": None if planned is None else 1000 - _place(value(planned), scale[0], scale[1]),
    }
