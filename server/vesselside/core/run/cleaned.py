"""What a clean proved, in figures: how strong, how warm, how long in band, and what the rinse read.

Nothing goes by a name: an entry is a strength, a temperature or a rinse by its unit and by the stage of the procedure
that it stands in. The stage that cleans lies between the first step that reads a strength and the last that reads one
in the same unit; what was held there is its contact, and the steps that prove the residue gone are its rinse.
"""

from vesselside.core.ground import numbers
from vesselside.core.ground.errors import CoreError

from .fields import Field
from .ledger import Run
from .marks import live
from .returned import credited_ms, held_ms
from .steps import Step

TYPE_CHECKING = False
if TYPE_CHECKING:
    from vesselside.core.shapes import CleanFigure, CleanFigures, CleanRinse

STRENGTHS = ("% w/v", "mg/L")
"""The units a charge is measured in: caustic and acid by weight, peracetic by a strip."""
WARMTH = "°C"
TIME = "min"


def figures(run: Run) -> "CleanFigures":
    """The figures of one clean as it stands; None, or nothing, where nothing that counts was read."""
    strengths = _strengths(run)
    stage = _stage(run, strengths)
    start = _figure(strengths[0][1]) if strengths else None
    end = _figure(strengths[-1][1]) if len(strengths) > 1 else None
    holds = [run.steps[step] for step in stage if run.plan.steps[step].get("hold")]
    return {
        "strength_start": start,
        "strength_end": end,
        "coldest": _coldest(holds or [run.steps[step] for step in stage]),
        "minutes": _counted(holds),
        "held": _held(holds),
        "rinse": _rinse(run),
    }


def _strengths(run: Run) -> "list[tuple[str, Field]]":
    """Of each step that reads a strength the first that it reads, in the unit of the first of all, in their order."""
    found: list[tuple[str, Field]] = []
    for step in run.plan.order:
        for field in run.steps[step].listed():
            unit = field.row.get("unit", "")
            same = not found or unit == found[0][1].row.get("unit")
            if field.row["kind"] == "reading" and unit in STRENGTHS and same:
                found.append((step, field))
                break
    return found


def _stage(run: Run, strengths: "list[tuple[str, Field]]") -> list[str]:
    if not strengths:
        return []
    order = run.plan.order
    return order[order.index(strengths[0][0]) : order.index(strengths[-1][0]) + 1]


def _figure(field: Field) -> "CleanFigure | None":
    value, made = field.value(), field.newest()
    if value is None or made is None:
        return None
    return {"value": value, "unit": made.unit, "verdict": made.verdict}


def _is_number(text: str) -> bool:
    try:
        numbers.parse(text)
    except CoreError:
        return False
    return True


def _coldest(steps: list[Step]) -> "CleanFigure | None":
    """The lowest temperature that was read there; one that is disputed or worked from others is no reading."""
    found: CleanFigure | None = None
    for step in steps:
        for field in step.listed():
            read = field.row["kind"] == "reading" and field.row.get("unit") == WARMTH
            if not read or field.contested or field.row.get("works"):
                continue
            for made in live(field):
                if _is_number(made.value) and (
                    found is None or numbers.compare(made.value, found["value"]) < 0
                ):
                    found = {"value": made.value, "unit": made.unit, "verdict": made.verdict}
    return found


def _counted(steps: list[Step]) -> str | None:
    """Minutes of contact in band: between readings that both were, or else as worked from the clock."""
    for step in steps:
        for field in step.listed():
            if field.series and field.row.get("limits") and field.row.get("unit") == WARMTH and field.live:
                done, _, _ = step.ticked()
                ended = done.clock_ms if done else None
                return numbers.text(credited_ms(step.holds, live(field), ended) / 60_000, 0)
    for step in steps:
        for field in step.listed():
            if field.row.get("unit") == TIME and field.row.get("works"):
                return field.value()
    return None


def _held(steps: list[Step]) -> str | None:
    """Minutes by the clock of the longest hold there that was ended, or whose step was done."""
    best = 0
    for step in steps:
        done, _, _ = step.ticked()
        best = max(best, held_ms(step.holds, done.clock_ms if done else None))
    return numbers.text(best / 60_000, 0) if best else None


def _rinse(run: Run) -> "list[CleanRinse]":
    """What was read at the steps that prove no chemical is left."""
    found: list[CleanRinse] = []
    for step in run.plan.order:
        if run.plan.steps[step].get("proof") != "residue":
            continue
        for field in run.steps[step].listed():
            read = _figure(field) if field.row["kind"] == "reading" else None
            if read:
                found.append(
                    {
                        "label": field.row["label"],
                        "value": read["value"],
                        "unit": read["unit"],
                        "verdict": read["verdict"],
                    }
                )
    return found
