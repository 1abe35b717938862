"""A run's state as plain data: what a screen shows, what the server answers, what a register lists."""

from vesselside.core.ground.errors import CoreError
from vesselside.core.plant.happenings import drawn
from vesselside.core.run import limits
from vesselside.core.run.authority import Administration
from vesselside.core.run.begun import put_away
from vesselside.core.run.fields import Field, Made
from vesselside.core.run.findings import finding
from vesselside.core.run.ledger import Run
from vesselside.core.run.record import Record
from vesselside.core.run.steps import Step
from vesselside.core.run.tally import tally

from . import marked

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable
    from typing import Any

    from vesselside.core.shapes import (
        CautionView,
        Entry,
        EntryRecord,
        EntryState,
        FieldView,
        Finding,
        HoldView,
        Mark,
        PersonPresent,
        Procedure,
        Proof,
        RecipeVersion,
        RunChanges,
        RunHead,
        RunningHold,
        RunView,
        StepView,
        Summary,
        Wait,
    )


def _state(field: Field, made: Made) -> "EntryState":
    if made.struck:
        return "struck"
    if made.id in field.live:
        return "contested" if field.contested else "void" if made.id in field.stale else "live"
    return "superseded"


def _made(field: Field, made: Made) -> "EntryRecord":
    row: EntryRecord = {
        "state": _state(field, made), "event": made.id, "value": made.value, "typed": made.typed, "unit": made.unit,
        "person": made.person, "time": made.time, "verdict": made.verdict, "advice": made.advice, "how": made.how,
        "limit": made.limit, "source": made.source,
    }  # fmt: skip
    if made.calculation or made.given is not None:
        row["from"] = {"inputs": made.given or {}}
        if made.calculation:
            row["from"]["calculation"] = made.calculation
    if made.instrument:
        row["instrument"] = made.instrument
    return row


def _field(run: Run, field: Field) -> "FieldView":
    shown = field.newest()
    order = sorted([(made.key, made.id) for made in field.made.values()])
    row: FieldView = {
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
        row["value"], row["typed"], row["verdict"] = shown.value, shown.typed, shown.verdict
        row["advice"], row["source"], row["limit"] = shown.advice, shown.source, shown.limit
        if row["void"]:
            row["verdict"], row["advice"] = None, ""
    elif not shown:
        row["limit"] = _limit(run, field.row)
    return row


def _limit(run: Run, entry: "Entry") -> str:
    try:
        bands = limits.bands(entry, run)
    except CoreError as error:
        return error.text
    return bands["target"] or bands["stop"]


def _hold(step: Step) -> "HoldView | None":
    if not step.row.get("hold"):
        return None
    last = step.holds[-1] if step.holds else None
    row: HoldView = {"seconds": step.hold_seconds(), "state": "idle"}
    if last and last.type == "hold.started":
        row["state"] = "running"
        row["started"] = last.clock_ms
        row["event"] = last.id
    elif last and not step.hold_left(None):
        row["state"] = "over"
    return row


def _waits(step: Step) -> "list[Wait]":
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


def step_view(run: Run, key: str) -> "StepView":
    """One step of the run as data."""
    step = run.steps[key]
    done, sign, _ = step.ticked()
    if done is None and step.dones:
        done = step.dones[-1]
    cautions: list[CautionView] = []
    for caution in step.cautions():
        met = [marked.met(record) for record in step.met if record.caution == caution]
        cautions.append({"caution": caution, "met": met})
    skip = step.skips[-1] if step.skips else None
    return {
        "status": step.status,
        "waits": _waits(step),
        "done": marked.mark(done),
        "skipped": marked.skipped(skip) if skip else None,
        "signed": marked.mark(sign),
        "cautions": cautions,
        "raised": list(step.raised),
        "hold": _hold(step),
        "entries": {field.row["id"]: _field(run, field) for field in step.listed()},
    }


def _findings(run: Run) -> "list[Finding]":
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
    order: dict[str, int] = {}
    for number, record in enumerate(run.records):
        order[record.id] = number
    placed = [(order.get(row["event"], -1), row["code"], row["text"], n) for n, row in enumerate(found)]
    placed.sort()
    return [found[row[3]] for row in placed]


def _proofs(run: Run) -> "list[Proof]":
    met: dict[Proof, bool] = {}
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


def _recipe(opened: Record) -> "RecipeVersion | None":
    """The recipe version a run was opened by, or None."""
    if not opened.recipe or not opened.recipe_version:
        return None
    return {"id": opened.recipe, "version": opened.recipe_version}


def head_view(run: Run) -> "RunHead":
    """The run without its steps."""
    opened = run.opened
    review = run.reviews[-1] if run.reviews else None
    last = run.records[-1] if run.records else None
    held = run.plan.procedure
    return {
        "id": run.id,
        "procedure": opened.procedure if opened else None,
        "version": opened.version if opened else None,
        "sha256": opened.sha256 if opened else None,
        "title": held["title"] if held else "",
        "kind": held["kind"] if held else "",
        "leaves": held.get("leaves") if held else None,
        "vessel": run.vessel(),
        "gyle": run.gyle(),
        "recipe": _recipe(opened) if opened else None,
        "inputs": dict(opened.inputs) if opened else {},
        "status": run.status(),
        "left": run.abandoned.left if run.abandoned and run.vessel() and not put_away(run) else None,
        "opened": marked.mark(opened),
        "finished": marked.mark(run.finished or run.abandoned),
        "reason": run.abandoned.reason if run.abandoned else None,
        "order": list(run.plan.order),
        "next": _next(run) if opened and not run.end() else None,
        "deviations": [marked.deviation(run, raised) for raised in _in_order(run.deviations.values())],
        "notes": [marked.note(one) for one in run.notes],
        "photos": [marked.photo(one) for one in run.photos],
        "strikes": [marked.strike(one) for one in run.strikes],
        "proofs": _proofs(run),
        "findings": _findings(run),
        "review": marked.review(review) if review else None,
        "present": _present(run),
        "events": len(run.records),
        "last": list(last.key) if last else None,
    }


def _present(run: Run) -> "list[PersonPresent]":
    """Who made the records, on which device, and by what it is proved."""
    found: list[PersonPresent] = []
    for person, source in sorted(run.ways):
        counted = run.ways[(person, source)]
        for way in sorted(counted):
            found.append({"person": person, "device": source[9:], "how": way, "records": counted[way]})
    return found


def _in_order(records: "Iterable[Record]") -> list[Record]:
    keyed = {record.key: record for record in records}
    return [keyed[key] for key in sorted(keyed)]


def view(run: Run) -> "RunView":
    """The whole run as data."""
    whole: Any = head_view(run)
    whole.update(drawn(run))
    whole["steps"] = {step: step_view(run, step) for step in run.plan.order}
    return whole


def changes(run: Run) -> "RunChanges":
    """The run's head and only the steps touched since this was last asked."""
    part: Any = head_view(run)
    part["steps"] = {step: step_view(run, step) for step in run.plan.order if step in run.touched}
    run.touched = set()
    return part


def line(run: Run) -> "Summary":
    """A line of the register, as `summary` makes it, from a run that is open."""
    state: Any = head_view(run)
    state.update(drawn(run))
    state["steps"] = {}
    for key in run.plan.order:
        step = run.steps[key]
        entries = {field.row["id"]: _listed_field(field) for field in step.listed()}
        state["steps"][key] = {"status": step.status, "hold": _hold(step), "entries": entries}
    return summary(state)


def _listed_field(field: Field) -> "dict[str, Any]":
    """What a line of the register asks of a field."""
    rows = [{"state": _state(field, made), "verdict": made.verdict} for made in field.made.values()]
    return {"status": field.status(), "all": rows}


def summary(state: "RunView") -> "Summary":
    """A line of the register from a whole view: who, what, when, and what calls for attention."""
    steps = state["steps"]
    contested = 0
    running: RunningHold | None = None
    for step in state["order"]:
        for field in steps[step]["entries"].values():
            if field["status"] == "contested":
                contested += 1
        hold = steps[step]["hold"]
        if hold and hold["state"] == "running" and steps[step]["status"] != "done":
            running = {"step": step, "started": hold["started"], "seconds": hold["seconds"]}
    done = [step for step in state["order"] if steps[step]["status"] in ("done", "skipped")]
    return {
        "id": state["id"],
        "procedure": state["procedure"],
        "version": state["version"],
        "title": state["title"],
        "kind": state["kind"],
        "leaves": state["leaves"],
        "vessel": state["vessel"],
        "gyle": state["gyle"],
        "recipe": state["recipe"],
        "status": state["status"],
        "left": state["left"],
        "opened": _listed(state["opened"]),
        "finished": _listed(state["finished"]),
        "next": state["next"],
        "done": len(done),
        "steps": len(state["order"]),
        "contested": contested,
        "hold": running,
        "deviations": len(state["deviations"]),
        "deviations_open": len([d for d in state["deviations"] if not d["answered"]]),
        "findings": sorted(set([f["code"] for f in state["findings"]])),
        "strikes": len(state["strikes"]),
        "tally": tally(state),
        "review": state["review"],
        "proofs": state["proofs"],
        "life": state["life"],
        "shows": state["shows"],
        "lots_unknown": state["lots_unknown"],
        "bound_for": state["bound_for"],
        "fills": state["fills"],
        "asked": state["asked"],
        "overrides": state["overrides"],
        "instruments": state["instruments"],
    }


def _listed(mark: "Mark | None") -> "Mark | None":
    """A mark as lists show it: by its receipt, where its own clock was far ahead of that."""
    if mark is None or "received" not in mark:
        return mark
    shown = mark.copy()
    shown["time"] = shown["received"]
    return shown


def fold(
    run_id: str,
    events: "list[dict[str, Any]]",
    procedure: "Procedure | None",
    administration: "Administration | list[dict[str, Any]]",
) -> "RunView":
    """Fold the events of a run, in any order, into its whole view; never raises on a stored event.

    `administration` is an `Administration` or the list of administration events.
    """
    known = administration if isinstance(administration, Administration) else Administration(administration)
    run = Run(run_id, procedure, known)
    run.add(events)
    return view(run)
