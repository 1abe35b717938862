"""One device: the runs it has open, what it knows of the plant, and a person's tap as one question and one answer.

A tap is drafted and folded in one go: the log gives the stamp its record will have, the device answers with the draft
and with everything a screen shows after it. The log writes it then; where that fails, or another stamp was written, the
run is opened anew from the log.
"""

from vesselside.core.ground.clock import milliseconds
from vesselside.core.ground.errors import CoreError
from vesselside.core.plant import interlocks
from vesselside.core.run.authority import Administration, may
from vesselside.core.run.events import ROLES
from vesselside.core.run.ledger import Run

from . import actions, hazards, views

TYPE_CHECKING = False
if TYPE_CHECKING:
    from vesselside.core.plant.known import Known
    from vesselside.core.shapes import Acted, After, Caution, Draft, Look, MetBefore

KEPT = 4
"""How many runs stay open; the one longest unused is forgotten first."""
_AT_STEP = ("enter", "done", "skip", "hold-start", "hold-end")
"""What is taken only from someone who has met the cautions of the step, and so confirms those still so."""


class Open:
    """A run that is open on this device, with the cautions its procedure names, by id."""

    def __init__(self, run: Run, cautions: "dict[str, Caution]") -> None:
        self.run = run
        self.cautions = cautions


class Device:
    """What stays between calls, all of it here."""

    def __init__(self) -> None:
        self.known: Known | None = None
        """What is known of the plant; None until it has been read."""
        self.met: dict[str, list[MetBefore]] = {}
        """By person, which cautions they met in any run, as far as this device was told."""
        self.told = Administration([])
        """The administration this device was told: every run handed over without one of its own is judged by it."""
        self._open: dict[str, Open] = {}
        self._order: list[str] = []

    # -- runs -----------------------------------------------------------------

    def tell(self, events: list[dict], anew: bool) -> None:
        """Take administration in; `anew` forgets what was told before. Open runs see it when they fold anew."""
        if anew:
            before, self.told = self.told, Administration([])
            for held in self._open.values():
                if held.run.administration is before:
                    held.run.administration = self.told
        for event in events:
            self.told.add(event)

    def fold(self, args: dict) -> Run:
        """A run folded from its records as the log has them, in order; it is not kept."""
        administration = Administration(args["admin"]) if "admin" in args else self.told
        run = Run(args["run"], args.get("procedure"), administration)
        run.add(args["events"])
        run.touched = set()
        return run

    def open(self, run: Run, cautions: "list[Caution]") -> None:
        """Keep a run open; one of its id that was open before is forgotten."""
        self._open[run.id] = Open(run, {caution["id"]: caution for caution in cautions})
        if run.id in self._order:
            self._order.remove(run.id)
        self._order.append(run.id)
        while len(self._order) > KEPT:
            del self._open[self._order.pop(0)]

    def held(self, run: object) -> Open:
        """An open run; CoreError `not-open` otherwise."""
        held = self._open.get(run) if isinstance(run, str) else None
        if held is None:
            raise CoreError("not-open", "Open the run first.")
        return held

    def is_open(self, run: object, events: list[dict]) -> Run | None:
        """The open run of that id where just these events are folded in it, or None."""
        held = self._open.get(run) if isinstance(run, str) else None
        return held.run if held is not None and held.run.is_of(events) else None

    # -- a person at a step -------------------------------------------------------

    def prepare(self, held: Open, action: str, person: dict, now: int, given: dict) -> dict:
        """The draft of an action in an open run, as `actions.prepare` gives it."""
        return actions.prepare(
            held.run,
            action=action,
            person=person,
            now=now,
            given=given,
            cautions=held.cautions,
            known=self.known,
        )

    def act(self, args: dict) -> "Acted":
        """Draft what a person does, fold it, and say what is so after it: `{drafts, judgement?, after}`.

        `stamp` is `{time, hlc, source, seen, ids}`, what the records will carry; `sight` the cautions that stand in
        sight over the step and are still so, which the record at it confirms first. Refused, nothing is folded.
        """
        held, stamp = self.held(args["run"]), args["stamp"]
        run, person, now = held.run, args["person"], args["now"]
        drafts: list[Draft] = []
        try:
            for caution in self._confirmed(held, args):
                given = {"step": args["step"], "caution": caution}
                self._fold(run, drafts, self.prepare(held, "caution", person, now, given), stamp, person)
            made = self.prepare(held, args["action"], person, now, args)
        except CoreError:
            run.forget(stamp["ids"][: len(drafts)])
            raise
        self._fold(run, drafts, made, stamp, person)
        answer: Acted = {"drafts": drafts, "after": self.after(held, args)}
        if "judgement" in made:
            answer["judgement"] = made["judgement"]
        return answer

    def _confirmed(self, held: Open, args: dict) -> list[str]:
        sight, step = args.get("sight") or [], args.get("step")
        if not sight or args["action"] not in _AT_STEP or step not in held.run.steps:
            return []
        person = args["person"]
        rows = hazards.rows(
            held.run, step, person, held.cautions, self.met.get(person["id"], []), args["now"]
        )
        if [row for row in rows if row["show"] in ("full", "state")]:
            return []
        return [row["caution"] for row in rows if row["show"] == "still" and row["caution"] in sight]

    def _fold(self, run: Run, drafts: "list[Draft]", made: dict, stamp: dict, person: dict) -> None:
        at = len(drafts)
        drafts.append({"type": made["type"], "data": made["data"]})
        event = {name: stamp[name] for name in ("time", "source", "seen")}
        event["id"], event["hlc"] = stamp["ids"][at], _later(stamp["hlc"], at)
        event["type"], event["data"] = made["type"], made["data"]
        event["subject"], event["person"] = "/runs/" + run.id, person["id"]
        run.add([event])
        if made["type"] == "caution.met":
            met: MetBefore = {
                "caution": made["data"]["caution"],
                "version": made["data"]["version"],
                "at": milliseconds(event["time"]),
            }
            self.met.setdefault(person["id"], []).append(met)

    def take(self, args: dict) -> "After":
        """Fold records made elsewhere, and say what is so after it, as `act` does.

        With `admin`, which may be empty, the run is folded anew: by it and by what the device was told.
        """
        held = self.held(args["run"])
        for event in args.get("admin", []):
            held.run.administration.add(event)
        if "admin" in args:
            held.run.refold()
        held.run.add(args.get("events", []))
        return self.after(held, args)

    def after(self, held: Open, args: dict) -> "After":
        """What a screen shows once something was folded.

        `run` has only the steps that changed, `vessels` only the rows that did; `looks` is what stands before the step
        on the screen and before the next one.
        """
        run, now = held.run, args["now"]
        part = views.changes(run)
        line = views.line(run)
        found: After = {"run": part, "line": line, "vessels": [], "doubts": [], "looks": {}}
        if self.known is not None:
            self.known.take(line)
            found["vessels"], found["doubts"] = self.known.news(now), self.known.doubts()
        person = args.get("person")
        if person is not None:
            for step in (args.get("step"), part["next"]):
                if step in run.steps:
                    found["looks"][step] = self.look(held, step, person, now)
        return found

    def look(self, held: Open, step: str, person: dict, now: int) -> "Look":
        """What stands before a step for one person."""
        if step not in held.run.steps:
            raise CoreError("unknown-step", "This procedure has no such step.", field="step")
        met = self.met.get(person["id"], [])
        return {
            "cautions": hazards.rows(held.run, step, person, held.cautions, met, now),
            "interlocks": interlocks.asked(held.run, step, self.known, now),
            "signers": [role for role in ROLES if may("sign.given", role)],
        }


def _later(hlc: str, count: int) -> str:
    """The stamp `count` after this one, made in the same millisecond (Kulkarni et al. 2014)."""
    low = int(hlc[13:], 16) + count
    return "{:012x}-{:04x}".format(int(hlc[:12], 16) + low // 0x10000, low % 0x10000)
