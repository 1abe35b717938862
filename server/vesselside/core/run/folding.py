"""What each kind of record does to its run, in one table; and what is found of a record on the way.

Every list that is weighed again with each record is bounded; what is beyond is a finding and not believed.
"""

from vesselside.core.ground.errors import CoreError

from . import judged
from .authority import OWN_REVIEW, may, override_wrong
from .chemical import holds_chemical
from .events import KINDS
from .fields import Made, Settled
from .instruments import amiss
from .procedure import INTERLOCKS, TRANSITIONS
from .record import Record
from .steps import MOST_MARKS, MOST_TICKS, Step

TYPE_CHECKING = False
if TYPE_CHECKING:
    from .ledger import Run

MOST_OVERRIDES = 64
_RECORDS_WORK = ("entry.made", "step.done", "hold.started")
_BESIDE_STEPS = ("note.added", "deviation.raised", "photo.added")


def apply(run: "Run", record: Record) -> None:
    """Fold one record, in its turn. What it lacks or may not do is a finding; it never raises."""
    run.taken[record.id] = record
    kind = record.type
    if kind not in KINDS:
        return
    if run.opened is None and kind != "run.opened" and not run.findings:
        run.found("not-opened", record)
    for code, more in record.told:
        # a phone that had seen more than there is now, for the log was put back since, said the truth
        if code != "seen-ahead" or not run.administration.went_back(record.seen, more):
            run.found(code, record, more)
    if record.wrong:
        run.found("bad-data", record, "; ".join(record.wrong))
        return
    role = _role_of(run, record)
    struck = record.id in run.struck
    if run.end() and kind != "run.reviewed" and not struck:
        run.found("late", record)
    if not _has_right(run, record, role) and KINDS[kind][0] != "starter":
        return
    if struck and kind not in ("entry.made", "step.done"):
        return
    try:
        _take(run, record, role)
    except CoreError as error:
        run.found("bad-value", record, error.text)


def _role_of(run: "Run", record: Record) -> str | None:
    """In what role the record counts; None, with what is found of it, where only what anyone may record does."""
    role = run.administration.role(record.person, record.seen)
    if run.administration.revoked(record.source, record.seen):
        run.found("unauthorised", record, "the phone had been revoked")
        role = None
    elif not _has_right(run, record, role):
        run.found("unauthorised", record, record.person + (" is a " + role if role else " is not known"))
    if not run.proved(record):
        run.found("person-not-proved", record, record.person)
        role = None
    return role


def _has_right(run: "Run", record: Record, role: str | None) -> bool:
    return may(record.type, role) or (role is not None and run.free_to_pass(record.type, record.step))


def _take(run: "Run", record: Record, role: str | None) -> None:
    kind = record.type
    step = run.steps.get(record.step)
    if record.step and step is None:
        run.found("unknown-step", record, record.step)
        if kind not in _BESIDE_STEPS:
            return
    if step is not None and kind in TRANSITIONS and record.id not in run.struck:
        _transition(run, record, step)
    if kind in _OF_STEPS:
        if step is not None:
            _OF_STEPS[kind](run, record, step)
    else:
        _OF_RUNS[kind](run, record, role)
    if step is not None:
        run.refresh(step.key)


def _transition(run: "Run", record: Record, step: Step) -> None:
    code = TRANSITIONS[record.type][step.status]
    if code == "early" and not _before_its_turn(run, step):
        code = ""
    if code:
        run.found(code, record, step.title())
    if record.type in _RECORDS_WORK and step.unmet(record.person):
        run.found("caution-unmet", record, step.title())


def _before_its_turn(run: "Run", step: Step) -> bool:
    # A needed step that is open again was done when this one was begun; that is its own finding.
    for wait in step.lacking_before():
        if wait["code"] == "step" and run.steps[wait["step"]].status != "reopened":
            return True
    return False


def _room(run: "Run", held: list[Record], most: int, record: Record) -> bool:
    """Whether there is room for one more; where not, that is found and the record is not believed."""
    if len(held) < most:
        return True
    run.found("too-many", record)
    return False


# -- records at a step ----------------------------------------------------------


def _caution(run: "Run", record: Record, step: Step) -> None:
    if _room(run, step.met, MOST_MARKS, record):
        step.met.append(record)


def _entered(run: "Run", record: Record, step: Step) -> None:
    field = step.fields.get(record.field)
    if field is None:
        run.found("unknown-field", record, step.key + ", " + record.field)
        return
    if field.full():
        run.found("too-many", record, str(field.row["label"]))
        return
    made = Made(record, record.id in run.struck)
    if made.how == "paper":
        run.found("from-paper", record)
    if made.unit != field.row.get("unit", ""):
        run.found("unit-differs", record, made.unit or "none")
    card = run.administration.instrument(made.instrument, record.seen)
    made.amiss = amiss(card, field.row)
    for code in made.amiss:
        run.found(code, record, card["name"] if card else made.instrument)
    for code, more in judged.again(run, record, field.row, made):
        run.found(code, record, more)
    field.take(made)
    run.resettle(step.key, record.field)


def _settled(run: "Run", record: Record, step: Step) -> None:
    field = step.fields.get(record.field)
    if field is None:
        run.found("unknown-field", record, step.key + ", " + record.field)
        return
    if field.full():
        run.found("too-many", record, str(field.row["label"]))
        return
    if record.chosen not in field.made:
        run.found("target-unknown", record, record.chosen)
    field.settle(Settled(record))
    run.resettle(step.key, record.field)


def _done(run: "Run", record: Record, step: Step) -> None:
    if record.id in run.struck:
        if _room(run, step.undone, MOST_TICKS, record):
            step.undone.append(record)
        return
    if not _room(run, step.dones, MOST_TICKS, record):
        return
    for wait in step.lacking(record.clock_ms):
        if wait["code"] == "hold":
            run.found("hold-short", record, step.title())
        elif wait["code"] in ("entry", "stop") and not wait.get("struck"):
            run.found("done-unready", record, wait["text"])
    step.dones.append(record)


def _skipped(run: "Run", record: Record, step: Step) -> None:
    if run.plan.absolute(step.key) and not step.row.get("optional"):
        run.found("never-skipped", record, step.title())
        return
    if not run.free_to_pass("step.skipped", step.key):
        run.found("skipped", record, step.title())
    if _room(run, step.skips, MOST_TICKS, record):
        step.skips.append(record)


def _hold(run: "Run", record: Record, step: Step) -> None:
    if _room(run, step.holds, MOST_MARKS, record):
        step.holds.append(record)


def _signed(run: "Run", record: Record, step: Step) -> None:
    target = run.taken.get(record.target)
    if target is None or target.type != "step.done" or target.step != step.key:
        run.found("target-unknown", record, record.target)
    elif target.person == record.person:
        run.found("second-same", record, step.title())
    elif _room(run, step.signs, MOST_TICKS, record):
        step.signs.append(record)


# -- records of the run ---------------------------------------------------------


def _opened(run: "Run", record: Record, role: str | None) -> None:
    if run.opened is not None:
        run.found("opened-twice", record)
        return
    run.opened = record
    held = run.plan.procedure
    if not held or held["id"] != record.procedure or held["version"] != record.version:
        run.found("unknown-procedure", record)
    elif held.get("sha256", record.sha256) != record.sha256:
        run.found("procedure-differs", record)
    for step in run.plan.order:
        run.refresh(step)


def _noted(run: "Run", record: Record, role: str | None) -> None:
    run.notes.append(record)


def _photographed(run: "Run", record: Record, role: str | None) -> None:
    run.photos.append(record)


def _deviated(run: "Run", record: Record, role: str | None) -> None:
    run.deviations[record.id] = record
    if not record.interlock:
        if record.step in run.steps:
            run.steps[record.step].waived = True
        return
    wrong = override_wrong(record.interlock, record.step, run.plan, role)
    if wrong:
        run.found("override-refused", record, wrong)
    elif _room(run, run.overrides, MOST_OVERRIDES, record):
        run.overrides.append(record)
        run.found("overridden", record, INTERLOCKS[record.interlock][0])


def _answered(run: "Run", record: Record, role: str | None) -> None:
    # one that the life of a vessel or an instrument brought to light is named by the record it is about
    if record.deviation in run.taken:
        run.answers[record.deviation] = record
    else:
        run.found("target-unknown", record, record.deviation)


def _struck(run: "Run", record: Record, role: str | None) -> None:
    wrong = run.strike_wrong(record)
    if wrong:
        run.found("strike-refused", record, wrong)
    run.strikes.append(record)


def _finished(run: "Run", record: Record, role: str | None) -> None:
    if run.end():
        run.found("finished-twice", record)
        return
    undone = [key for key in run.plan.order if not run.steps[key].passed()]
    undone = [key for key in undone if not run.plan.steps[key].get("optional")]
    if undone:
        run.found("finished-early", record, ", ".join([run.plan.title(key) for key in undone]))
    run.finished = record


def _abandoned(run: "Run", record: Record, role: str | None) -> None:
    if run.end():
        run.found("finished-twice", record)
        return
    run.abandoned = record
    if record.left != "chemical" and holds_chemical(run):
        run.found("left-chemical", record)


def _reviewed(run: "Run", record: Record, role: str | None) -> None:
    if not run.administration.presences.at_desk(record):
        run.found("desk-closed", record)
        return
    if record.verdict == "accepted" and run.did_work(record.person):
        alone = run.administration.setting(OWN_REVIEW, record.seen) == "yes"
        run.found("own-work-alone" if alone else "own-work", record)
        if not alone:
            return
    run.reviews.append(record)


_OF_STEPS = {
    "caution.met": _caution,
    "entry.made": _entered,
    "entry.settled": _settled,
    "step.done": _done,
    "step.skipped": _skipped,
    "hold.started": _hold,
    "hold.ended": _hold,
    "sign.given": _signed,
}
_OF_RUNS = {
    "run.opened": _opened,
    "note.added": _noted,
    "photo.added": _photographed,
    "deviation.raised": _deviated,
    "deviation.answered": _answered,
    "struck": _struck,
    "run.finished": _finished,
    "run.abandoned": _abandoned,
    "run.reviewed": _reviewed,
}
