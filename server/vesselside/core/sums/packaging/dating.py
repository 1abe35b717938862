"""What is printed on a package: best before, and lot mark."""

from vesselside.core.ground import days
from vesselside.core.ground.errors import CoreError
from vesselside.core.sums.inputs import choice, date, number


def best_before(*, packed: int, oldest: int, life: float, unit: str) -> dict:
    """Best-before date from the day of packing and the shelf life [months, weeks or days].

    Formula: the shelf life from the oldest beer in the package, by the calendar; a month ends on its last day when
    the date is not in it. Range 1 to 730. Raises CoreError `order` when the oldest beer is younger than the package.
    Source: food-information. Example: packed and oldest 2026-08-31, 6 months: 2027-02-28.
    """
    if oldest > packed:
        raise CoreError("order", "The oldest beer cannot be younger than the package.", field="oldest")
    count = int(life)
    if unit == "months":
        end = days.add_months(oldest, count)
    else:
        end = oldest + count * (7 if unit == "weeks" else 1)
    if end <= packed:
        raise CoreError("order", "Its shelf life is over already: it may not be packed.", field="oldest")
    year, month, last = days.parts(end)
    marks = []
    if oldest < packed:
        marks.append("Counted from the oldest beer in it.")
    # the month's end must not lie beyond the shelf life
    month_end = end if last == days.length(year, month) else end - last
    return {
        "date": days.text(end),
        "month_end": days.text(month_end) if month_end > packed else "not for so short a life",
        "days": end - packed,
        "marks": marks,
    }


def lot_mark(*, packed: int, run: float) -> dict:
    """Lot mark of a day's run: L, year, day of the year, run.

    Formula: L + last two digits of the year + day of the year as three digits + - + run. Range run 1 to 99. Source:
    lot-marking. Example: 2026-11-25, run 1 is L26329-1.
    """
    day = days.day_of_year(packed)
    digits = str(day)
    while len(digits) < 3:
        digits = "0" + digits
    year = str(days.parts(packed)[0])[2:]
    return {"mark": "L" + year + digits + "-" + str(int(run)), "day": day}


_PACKED = date("packed", "Packed on")

ROWS = [
    {
        "name": "best-before",
        "title": "Best before",
        "place": "packaging",
        "inputs": [
            _PACKED,
            date("oldest", "Oldest beer in it packed or made on"),
            number("life", "Shelf life", "", "1", "730", 0, whole=True),
            choice(
                "unit", "Counted in", [["months", "Months"], ["weeks", "Weeks"], ["days", "Days"]], "months"
            ),
        ],
        "formula": "Best before = the oldest beer's day + shelf life.",
        "steps": [["days", "Days from packing", "d", 0]],
        "results": [
            ["date", "Best before", "", None],
            ["month_end", "Or best before the end of the month that ends", "", None],
        ],
        "sources": ["food-information"],
        "assumptions": [
            "A blend takes its shelf life from its oldest part; local law decides how it is written."
        ],
        "function": best_before,
    },
    {
        "name": "lot-mark",
        "title": "Lot mark",
        "place": "packaging",
        "inputs": [_PACKED, number("run", "Run of the day", "", "1", "99", 0, "1", whole=True)],
        "formula": "L + year + day of the year + run.",
        "steps": [["day", "Day of the year", "", 0]],
        "results": [["mark", "Lot mark", "", None]],
        "sources": ["lot-marking"],
        "assumptions": ["One product, one line, one run: a new mark after a change of product."],
        "function": lot_mark,
    },
]
