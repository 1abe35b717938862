"""What a fold makes of an entry: judged again by the bounds, worked again by its sum, and void once either has moved.

A live entry worked from others, or judged by them, counts only while they are what they were: once one of them is
entered again with another value, struck, settled otherwise or void itself, the entry is *stale*.
"""

from vesselside.core import VERSION
from vesselside.core.ground import numbers
from vesselside.core.ground.errors import CoreError
from vesselside.core.sums import calculations, inputs

from . import limits
from .fields import Field, Made
from .procedure import footing
from .record import Record

TYPE_CHECKING = False
if TYPE_CHECKING:
    from vesselside.core.shapes import Entry, FoldFinding, Given

    from .ledger import Run

WORKED = "What it was worked from has changed."
JUDGED = "What it is judged by has changed."


def again(run: "Run", record: Record, row: "Entry", made: Made) -> "list[tuple[FoldFinding, str]]":
    """Judge an entry as it was made, and fill in what that says; (code, more words) of what is to be found of it."""
    found: list[tuple[FoldFinding, str]] = []
    if row["kind"] in ("reading", "count") and numbers.compare(
        numbers.parse(made.typed), numbers.parse(made.value)
    ):
        found.append(("typed-differs", made.typed))
    try:
        judged = limits.judge(row, made.value, run)
    except CoreError as error:
        if error.code != "limit-needs":
            raise
        found.append(("unjudged", error.text))
        return found
    made.advice, made.source, made.limit = judged["advice"], judged["source"], judged["limit"]
    made.judged = judged["verdict"]
    if not made.struck:
        raised = run.steps[record.step].raised
        raised.extend([caution for caution in judged["raises"] if caution not in raised])
    if judged["verdict"] != made.verdict:
        found.append(("verdict-differs", judged["verdict"]))
        if record.core == VERSION:
            made.verdict = limits.worse(judged["verdict"], made.verdict)
    if made.how == "worked":
        found.extend(_worked_again(run, row, made))
    return found


def _worked_again(run: "Run", row: "Entry", made: Made) -> "list[tuple[FoldFinding, str]]":
    if not ("works" in row or made.calculation) or made.given is None:
        return [("sum-differs", "its inputs are not recorded")]
    found: list[tuple[FoldFinding, str]] = []
    try:
        values = limits.again(row, run, made.calculation or None, made.given)
        if row.get("instrument") and "works" not in row:
            found.append(("sum-for-reading", calculations.find(made.calculation)["title"]))
    except CoreError as error:
        return [("sum-differs", error.text)]
    if not [value for value in values if numbers.compare(value, made.value) == 0]:
        found.append(("sum-differs", ", ".join(values) or "in another unit"))
    return found


def stale(run: "Run", field: Field) -> dict[str, str]:
    """The live entries of a field whose footing has gone, and why: `{event: words}`."""
    found = {}
    for key in field.live:
        made = field.made[key]
        if _moved(run, field.row, made):
            found[key] = WORKED
        elif _judged_otherwise(run, field.row, made):
            found[key] = JUDGED
    return found


class _Before:
    """What bounds read of a run as it stands, less what was added to a series after one entry (`key`)."""

    def __init__(self, run: "Run", key: tuple[str, str]) -> None:
        self.setting, self.input = run.setting, run.input
        self._run, self._key = run, key

    def entry(self, name: str) -> str | None:
        field = self._run.field(name)
        if field is None or not field.series or field.void():
            return self._run.entry(name)
        older = field.values(self._key)
        return older[-1] if older else None

    def series(self, name: str | list[str]) -> str | None:
        return self._run.series(name, self._key)


def _moved(run: "Run", row: "Entry", made: Made) -> bool:
    works = row.get("works")
    if made.how != "worked" or works is None or made.calculation not in ("", works["calculation"]):
        return False
    bounds = works["inputs"]
    for name in bounds:
        names = footing(bounds[name])
        given = None if made.given is None else made.given.get(name)
        if names and _shaken(run, bounds[name], names, given, made):
            return True
    return False


def _shaken(run: "Run", bound: "Given", names: list[str], given: str | None, made: Made) -> bool:
    """Whether one input of a sum, as it was `given`, is no longer what its bound says."""
    try:
        now = limits.resolve(bound, _Before(run, made.key))
    except CoreError:
        # struck, contested or void since; or given by hand, where nothing had been entered yet
        return _had(run, names, made)
    if given is None or inputs.same(given, now):
        return False
    field = run.field(names[0])
    if "entry" in bound and "plus" not in bound and field is not None and field.series:
        # of a series it was worked from the reading that was newest there: another phone may have added one since
        return not [value for value in field.values(made.key) if inputs.same(given, value)]
    return True


def _judged_otherwise(run: "Run", row: "Entry", made: Made) -> bool:
    names = footing(row.get("limits"))
    if not names:
        return False
    try:
        return bool(limits.judge(row, made.value, _Before(run, made.key))["verdict"] != made.judged)
    except CoreError:
        return _had(run, names, made)


def _had(run: "Run", names: list[str], made: Made) -> bool:
    """Whether something had been entered in one of these fields before: it was there to be worked from."""
    for name in names:
        field = run.field(name)
        if field is not None and [key for key in field.made if field.made[key].key < made.key]:
            return True
    return False
