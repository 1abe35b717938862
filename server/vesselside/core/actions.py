"""What a person may do next, turned into the event that records it, or into the reason why not.

The same tables that give a finding in the fold stop the action here, before it is recorded.
"""

from . import VERSION, limits, numbers
from .authority import may
from .errors import CoreError
from .events import KINDS, LEFT, is_id
from .ledger import Run
from .procedure import TRANSITIONS

KIND_OF = {
    "open": "run.opened",
    "caution": "caution.met",
    "enter": "entry.made",
    "settle": "entry.settled",
    "done": "step.done",
    "skip": "step.skipped",
    "hold-start": "hold.started",
    "hold-end": "hold.ended",
    "sign": "sign.given",
    "note": "note.added",
    "deviate": "deviation.raised",
    "answer": "deviation.answered",
    "strike": "struck",
    "finish": "run.finished",
    "abandon": "run.abandoned",
    "review": "run.reviewed",
}
_AFTER_CLOSE = ("review", "strike", "note", "answer")


class Waits(CoreError):
    """An action that must wait; `waits` lists what for, in the shape of a step's `waits`."""

    def __init__(self, waits: list) -> None:
        super().__init__("waits", "; ".join([wait["text"] for wait in waits]))
        self.waits = waits


def _words(given: dict, name: str, asked: str) -> str:
    text = given.get(name)
    if not isinstance(text, str) or not text.strip():
        raise CoreError("empty", asked, field=name)
    if len(text) > 4000:
        raise CoreError("too-long", "Keep it under 4000 characters.", field=name)
    return text.strip()


def _step(run: Run, given: dict) -> str:
    step = given.get("step")
    if not isinstance(step, str) or step not in run.steps:
        raise CoreError("unknown-step", "This procedure has no such step.", field="step")
    return step


def _entry(run: Run, step: str, given: dict) -> dict:
    entry = run.plan.entry(step, str(given.get("field")))
    if entry is None:
        raise CoreError("unknown-field", "This step has no such field.", field="field")
    return entry


def open_run(procedure: dict, given: dict) -> dict:
    """The data of `run.opened` for a published procedure; inputs are checked, defaults filled in."""
    inputs = {}
    asked = given.get("inputs") or {}
    for row in procedure.get("inputs", []):
        text = asked.get(row["id"]) or row.get("default") or ""
        if not isinstance(text, str) or not text.strip():
            raise CoreError("empty", "Enter: " + row["label"], field=row["id"])
        inputs[row["id"]] = text.strip() if row.get("kind") == "text" else numbers.parse(text)
    data = {
        "procedure": procedure["id"],
        "version": procedure["version"],
        "sha256": procedure["sha256"],
        "inputs": inputs,
    }
    for name in ("vessel", "gyle"):
        if given.get(name):
            if not is_id(given[name]):
                raise CoreError("bad-id", "This is not an id: " + str(given[name])[:64], field=name)
            data[name] = given[name]
    if procedure.get("vessel_kinds") and "vessel" not in data:
        raise CoreError("no-vessel", "Choose the vessel first.", field="vessel")
    return data


def _check_turn(run: Run, action: str, step: str, person: dict) -> None:
    code = TRANSITIONS[KIND_OF[action]][run.steps[step]["status"]]
    waits = []
    if code == "early":
        waits = [wait for wait in run.lacking_before(step) if wait["code"] == "step"]
    elif code:
        waits.append({"code": code, "text": "This step is already done"})
    if action in ("enter", "done", "hold-start"):
        waits.extend(run.unmet(step, person["id"]))
    if waits:
        raise Waits(waits)


def _enter(run: Run, given: dict) -> tuple[dict, dict]:
    step = _step(run, given)
    entry = _entry(run, step, given)
    typed = given.get("typed")
    if not isinstance(typed, str):
        raise CoreError("empty", "Nothing was entered.", field=entry["id"])
    judged = limits.judge(entry, typed, run)
    how = given.get("how", "keyed")
    data = {
        "step": step,
        "field": entry["id"],
        "value": judged["value"],
        "typed": typed,
        "how": how,
        "verdict": judged["verdict"],
        "core": VERSION,
        "over": [] if entry.get("series") else list(run.steps[step]["fields"][entry["id"]]["live"]),
    }
    if entry.get("unit"):
        data["unit"] = entry["unit"]
    if given.get("instrument"):
        data["instrument"] = given["instrument"]
    if how == "worked":
        working = limits.work(entry, run, given.get("values") or {})
        made = {}
        for row in working["inputs"]:
            made[row["id"]] = row["value"]
        data["from"] = {"calculation": working["calculation"], "inputs": made}
        if numbers.compare(limits.result_of(working, entry), judged["value"]) != 0:
            data["how"] = "keyed"
    return data, judged


def _sign(run: Run, given: dict, person: dict) -> dict:
    step = _step(run, given)
    done, _, complete = run.standing(step)
    if done is None or complete:
        raise Waits([{"code": "no-signature", "text": "Nothing waits for a signature here"}])
    if done["person"] == person["id"]:
        raise Waits([{"code": "second", "text": "Another person than the one who did it signs"}])
    return {"step": step, "target": done["id"], "role": person["role"]}


def _done(run: Run, given: dict, now: int) -> dict:
    step = _step(run, given)
    waits = run.lacking(step, now)
    if waits:
        raise Waits(waits)
    return {"step": step, "verdict": run.verdict(step), "core": VERSION}


def _hold(run: Run, given: dict, action: str, now: int) -> dict:
    step = _step(run, given)
    if not run.plan.steps[step].get("hold"):
        raise CoreError("no-hold", "This step has no hold.")
    seconds = run.hold_seconds(step)
    if action == "hold-end":
        left = run.hold_left(step, now)
        if left:
            raise Waits([{"code": "hold", "text": "The hold is not over", "seconds": left}])
    return {"step": step, "seconds": seconds}


def _deviate(run: Run, given: dict) -> dict:
    data = {"text": _words(given, "text", "Say what is different.")}
    if given.get("step"):
        step = _step(run, given)
        data["step"] = step
        field = given.get("field")
        held = run.steps[step]["fields"].get(field) if field else None
        if held and held["live"]:
            record = held["all"][held["live"][-1]]
            data["value"] = record["value"]
            if record["limit"]:
                data["limit"] = record["limit"]
    return data


def _settle(run: Run, given: dict) -> dict:
    step = _step(run, given)
    entry = _entry(run, step, given)
    held = run.steps[step]["fields"][entry["id"]]
    if not held["contested"]:
        raise Waits([{"code": "settled", "text": "Nothing to settle here"}])
    if given.get("chosen") not in held["live"]:
        raise CoreError("no-such-choice", "Choose one of the readings shown.", field="chosen")
    over = list(held["live"])
    for settle in held["settles"]:
        over.append(settle["event"])
    return {
        "step": step,
        "field": entry["id"],
        "chosen": given["chosen"],
        "reason": _words(given, "reason", "Say why this reading counts."),
        "over": over,
    }


def _finish(run: Run) -> dict:
    waits = []
    for step in run.plan.order:
        if not run.passed(step) and not run.plan.steps[step].get("optional"):
            waits.append({"code": "step", "step": step, "text": "First: " + run.plan.title(step)})
    if waits:
        raise Waits(waits)
    return {}


def _abandon(given: dict) -> dict:
    left = given.get("left")
    if left not in LEFT:
        raise CoreError("no-such-choice", "Say how the vessel is left.", field="left")
    return {"reason": _words(given, "reason", "Say why the run stops here."), "left": left}


def _caution(run: Run, given: dict, cautions: dict) -> dict:
    step = _step(run, given)
    caution = cautions.get(given.get("caution"))
    if caution is None or caution["id"] not in run.cautions(step):
        raise CoreError("unknown-caution", "This step has no such caution.", field="caution")
    return {"step": step, "caution": caution["id"], "version": caution["version"]}


def _strike(run: Run, given: dict) -> dict:
    target = given.get("target")
    found = [event for event in run.events if event["id"] == target]
    if not found or found[0]["type"] in ("struck", "run.opened"):
        raise CoreError("target-unknown", "There is nothing here to strike.", field="target")
    return {"target": target, "reason": _words(given, "reason", "Say why it is struck.")}


def _answer(run: Run, given: dict) -> dict:
    for raised, answer in run.deviations:
        if raised["id"] == given.get("deviation") and answer is None:
            return {"deviation": raised["id"], "action": _words(given, "action", "Say what was done about it.")}
    raise CoreError("target-unknown", "There is no open deviation of this id.", field="deviation")


def _note(run: Run, given: dict) -> dict:
    data = {"text": _words(given, "text", "Write the note.")}
    if given.get("step"):
        data["step"] = _step(run, given)
    return data


def _review(run: Run, given: dict) -> dict:
    if not run.finished and not run.abandoned:
        raise Waits([{"code": "open", "text": "The run is still open"}])
    if given.get("verdict") not in ("accepted", "rejected"):
        raise CoreError("no-such-choice", "Accept or reject.", field="verdict")
    text = given.get("text") or ""
    if given["verdict"] == "rejected":
        text = _words(given, "text", "Say why it is rejected.")
    return {"verdict": given["verdict"], "digest": given.get("digest"), "text": text}


def prepare(
    run: Run, *, action: str, person: dict, now: int, given: dict, cautions: dict, procedure: dict | None = None
) -> dict:
    """The event for an action: `{type, data, judgement?}`; Waits or CoreError says why not.

    `person` is `{id, role}`, `now` epoch milliseconds, `cautions` by id. Recording is never taken from a person
    the tables allow; approvals need their role.
    """
    kind = KIND_OF.get(action)
    if kind is None:
        raise CoreError("unknown-action", "There is no action called " + str(action)[:40])
    if not may(kind, person.get("role")):
        raise Waits([{"code": "role", "text": "This takes a " + KINDS[kind][0]}])
    if (run.finished or run.abandoned) and action not in _AFTER_CLOSE:
        raise Waits([{"code": "closed", "text": "This run is closed"}])
    if action in ("enter", "done", "skip", "hold-start", "hold-end"):
        _check_turn(run, action, _step(run, given), person)
    answer = {"type": kind}
    if action == "open":
        answer["data"] = open_run(procedure or run.plan.procedure, given)
    elif action == "caution":
        answer["data"] = _caution(run, given, cautions)
    elif action == "enter":
        answer["data"], answer["judgement"] = _enter(run, given)
    elif action == "settle":
        answer["data"] = _settle(run, given)
    elif action == "done":
        answer["data"] = _done(run, given, now)
    elif action == "skip":
        answer["data"] = {"step": _step(run, given), "reason": _words(given, "reason", "Say why it is skipped.")}
    elif action in ("hold-start", "hold-end"):
        answer["data"] = _hold(run, given, action, now)
    elif action == "sign":
        answer["data"] = _sign(run, given, person)
    elif action == "note":
        answer["data"] = _note(run, given)
    elif action == "deviate":
        answer["data"] = _deviate(run, given)
    elif action == "answer":
        answer["data"] = _answer(run, given)
    elif action == "strike":
        answer["data"] = _strike(run, given)
    elif action == "finish":
        answer["data"] = _finish(run)
    elif action == "abandon":
        answer["data"] = _abandon(given)
    else:
        answer["data"] = _review(run, given)
    return answer
