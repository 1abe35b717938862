"""What has been recorded at the steps of a run, in order: records of work, each with `id, key, person, ms`."""

from .fields import Field, Made
from .record import Record
from .steps import Step


def marks(step: Step, struck: bool) -> list[Record | Made]:
    """Every record of work at one step: entries, holds, ticks; `struck` counts struck ones too."""
    found: dict[tuple[str, str], Record | Made] = {}
    for record in step.dones + step.holds + (step.undone if struck else []):
        found[record.key] = record
    for field in step.fields.values():
        for made in field.made.values():
            if struck or not made.struck:
                found[made.key] = made
    return [found[key] for key in sorted(found)]


def live(field: Field) -> list[Made]:
    """The entries of one field that stand, in order."""
    return [field.made[key] for key in field.live]
