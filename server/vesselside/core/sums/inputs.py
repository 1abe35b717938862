"""What a calculation can be given: numbers, choices, dates and logged series, described as data and read from text."""

from vesselside.core.ground import days, numbers
from vesselside.core.ground.errors import CoreError

TYPE_CHECKING = False
if TYPE_CHECKING:
    from vesselside.core.shapes import GivenFigure

MOST_ROWS = 60
"""Rows of a table unless its calculation takes more: they bound the work of every sum."""


def number(
    key: str,
    label: str,
    unit: str,
    least: str,
    most: str,
    places: int,
    default: str | None = None,
    *,
    optional: bool = False,
    whole: bool = False,
) -> dict:
    """One number from `least` to `most`, decimal texts in `unit`; `places` digits are asked for, none if `whole`."""
    row: dict = {"id": key, "label": label, "unit": unit, "min": least, "max": most, "places": places}
    if default is not None:
        row["default"] = default
    if optional:
        row["optional"] = True
    if whole:
        row["whole"] = True
    return row


def choice(key: str, label: str, options: list, default: str | None = None) -> dict:
    """One of `options`, each `[id, label]`."""
    row: dict = {"id": key, "label": label, "unit": "", "kind": "choice", "options": options}
    if default is not None:
        row["default"] = default
    return row


def date(key: str, label: str) -> dict:
    """A day, as `2026-11-25`."""
    return {"id": key, "label": label, "unit": "", "kind": "date"}


def series(
    key: str, label: str, columns: list, *, rows: int, most: int = MOST_ROWS, rising: bool = False
) -> dict:
    """A table of `rows` to `most` rows, its columns described as numbers; `rising` wants the first column to rise."""
    row: dict = {"id": key, "label": label, "unit": "", "kind": "series", "columns": columns, "rows": rows}
    row["most"] = most
    if rising:
        row["rising"] = True
    return row


def read(field: dict, given: object) -> "tuple[object, GivenFigure]":
    """What the function gets, and the working's line, for one input; `given` is text, or a list of rows of text.

    Where the line's value is not what was given (a choice by its label, a table by its length), `given` holds that,
    so that a record of the line can be worked again.

    Raises CoreError `needed`, `not-a-number`, `not-whole`, `no-such-choice`, `not-a-date`, `too-few`, `too-many`,
    `bad-row`, `order` or `out-of-range`; it names the input and says what holds.
    """
    if given is None or given == "":
        given = field.get("default")
    if given is None:
        if field.get("optional"):
            return None, _line(field, "")
        raise CoreError("needed", "Enter: " + field["label"], field=field["id"])
    kind = field.get("kind", "number")
    if kind == "choice":
        return _choice(field, given)
    if kind == "date":
        return _date(field, given)
    if kind == "series":
        return _series(field, given)
    text = _within(field, given, field["id"], "")
    return numbers.value(text), _line(field, text)


def same(first: str, second: str) -> bool:
    """Whether two texts give an input the same value: numbers by size, tables cell by cell, all else by the letter."""
    left, right = _split(first), _split(second)
    if len(left) != len(right):
        return False
    for row, other in zip(left, right):
        if len(row) != len(other):
            return False
        for cell, there in zip(row, other):
            if cell != there and not _equal(cell, there):
                return False
    return True


def _equal(first: str, second: str) -> bool:
    try:
        return numbers.compare(first, second) == 0
    except CoreError:
        # not numbers: they differ by the letter
        return False


def _line(field: dict, value: str) -> "GivenFigure":
    return {"id": field["id"], "label": field["label"], "value": value, "unit": field["unit"]}


def _within(field: dict, given: object, key: str, place: str) -> str:
    try:
        text = numbers.parse(given)
    except CoreError as error:
        raise CoreError(error.code, field["label"] + place + ": " + error.text, field=key)
    if numbers.compare(text, field["min"]) < 0 or numbers.compare(text, field["max"]) > 0:
        unit = " " + field["unit"] if field["unit"] else ""
        said = field["label"] + place + ": " + text + unit + ". This sum holds from "
        said += field["min"] + " to " + field["max"] + unit + "."
        raise CoreError("out-of-range", said, field=key)
    if field.get("whole") and "." in text:
        raise CoreError("not-whole", field["label"] + place + ": enter a whole number.", field=key)
    return text


def _choice(field: dict, given: object) -> "tuple[object, GivenFigure]":
    for key, label in field["options"]:
        if given == key:
            line = _line(field, label)
            line["given"] = key
            return key, line
    raise CoreError(
        "no-such-choice", field["label"] + ": choose one of the answers shown.", field=field["id"]
    )


def _date(field: dict, given: object) -> "tuple[object, GivenFigure]":
    try:
        day = days.parse(given)
    except CoreError as error:
        raise CoreError(error.code, field["label"] + ": " + error.text, field=field["id"])
    return day, _line(field, days.text(day))


def _split(given: object) -> list:
    if not isinstance(given, str):
        return list(given) if isinstance(given, (list, tuple)) else []
    rows = []
    for part in given.replace("\n", ";").split(";"):
        cells = part.split()
        if cells:
            rows.append(cells)
    return rows


def _series(field: dict, given: object) -> "tuple[object, GivenFigure]":
    key, label, columns = field["id"], field["label"], field["columns"]
    rows = _split(given)
    if len(rows) < field["rows"]:
        raise CoreError("too-few", label + ": at least " + str(field["rows"]) + " are needed.", field=key)
    if len(rows) > field["most"]:
        raise CoreError("too-many", label + ": at most " + str(field["most"]) + " rows.", field=key)
    found = []
    texts: list = []
    for at in range(len(rows)):
        place = ", row " + str(at + 1)
        if not isinstance(rows[at], (list, tuple)) or len(rows[at]) != len(columns):
            wanted = ", ".join([column["label"] for column in columns])
            raise CoreError("bad-row", label + place + " needs: " + wanted, field=key)
        cells = [_within(columns[n], rows[at][n], key, place) for n in range(len(columns))]
        if field.get("rising") and texts and numbers.compare(cells[0], texts[-1][0]) <= 0:
            said = label + place + " must come after the row before."
            raise CoreError("order", said, field=key)
        texts.append(cells)
        found.append([numbers.value(cell) for cell in cells])
    line = _line(field, str(len(texts)))
    line["rows"] = texts
    line["given"] = "; ".join([" ".join(cells) for cells in texts])
    return found, line
