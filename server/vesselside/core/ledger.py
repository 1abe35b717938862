"""The fold: the events of one run, in order of (hlc, id), become its state. Total: it never raises.

State is a function of the set of events and of the administration each of them had seen. Strikes are
collected before folding. An event that sorts last is folded alone; any other refolds the run.
"""

from . import VERSION, calculations, instruments, limits, numbers
from .authority import Administration, may, override_wrong, strike_wrong
from .clock import milliseconds
from .errors import CoreError
from .events import KINDS, faults, placeable
from .fields import weigh
from .findings import finding
from .procedure import INTERLOCKS, TRANSITIONS
from .standing import Standing, key_of


class Run(Standing):
    """One run being folded. `add` takes events in; `views.view` reads the state out."""

    def __init__(self, run: str, procedure: dict | None, administration: Administration) -> None:
        self.id = run
        self.events: list = []
        self._held: set = set()
        self._by_id: dict = {}
        self._everything: dict = {}
        self._struck_ids: set = set()
        self._targets: set = set()
        self._role: str | None = None
        super().__init__(procedure, administration)

    # -- taking events in -------------------------------------------------

    def add(self, events: list[dict]) -> bool:
        """Take events in, any order, repeats allowed; True when the whole run was folded again."""
        again = False
        for event in events:
            if not placeable(event) or event["id"] in self._held:
                continue
            self._held.add(event["id"])
            key = key_of(event)
            at = len(self.events)
            if at and key_of(self.events[-1]) > key:
                at = self._place(key)
                again = True
            self.events.insert(at, event)
            if event["type"] == "struck" or event["id"] in self._targets:
                again = True
            if not again:
                self._apply(event)
        if again:
            self.refold()
        return again

    def is_of(self, events: list[dict]) -> bool:
        """Whether just these events are folded here."""
        if len(events) != len(self.events):
            return False
        for event in events:
            if event["id"] not in self._held:
                return False
        return True

    def _place(self, key: tuple[str, str]) -> int:
        low, high = 0, len(self.events)
        while low < high:
            middle = (low + high) // 2
            if key_of(self.events[middle]) < key:
                low = middle + 1
            else:
                high = middle
        return low

    def refold(self) -> None:
        """Fold everything held again, from the first event: strikes and targets first, then in order."""
        self.clear()
        self._by_id = {}
        self._everything = {event["id"]: event for event in self.events}
        self._targets = set()
        self._struck_ids = set()
        for event in self.events:
            if event["type"] == "struck" and not faults(event):
                target = event["data"]["target"]
                self._targets.add(target)
                if self._strike_wrong(event) is None:
                    self._struck_ids.add(target)
        for event in self.events:
            self._apply(event)

    def _strike_wrong(self, event: dict) -> str | None:
        target = self._everything.get(event["data"]["target"])
        return strike_wrong(target, event["person"], self.administration.role(event["person"], event["seen"]))

    def _apply(self, event: dict) -> None:
        self._by_id[event["id"]] = event
        kind = event["type"]
        if kind not in KINDS:
            return
        if self.opened is None and kind != "run.opened" and not self.findings:
            self._found("not-opened", event)
        wrong = faults(event)
        if wrong:
            self._found("bad-data", event, "; ".join(wrong))
            return
        role = self.administration.role(event["person"], event["seen"])
        if self.administration.revoked(event["source"], event["seen"]):
            self._found("unauthorised", event, "the phone had been revoked")
            role = None
        elif not self._has_right(event, role):
            self._found(
                "unauthorised", event, event["person"] + (" is a " + role if role else " is not known")
            )
        if (
            (self.finished or self.abandoned)
            and kind != "run.reviewed"
            and event["id"] not in self._struck_ids
        ):
            self._found("late", event)
        if not self._has_right(event, role) and KINDS[kind][0] != "starter":
            return
        if event["id"] in self._struck_ids and kind not in ("entry.made", "step.done"):
            return
        try:
            self._take(kind, event, role)
        except CoreError as error:
            self._found("bad-value", event, error.text)

    def _has_right(self, event: dict, role: str | None) -> bool:
        return may(event["type"], role) or (
            role is not None and self.free_to_pass(event["type"], event["data"])
        )

    def _take(self, kind: str, event: dict, role: str | None) -> None:
        data = event["data"]
        step = data.get("step") if "step" in KINDS[kind][1] else ""
        if step:
            if step not in self.steps:
                self._found("unknown-step", event, step)
                if kind not in ("note.added", "deviation.raised", "photo.added"):
                    return
            elif kind in TRANSITIONS and event["id"] not in self._struck_ids:
                self._transition(kind, event, step)
        self._role = role
        _HANDLERS[kind](self, event, data)
        if step in self.steps:
            self.refresh(step)

    def _transition(self, kind: str, event: dict, step: str) -> None:
        status = self.steps[step]["status"]
        code = TRANSITIONS[kind][status]
        if code == "early" and not self._before_its_turn(step):
            code = ""
        if code:
            self._found(code, event, self.plan.title(step))
        if kind in ("entry.made", "step.done", "hold.started") and self.unmet(step, event["person"]):
            self._found("caution-unmet", event, self.plan.title(step))

    def _before_its_turn(self, step: str) -> bool:
        # A needed step that is open again was done when this one was begun; that is its own finding.
        for wait in self.lacking_before(step):
            if wait["code"] == "step" and self.steps[wait["step"]]["status"] != "reopened":
                return True
        return False

    def _found(self, code: str, event: dict, more: str = "") -> None:
        self.findings.append(finding(code, event["id"], more))

    # -- one handler an event kind ----------------------------------------

    def _opened(self, event: dict, data: dict) -> None:
        if self.opened is not None:
            self._found("opened-twice", event)
            return
        self.opened = event
        held = self.plan.procedure
        if not held or held["id"] != data["procedure"] or held["version"] != data["version"]:
            self._found("unknown-procedure", event)
        elif held.get("sha256", data["sha256"]) != data["sha256"]:
            self._found("procedure-differs", event)
        for step in self.plan.order:
            self.refresh(step)

    def _caution(self, event: dict, data: dict) -> None:
        self.steps[data["step"]]["met"].append(event)

    def _entered(self, event: dict, data: dict) -> None:
        step, field = data["step"], data["field"]
        entry = self.plan.entry(step, field)
        if entry is None:
            self._found("unknown-field", event, step + ", " + field)
            return
        struck = event["id"] in self._struck_ids
        record = {
            "event": event["id"],
            "value": data["value"],
            "typed": data["typed"],
            "unit": data.get("unit", ""),
            "how": data["how"],
            "person": event["person"],
            "time": event["time"],
            "instrument": data.get("instrument"),
            "from": data.get("from"),
            "over": data["over"],
            "verdict": data["verdict"],
            "advice": "",
            "source": "",
            "limit": "",
            "struck": struck,
            "key": key_of(event),
        }
        if data["how"] == "paper":
            self._found("from-paper", event)
        if data.get("unit", "") != entry.get("unit", ""):
            self._found("unit-differs", event, data.get("unit", "") or "none")
        card = self.administration.instrument(record["instrument"] or "", event["seen"]) or {}
        record["amiss"] = instruments.amiss(card, entry)
        for code in record["amiss"]:
            self._found(code, event, card["name"])
        self._judge_again(event, entry, record)
        self.steps[step]["fields"][field]["all"][event["id"]] = record
        self._weigh(step, entry)

    def _judge_again(self, event: dict, entry: dict, record: dict) -> None:
        if entry["kind"] in ("reading", "count") and numbers.compare(
            numbers.parse(record["typed"]), numbers.parse(record["value"])
        ):
            self._found("typed-differs", event, record["typed"])
        try:
            judged = limits.judge(entry, record["value"], self)
        except CoreError as error:
            if error.code != "limit-needs":
                raise
            self._found("unjudged", event, error.text)
            return
        record["advice"] = judged["advice"]
        record["source"] = judged["source"]
        record["limit"] = judged["limit"]
        if not record["struck"]:
            raised = self.steps[event["data"]["step"]]["raised"]
            for caution in judged["raises"]:
                if caution not in raised:
                    raised.append(caution)
        if judged["verdict"] != record["verdict"]:
            self._found("verdict-differs", event, judged["verdict"])
            if event["data"]["core"] == VERSION:
                record["verdict"] = limits.worse(judged["verdict"], record["verdict"])
        if record["how"] == "worked":
            self._work_again(event, entry, record)

    def _work_again(self, event: dict, entry: dict, record: dict) -> None:
        made = record["from"] or {}
        name, given = made.get("calculation"), made.get("inputs")
        if (
            not ("works" in entry or isinstance(name, str))
            or not isinstance(given, dict)
            or not all([isinstance(v, str) for v in given.values()])
        ):
            self._found("sum-differs", event, "its inputs are not recorded")
            return
        try:
            values = limits.again(entry, self, name, given)
            if entry.get("instrument") and "works" not in entry:
                self._found("sum-for-reading", event, calculations.find(str(name))["title"])
        except CoreError as error:
            self._found("sum-differs", event, error.text)
            return
        if not [value for value in values if numbers.compare(value, record["value"]) == 0]:
            self._found("sum-differs", event, ", ".join(values) or "in another unit")

    def _settled(self, event: dict, data: dict) -> None:
        step, field = data["step"], data["field"]
        entry = self.plan.entry(step, field)
        if entry is None:
            self._found("unknown-field", event, step + ", " + field)
            return
        if data["chosen"] not in self.steps[step]["fields"][field]["all"]:
            self._found("target-unknown", event, data["chosen"])
        settle = {"event": event["id"], "chosen": data["chosen"], "over": data["over"]}
        self.steps[step]["fields"][field]["settles"].append(settle)
        self._weigh(step, entry)

    def _weigh(self, step: str, entry: dict) -> None:
        held = self.steps[step]["fields"][entry["id"]]
        if entry.get("series"):
            live = [(rec["key"], key) for key, rec in held["all"].items() if not rec["struck"]]
            live.sort()
            held["live"] = [key for _, key in live]
        else:
            weighed = weigh(entry["kind"], held["all"], held["settles"])
            held["live"], held["contested"] = weighed["live"], weighed["contested"]

    def _done(self, event: dict, data: dict) -> None:
        step = data["step"]
        if event["id"] in self._struck_ids:
            self.steps[step]["undone"].append(event)
            return
        for wait in self.lacking(step, milliseconds(event["time"])):
            if wait["code"] == "hold":
                self._found("hold-short", event, self.plan.title(step))
            elif wait["code"] in ("entry", "stop") and not wait.get("struck"):
                self._found("done-unready", event, wait["text"])
        self.steps[step]["dones"].append(event)

    def _skipped(self, event: dict, data: dict) -> None:
        step = data["step"]
        if self.plan.absolute(step) and not self.plan.steps[step].get("optional"):
            self._found("never-skipped", event, self.plan.title(step))
            return
        if not self.free_to_pass("step.skipped", data):
            self._found("skipped", event, self.plan.title(step))
        self.steps[data["step"]]["skips"].append(event)

    def _hold(self, event: dict, data: dict) -> None:
        milliseconds(event["time"])
        self.steps[data["step"]]["holds"].append(event)

    def _signed(self, event: dict, data: dict) -> None:
        step = data["step"]
        target = self._by_id.get(data["target"])
        if target is None or target["type"] != "step.done" or target["data"].get("step") != step:
            self._found("target-unknown", event, data["target"])
        elif target["person"] == event["person"]:
            self._found("second-same", event, self.plan.title(step))
        else:
            self.steps[step]["signs"].append(event)

    def _noted(self, event: dict, data: dict) -> None:
        self.notes.append(event)

    def _photographed(self, event: dict, data: dict) -> None:
        self.photos.append(event)

    def _deviated(self, event: dict, data: dict) -> None:
        self.deviations.append([event, None])
        if "interlock" in data:
            wrong = override_wrong(data, self.plan, self._role)
            if wrong:
                self._found("override-refused", event, wrong)
            else:
                self.overrides.append(event)
                self._found("overridden", event, INTERLOCKS[data["interlock"]][0])

    def _answered(self, event: dict, data: dict) -> None:
        for row in self.deviations:
            if row[0]["id"] == data["deviation"]:
                row[1] = event
                return
        if data["deviation"] in self._by_id:
            # a deviation that the vessel's life brought to light: it is named by the record it is about
            self.answers[data["deviation"]] = event
            return
        self._found("target-unknown", event, data["deviation"])

    def _struck(self, event: dict, data: dict) -> None:
        wrong = self._strike_wrong(event)
        if wrong:
            self._found("strike-refused", event, wrong)
        self.strikes.append(event)

    def _finished(self, event: dict, data: dict) -> None:
        if self.finished or self.abandoned:
            self._found("finished-twice", event)
            return
        undone = [key for key in self.plan.order if not self.passed(key)]
        undone = [key for key in undone if not self.plan.steps[key].get("optional")]
        if undone:
            self._found("finished-early", event, ", ".join([self.plan.title(key) for key in undone]))
        self.finished = event

    def _abandoned(self, event: dict, data: dict) -> None:
        if self.finished or self.abandoned:
            self._found("finished-twice", event)
            return
        self.abandoned = event
        if data["left"] != "chemical" and self.holds_chemical():
            self._found("left-chemical", event)

    def _reviewed(self, event: dict, data: dict) -> None:
        self.reviews.append(event)


_HANDLERS = {
    "run.opened": Run._opened,
    "caution.met": Run._caution,
    "entry.made": Run._entered,
    "entry.settled": Run._settled,
    "step.done": Run._done,
    "step.skipped": Run._skipped,
    "hold.started": Run._hold,
    "hold.ended": Run._hold,
    "sign.given": Run._signed,
    "note.added": Run._noted,
    "photo.added": Run._photographed,
    "deviation.raised": Run._deviated,
    "deviation.answered": Run._answered,
    "struck": Run._struck,
    "run.finished": Run._finished,
    "run.abandoned": Run._abandoned,
    "run.reviewed": Run._reviewed,
}
