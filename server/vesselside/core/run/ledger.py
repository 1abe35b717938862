"""The fold: the events of one run, in order of (hlc, id), become its state. Total: it never raises.

State is a function of the set of events and of the administration each of them had seen. Strikes are collected before
folding. An event that sorts last is folded alone; any other refolds the run. What each kind of record does is in
`folding`, what a step answers of itself in `steps`.
"""

from vesselside.core.ground import numbers
from vesselside.core.ground.errors import CoreError

from . import folding, judged
from .authority import Administration, strike_wrong
from .fields import Field
from .findings import finding
from .lasting import lasts
from .procedure import Plan
from .record import Record, of
from .steps import Step

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from vesselside.core.shapes import Finding, FoldFinding, Presence, Procedure, RunStatus


_WORK = (
    "entry.made", "entry.settled", "step.done", "step.skipped", "hold.started", "hold.ended", "run.finished",
)  # fmt: skip


class Run:
    """One run being folded. `add` takes events in; `views.view` reads the state out.

    It is also the sight by which bounds are resolved (`limits.resolve`): `setting`, `input`, `entry`, `series`.
    """

    def __init__(self, run: str, procedure: "Procedure | None", administration: Administration) -> None:
        self.id = run
        self.plan = Plan(procedure)
        self.administration = administration
        self.records: list[Record] = []
        self.held: dict[str, Record] = {}
        """Every record of the run by id; `taken` holds those folded so far."""
        self._targets: set[str] = set()
        self.clear()

    def clear(self) -> None:
        """Forget what was folded; the records, the procedure and the administration stay."""
        self.opened: Record | None = None
        self.finished: Record | None = None
        self.abandoned: Record | None = None
        self.reviews: list[Record] = []
        self.deviations: dict[str, Record] = {}
        self.answers: dict[str, Record] = {}
        """The last answer to each deviation, by the id of the record it is about."""
        self.overrides: list[Record] = []
        self.notes: list[Record] = []
        self.photos: list[Record] = []
        self.strikes: list[Record] = []
        self.struck: set[str] = set()
        self.taken: dict[str, Record] = {}
        self.findings: list[Finding] = []
        self.ways: dict[tuple[str, str], dict[Presence, int]] = {}
        """By person and device, how many records were made under which proof that the person was there."""
        self.touched: set[str] = set()
        self.steps: dict[str, Step] = {key: Step(self, self.plan.steps[key]) for key in self.plan.order}

    # -- taking events in ---------------------------------------------------

    def add(self, events: "list[dict[str, Any]]") -> bool:
        """Take events in, any order, repeats allowed; True when the whole run was folded again."""
        again = False
        for event in events:
            record = of(event)
            if record is None or record.id in self.held:
                continue
            self.held[record.id] = record
            at = len(self.records)
            if at and self.records[-1].key > record.key:
                at = self._place(record.key)
                again = True
            self.records.insert(at, record)
            if record.type == "struck" or record.id in self._targets:
                again = True
            if not again:
                folding.apply(self, record)
        if again:
            self.refold()
        return again

    def is_of(self, events: "list[dict[str, Any]]") -> bool:
        """Whether just these events are folded here."""
        return len(events) == len(self.records) and not [e for e in events if e["id"] not in self.held]

    def _place(self, key: tuple[str, str]) -> int:
        low, high = 0, len(self.records)
        while low < high:
            middle = (low + high) // 2
            if self.records[middle].key < key:
                low = middle + 1
            else:
                high = middle
        return low

    def refold(self) -> None:
        """Fold everything held again, from the first record: strikes and targets first, then in order."""
        self.clear()
        self._targets = set()
        for record in self.records:
            if record.type == "struck" and not record.wrong:
                self._targets.add(record.target)
                if self.strike_wrong(record) is None:
                    self.struck.add(record.target)
        for record in self.records:
            folding.apply(self, record)

    def forget(self, ids: list[str]) -> None:
        """Take out records that were folded and not kept, and fold the rest again."""
        gone = [name for name in ids if name in self.held]
        for name in gone:
            self.records.remove(self.held.pop(name))
        if gone:
            self.refold()

    def strike_wrong(self, record: Record) -> str | None:
        """Why a strike has no effect, or None."""
        if not self.administration.presences.way(record):
            return "its person was not proved to be there"
        role = self.administration.role(record.person, record.seen)
        return strike_wrong(self.held.get(record.target), record.person, role)

    def proved(self, record: Record) -> bool:
        """Whether a sign-in proves the record's person; which one is counted."""
        way = self.administration.presences.way(record)
        counted = self.ways.setdefault((record.person, record.source), {})
        counted[way] = counted.get(way, 0) + 1
        return way != ""

    def found(self, code: "FoldFinding", record: Record, more: str = "") -> None:
        """Put down a finding at a record."""
        self.findings.append(finding(code, record.id, more))

    # -- keeping steps and fields true ----------------------------------------

    def refresh(self, step: str) -> None:
        """Work out the status of a step again, and of those that wait for it when it changed."""
        todo = [step]
        while todo:
            held = self.steps[todo.pop()]
            self.touched.add(held.key)
            status = held.weigh_status()
            if status != held.status:
                held.status = status
                todo.extend(self.plan.waiting[held.key])

    def resettle(self, step: str, field: str) -> None:
        """A field has changed: see which entries still stand on what they were worked from or judged by."""
        todo = [(step, field)]
        seen: set[tuple[str, str]] = set()
        while todo:
            place = todo.pop()
            held = self.steps[place[0]].fields[place[1]]
            before = held.stale
            held.stale = judged.stale(self, held)
            if place in seen or (seen and before == held.stale):
                continue
            seen.add(place)
            todo.extend(self.plan.resting.get(place[0] + "." + place[1], []))
            if place[0] != step:
                self.refresh(place[0])

    # -- sight ------------------------------------------------------------------

    def field(self, name: str) -> Field | None:
        """The field `step.field`, or None when this procedure has none."""
        step, _, field = name.partition(".")
        held = self.steps.get(step)
        return None if held is None else held.fields.get(field)

    def setting(self, name: str) -> str | None:
        """A site setting as known when the run was opened, or the procedure's default."""
        seen = self.opened.seen if self.opened else ""
        value = self.administration.setting(name, seen)
        return self.plan.default("settings", name) if value is None else value

    def input(self, name: str) -> str | None:
        """An input given on opening, or its default."""
        value = self.opened.inputs.get(name) if self.opened else None
        return value or self.plan.default("inputs", name)

    def entry(self, name: str) -> str | None:
        """The value that counts for `step.field`; the newest of a series; None when open, contested or void."""
        field = self.field(name)
        return None if field is None else field.value()

    def series(self, name: str | list[str], before: tuple[str, str] | None = None) -> str | None:
        """All live values of a series in the order they were made, as rows of a calculation; None when empty.

        Of several series the nth values make the nth row, and the rows stand in the order of their first column, so
        that a row keyed late finds its place; `before` leaves out what is placed later. CoreError `uneven` while one
        has more values than another.
        """
        names = [name] if isinstance(name, str) else name
        columns: list[list[str]] = []
        for one in names:
            field = self.field(one)
            columns.append([] if field is None or field.void() else field.values(before))
        if not all(columns):
            return None
        if [column for column in columns if len(column) != len(columns[0])]:
            counts = [self._label(names[n]) + ": " + str(len(columns[n])) for n in range(len(names))]
            said = "Each row needs one of each, or strike what is alone. So far " + ", ".join(counts)
            raise CoreError("uneven", said, field=names[0])
        rows = [(numbers.value(columns[0][n]), n) for n in range(len(columns[0]))]
        if len(columns) > 1:
            rows.sort()
        return "; ".join([" ".join([column[n] for column in columns]) for _, n in rows])

    def _label(self, name: str) -> str:
        step, _, field = name.partition(".")
        entry = self.plan.entry(step, field)
        return entry["label"] if entry else name

    # -- what it was opened for, and how it was closed ------------------------------

    def vessel(self) -> str | None:
        """The vessel it was opened on, or None."""
        return self.opened.vessel or None if self.opened else None

    def gyle(self) -> str | None:
        """The gyle it was opened for, or None."""
        return self.opened.gyle or None if self.opened else None

    def end(self) -> Record | None:
        """What closed it, or None."""
        return self.abandoned or self.finished

    def status(self) -> "RunStatus":
        """`open`, `finished` or `abandoned`."""
        return "abandoned" if self.abandoned else "finished" if self.finished else "open"

    def lasting(self, name: str) -> int:
        """A site's lasting time as known when the run was opened [ms]; `name` is one of LASTING."""
        return lasts(name, self.setting(name))

    def overridden(self, interlock: str, at: tuple[str, str] | None, time: int) -> Record | None:
        """The override of `interlock` that covers what is done in this run at `time` [ms], or None.

        It covers what is placed after it (`at`; None: now), until the shift's length has passed.
        """
        shift = self.lasting("shift-hours")
        for record in self.overrides:
            after = at is None or record.key <= at
            if record.interlock == interlock and after and abs(time - record.ms) < shift:
                return record
        return None

    def met(self, caution: str, version: int, person: str) -> list[int]:
        """When `person` met this version of a caution, at any step of this run [ms]."""
        found = []
        for step in self.plan.order:
            for record in self.steps[step].met:
                if (record.person, record.caution, record.version) == (person, caution, version):
                    found.append(record.ms)
        return found

    def did_work(self, person: str) -> bool:
        """Whether a person did some of the work: recorded at a step, or finished it. A second signature is none."""
        for record in self.taken.values():
            if record.person == person and record.type in _WORK:
                return True
        return False

    def free_to_pass(self, kind: str, step: str) -> bool:
        """Whether this passes by a step that its procedure calls optional: anyone of the brewery may."""
        return (
            kind == "step.skipped" and step in self.plan.steps and bool(self.plan.steps[step].get("optional"))
        )
