"""Control of the fill by mean and range: limits from past samples of five, and judging one more."""

from vesselside.core.sums.inputs import number, series

FIVE = 5
D2, D3 = 2.326, 0.864
"""Mean and standard deviation of the range of five normal values, in their standard deviations."""


def chart_limits(*, samples: list) -> dict:
    """Centre, spread and limits [mL] of a mean and range chart, from past samples of five.

    Formula: spread = mean range / 2.326; limits of the mean at 3 spread / root 5 either side, warning at two thirds; of
    the range at mean range x (1 + 3 x 0.864 / 2.326). Range at least 10 samples, 1 to 30000 [mL]. Fewer than 20 are
    marked. Source: mean-range. Example: mean range 9.3 gives a spread of 4.00 and limits 5.36 either side.
    """
    means = [sum(row) / FIVE for row in samples]
    ranges = [max(row) - min(row) for row in samples]
    centre = sum(means) / len(means)
    typical = sum(ranges) / len(ranges)
    spread = typical / D2
    reach = 3.0 * spread / FIVE**0.5
    top = typical * (1.0 + 3.0 * D3 / D2)
    out = 0
    for n in range(len(means)):
        if abs(means[n] - centre) > reach or ranges[n] > top:
            out += 1
    marks = []
    if len(samples) < 20:
        marks.append("Fewer than 20 samples: set the limits again when there are more.")
    if out:
        marks.append("Some of these samples lie outside: find the cause and leave them out.")
    between = sum([(mean - centre) ** 2 for mean in means]) / (len(means) - 1)
    return {
        "centre_ml": centre,
        "spread_ml": spread,
        "low_ml": centre - reach,
        "high_ml": centre + reach,
        "warn_low_ml": centre - reach * 2.0 / 3.0,
        "warn_high_ml": centre + reach * 2.0 / 3.0,
        "range_ml": typical,
        "top_ml": top,
        "wander_ml": max(0.0, between - spread**2 / FIVE) ** 0.5,
        "outside": out,
        "marks": marks,
    }


def chart_sample(
    *,
    one_ml: float,
    two_ml: float,
    three_ml: float,
    four_ml: float,
    five_ml: float,
    centre_ml: float,
    spread_ml: float,
    before: float,
) -> dict:
    """Mean and range of one sample of five [mL], and what to do, against the chart's centre and spread.

    Formula: act outside 3 spread / root 5 of the centre, or with a range above 2.326 + 3 x 0.864 = 4.918 spreads, or
    at a second warning in a row on one side (`before`: 1 if the last mean was warned high, -1 low, 0 not). Range 1 to
    30000 [mL], 0.01 to 500 [mL]. Source: mean-range. Example: mean 446.2 on a centre of 440 and a spread of 4: act,
    too full.
    """
    values = [one_ml, two_ml, three_ml, four_ml, five_ml]
    mean = sum(values) / FIVE
    spread = max(values) - min(values)
    off = (mean - centre_ml) / (spread_ml / FIVE**0.5)
    side = 1.0 if off > 2.0 else -1.0 if off < -2.0 else 0.0
    verdict = "In control"
    if spread > (D2 + 3.0 * D3) * spread_ml:
        verdict = "Act: one head or can differs"
    elif abs(off) > 3.0 or (side != 0.0 and side == before):
        verdict = "Act: too full" if off > 0.0 else "Act: too low"
    elif side != 0.0:
        verdict = "Warned: sample again now"
    marks = [] if verdict == "In control" else ["What was packed since the last good sample goes on hold."]
    if verdict[:6] == "Warned":
        marks = []
    return {
        "mean_ml": mean,
        "range_ml": spread,
        "off": off,
        "side": side,
        "verdict": verdict,
        "marks": marks,
    }


def _ml(key: str, label: str) -> dict:
    return number(key, label, "mL", "1", "30000", 1)


ROWS = [
    {
        "name": "fill-chart-limits",
        "title": "Limits of the fill chart",
        "place": "packaging",
        "inputs": [
            series(
                "samples",
                "Samples of five",
                [
                    _ml("one", "First"),
                    _ml("two", "Second"),
                    _ml("three", "Third"),
                    _ml("four", "Fourth"),
                    _ml("five", "Fifth"),
                ],
                rows=10,
                most=100,
            )
        ],
        "formula": "Spread = mean range ÷ 2.326; mean limits = centre ± 3 × spread ÷ √5; range limit = 2.114 "
        "× mean range.",
        "steps": [
            ["range_ml", "Mean range", "mL", 2],
            ["warn_low_ml", "Warning from", "mL", 1],
            ["warn_high_ml", "Warning to", "mL", 1],
            ["outside", "Samples outside", "", 0],
        ],
        "results": [
            ["centre_ml", "Centre", "mL", 1],
            ["low_ml", "Mean from", "mL", 1],
            ["high_ml", "Mean to", "mL", 1],
            ["top_ml", "Range to", "mL", 1],
            ["spread_ml", "Spread of single packages", "mL", 2],
            ["wander_ml", "Wander of the mean", "mL", 2],
        ],
        "sources": ["mean-range"],
        "assumptions": ["Five packages in a row from each head or lane, every time; fills scatter normally."],
        "function": chart_limits,
    },
    {
        "name": "fill-chart-sample",
        "title": "A sample on the fill chart",
        "place": "packaging",
        "inputs": [
            _ml("one_ml", "First"),
            _ml("two_ml", "Second"),
            _ml("three_ml", "Third"),
            _ml("four_ml", "Fourth"),
            _ml("five_ml", "Fifth"),
            _ml("centre_ml", "Centre of the chart"),
            number("spread_ml", "Spread of single packages", "mL", "0.01", "500", 2),
            number("before", "Last mean: 1 warned high, −1 low, 0 not", "", "-1", "1", 0, "0", whole=True),
        ],
        "formula": "Off = (mean − centre) ÷ (spread ÷ √5): act beyond 3 or at a second warning beyond 2; "
        "act on a range above 4.918 × spread.",
        "steps": [["off", "Off the centre, in its own spread", "", 2], ["side", "To enter next time", "", 0]],
        "results": [
            ["verdict", "Verdict", "", None],
            ["mean_ml", "Mean", "mL", 1],
            ["range_ml", "Range", "mL", 1],
        ],
        "sources": ["mean-range"],
        "assumptions": ["This is the packer's own control; the reference test is another thing."],
        "function": chart_sample,
    },
]
