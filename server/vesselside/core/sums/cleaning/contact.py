"""Contact time: minutes count only between readings that are both in the band, at the return."""

from vesselside.core.ground.errors import CoreError
from vesselside.core.sums.inputs import number, series


def contact_time(
    *, first_c: float, second_c: float, low_c: float, high_c: float, minutes: float, before_min: float
) -> dict:
    """Contact time [min] credited between two readings at the return, added to what was credited before.

    Formula: the minutes between them count only if both readings lie from `low_c` to `high_c`. Range 0 to 100 [°C], 0
    to 240 [min]. Raises CoreError `order` when the band is empty. Source: contact-both-in-band. Example: 58 and 56 °C
    ten minutes apart in a band of 50 to 65 °C credit 10 min.
    """
    if high_c < low_c:
        raise CoreError("order", "The upper end of the band lies below the lower.", field="high_c")
    counts = low_c <= first_c <= high_c and low_c <= second_c <= high_c
    credited = minutes if counts else 0.0
    marks = [] if counts else ["Not credited: a reading was out of band."]
    return {"credited_min": credited, "total_min": before_min + credited, "marks": marks}


def contact_time_logged(
    *, log: list, low_c: float, high_c: float, low_pct: float, most_gap_min: float
) -> dict:
    """Contact time [min] credited over a log of [minute, return °C, strength % w/v], with what was refused.

    Formula: sum of the minutes between neighbouring readings that are both from `low_c` to `high_c` and at `low_pct`
    or stronger, no further apart than `most_gap_min`. Range at least 2 readings, 0 to 100 [°C], 0 to 10 [%], 1 to 240
    [min]. Raises CoreError `order` when the band is empty. Source: contact-both-in-band. Example: 0, 10, 20 and 30
    min at 60, 60, 45 and 60 °C in 50 to 65 °C credit 10 of 30 min.
    """
    if high_c < low_c:
        raise CoreError("order", "The upper end of the band lies below the lower.", field="high_c")
    credited, longest, run = 0.0, 0.0, 0.0
    heat = 0.0
    gaps, out = 0, False
    for n in range(1, len(log)):
        minutes = log[n][0] - log[n - 1][0]
        heat += minutes * (log[n][1] + log[n - 1][1]) / 2.0
        good = True
        for _, temp, strength in (log[n - 1], log[n]):
            good = good and low_c <= temp <= high_c and strength >= low_pct
        out = out or not good
        if minutes > most_gap_min:
            good = False
            gaps += 1
        run = run + minutes if good else 0.0
        credited += minutes if good else 0.0
        longest = max(longest, run)
    span = log[-1][0] - log[0][0]
    marks = []
    if gaps:
        marks.append("Readings too far apart are not credited between.")
    if out:
        marks.append("Part was not credited: a reading was out of band.")
    return {
        "credited_min": credited,
        "longest_min": longest,
        "span_min": span,
        "mean_c": heat / span,
        "refused_min": span - credited,
        "marks": marks,
    }


_LOW = number("low_c", "Band from", "°C", "0", "100", 1)
_HIGH = number("high_c", "Band to", "°C", "0", "100", 1)
_RETURN = "Readings are taken at the return."

ROWS = [
    {
        "name": "contact-time",
        "title": "Contact time credited",
        "place": "cellar",
        "inputs": [
            number("first_c", "Return at the first reading", "°C", "0", "100", 1),
            number("second_c", "Return at the second reading", "°C", "0", "100", 1),
            _LOW,
            _HIGH,
            number("minutes", "Minutes between them", "min", "0", "240", 1),
            number("before_min", "Credited before", "min", "0", "1440", 1, "0"),
        ],
        "formula": "The minutes between two readings count only when both are in the band.",
        "steps": [["credited_min", "Credited now", "min", 1]],
        "results": [["total_min", "Contact time", "min", 1]],
        "sources": ["contact-both-in-band"],
        "assumptions": [_RETURN],
        "function": contact_time,
    },
    {
        "name": "contact-time-logged",
        "title": "Contact time over a log",
        "place": "cellar",
        "inputs": [
            series(
                "log",
                "Return",
                [
                    number("minute", "Minute", "min", "0", "1440", 1),
                    number("temp_c", "Return", "°C", "0", "100", 1),
                    number("strength_pct", "Strength", "% w/v", "0", "10", 2),
                ],
                rows=2,
                rising=True,
            ),
            _LOW,
            _HIGH,
            number("low_pct", "Strength at least", "% w/v", "0", "10", 2, "0"),
            number("most_gap_min", "Readings no further apart than", "min", "1", "240", 0, "15"),
        ],
        "formula": "Sum of the minutes between neighbouring readings that are both in the band.",
        "steps": [
            ["span_min", "Logged", "min", 1],
            ["mean_c", "Mean of the return", "°C", 1],
            ["refused_min", "Not credited", "min", 1],
        ],
        "results": [
            ["credited_min", "Contact time", "min", 1],
            ["longest_min", "Longest without a break", "min", 1],
        ],
        "sources": ["contact-both-in-band"],
        "assumptions": [_RETURN],
        "function": contact_time_logged,
    },
]
