"""A run's state as plain data: what a screen shows, what the server answers, what a register lists."""

from . import limits
from .authority import Administration
from .clock import milliseconds
from .errors import CoreError
from .events import placeable
from .findings import finding
from .happenings import DRAWN, drawn
from .ledger import Run
from .standing import key_of


def _mark(event: dict | None) -> dict | None:
    if event is None:
        return None
    return {"event": event["id"], "person": event["person"], "time": event["time"]}


def _with(event: dict, more: dict) -> dict:
    row = {"event": event["id"], "person": event["person"], "time": event["time"]}
    row.update(more)
    return row


def _record(held: dict, record: dict) -> dict:
    state = "superseded"
    if record["struck"]:
        state = "struck"
    elif record["event"] in held["live"]:
        state = "contested" if held["contested"] else "live"
    row = {"state": state}
    for name in (
        "event",
        "value",
        "typed",
        "unit",
        "person",
        "time",
        "verdict",
        "advice",
        "how",
        "limit",
        "source",
    ):
        row[name] = record[name]
    if record["from"]:
        row["from"] = record["from"]
    if record["instrument"]:
        row["instrument"] = record["instrument"]
    return row


def _field(run: Run, entry: dict, held: dict) -> dict:
    live = held["live"]
    shown = held["all"][live[-1]] if live else None
    rows = [(record["key"], key) for key, record in held["all"].items()]
    rows.sort()
    field = {
        "status": "contested" if held["contested"] else "live" if live else "empty",
        "value": None,
        "typed": None,
        "unit": entry.get("unit", ""),
        "verdict": None,
        "advice": "",
        "source": "",
        "limit": "",
        "events": list(live),
        "all": [_record(held, held["all"][key]) for _, key in rows],
        "settles": [settle["event"] for settle in held["settles"]],
    }
    if shown and not held["contested"]:
        for name in ("value", "typed", "verdict", "advice", "source", "limit"):
            field[name] = shown[name]
    elif not shown:
        field["limit"] = _limit(run, entry)
    return field


def _limit(run: Run, entry: dict) -> str:
    try:
        bands = limits.bands(entry, run)
    except CoreError as error:
        return error.text
    return bands["target"] or bands["stop"]


def _hold(run: Run, step: str) -> dict | None:
    if not run.plan.steps[step].get("hold"):
        return None
    holds = run.steps[step]["holds"]
    last = holds[-1] if holds else None
    row = {"seconds": run.hold_seconds(step), "state": "idle"}
    if last and last["type"] == "hold.started":
        row["state"] = "running"
        row["started"] = milliseconds(last["time"])
        row["event"] = last["id"]
    elif last and not run.hold_left(step, None):
        row["state"] = "over"
    return row


def _waits(run: Run, step: str, status: str) -> list:
    if status == "shut":
        before = run.lacking_before(step)
        # shut by nothing but its cautions: what comes after them is known already
        alone = before and not [wait for wait in before if wait["code"] == "step"]
        return before + run.lacking(step, None) if alone else before
    if status in ("done", "skipped"):
        return []
    waits = run.lacking(step, None)
    done, _, complete = run.standing(step)
    if done and not complete:
        waits.append({"code": "second", "target": done["id"], "text": "A second person signs"})
    elif status == "reopened" and not waits:
        waits.append({"code": "again", "text": "Confirm the step again"})
    return waits


def step_view(run: Run, step: str) -> dict:
    """One step of the run as data, in the shape DEVELOPERS.md gives."""
    held = run.steps[step]
    status = held["status"]
    done, sign, _ = run.standing(step)
    if done is None and held["dones"]:
        done = held["dones"][-1]
    fields = {}
    for entry in run.plan.steps[step].get("entries", []):
        fields[entry["id"]] = _field(run, entry, held["fields"][entry["id"]])
    cautions = []
    for caution in run.cautions(step):
        met = [event for event in held["met"] if event["data"]["caution"] == caution]
        rows = [_with(event, {"version": event["data"]["version"]}) for event in met]
        cautions.append({"caution": caution, "met": rows})
    skip = held["skips"][-1] if held["skips"] else None
    return {
        "status": status,
        "waits": _waits(run, step, status),
        "done": _mark(done),
        "skipped": _with(skip, {"reason": skip["data"]["reason"]}) if skip else None,
        "signed": _mark(sign),
        "cautions": cautions,
        "raised": list(held["raised"]),
        "hold": _hold(run, step),
        "entries": fields,
    }


def _deviation(raised: dict, answer: dict | None) -> dict:
    data = raised["data"]
    row = _with(raised, {"step": data.get("step"), "text": data["text"]})
    for name in ("value", "limit", "interlock", "check"):
        if name in data:
            row[name] = data[name]
    row["answered"] = _with(answer, {"action": answer["data"]["action"]}) if answer else None
    return row


def _findings(run: Run) -> list:
    found = list(run.findings)
    for step in run.plan.order:
        for field, held in run.steps[step]["fields"].items():
            if held["contested"]:
                found.append(finding("contested", held["live"][-1], run.plan.title(step) + ", " + field))
        if run.steps[step]["status"] == "reopened":
            latest = (run.steps[step]["dones"] or run.steps[step]["undone"])[-1]
            for later in run.plan.after(step):
                dones = run.steps[later]["dones"]
                if dones and key_of(dones[-1]) > key_of(latest):
                    found.append(finding("earlier-reopened", dones[-1]["id"], run.plan.title(step)))
    if not found:
        return found
    rows = [(row["code"], row["event"], row["text"], number) for number, row in enumerate(found)]
    order = {}
    for number, event in enumerate(run.events):
        order[event["id"]] = number
    placed = [(order.get(event, -1), code, text, number) for code, event, text, number in rows]
    placed.sort()
    return [found[row[3]] for row in placed]


def _proofs(run: Run) -> list:
    met: dict = {}
    for step in run.plan.order:
        proof = run.plan.steps[step].get("proof")
        if proof:
            met[proof] = met.get(proof, True) and run.steps[step]["status"] == "done"
    return sorted([proof for proof in met if met[proof]])


def _next(run: Run) -> str | None:
    for step in run.plan.order:
        if not run.passed(step):
            waits = run.lacking_before(step)
            if not [wait for wait in waits if wait["code"] == "step"]:
                return step
    return None


def _recipe(data: dict) -> dict | None:
    """The recipe version a run was opened by, or None."""
    if not data.get("recipe") or not data.get("recipe_version"):
        return None
    return {"id": data["recipe"], "version": data["recipe_version"]}


def head_view(run: Run) -> dict:
    """The run without its steps."""
    opened = run.opened
    data = opened["data"] if opened else {}
    review = run.reviews[-1] if run.reviews else None
    status = "abandoned" if run.abandoned else "finished" if run.finished else "open"
    last = run.events[-1] if run.events else None
    view = {
        "id": run.id,
        "procedure": data.get("procedure"),
        "version": data.get("version"),
        "sha256": data.get("sha256"),
        "title": run.plan.procedure.get("title", ""),
        "kind": run.plan.procedure.get("kind", ""),
        "leaves": run.plan.procedure.get("leaves"),
        "vessel": data.get("vessel"),
        "gyle": data.get("gyle"),
        "recipe": _recipe(data),
        "inputs": data.get("inputs", {}),
        "status": status,
        "left": run.abandoned["data"]["left"] if run.abandoned else None,
        "opened": _mark(opened),
        "finished": _mark(run.finished or run.abandoned),
        "reason": run.abandoned["data"]["reason"] if run.abandoned else None,
        "order": list(run.plan.order),
        "next": _next(run) if status == "open" and opened else None,
        "deviations": [_deviation(raised, answer) for raised, answer in run.deviations],
        "notes": [_with(e, {"step": e["data"].get("step"), "text": e["data"]["text"]}) for e in run.notes],
        "photos": [
            _with(e, {"step": e["data"].get("step"), "sha256": e["data"]["sha256"]}) for e in run.photos
        ],
        "strikes": [
            _with(e, {"target": e["data"]["target"], "reason": e["data"]["reason"]}) for e in run.strikes
        ],
        "proofs": _proofs(run),
        "findings": _findings(run),
        "review": None,
        "events": len(run.events),
        "last": list(key_of(last)) if last else None,
    }
    if review:
        row = review["data"]
        view["review"] = _with(
            review, {"verdict": row["verdict"], "digest": row["digest"], "text": row.get("text", "")}
        )
    return view


def view(run: Run) -> dict:
    """The whole run as data, in the shape DEVELOPERS.md gives."""
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
    row["opened"] = state["opened"]
    row["finished"] = state["finished"]
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
    rows = [(key_of(event), event) for event in events if placeable(event)]
    run.add(_ordered(rows))
    return view(run)


def _ordered(rows: list) -> list:
    places = [(key, number) for number, (key, _) in enumerate(rows)]
    for number in range(1, len(places)):
        if places[number - 1] > places[number]:
            places.sort()
            break
    return [rows[number][1] for _, number in places]
