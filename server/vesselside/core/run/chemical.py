"""When chemical went into the run's vessel, and when its going was proved."""

from .marks import marks

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Literal

    from .fields import Made
    from .ledger import Run
    from .record import Record

    Way = Literal["chemical-in", "chemical-out"]


def chemical(run: "Run") -> "list[tuple[Way, Record | Made]]":
    """What went in and what was proved gone, in order of (hlc, id): (`chemical-in` or `chemical-out`, its record)."""
    found: dict[tuple[tuple[str, str], Way], Record | Made] = {}
    for key in run.plan.order:
        step = run.steps[key]
        way = step.row.get("chemical")
        if way == "in":
            for mark in marks(step, True)[:1]:
                found[(mark.key, "chemical-in")] = mark
        elif way == "out":
            done, _, complete = step.ticked()
            if done and complete:
                found[(done.key, "chemical-out")] = done
    return [(key[1], found[key]) for key in sorted(found)]


def holds_chemical(run: "Run") -> bool:
    """Whether this run put chemical into the vessel and has not proved it gone."""
    found = chemical(run)
    return bool(found) and found[-1][0] == "chemical-in"
