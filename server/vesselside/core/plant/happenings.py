"""What one run did to its vessel and its gyle, drawn from its records: the matter of the vessel's life.

A happening is `{"at": hlc, "event", "person", "time": ms, "what", …}`. A run's own state decides it alone, so every
device that holds the run draws the same. What several runs make of one vessel is judged in `vessel`.
"""

from vesselside.core.run import answering
from vesselside.core.run.begun import first_work, put_away
from vesselside.core.run.chemical import chemical
from vesselside.core.run.fields import Made
from vesselside.core.run.ledger import Run
from vesselside.core.run.marks import live, marks
from vesselside.core.run.procedure import INTERLOCKS
from vesselside.core.run.record import Record

from . import readwith
from .draws import gyle_of
from .fitness import CODES
from .vessel import PROVED

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

    from vesselside.core.shapes import Answer, Ask, Drawn, Fact, Happening, Interlock, Lasting, Proof, What


def _row(mark: Record | Made, what: "What") -> "Happening":
    return {"at": mark.key[0], "event": mark.id, "person": mark.person, "time": mark.ms, "what": what}


def _answer(run: Run, found: "Sequence[Record | Made]") -> "Answer | None":
    for mark in found:
        answer = run.answers.get(mark.id)
        if answer is not None:
            return answering.told(answer)
    return None


def _lasting(run: Run) -> "Lasting":
    return {"clean": run.lasting("clean-hours"), "sanitised": run.lasting("sanitised-hours")}


def _filling(run: Run, step: str) -> "list[Happening]":
    found = marks(run.steps[step], False)
    asks = run.plan.stops(step)
    if not found or not asks:
        return []
    row = _row(found[0], "filled")
    row["step"], row["lasting"] = step, _lasting(run)
    row["interlock"], row["on"] = asks[0]["interlock"], asks[0].get("on")
    cover = run.overridden(asks[0]["interlock"], (row["at"], row["event"]), row["time"])
    row["override"] = cover.id if cover else None
    row["answered"] = _answer(run, found)
    return [row]


def _dosing(run: Run, mark: Record | Made, first: bool) -> "Happening":
    """Chemical goes in; where its step asks whether the vessel is empty, with what covers and answers it.

    The first that goes in is asked about at whichever step: a client may leave out the one that asks.
    """
    row = _row(mark, "chemical-in")
    doses = [step for step in run.plan.order if run.plan.steps[step].get("chemical") == "in"]
    asking = [step for step in doses if "empty" in [ask["interlock"] for ask in run.plan.stops(step)]]
    for step in doses:
        if mark.id not in _ids(run, step):
            continue
        if step in asking or (first and asking):
            cover = run.overridden("empty", (row["at"], row["event"]), row["time"])
            row["step"], row["interlock"], row["override"] = step, "empty", cover.id if cover else None
            row["answered"] = _answer(run, [mark])
    return row


def _ids(run: Run, step: str) -> list[str]:
    return [mark.id for mark in marks(run.steps[step], True)]


def _proofs(run: Run) -> "dict[Proof, int]":
    """Each proof that is met, and when its clock starts: the first tick of its latest step, struck or not."""
    met: dict[Proof, int] = {}
    unmet: set[str] = set()
    for step in run.plan.order:
        proof = run.plan.steps[step].get("proof")
        held = run.steps[step]
        if proof and held.status == "done":
            first = min([record.ms for record in held.dones + held.undone])
            met[proof] = max(met.get(proof, 0), first)
        elif proof:
            unmet.add(proof)
    return {proof: met[proof] for proof in met if proof not in unmet}


def _check(run: Run, step: str) -> "list[Happening]":
    """A periodic check: good when its last step is done and nothing in it stands at *stop*."""
    done, _, complete = run.steps[step].ticked()
    end = run.end()
    found: list[Record | Made] = []
    worst = "target"
    for other in run.plan.order:
        found.extend(marks(run.steps[other], False))
        if run.steps[other].verdict() == "stop":
            worst = "stop"
    if not found or not (complete or end or run.steps[step].verdict() == "stop"):
        return []
    row = _row(done or end or found[-1], "checked")
    row["step"], row["good"] = step, complete and worst != "stop"
    row["minutes"] = run.lasting("check-minutes")
    row["answered"] = _answer(run, found + ([end] if end else []))
    return [row]


def _ready(run: Run, step: str) -> "list[Happening]":
    done, _, complete = run.steps[step].ticked()
    if done is None or not complete:
        return []
    row = _row(done, "ready")
    row["lasts"] = run.lasting("pre-start-hours")
    return [row]


def _lapsed(run: Run, step: str) -> "list[Happening]":
    rows: list[Happening] = []
    for field in run.steps[step].listed():
        for made in live(field):
            if made.value in field.row.get("renews", []):
                rows.append(_row(made, "lapsed"))
    return rows


def _drawn(run: Run, step: str) -> "list[Happening]":
    """The beer's going, when the step is done: out of the run's own vessel (`emptied`), or of another (`drawn`).

    `whole` says that none is left there; a part leaves the vessel as it was, and its own vessel untold.
    """
    data = run.plan.steps[step]["draws"]
    done, _, complete = run.steps[step].ticked()
    when = data.get("when")
    whole = not when or run.entry(when["entry"]) in when["is"]
    if done is None or not complete or not (whole or data.get("from")):
        return []
    row = _row(done, "drawn" if data.get("from") else "emptied")
    row["leaves"] = data.get("leaves") or "soiled"
    if data.get("from"):
        row["from"], row["named"] = data["from"], run.entry(data["named"]) if "named" in data else None
        row["gyle"] = gyle_of(run.entry(data["gyle"]) if "gyle" in data else run.gyle())
        row["whole"] = whole
    return [row]


def _passed(run: Run, step: str, ask: "Ask") -> "list[Happening]":
    """Beer is let go where a step that asks about it is done, or where it is packaged without that step."""
    done, _, complete = run.steps[step].ticked()
    found: list[Record | Made] = [done] if done and complete and run.steps[step].verdict() != "stop" else []
    for other in run.plan.order if ask["interlock"] == "package" else []:
        if run.plan.steps[other].get("fills"):
            found.extend(marks(run.steps[other], False)[:1])
    if not found:
        return []
    first = found[0]
    for mark in found:
        if mark.key < first.key:
            first = mark
    row = _row(first, "passed")
    row["step"], row["interlock"] = step, ask["interlock"]
    cover = run.overridden(ask["interlock"], first.key, row["time"])
    row["override"], row["answered"] = cover.id if cover else None, _answer(run, found)
    return [row]


def _showed(run: Run, step: str) -> "list[Happening]":
    """The facts a step shows, from its first tick, struck or not: confirmed again, it shows nothing later."""
    done, _, complete = run.steps[step].ticked()
    if done is None or not complete or run.steps[step].verdict() == "stop":
        return []
    first = run.steps[step].first_tick(done)
    rows: list[Happening] = []
    for fact in run.plan.steps[step].get("shows", []):
        row = _row(first, "showed")
        row["fact"] = fact
        rows.append(row)
    return rows


def _ended(run: Run, step: str) -> "list[Happening]":
    """The facts that a step ends, from its first record on: what is added is in the beer, ticked or not."""
    rows: list[Happening] = []
    for mark in marks(run.steps[step], False)[:1]:
        for fact in run.plan.steps[step].get("ends", []):
            row = _row(mark, "ended")
            row["fact"] = fact
            rows.append(row)
    return rows


def _worked(run: Run, before: str) -> str:
    """When something was last done at a step of this run before it was closed."""
    last = ""
    for step in run.plan.order:
        for mark in marks(run.steps[step], True):
            if last < mark.key[0] <= before:
                last = mark.key[0]
    return last


def _end(run: Run) -> "list[Happening]":
    event = run.end()
    if event is None or put_away(run):
        return []
    row = _row(event, "abandoned" if run.abandoned else "finished")
    row["lasting"], row["answered"] = _lasting(run), _answer(run, [event])
    cover = run.overridden("fill", (row["at"], row["event"]), row["time"])
    row["override"] = cover.id if cover else None
    if run.abandoned:
        row["left"] = event.left
        return [row]
    proofs = _proofs(run)
    row["proofs"] = sorted(proofs)
    whole = all([proof in proofs for proof in PROVED])
    row["clean"] = max([proofs[proof] for proof in PROVED]) if whole else None
    row["sanitised"] = proofs.get("sanitised")
    held = run.plan.procedure
    row["leaves"] = (held.get("leaves") if held else None) or "soiled"
    row["worked"] = _worked(run, row["at"])
    return [row]


def _rejected(run: Run) -> "list[Happening]":
    """By the review that counts, the last, what the run proved does not stand; records added since change nothing."""
    if not run.reviews or run.reviews[-1].verdict != "rejected":
        return []
    row = _row(run.reviews[-1], "rejected")
    row["answered"] = _answer(run, run.reviews[-1:])
    return [row]


def happenings(run: Run) -> "list[Happening]":
    """The happenings of one folded run; empty until its opening has arrived."""
    if run.opened is None:
        return []
    work = first_work(run)
    rows: list[Happening] = [_row(work, "begun")] if work else []
    for at, (what, mark) in enumerate(chemical(run)):
        rows.append(_dosing(run, mark, at == 0) if what == "chemical-in" else _row(mark, what))
    for step in run.plan.order:
        text = run.plan.steps[step]
        if text.get("fills"):
            rows.extend(_filling(run, step))
        rows.extend(_showed(run, step))
        rows.extend(_ended(run, step))
        for ask in run.plan.stops(step):
            if ask["interlock"] in CODES:
                rows.extend(_passed(run, step, ask))
        if text.get("draws"):
            rows.extend(_drawn(run, step))
        if text.get("opens"):
            rows.extend([_row(mark, "opened") for mark in marks(run.steps[step], True)[:1]])
        if text.get("checks"):
            rows.extend(_check(run, step))
        if text.get("readies"):
            rows.extend(_ready(run, step))
        rows.extend(_lapsed(run, step))
    rows.extend(_end(run))
    rows.extend(_rejected(run))
    return rows


def shown(run: Run) -> "dict[Fact, int]":
    """What this run shows about its gyle: fact to the time its step was done [ms]; skipped steps show nothing."""
    facts: dict[Fact, int] = {}
    for step in run.plan.order:
        for fact in run.plan.steps[step].get("shows", []):
            done, _, complete = run.steps[step].ticked()
            if done and complete and run.steps[step].verdict() != "stop":
                facts[fact] = done.ms
    return facts


def lots_unknown(run: Run) -> list[str]:
    """The labels of lots that were written down as unknown and stand so."""
    found = []
    for step in run.plan.order:
        for field in run.steps[step].listed():
            if field.row["kind"] == "lot":
                if [value for value in field.values() if value.strip().lower() == "unknown"]:
                    found.append(run.plan.title(step) + ": " + field.row["label"])
    return found


def bound_for(run: Run) -> str | None:
    """The vessel this run names as the one its wort is meant for, as it was written, or None."""
    for step in run.plan.order:
        for ask in run.plan.asks(step):
            if ask.get("of", "gyle") != "gyle":
                return run.entry(ask["of"])
    return None


def drawn(run: Run) -> "Drawn":
    """All of it, as a summary carries it.

    `asked` are the interlocks that stop a step of the procedure and may be overridden, `overrides` those that were.
    `instruments` is what `readwith` draws.
    """
    fills = [step for step in run.plan.order if run.plan.steps[step].get("fills")]
    asked: set[Interlock] = set()
    for step in run.plan.order:
        for ask in run.plan.stops(step):
            if INTERLOCKS[ask["interlock"]][1]:
                asked.add(ask["interlock"])
    return {
        "life": happenings(run),
        "shows": shown(run),
        "lots_unknown": lots_unknown(run),
        "bound_for": bound_for(run),
        "fills": bool(fills),
        "asked": sorted(asked),
        "overrides": sorted(set([record.interlock for record in run.overrides])),
        "instruments": readwith.drawn(run),
    }
