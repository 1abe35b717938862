"""Every rounding, comparison and display of a reading; nobody else rounds, formats or compares one.

A reading is a canonical decimal text: optional minus, digits, optional point and digits. Comparing and adding
are exact, on integers. Both runtimes give the same text for the same number.
"""

from math import floor, isfinite

from .errors import CoreError

LONGEST = 24
_SUM = 64
_GUARD = 1e-9


# texts read before: (canonical text, its digits as a whole number, digits after the point)
_READ: dict = {}
_KEPT = 1000


def _split(text: str) -> tuple[bool, str, str]:
    negative = text[:1] == "-"
    whole, _, part = (text[1:] if negative else text).partition(".")
    return negative, whole, part


def _read(text: object) -> tuple[str, int, int]:
    if not isinstance(text, str):
        raise CoreError("not-a-number", "Enter a number.")
    known = _READ.get(text)
    if known is None:
        known = _first_read(text)
        if len(_READ) >= _KEPT:
            _READ.clear()
        _READ[text] = known
    return known


def plain_digits(text: str) -> bool:
    """Whether `text` is 0 to 9 alone: `isdigit` takes the digits of other scripts too, and superscripts."""
    return text.isdigit() and len(text.encode()) == len(text)


def _first_read(text: str) -> tuple[str, int, int]:
    given = text.strip().replace(",", ".").replace("\u2212", "-")
    if given[:1] == "+":
        given = given[1:]
    negative, whole, part = _split(given)
    digits = whole + part
    if len(given) > _SUM or not plain_digits(digits) or given[-1:] == ".":
        raise CoreError("not-a-number", "This is not a number: " + text[:LONGEST])
    while len(whole) > 1 and whole[0] == "0":
        whole = whole[1:]
    units = int(digits)
    if negative:
        units = -units
    return ("-" if units < 0 else "") + (whole or "0") + ("." + part if part else ""), units, len(part)


def parse(text: object) -> str:
    """Canonical decimal text of what a person keyed; a comma is taken as the point.

    Up to 24 characters, no exponent, no grouping. Zeros after the point are kept: they say how finely it was read.
    Raises CoreError `not-a-number`. Example: ` 4,70` is `4.70`, `.5` is `0.5`, `-0` is `0`.
    """
    read = _read(text)[0]
    # what is added up may be longer than what is keyed
    if len(read) > LONGEST and len(str(text).strip().lstrip("+")) > LONGEST:
        raise CoreError("not-a-number", "This is not a number: " + str(text)[:LONGEST])
    return read


def _aligned(first: str, second: str) -> tuple[int, int, int]:
    _, units, places = _read(first)
    _, others, other = _read(second)
    if places < other:
        return units * 10 ** (other - places), others, other
    if places > other:
        others *= 10 ** (places - other)
    return units, others, places


def compare(first: str, second: str) -> int:
    """-1, 0 or 1 as `first` is below, equal to or above `second`, exactly. Example: `5.0` equals `5.00`."""
    left, right, _ = _aligned(first, second)
    return (left > right) - (left < right)


def plus(first: str, second: str) -> str:
    """The exact sum of two decimal texts, with the places of the finer. Example: `7.4` plus `-0.30` is `7.10`."""
    left, right, places = _aligned(first, second)
    return _written(left + right, places)


def _written(units: int, places: int) -> str:
    digits = str(abs(units))
    while len(digits) <= places:
        digits = "0" + digits
    text = digits if places == 0 else digits[: len(digits) - places] + "." + digits[len(digits) - places :]
    return "-" + text if units < 0 else text


def quantise(x: float, places: int) -> int:
    """`x` in whole units of 10^-places, halves away from zero; a guard of 1e-9 of a unit makes runtimes agree.

    Raises CoreError `not-a-number` for infinities, NaN and sizes above 1e15 units. Example: (2.345, 2) is 235.
    """
    if not isfinite(x) or abs(x) * 10.0**places > 1e15:
        raise CoreError("not-a-number", "The result is not a number that can be shown.")
    units = floor(abs(x) * 10.0**places + 0.5 + _GUARD)
    return -units if x < 0 else units


def text(x: float, places: int) -> str:
    """`x` written with `places` digits after the point. Example: (1.0405, 3) is `1.041`."""
    return _written(quantise(x, places), places)


def value(text: str) -> float:
    """The number a decimal text stands for; CoreError `not-a-number` otherwise."""
    return float(parse(text))
