"""A run's state as plain data: what a screen shows, what the server answers, what a register lists."""

from vesselside.core.ground.errors import CoreError
from vesselside.core.plant.happenings import DRAWN, drawn
from vesselside.core.run import limits
from vesselside.core.run.authority import Administration
from vesselside.core.run.fields import Field, Made
from vesselside.core.run.findings import finding
from vesselside.core.run.ledger import Run
from vesselside.core.run.record import Record
from vesselside.core.run.steps import Step

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable


def _mark(record: Record | None) -> dict | None:
    return None if record is None else _with(record, {})


def _with(record: Record, more: dict) -> dict:
    row = {"event": record.id, "person": record.person, "time": record.time}
    if record.ms != record.clock_ms:
        row["received"] = record.received_time
    row.update(more)
    return row


def _made(field: Field, made: Made) -> dict:
    state = "superseded"
    if made.struck:
        state = "struck"
    elif made.id in field.live:
        state = "contested" if field.contested else "void" if made.id in field.stale else "live"
    row: dict = {"state": state, "event": made.id}
    for name in ("value", "typed", "unit", "person", "time", "verdict", "advice", "how", "limit", "source"):
        row[name] = getattr(made, name)
    if made.calculation or made.given is not None:
        row["from"] = {"inputs": made.given or {}}
        if made.calculation:
            row["from"]["calculation"] = made.calculation
    if made.instrument:
        row["instrument"] = made.instrument
    return row


def _field(run: Run, field: Field) -> dict:
    shown = field.newest()
    order = sorted([(made.key, made.id) for made in field.made.values()])
    row: dict = {
        "status": field.status(),
        "value": None,
        "typed": None,
        "unit": field.row.get("unit", ""),
        "verdict": None,
        "advice": "",
        "source": "",
        "limit": "",
        "void": field.void(),
        "events": list(field.live),
        "all": [_made(field, field.made[key]) for _, key in order],
        "settles": [settled.id for settled in field.settles],
    }
    if shown and not field.contested:
        for name in ("value", "typed", "verdict", "advice", "source", "limit"):
            row[name] = getattr(shown, name)
        if row["void"]:
            row["verdict"], row["advice"] = None, ""
    elif not shown:
        row["limit"] = _limit(run, field.row)
    return row


def _limit(run: Run, entry: dict) -> str:
    try:
        bands = limits.bands(entry, run)
    except CoreError as error:
        return error.text
    return bands["target"] or bands["stop"]


def _hold(step: Step) -> dict | None:
    if not step.row.get("hold"):
        return None
    last = step.holds[-1] if step.holds else None
    row: dict = {"seconds": step.hold_seconds(), "state": "idle"}
    if last and last.type == "hold.started":
        row["state"] = "running"
        row["started"] = last.clock_ms
        row["event"] = last.id
    elif last and not step.hold_left(None):
        row["state"] = "over"
    return row


def _waits(step: Step) -> list:
    if step.status == "shut":
        before = step.lacking_before()
        # shut by nothing but its cautions: what comes after them is known already
        alone = before and not [wait for wait in before if wait["code"] == "step"]
        return before + step.lacking(None) if alone else before
    if step.passed():
        return []
    waits = step.lacking(None)
    done, _, complete = step.ticked()
    if done and not complete:
        waits.append({"code": "second", "target": done.id, "text": "A second person signs"})
    elif step.status == "reopened" and not waits:
        waits.append({"code": "again", "text": "Confirm the step again"})
    return waits


def step_view(run: Run, key: str) -> dict:
    """One step of the run as data, in the shape README.md gives."""
    step = run.steps[key]
    done, sign, _ = step.ticked()
    if done is None and step.dones:
        done = step.dones[-1]
    cautions = []
    for caution in step.cautions():
        met = [_with(record, {"version": record.version}) for record in step.met if record.caution == caution]
        cautions.append({"caution": caution, "met": met})
    skip = step.skips[-1] if step.skips else None
    return {
        "status": step.status,
        "waits": _waits(step),
        "done": _mark(done),
        "skipped": _with(skip, {"reason": skip.reason}) if skip else None,
        "signed": _mark(sign),
        "cautions": cautions,
        "raised": list(step.raised),
        "hold": _hold(step),
        "entries": {field.row["id"]: _field(run, field) for field in step.listed()},
    }


def _deviation(run: Run, raised: Record) -> dict:
    row = _with(raised, {"step": raised.step or None, "text": raised.text})
    for name in ("value", "limit", "interlock", "check"):
        if getattr(raised, name):
            row[name] = getattr(raised, name)
    answer = run.answers.get(raised.id)
    row["answered"] = _with(answer, {"action": answer.action}) if answer else None
    return row


def _findings(run: Run) -> list:
    found = list(run.findings)
    for key in run.plan.order:
        step = run.steps[key]
        for field in step.listed():
            if field.contested:
                said = step.title() + ", " + field.row["id"]
                found.append(finding("contested", field.live[-1], said))
            for event in field.live:
                if event in field.stale:
                    said = step.title() + ", " + field.row["label"] + ". " + field.stale[event]
                    found.append(finding("void", event, said))
        if step.status == "reopened":
            latest = (step.dones or step.undone)[-1]
            for later in run.plan.after(key):
                dones = run.steps[later].dones
                if dones and dones[-1].key > latest.key:
                    found.append(finding("earlier-reopened", dones[-1].id, step.title()))
    if not found:
        return found
    order = {}
    for number, record in enumerate(run.records):
        order[record.id] = number
    placed = [(order.get(row["event"], -1), row["code"], row["text"], n) for n, row in enumerate(found)]
    placed.sort()
    return [found[row[3]] for row in placed]


def _proofs(run: Run) -> list:
    met: dict = {}
    for key in run.plan.order:
        proof = run.plan.steps[key].get("proof")
        if proof:
            met[proof] = met.get(proof, True) and run.steps[key].status == "done"
    return sorted([proof for proof in met if met[proof]])


def _next(run: Run) -> str | None:
    for key in run.plan.order:
        if not run.steps[key].passed():
            waits = run.steps[key].lacking_before()
            if not [wait for wait in waits if wait["code"] == "step"]:
                return key
    return None


def _recipe(opened: Record) -> dict | None:
    """The recipe version a run was opened by, or None."""
    if not opened.recipe or not opened.recipe_version:
        return None
    return {"id": opened.recipe, "version": opened.recipe_version}


def head_view(run: Run) -> dict:
    """The run without its steps."""
    opened = run.opened
    review = run.reviews[-1] if run.reviews else None
    last = run.records[-1] if run.records else None
    view = {
        "id": run.id,
        "procedure": opened.procedure if opened else None,
        "version": opened.version if opened else None,
        "sha256": opened.sha256 if opened else None,
        "title": run.plan.procedure.get("title", ""),
        "kind": run.plan.procedure.get("kind", ""),
        "leaves": run.plan.procedure.get("leaves"),
        "vessel": run.vessel(),
        "gyle": run.gyle(),
        "recipe": _recipe(opened) if opened else None,
        "inputs": dict(opened.inputs) if opened else {},
        "status": run.status(),
        "left": run.abandoned.left if run.abandoned else None,
        "opened": _mark(opened),
        "finished": _mark(run.finished or run.abandoned),
        "reason": run.abandoned.reason if run.abandoned else None,
        "order": list(run.plan.order),
        "next": _next(run) if opened and not run.end() else None,
        "deviations": [_deviation(run, raised) for raised in _in_order(run.deviations.values())],
        "notes": [_with(one, {"step": one.step or None, "text": one.text}) for one in run.notes],
        "photos": [_with(one, {"step": one.step or None, "sha256": one.sha256}) for one in run.photos],
        "strikes": [_with(one, {"target": one.target, "reason": one.reason}) for one in run.strikes],
        "proofs": _proofs(run),
        "findings": _findings(run),
        "review": None,
        "events": len(run.records),
        "last": list(last.key) if last else None,
    }
    if review:
        said = {"verdict": review.verdict, "digest": review.digest, "text": review.text}
        view["review"] = _with(review, said)
    return view


def _in_order(records: "Iterable[Record]") -> list[Record]:
    keyed = {record.key: record for record in records}
    return [keyed[key] for key in sorted(keyed)]


def view(run: Run) -> dict:
    """The whole run as data, in the shape README.md gives."""
    whole = head_view(run)
    found = drawn(run)
    for name in DRAWN:
        whole[name] = found[name]
    whole["steps"] = {}
    for step in run.plan.order:
        whole["steps"][step] = step_view(run, step)
    return whole


def changes(run: Run) -> dict:
    """The run's head and only the steps touched since this was last asked."""
    part = head_view(run)
    part["steps"] = {}
    for step in run.plan.order:
        if step in run.touched:
            part["steps"][step] = step_view(run, step)
    run.touched = set()
    return part


def line(run: Run) -> dict:
    """A line of the register, as `summary` makes it, from a run that is open."""
    state = head_view(run)
    state.update(drawn(run))
    state["steps"] = {}
    for key in run.plan.order:
        step = run.steps[key]
        entries = {field.row["id"]: {"status": field.status()} for field in step.listed()}
        state["steps"][key] = {"status": step.status, "hold": _hold(step), "entries": entries}
    return summary(state)


def summary(state: dict) -> dict:
    """A line of the register from a whole view: who, what, when, and what calls for attention."""
    steps = state["steps"]
    contested = 0
    running = None
    for step in state["order"]:
        for field in steps[step]["entries"].values():
            if field["status"] == "contested":
                contested += 1
        hold = steps[step]["hold"]
        if hold and hold["state"] == "running" and steps[step]["status"] != "done":
            running = {"step": step, "started": hold["started"], "seconds": hold["seconds"]}
    done = [step for step in state["order"] if steps[step]["status"] in ("done", "skipped")]
    row = {"leaves": state["leaves"]}
    for name in DRAWN:
        row[name] = state[name]
    for name in ("id", "procedure", "version", "title", "kind", "vessel", "gyle", "status", "left", "proofs"):
        row[name] = state[name]
    row["recipe"] = state.get("recipe")
    row["opened"] = _listed(state["opened"])
    row["finished"] = _listed(state["finished"])
    row["next"] = state["next"]
    row["done"] = len(done)
    row["steps"] = len(state["order"])
    row["contested"] = contested
    row["hold"] = running
    row["deviations"] = len(state["deviations"])
    row["deviations_open"] = len([d for d in state["deviations"] if not d["answered"]])
    row["findings"] = sorted(set([f["code"] for f in state["findings"]]))
    row["strikes"] = len(state["strikes"])
    row["review"] = state["review"]
    return row


def _listed(mark: dict | None) -> dict | None:
    """A mark as lists show it: by its receipt, where its own clock was far ahead of that."""
    if mark is None or "received" not in mark:
        return mark
    shown = dict(mark)
    shown["time"] = shown["received"]
    return shown


def fold(
    run_id: str,
    events: list[dict],
    procedure: dict | None,
    administration: Administration | list[dict],
) -> dict:
    """Fold the events of a run, in any order, into its whole view; never raises on a stored event.

    `administration` is an `Administration` or the list of administration events.
    """
    known = administration if isinstance(administration, Administration) else Administration(administration)
    run = Run(run_id, procedure, known)
    run.add(events)
    return view(run)
