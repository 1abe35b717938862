"""Days of the calendar by count, without a clock: a day is a whole number, 0 being 1 January 1970."""

from . import numbers
from .errors import CoreError

_LENGTHS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


def leap(year: int) -> bool:
    """Whether `year` of the Gregorian calendar has a 29 February."""
    return year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)


def length(year: int, month: int) -> int:
    """Days in `month` (1 to 12) of `year`."""
    return 29 if month == 2 and leap(year) else _LENGTHS[month - 1]


def day(year: int, month: int, date: int) -> int:
    """The count of a day: whole years, leap days by the Gregorian rule, then months. Example: 2026-11-25 is 20782."""
    before = year - 1
    count = 365 * before + before // 4 - before // 100 + before // 400 - 719162
    for earlier in range(1, month):
        count += length(year, earlier)
    return count + date - 1


def parts(count: int) -> tuple[int, int, int]:
    """Year, month and date of a day's count; the reverse of `day`."""
    year = 1970 + count // 366
    while day(year + 1, 1, 1) <= count:
        year += 1
    left = count - day(year, 1, 1)
    month = 1
    while left >= length(year, month):
        left -= length(year, month)
        month += 1
    return year, month, left + 1


def parse(text: object) -> int:
    """The count of the day written as `2026-11-25`, 2000 to 2199; CoreError `not-a-date` otherwise."""
    if isinstance(text, str) and len(text) == 10 and text[4] == "-" and text[7] == "-":
        year, month, date = text[:4], text[5:7], text[8:]
        if numbers.plain_digits(year + month + date):
            found = (int(year), int(month), int(date))
            if (
                2000 <= found[0] < 2200
                and 1 <= found[1] <= 12
                and 1 <= found[2] <= length(found[0], found[1])
            ):
                return day(found[0], found[1], found[2])
    raise CoreError("not-a-date", "Write the day as year-month-day, as in 2026-11-25.")


def _two(n: int) -> str:
    return ("0" if n < 10 else "") + str(n)


def text(count: int) -> str:
    """A day's count written as `2026-11-25`."""
    year, month, date = parts(count)
    return str(year) + "-" + _two(month) + "-" + _two(date)


def day_of_year(count: int) -> int:
    """1 for 1 January."""
    return count - day(parts(count)[0], 1, 1) + 1


def add_months(count: int, months: int) -> int:
    """The same date `months` later, or the last day of a month that is too short for it."""
    year, month, date = parts(count)
    whole = year * 12 + month - 1 + months
    year, month = whole // 12, whole % 12 + 1
    last = length(year, month)
    return day(year, month, date if date < last else last)
