"""A careful person at the vessel, driving any procedure through the bridge alone, as the phone does."""

import json
from datetime import UTC, datetime

from vesselside.core import bridge

from .builder import PEOPLE, SEEN, START, administration, signed_in
from .world import fit_for


class RefusedError(Exception):
    """The bridge said no; `problem` is what it answered."""

    def __init__(self, problem):
        super().__init__(json.dumps(problem))
        self.problem = problem


def ask(name, **args):
    answer = json.loads(bridge.call(name, json.dumps(args)))
    if "error" in answer:
        raise RefusedError(answer["error"])
    return answer["ok"]


def signed(procedure):
    """The figures that a manager has signed once before the procedure first runs, as they stand."""
    return {row["id"]: row["default"] for row in procedure.get("settings", [])}


class Walker:
    """Opens a run of `procedure` and can drive it to its end; `events` is what it recorded."""

    def __init__(
        self, procedure, cautions, *, run="walk", start=1_790_000_000_000, inputs_given=None, readings=None,
        vessel="fv1", gyle="g1", fit=True, person=("bay", "brewer"),
    ):  # fmt: skip
        self.procedure, self.run, self.start, self.now = procedure, run, start, start
        self.cautions, self.events = cautions, []
        self.person = {"id": person[0], "role": person[1]}
        self.steps = {step["id"]: step for step in procedure["steps"]}
        self.readings = readings or {}
        inputs = {row["id"]: row.get("default") or "100" for row in procedure.get("inputs", [])}
        inputs.update(inputs_given or {})
        kinds = procedure.get("vessel_kinds")
        if fit:
            card = {
                "id": "fv1",
                "name": "FV 1",
                "kind": kinds[0] if kinds else "fermenter",
                "place": "Tank room",
            }
            held = {"vessels": [card], "runs": fit_for(procedure, "fv1", start, gyle)}
            ask("load", **held, settings=signed(procedure), now=start)
        made = ask(
            "prepare",
            action="open",
            procedure=procedure,
            vessel=vessel if kinds else None,
            gyle=gyle,
            inputs=inputs,
            person=self.person,
            now=start,
        )
        self.view = None
        self._keep(made)
        self.reopen()

    def reopen(self):
        """Fold the run anew from its events, as after the phone's core was lost."""
        self.view = ask(
            "open",
            run=self.run,
            procedure=self.procedure,
            cautions=self.cautions,
            admin=[*administration(), *self._signed_in()],
            events=self.events,
        )

    def _signed_in(self):
        """Everybody's sign-ins on this phone: one as the run begins and one each week of it."""
        weeks = range(self.start, self.now + 1, 7 * 86_400_000)
        return [signed_in(person, "walker", START - ms) for person in PEOPLE for ms in weeks]

    def _keep(self, made):
        self.now += 1000
        number = len(self.events) + 1
        at = datetime.fromtimestamp(self.now / 1000, UTC)
        event = {
            "specversion": "1.0",
            "id": f"{self.run}-{number:04d}",
            "source": "/devices/walker",
            "subject": f"/runs/{self.run}",
            "time": at.strftime("%Y-%m-%dT%H:%M:%S.") + f"{self.now % 1000:03d}Z",
            "person": self.person["id"],
            "hlc": f"{self.now:012x}-0000",
            "seen": SEEN,
            "number": number,
            "prevhash": "0" * 64,
            "signature": "x",
            "type": made["type"],
            "data": made["data"],
        }
        self.events.append(event)
        if self.view is not None:
            part = ask("taken", run=self.run, events=[event], now=self.now)["run"]
            steps = {**self.view["steps"], **part["steps"]}
            self.view = {**part, "steps": steps}
        return event

    def act(self, action, **given):
        return self._keep(
            ask("prepare", run=self.run, action=action, person=self.person, now=self.now, **given)
        )

    def as_second(self, action, **given):
        """Act as another person, the duty brewer or the manager, then hand back."""
        mine, self.person = self.person, {"id": "col", "role": "duty"}
        if mine["id"] == "col":
            self.person = {"id": "dee", "role": "manager"}
        try:
            return self.act(action, **given)
        finally:
            self.person = mine

    def meet(self, step):
        for row in ask("look", run=self.run, step=step, person=self.person, met=[], now=self.now)["cautions"]:
            if row["show"] != "met":
                self.act("caution", step=step, caution=row["caution"])

    def candidates(self, step, entry):
        """Values a sensible person could read, best first."""
        known = self.readings.get(f"{step}.{entry['id']}")
        if known:
            return [known]
        if entry["kind"] == "choice":
            return [
                o["id"]
                for o in sorted(entry["options"], key=lambda o: o.get("verdict", "target") != "target")
            ]
        if entry["kind"] in ("text", "lot"):
            return ["L-2026-17"]
        if entry["kind"] == "photo":
            return ["ab" * 32]
        if entry.get("works"):
            try:
                return [ask("work", run=self.run, step=step, field=entry["id"])["proposed"]]
            except RefusedError:
                return ["1"]
        words = self.view["steps"][step]["entries"][entry["id"]]["limit"].split()
        numbers = [word for word in words if word.replace(".", "").replace("-", "").isdigit()]
        middle = [str((float(numbers[0]) + float(numbers[1])) / 2)] if len(numbers) == 2 else []
        if entry["kind"] == "count":
            middle = [str(int(float(value))) for value in middle]
        usual = {"pH": ["7.4"], "µS/cm": ["420"]}.get(entry.get("unit"), [])
        return [*middle, *usual, *numbers, "20", "7", "5", "1", "0", "100", "1000"]

    def enter(self, step, entry):
        for value in self.candidates(step, entry):
            how = "worked" if entry.get("works") else "keyed"
            try:
                judged = ask("judge", run=self.run, step=step, field=entry["id"], typed=value)
            except RefusedError:
                continue
            if judged["verdict"] == "target":
                self.act("enter", step=step, field=entry["id"], typed=value, how=how)
                self.meet(step)
                return
        raise AssertionError(f"no value on target for {step}.{entry['id']}: {self.candidates(step, entry)}")

    def do(self, step):
        """Do one step as it asks: cautions, entries, hold, done, second signature."""
        row = self.steps[step]
        self.meet(step)
        for entry in row.get("entries", []):
            if not entry.get("optional"):
                for _ in range(entry.get("least", 1)):
                    self.enter(step, entry)
        if row.get("hold"):
            started = self.act("hold-start", step=step)
            self.now += started["data"]["seconds"] * 1000
            self.act("hold-end", step=step)
        self.act("done", step=step)
        if any(wait["code"] == "second" for wait in self.view["steps"][step]["waits"]):
            self.as_second("sign", step=step)

    def finish(self):
        """Drive to the end; a step that may be skipped is skipped when it cannot be on target."""
        while self.view["next"]:
            self.do(self.view["next"])
        self.act("finish")
        return self.view
