"""Whether a run has begun: opened is not begun, and until something is recorded at a step no vessel has changed."""

from .ledger import Run
from .record import Record

WORK = ("entry.made", "step.done", "step.skipped", "hold.started", "hold.ended")
"""What is recorded of the work itself: with none of these, nothing was done to the vessel."""


def first_work(run: Run) -> Record | None:
    """The first record at any step of the procedure, struck or not; None while the run is opened and not begun."""
    for record in run.records:
        if record.type in WORK and record.step in run.steps and not record.wrong:
            return record
    return None


def put_away(run: Run) -> bool:
    """Whether the run was closed as opened by mistake, and nothing that has arrived since says otherwise."""
    return run.abandoned is not None and run.abandoned.untouched and first_work(run) is None
