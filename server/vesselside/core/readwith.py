"""What a run read with the site's instruments, and what it checked of them: the matter of their lives.

A run's own state decides it alone, as its happenings are; what checks and readings of all runs make of an instrument is
judged in `doubts`.
"""

from . import doubts
from .clock import moment
from .instruments import is_named, of_kind, proposed
from .ledger import Run
from .marks import live


def _said(entry: dict, record: dict) -> str:
    return (str(entry["label"]) + ": " + record["value"] + " " + record["unit"]).strip()


def _readings(step: str, entry: dict, field: dict) -> list[dict]:
    rows = []
    for mark in live(field):
        record = field["all"][mark["id"]]
        if is_named(record["instrument"]):
            row = {"instrument": record["instrument"], "at": mark["hlc"], "event": mark["id"], "step": step}
            row["text"] = _said(entry, record)
            rows.append(row)
    return rows


def _checks(run: Run) -> list[dict]:
    """What the checks of a run say of each instrument, in order of (at, event).

    A reading at *stop* fails it, as it was found: adjusting it afterwards does not undo that. It is good again once
    each thing its step asks has been read with it and what it read last of everything is not at *stop*. Nothing before
    a failure in the same run is good: it was one and the same instrument that was found out. What is recorded with an
    instrument of another kind checks nothing.
    """
    made: dict = {}
    asked: dict = {}
    for step in run.plan.order:
        for entry in run.plan.steps[step].get("entries", []):
            if not entry.get("verifies"):
                continue
            if not entry.get("optional"):
                asked.setdefault(step, []).append(entry["id"])
            field = run.steps[step]["fields"][entry["id"]]
            for mark in live(field):
                record = field["all"][mark["id"]]
                if is_named(record["instrument"]) and "instrument-other" not in record["amiss"]:
                    made[(mark["hlc"], mark["id"])] = (mark, step, entry, record)
    rows: list = []
    last: dict = {}
    for key in sorted(made):
        mark, step, entry, record = made[key]
        of = last.setdefault(record["instrument"], {})
        of[(step, entry["id"])] = record["verdict"]
        whole = all([(step, field) in of for field in asked.get(step, [])])
        good = whole and "stop" not in of.values()
        if record["verdict"] == "stop":
            rows = [row for row in rows if row["instrument"] != record["instrument"] or not row["good"]]
        elif not good:
            continue
        row = {"instrument": record["instrument"], "at": key[0], "event": key[1], "good": good}
        row["person"], row["time"], row["text"] = mark["person"], moment(mark), _said(entry, record)
        rows.append(row)
    return rows


def drawn(run: Run) -> dict:
    """What a run read with named instruments, what it checked them by, and the answer to what was found of it.

    `{read, checks, answer}`: `read` rows are `{instrument, at, event, step, text}`, `checks` rows `{instrument, at,
    event, person, time, good, text}`; `answer` is that of the deviation named by the run's opening, `{at, event,
    person, time, action}`, or None.
    """
    rows = []
    for step in run.plan.order:
        for entry in run.plan.steps[step].get("entries", []):
            if entry.get("instrument") and not entry.get("verifies"):
                rows.extend(_readings(step, entry, run.steps[step]["fields"][entry["id"]]))
    answer = run.answers.get(run.opened["id"]) if run.opened else None
    told = None
    if answer is not None:
        told = {
            "at": answer["hlc"],
            "event": answer["id"],
            "person": answer["person"],
            "time": answer["time"],
        }
        told["action"] = answer["data"]["action"]
    return {"read": rows, "checks": _checks(run), "answer": told}


def proposal(run: Run, step: str, entry: dict, known: dict | None, last: str | None) -> dict | None:
    """The instrument an entry is most likely made with; `last` is what this device used last for the like."""
    vessel = run.opened["data"].get("vessel") if run.opened else None
    place = None
    for card in (known or {}).get("vessels", []):
        if card["id"] == vessel:
            place = card.get("place")
    held = run.steps[step]["fields"][entry["id"]]
    done = [held["all"][key]["instrument"] for key in held["live"]]
    failed = doubts.failed(_known_checks(run, known))
    cards = run.administration.instruments()
    return proposed(cards, entry, done=done, failed=failed, last=last, place=place)


def _known_checks(run: Run, known: dict | None) -> list[dict]:
    lines = [line for line in (known or {}).get("runs", []) if line["id"] != run.id]
    return doubts.checks_of(lines) + _checks(run)


def choices(run: Run, step: str, entry: dict, known: dict | None, last: str | None, now: int) -> dict:
    """What an entry can be read with: `{proposed: id|None, rows}`, rows as `doubts.states` gives them."""
    cards = of_kind(run.administration.instruments(), entry.get("instrument"))
    card = proposal(run, step, entry, known, last)
    rows = doubts.states(cards, _known_checks(run, known), [], now)
    return {"proposed": card["id"] if card else None, "rows": rows}
