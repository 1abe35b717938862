"""What a run's steps need, lack and stand at, read from what has been folded so far.

A step is done when some `step.done` covers it: every needed entry is live and older than it, nothing is
contested or out of bounds, the hold is over, and a second person has signed where one must.
"""

from . import limits, numbers
from .authority import Administration, outranks
from .clock import milliseconds, moment
from .errors import CoreError
from .instruments import is_named
from .lasting import lasts
from .marks import marks
from .procedure import Plan
from .returned import credited_ms

SHORT_CONTACT = "A reading at the return was out of band, so the time beside it does not count."
MORE_CONTACT = "Bring the return into band, read it, and hold on until the whole time counts."


def key_of(event: dict) -> tuple[str, str]:
    """The place of an event in its run: (hlc, id), compared as text."""
    return (event["hlc"], event["id"])


def _caution(caution: str) -> dict:
    return {"code": "caution", "caution": caution, "text": "Meet the caution first"}


class Standing:
    """The questions a run answers about its steps; `ledger.Run` fills it in."""

    def __init__(self, procedure: dict | None, administration: Administration) -> None:
        self.plan = Plan(procedure)
        self.administration = administration
        self.clear()

    def clear(self) -> None:
        """Forget everything folded so far; the procedure and the administration stay."""
        self.opened: dict | None = None
        self.finished: dict | None = None
        self.abandoned: dict | None = None
        self.reviews: list = []
        self.deviations: list = []
        self.overrides: list = []
        self.answers: dict = {}
        self.notes: list = []
        self.photos: list = []
        self.strikes: list = []
        self.findings: list = []
        self.touched: set = set()
        self.steps: dict = {}
        for key in self.plan.order:
            fields: dict = {}
            for entry in self.plan.steps[key].get("entries", []):
                fields[entry["id"]] = {"all": {}, "settles": [], "live": [], "contested": False}
                fields[entry["id"]]["verifies"] = bool(entry.get("verifies"))
            self.steps[key] = {
                "status": "shut",
                "dones": [],
                "undone": [],
                "skips": [],
                "signs": [],
                "holds": [],
                "met": [],
                "raised": [],
                "fields": fields,
            }

    def setting(self, name: str) -> str | None:
        """A site setting as known when the run was opened, or the procedure's default."""
        seen = self.opened["seen"] if self.opened else ""
        value = self.administration.setting(name, seen)
        return self.plan.default("settings", name) if value is None else value

    def lasting(self, name: str) -> int:
        """A site's lasting time as known when the run was opened [ms]; `name` is one of LASTING."""
        return lasts(name, self.setting(name))

    def overridden(self, interlock: str, at: tuple[str, str] | None, time: int) -> dict | None:
        """The override of `interlock` that covers what is done in this run at `time` [ms], or None.

        It covers what is placed after it (`at`; None: now), until the shift's length has passed.
        """
        shift = self.lasting("shift-hours")
        for event in self.overrides:
            after = at is None or key_of(event) <= at
            if event["data"]["interlock"] == interlock and after and abs(time - moment(event)) < shift:
                return dict(event)
        return None

    def input(self, name: str) -> str | None:
        """An input given on opening, or its default."""
        value = self.opened["data"]["inputs"].get(name) if self.opened else None
        return value if isinstance(value, str) and value else self.plan.default("inputs", name)

    def entry(self, name: str) -> str | None:
        """The value that counts for `step.field`; the newest of a series; None when open or contested."""
        step, _, field = name.partition(".")
        held = self.steps.get(step, {}).get("fields", {}).get(field)
        if held is None or held["contested"] or not held["live"]:
            return None
        value = held["all"][held["live"][-1]]["value"]
        return value if isinstance(value, str) else None

    def series(self, name: str | list) -> str | None:
        """All live values of a series in the order they were made, as rows of a calculation; None when empty.

        Of several series the nth values make the nth row, and the rows stand in the order of their first column, so
        that a row keyed late finds its place. CoreError `uneven` while one has more values than another.
        """
        names = [name] if isinstance(name, str) else name
        columns = [self._live(one) for one in names]
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
        return str((self.plan.entry(step, field) or {}).get("label", name))

    def _live(self, name: str) -> list:
        step, _, field = name.partition(".")
        held = self.steps.get(step, {}).get("fields", {}).get(field)
        return [] if held is None else [held["all"][key]["value"] for key in held["live"]]

    def passed(self, step: str) -> bool:
        """Whether later steps may rest on this one."""
        return self.steps[step]["status"] in ("done", "skipped")

    def free_to_pass(self, kind: str, data: dict) -> bool:
        """Whether this passes by a step that its procedure calls optional: anyone of the brewery may."""
        return kind == "step.skipped" and bool(self.plan.steps.get(data.get("step"), {}).get("optional"))

    def unmet(self, step: str, person: str) -> list:
        """The cautions of the step that `person` has not met in this run, as waits."""
        if self.plan.steps[step].get("never_locked"):
            return []
        met = [event["data"]["caution"] for event in self.steps[step]["met"] if event["person"] == person]
        return [_caution(caution) for caution in self.cautions(step) if caution not in met]

    def met(self, caution: str, version: int, person: str) -> list[int]:
        """When `person` met this version of a caution, at any step of this run [ms]."""
        told = {"caution": caution, "version": version}
        found = []
        for step in self.plan.order:
            for event in self.steps[step]["met"]:
                if event["person"] == person and told == {key: event["data"][key] for key in told}:
                    found.append(moment(event))
        return found

    def cautions(self, step: str) -> list:
        """The cautions of a step: its own and those its readings raised."""
        own = list(self.plan.steps[step].get("cautions", []))
        return own + [key for key in self.steps[step]["raised"] if key not in own]

    def lacking_before(self, step: str) -> list:
        """Why a step is not open: waits with code `step` or `caution`."""
        waits = []
        for need in self.plan.needs[step]:
            if need in self.steps and not self.passed(need):
                waits.append({"code": "step", "step": need, "text": "First: " + self.plan.title(need)})
        if self.plan.steps[step].get("never_locked"):
            return waits
        met = [event["data"]["caution"] for event in self.steps[step]["met"]]
        for caution in self.plan.steps[step].get("cautions", []):
            if caution not in met:
                waits.append(_caution(caution))
        return waits

    def _waived(self, step: str) -> bool:
        if self.plan.absolute(step):
            return False
        for raised, _ in self.deviations:
            if raised["data"].get("step") == step and "interlock" not in raised["data"]:
                return True
        return False

    def chemical(self) -> list[tuple[str, str, str, dict]]:
        """When chemical went into the vessel and when its going was proved, in order: (hlc, id, what, record)."""
        found: dict = {}
        for step in self.plan.order:
            way = self.plan.steps[step].get("chemical")
            if way == "in":
                for mark in marks(self.steps[step], True)[:1]:
                    found[(mark["hlc"], mark["id"], "chemical-in")] = mark
            elif way == "out":
                done, _, complete = self.standing(step)
                if done and complete:
                    found[(done["hlc"], done["id"], "chemical-out")] = done
        order = sorted(found)
        return [(key[0], key[1], key[2], found[key]) for key in order]

    def holds_chemical(self) -> bool:
        """Whether this run put chemical into the vessel and has not proved it gone."""
        found = self.chemical()
        return bool(found) and found[-1][2] == "chemical-in"

    def contact_short(self, step: str, now: int | None) -> int:
        """Seconds of contact a step that asks for it still lacks, counted between readings in band; 0 when none."""
        if "contact" not in [ask["interlock"] for ask in self.plan.stops(step)]:
            return 0
        for entry in self.plan.steps[step].get("entries", []):
            if entry.get("series") and entry.get("limits"):
                all_read = self.steps[step]["fields"][entry["id"]]
                read = [all_read["all"][key] for key in all_read["live"]]
                credited = credited_ms(self.steps[step]["holds"], read, now)
                return max(0, self.hold_seconds(step) - credited // 1000)
        return 0

    def _lacks_contact(self, step: str, now: int | None) -> list:
        short = self.contact_short(step, now)
        if not short or (now is not None and self.overridden("contact", None, now)):
            return []
        wait = {"code": "interlock", "interlock": "contact", "text": SHORT_CONTACT, "seconds": short}
        wait["do"] = [MORE_CONTACT]
        return [wait]

    def lacking(self, step: str, now: int | None) -> list:
        """What a step still lacks to be done at `now` [ms]: entry, contested, stop, hold."""
        waits = []
        waived = self._waived(step)
        for entry in self.plan.steps[step].get("entries", []):
            field = entry["id"]
            held = self.steps[step]["fields"][field]
            wait = {"field": field}
            if not held["live"]:
                if entry.get("optional"):
                    continue
                wait["code"], wait["text"] = "entry", "Enter: " + entry["label"]
                if held["all"]:
                    wait["struck"] = "1"
            elif held["contested"]:
                wait["code"], wait["text"] = "contested", "Settle which counts: " + entry["label"]
            elif not waived and len(held["live"]) < entry.get("least", 1):
                wait["code"] = "entry"
                wait["text"] = "Enter: {} ({} of {} so far)".format(
                    entry["label"], len(held["live"]), entry["least"]
                )
            elif not waived and self._verdict(held) == "stop":
                wait["code"], wait["text"] = "stop", self._after_stop(step) + entry["label"]
            else:
                continue
            waits.append(wait)
        left = self.hold_left(step, now)
        if left and not waived:
            waits.append({"code": "hold", "text": "The hold is not over", "seconds": left})
        elif not left:
            waits.extend(self._lacks_contact(step, now))
        return waits

    def _after_stop(self, step: str) -> str:
        if self.plan.absolute(step):
            return "Put it right and enter again; nobody may override this: "
        return "Correct and enter again, or raise a deviation: "

    def _verdict(self, held: dict) -> str:
        verdict = "target"
        for key in self._counted(held):
            verdict = limits.worse(verdict, held["all"][key]["verdict"])
        return verdict

    def _counted(self, held: dict) -> list:
        """The live entries that a verdict rests on: of a check of instruments the last of each, as it is left."""
        if not held["verifies"]:
            return list(held["live"])
        last: dict = {}
        for key in held["live"]:
            instrument = held["all"][key]["instrument"]
            last[instrument if is_named(instrument) else key] = key
        return [key for key in held["live"] if key in last.values()]

    def verdict(self, step: str) -> str:
        """The worst live verdict among the entries of a step."""
        worst = "target"
        for held in self.steps[step]["fields"].values():
            worst = limits.worse(worst, self._verdict(held))
        return worst

    def hold_seconds(self, step: str) -> int:
        """How long the hold of a step must last [s]; 0 when it has none or its bound is not known."""
        hold = self.plan.steps[step].get("hold")
        if not hold:
            return 0
        try:
            return numbers.quantise(numbers.value(limits.resolve(hold["seconds"], self)), 0)
        except CoreError:
            return max([event["data"]["seconds"] for event in self.steps[step]["holds"]] or [1])

    def hold_left(self, step: str, now: int | None) -> int:
        """Seconds the hold still lacks at `now` [ms], counted from the start that does best."""
        wanted = self.hold_seconds(step)
        best = 0
        started = None
        for event in self.steps[step]["holds"]:
            at = milliseconds(event["time"])
            if event["type"] == "hold.started":
                started = at
            elif started is not None:
                best = max(best, at - started)
                started = None
        if started is not None and now is not None:
            best = max(best, now - started)
        return max(0, wanted - best // 1000)

    def needs_second(self, step: str, done: dict) -> bool:
        """Whether another person must sign for this `step.done`."""
        row = self.plan.steps[step]
        if row.get("who") == "second":
            return True
        role = self.administration.role(done["person"], done["seen"])
        return bool(row.get("critical")) and not outranks(role, "brewer")

    def standing(self, step: str) -> tuple[dict | None, dict | None, bool]:
        """The `step.done` that stands, its second signature, and whether the step is complete."""
        found = None
        for done in self.steps[step]["dones"]:
            if self._covers(step, done):
                found = done
                if not self.needs_second(step, done):
                    return (done, None, True)
                for sign in self.steps[step]["signs"]:
                    if sign["data"]["target"] == done["id"]:
                        return (done, sign, True)
        return (found, None, False)

    def _covers(self, step: str, done: dict) -> bool:
        if self.lacking(step, milliseconds(done["time"])):
            return False
        for entry in self.plan.steps[step].get("entries", []):
            held = self.steps[step]["fields"][entry["id"]]
            if (
                held["live"]
                and not entry.get("optional")
                and held["all"][held["live"][0]]["key"] > key_of(done)
            ):
                return False
        return True

    def _status(self, step: str) -> str:
        held = self.steps[step]
        if held["dones"]:
            done, _, complete = self.standing(step)
            if complete:
                return "done"
            return "open" if done else "reopened"
        if held["skips"]:
            return "skipped"
        if held["undone"]:
            return "reopened"
        return "shut" if self.opened is None or self.lacking_before(step) else "open"

    def refresh(self, step: str) -> None:
        """Work out the status of a step again, and of those that wait for it when it changed."""
        status = self._status(step)
        self.touched.add(step)
        if status != self.steps[step]["status"]:
            self.steps[step]["status"] = status
            for other in self.plan.waiting[step]:
                self.refresh(other)
