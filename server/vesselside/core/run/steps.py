"""One step of a run being folded: what was recorded at it, what it lacks, and how it stands.

A step is done when some `step.done` covers it: every needed entry is live and older than it, nothing is contested, void
or out of bounds, the hold is over, and a second person has signed where one must.
"""

from vesselside.core.ground import numbers
from vesselside.core.ground.errors import CoreError

from . import limits
from .authority import outranks
from .fields import Field
from .record import Record
from .returned import credited_ms

TYPE_CHECKING = False
if TYPE_CHECKING:
    from vesselside.core import shapes
    from vesselside.core.shapes import Entry, StepStatus, Verdict, Wait

    from .ledger import Run

MOST_TICKS = 64
"""Ticks, skips or signatures of one step that are weighed."""
MOST_MARKS = 400
"""Holds or cautions met at one step that are weighed."""
SHORT_CONTACT = "A reading at the return was out of band, so the time beside it does not count."
MORE_CONTACT = "Bring the return into band, read it, and hold on until the whole time counts."


def _caution(caution: str) -> "Wait":
    return {"code": "caution", "caution": caution, "text": "Meet the caution first"}


class Step:
    """What a step holds, and the questions it answers of itself. Records are taken in by `folding`."""

    __slots__ = (
        "dones", "fields", "holds", "key", "met", "raised", "row", "run", "signs", "skips", "status", "undone",
        "waived",
    )  # fmt: skip

    def __init__(self, run: "Run", row: "shapes.Step") -> None:
        self.run = run
        self.row = row
        self.key: str = row["id"]
        self.status: "StepStatus" = "shut"
        self.dones: list[Record] = []
        self.undone: list[Record] = []
        self.skips: list[Record] = []
        self.signs: list[Record] = []
        self.holds: list[Record] = []
        self.met: list[Record] = []
        self.raised: list[str] = []
        self.waived: bool = False
        """Whether a deviation was raised here, under which it may be done in spite of its readings."""
        self.fields: dict[str, Field] = {entry["id"]: Field(entry) for entry in self.entries()}

    def entries(self) -> "list[Entry]":
        """What the procedure asks for here, in its order."""
        return list(self.row.get("entries", []))

    def listed(self) -> list[Field]:
        """The fields in the procedure's order."""
        return [self.fields[entry["id"]] for entry in self.entries()]

    def title(self) -> str:
        """The step's title."""
        return self.run.plan.title(self.key)

    def passed(self) -> bool:
        """Whether later steps may rest on this one."""
        return self.status in ("done", "skipped")

    # -- cautions -----------------------------------------------------------

    def cautions(self) -> list[str]:
        """Its own cautions and those its readings raised."""
        own = list(self.row.get("cautions", []))
        return own + [key for key in self.raised if key not in own]

    def unmet(self, person: str) -> "list[Wait]":
        """The cautions that `person` has not met here, as waits."""
        if self.row.get("never_locked"):
            return []
        met = [record.caution for record in self.met if record.person == person]
        return [_caution(caution) for caution in self.cautions() if caution not in met]

    # -- what it lacks ------------------------------------------------------

    def lacking_before(self) -> "list[Wait]":
        """Why it is not open: waits with code `step` or `caution`."""
        waits: list[Wait] = []
        for need in self.run.plan.needs[self.key]:
            if need in self.run.steps and not self.run.steps[need].passed():
                title = self.run.plan.title(need)
                waits.append({"code": "step", "step": need, "text": "First: " + title})
        if self.row.get("never_locked"):
            return waits
        met = [record.caution for record in self.met]
        waits.extend([_caution(caution) for caution in self.row.get("cautions", []) if caution not in met])
        return waits

    def lacking(self, now: int | None) -> "list[Wait]":
        """What it still lacks to be done at `now` [ms]: entry, contested, stop, hold, interlock."""
        waived = self.waived and not self.run.plan.absolute(self.key)
        waits: list[Wait] = []
        for field in self.listed():
            wait = field.lacking(waived, self._after_stop())
            if wait is not None:
                waits.append(wait)
        left = self.hold_left(now)
        if left and not waived:
            waits.append({"code": "hold", "text": "The hold is not over", "seconds": left})
        elif not left:
            waits.extend(self._lacks_contact(now))
        return waits

    def _after_stop(self) -> str:
        if self.run.plan.absolute(self.key):
            return "Put it right and enter again; nobody may override this: "
        return "Correct and enter again, or raise a deviation: "

    def verdict(self) -> "Verdict":
        """The worst live verdict among its entries."""
        worst: Verdict = "target"
        for field in self.fields.values():
            worst = limits.worse(worst, field.verdict())
        return worst

    # -- time -----------------------------------------------------------------

    def hold_seconds(self) -> int:
        """How long its hold must last [s]; 0 when it has none."""
        hold = self.row.get("hold")
        if not hold:
            return 0
        try:
            return numbers.quantise(numbers.value(limits.resolve(hold["seconds"], self.run)), 0)
        except CoreError:
            # its bound is not known: what the person was told stands in its place
            return max([record.seconds for record in self.holds] or [1])

    def hold_left(self, now: int | None) -> int:
        """Seconds its hold still lacks at `now` [ms], counted from the start that does best."""
        wanted = self.hold_seconds()
        best = 0
        started = None
        for record in self.holds:
            if record.type == "hold.started":
                started = record.clock_ms
            elif started is not None:
                best = max(best, record.clock_ms - started)
                started = None
        if started is not None and now is not None:
            best = max(best, now - started)
        return max(0, wanted - best // 1000)

    def contact_short(self, now: int | None) -> int:
        """Seconds of contact it still lacks where it asks for it, counted between readings in band; 0 when none."""
        if "contact" not in [ask["interlock"] for ask in self.run.plan.stops(self.key)]:
            return 0
        for field in self.listed():
            if field.series and field.row.get("limits"):
                read = [field.made[key] for key in field.live]
                return max(0, self.hold_seconds() - credited_ms(self.holds, read, now) // 1000)
        return 0

    def _lacks_contact(self, now: int | None) -> "list[Wait]":
        short = self.contact_short(now)
        if not short or (now is not None and self.run.overridden("contact", None, now)):
            return []
        wait: Wait = {"code": "interlock", "interlock": "contact", "text": SHORT_CONTACT, "seconds": short}
        wait["do"] = [MORE_CONTACT]
        return [wait]

    # -- how it stands ----------------------------------------------------------

    def needs_second(self, done: Record) -> bool:
        """Whether another person must sign for this `step.done`."""
        if self.row.get("who") == "second":
            return True
        role = self.run.administration.role(done.person, done.seen)
        return bool(self.row.get("critical")) and not outranks(role, "brewer")

    def ticked(self) -> tuple[Record | None, Record | None, bool]:
        """The `step.done` that stands, its second signature, and whether the step is complete by them."""
        found = None
        for done in self.dones:
            if self._covers(done):
                found = done
                if not self.needs_second(done):
                    return (done, None, True)
                for sign in self.signs:
                    if sign.target == done.id:
                        return (done, sign, True)
        return (found, None, False)

    def first_tick(self, done: Record) -> Record:
        """The earliest tick of the step, struck or not: confirmed again, it shows nothing later than that."""
        first = done
        for record in self.dones + self.undone:
            if record.key < first.key:
                first = record
        return first

    def _covers(self, done: Record) -> bool:
        if self.lacking(done.clock_ms):
            return False
        for field in self.fields.values():
            if field.live and not field.row.get("optional") and field.made[field.live[0]].key > done.key:
                return False
        return True

    def weigh_status(self) -> "StepStatus":
        """How it stands by what is held: shut, open, done, skipped or reopened."""
        if self.dones:
            done, _, complete = self.ticked()
            if complete:
                return "done"
            return "open" if done else "reopened"
        if self.skips:
            return "skipped"
        if self.undone:
            return "reopened"
        return "shut" if self.run.opened is None or self.lacking_before() else "open"
