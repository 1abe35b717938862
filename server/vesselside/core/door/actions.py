"""What a person may do next, turned into the event that records it, or into the reason why not.

The same tables that give a finding in the fold stop the action here, before it is recorded.
"""

from vesselside.core import VERSION
from vesselside.core.ground import numbers
from vesselside.core.ground.errors import CoreError
from vesselside.core.plant import interlocks, readwith
from vesselside.core.plant.fitness import NEEDED
from vesselside.core.plant.happenings import happenings
from vesselside.core.plant.known import Known
from vesselside.core.run import limits
from vesselside.core.run.authority import OWN_REVIEW, may, override_wrong
from vesselside.core.run.begun import first_work
from vesselside.core.run.chemical import holds_chemical
from vesselside.core.run.events import KINDS, LEFT, is_count, is_id
from vesselside.core.run.ledger import Run
from vesselside.core.run.procedure import TRANSITIONS
from vesselside.core.run.readings import refuse_impossible

from . import brought
from .given import answering, words

TYPE_CHECKING = False
if TYPE_CHECKING:
    from vesselside.core.shapes import Entry, Wait

_NEAREST = {"hold": "filled", "clean": "rinsed", "sanitised": "rinsed"}
"""The state nearest to one that a person cannot give, never a safer one."""
_AFTER_CLOSE = ("review", "strike", "note", "answer")


class WaitError(CoreError):
    """An action that must wait; `waits` lists what for, in the shape of a step's `waits`."""

    def __init__(self, waits: "list[Wait]") -> None:
        super().__init__("waits", "; ".join([wait["text"] for wait in waits]))
        self.waits = waits


def _step(run: Run, given: dict) -> str:
    step = given.get("step")
    if not isinstance(step, str) or step not in run.steps:
        raise CoreError("unknown-step", "This procedure has no such step.", field="step")
    return step


def _entry(run: Run, step: str, given: dict) -> "Entry":
    entry = run.plan.entry(step, str(given.get("field")))
    if entry is None:
        raise CoreError("unknown-field", "This step has no such field.", field="field")
    return entry


def _skip(run: Run, given: dict, at: dict) -> dict:
    step = _step(run, given)
    if run.plan.absolute(step) and not run.plan.steps[step].get("optional"):
        raise WaitError([{"code": "interlock", "step": step, "text": "Nobody may skip this step"}])
    return {"step": step, "reason": words(given, "reason", "Say why it is skipped.")}


def _open(run: Run, given: dict, at: dict) -> dict:
    procedure = run.plan.procedure
    if procedure is None:
        raise CoreError("unknown-procedure", "The procedure of this run is not held here.")
    inputs: dict[str, str] = {}
    asked = given.get("inputs") or {}
    for row in procedure.get("inputs", []):
        text = asked.get(row["id"]) or row.get("default") or ""
        if not isinstance(text, str) or not text.strip():
            raise CoreError("empty", "Enter: " + row["label"], field=row["id"])
        inputs[row["id"]] = text.strip() if row.get("kind") == "text" else numbers.parse(text)
    data: dict[str, object] = {
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
    recipe = given.get("recipe")
    if recipe:
        if not is_id(recipe.get("id")) or not is_count(recipe.get("version")):
            raise CoreError("bad-id", "This is not a recipe version.", field="recipe")
        data["recipe"], data["recipe_version"] = recipe["id"], recipe["version"]
    if "gyle" not in data and _lets_go(run):
        raise CoreError(
            "no-gyle", "Say which gyle this is: without it no step lets the beer go.", field="gyle"
        )
    if procedure.get("vessel_kinds") and "vessel" not in data:
        raise CoreError("no-vessel", "Choose the vessel first.", field="vessel")
    return data


def _lets_go(run: Run) -> bool:
    """Whether a step stops for want of the gyle's number, which cannot be given once the run is open."""
    asked = [ask["interlock"] for step in run.plan.order for ask in run.plan.stops(step)]
    return any([NEEDED.get(interlock) for interlock in asked])


def _check_turn(run: Run, action: str, step: str, person: dict, now: int, known: Known | None) -> None:
    held = run.steps[step]
    code = TRANSITIONS[ACTIONS[action][0]][held.status]
    waits: list[Wait] = []
    if code == "early":
        waits = [wait for wait in held.lacking_before() if wait["code"] == "step"]
    elif code:
        waits.append({"code": code, "text": "This step is already done"})
    if action in ("enter", "done", "hold-start"):
        waits.extend(held.unmet(person["id"]))
    if not waits and action != "hold-end":
        waits.extend(interlocks.waits(run, step, known, now))
    if waits:
        raise WaitError(waits)


def _enter(run: Run, given: dict, at: dict) -> dict:
    step = _step(run, given)
    entry = _entry(run, step, given)
    typed = given.get("typed")
    if not isinstance(typed, str):
        raise CoreError("empty", "Nothing was entered.", field=entry["id"])
    judged = limits.judge(entry, typed, run)
    refuse_impossible(entry, judged["value"])
    field = run.steps[step].fields[entry["id"]]
    if field.full():
        raise CoreError("too-many", "No more can be entered here. Write a note instead.", field=entry["id"])
    how = given.get("how", "keyed")
    data = {
        "step": step,
        "field": entry["id"],
        "value": judged["value"],
        "typed": typed,
        "how": how,
        "verdict": judged["verdict"],
        "core": VERSION,
        "over": [] if field.series else list(field.live),
    }
    if entry.get("unit"):
        data["unit"] = entry["unit"]
    if given.get("instrument"):
        data["instrument"] = _instrument(run, step, entry, given, at)
    if how == "worked":
        working = brought.work(entry, run, given)
        made = {}
        for row in working["inputs"]:
            made[row["id"]] = row.get("given", row["value"])
        data["from"] = {"calculation": working["calculation"], "inputs": made}
        if numbers.compare(working["proposed"], judged["value"]) != 0:
            data["how"] = "keyed"
    at["judgement"] = judged
    return data


def _instrument(run: Run, step: str, entry: "Entry", given: dict, at: dict) -> str:
    """The instrument a reading is made with: the one picked; where only its kind is given, the one proposed, if any."""
    picked = str(given["instrument"])
    if picked != entry.get("instrument"):
        return picked
    card = readwith.proposal(run, step, entry, at["known"], given.get("last"))
    return card["id"] if card else picked


def _sign(run: Run, given: dict, at: dict) -> dict:
    person = at["person"]
    step = _step(run, given)
    done, _, complete = run.steps[step].ticked()
    if done is None or complete:
        raise WaitError([{"code": "no-signature", "text": "Nothing waits for a signature here"}])
    if done.person == person["id"]:
        raise WaitError([{"code": "second", "text": "Another person than the one who did it signs"}])
    return {"step": step, "target": done.id, "role": person["role"]}


def _done(run: Run, given: dict, at: dict) -> dict:
    step = _step(run, given)
    waits = run.steps[step].lacking(at["now"])
    if waits:
        raise WaitError(waits)
    return {"step": step, "verdict": run.steps[step].verdict(), "core": VERSION}


def _hold(run: Run, given: dict, at: dict) -> dict:
    step = _step(run, given)
    if not run.plan.steps[step].get("hold"):
        raise CoreError("no-hold", "This step has no hold.")
    seconds = run.steps[step].hold_seconds()
    if at["action"] == "hold-end":
        left = run.steps[step].hold_left(at["now"])
        if left:
            raise WaitError([{"code": "hold", "text": "The hold is not over", "seconds": left}])
    return {"step": step, "seconds": seconds}


def _deviate(run: Run, given: dict, at: dict) -> dict:
    data = {"text": words(given, "text", "Say what is different.")}
    if given.get("step"):
        step = _step(run, given)
        data["step"] = step
        field = given.get("field")
        held = run.steps[step].fields.get(field) if isinstance(field, str) else None
        made = held.newest() if held else None
        if made is not None:
            data["value"] = made.value
            if made.limit:
                data["limit"] = made.limit
    return data


def _settle(run: Run, given: dict, at: dict) -> dict:
    step = _step(run, given)
    entry = _entry(run, step, given)
    held = run.steps[step].fields[entry["id"]]
    if not held.contested:
        raise WaitError([{"code": "settled", "text": "Nothing to settle here"}])
    if given.get("chosen") not in held.live:
        raise CoreError("no-such-choice", "Choose one of the readings shown.", field="chosen")
    over = held.live + [settled.id for settled in held.settles]
    return {
        "step": step,
        "field": entry["id"],
        "chosen": given["chosen"],
        "reason": words(given, "reason", "Say why this reading counts."),
        "over": over,
    }


def _finish(run: Run, given: dict, at: dict) -> dict:
    waits: list[Wait] = []
    for step in run.plan.order:
        if not run.steps[step].passed() and not run.plan.steps[step].get("optional"):
            waits.append({"code": "step", "step": step, "text": "First: " + run.plan.title(step)})
    if waits:
        raise WaitError(waits)
    return {}


def _abandon(run: Run, given: dict, at: dict) -> dict:
    if given.get("untouched"):
        return _put_away(run, at)
    left = given.get("left")
    if left is None and not run.vessel():
        # the record wants a word; without a vessel nobody is asked for it, and nothing is told of it
        left = "chemical" if holds_chemical(run) else "soiled"
    if left not in LEFT:
        raise CoreError("no-such-choice", "Say how the vessel is left.", field="left")
    if left != "chemical" and holds_chemical(run):
        text = "Dosing was begun and its rinse is not proved: it is left containing chemical. Do not open it."
        raise CoreError("left-chemical", text, field="left")
    return {"reason": words(given, "reason", "Say why the run stops here."), "left": left}


def _put_away(run: Run, at: dict) -> dict:
    """Closes a run opened by mistake. It changes no vessel; `left` is for a core that knows no better."""
    if first_work(run) is not None or run.deviations:
        text = "Something is recorded in this run. Stop it, and say how the vessel is left."
        raise CoreError("touched", text, field="untouched")
    known: Known | None = at["known"]
    rows = [row for row in known.board(at["now"]) if row["id"] == run.vessel()] if known else []
    state = rows[0]["state"] if rows else "soiled"
    left = state if state in LEFT else _NEAREST.get(state, "soiled")
    return {"reason": "Opened by mistake, nothing touched", "left": left, "untouched": True}


def _caution(run: Run, given: dict, at: dict) -> dict:
    step = _step(run, given)
    caution = at["cautions"].get(given.get("caution"))
    if caution is None or caution["id"] not in run.steps[step].cautions():
        raise CoreError("unknown-caution", "This step has no such caution.", field="caution")
    return {"step": step, "caution": caution["id"], "version": caution["version"]}


def _strike(run: Run, given: dict, at: dict) -> dict:
    target = given.get("target")
    found = run.held.get(target) if isinstance(target, str) else None
    if found is None or found.type in ("struck", "run.opened"):
        raise CoreError("target-unknown", "There is nothing here to strike.", field="target")
    return {"target": target, "reason": words(given, "reason", "Say why it is struck.")}


def _answer(run: Run, given: dict, at: dict) -> dict:
    wanted = given.get("deviation")
    if isinstance(wanted, str) and wanted in run.deviations:
        before = run.answers.get(wanted)
        if before is None or before.pending:
            return answering(given)
    about = [row["event"] for row in happenings(run) if "answered" in row]
    if run.opened and readwith.drawn(run)["read"]:
        about.append(run.opened.id)
    if wanted in about:
        return answering(given)
    raise CoreError("target-unknown", "There is no open deviation of this id.", field="deviation")


def _override(run: Run, given: dict, at: dict) -> dict:
    step = _step(run, given)
    data = {"step": step, "interlock": given.get("interlock")}
    if not isinstance(data["interlock"], str):
        raise CoreError("empty", "Say which interlock.", field="interlock")
    wrong = override_wrong(data["interlock"], step, run.plan, at["person"].get("role"))
    if wrong:
        raise WaitError([{"code": "interlock", "step": step, "text": "It cannot be overridden: " + wrong}])
    data["text"] = words(given, "reason", "Say why it is overridden.")
    data["check"] = words(given, "check", "Say what is checked instead.")
    return data


def _note(run: Run, given: dict, at: dict) -> dict:
    data = {"text": words(given, "text", "Write the note.")}
    if given.get("step"):
        data["step"] = _step(run, given)
    return data


def _review(run: Run, given: dict, at: dict) -> dict:
    if not run.finished and not run.abandoned:
        raise WaitError([{"code": "open", "text": "The run is still open"}])
    if given.get("verdict") not in ("accepted", "rejected"):
        raise CoreError("no-such-choice", "Accept or reject.", field="verdict")
    text = given.get("text") or ""
    if given["verdict"] == "rejected":
        text = words(given, "text", "Say why it is rejected.")
    elif run.did_work(at["person"]["id"]) and run.administration.setting(OWN_REVIEW, "~") != "yes":
        raise CoreError(
            "own-work", "You did some of this work, so somebody else accepts it.", field="verdict"
        )
    return {"verdict": given["verdict"], "digest": given.get("digest"), "text": text}


# action: (the kind of event it records, what makes its data)
ACTIONS = {
    "open": ("run.opened", _open),
    "caution": ("caution.met", _caution),
    "enter": ("entry.made", _enter),
    "settle": ("entry.settled", _settle),
    "done": ("step.done", _done),
    "skip": ("step.skipped", _skip),
    "hold-start": ("hold.started", _hold),
    "hold-end": ("hold.ended", _hold),
    "sign": ("sign.given", _sign),
    "note": ("note.added", _note),
    "deviate": ("deviation.raised", _deviate),
    "override": ("deviation.raised", _override),
    "answer": ("deviation.answered", _answer),
    "strike": ("struck", _strike),
    "finish": ("run.finished", _finish),
    "abandon": ("run.abandoned", _abandon),
    "review": ("run.reviewed", _review),
}
_IN_TURN = ("enter", "done", "skip", "hold-start", "hold-end")


def prepare(
    run: Run, *, action: str, person: dict, now: int, given: dict, cautions: dict, known: Known | None = None
) -> dict:
    """The event for an action: `{type, data, judgement?}`; WaitError or CoreError says why not.

    `person` is `{id, role}`, `now` epoch milliseconds, `cautions` by id, `given` the action's own arguments as
    core/README.md lists them, `known` what this device holds of the plant (`interlocks`). A step's turn and cautions
    are checked by the table the fold uses.
    """
    if action not in ACTIONS:
        raise CoreError("unknown-action", "There is no action called " + str(action)[:40])
    kind, make = ACTIONS[action]
    role = person.get("role")
    if not may(kind, role) and not (role and run.free_to_pass(kind, str(given.get("step")))):
        raise WaitError([{"code": "role", "text": "This takes a " + KINDS[kind][0]}])
    if run.end() and action not in _AFTER_CLOSE:
        raise WaitError([{"code": "closed", "text": "This run is closed"}])
    if action in _IN_TURN:
        _check_turn(run, action, _step(run, given), person, now, known)
    at = {"action": action, "person": person, "now": now, "cautions": cautions, "known": known}
    answer: dict = {"type": kind, "data": make(run, given, at)}
    if "judgement" in at:
        answer["judgement"] = at["judgement"]
    return answer
