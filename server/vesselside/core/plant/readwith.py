"""What a run read with the site's instruments, and what it checked of them: the matter of their lives.

A run's own state decides it alone, as its happenings are; what checks and readings of all runs make of an instrument is
judged in `doubts`.
"""

from vesselside.core.run import answering
from vesselside.core.run.fields import Field, Made
from vesselside.core.run.instruments import is_named, of_kind, proposed
from vesselside.core.run.ledger import Run
from vesselside.core.run.marks import live

from . import doubts
from .known import Known

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from vesselside.core.shapes import (
        DoubtAnswer,
        Entry,
        InstrumentCard,
        InstrumentCheck,
        InstrumentChoices,
        InstrumentReading,
        InstrumentsUsed,
        Verdict,
    )


def _said(field: Field, made: Made) -> str:
    return (str(field.row["label"]) + ": " + made.value + " " + made.unit).strip()


def _readings(step: str, field: Field) -> "list[InstrumentReading]":
    rows: list[InstrumentReading] = []
    for made in live(field):
        if is_named(made.instrument):
            row: InstrumentReading = {
                "instrument": made.instrument,
                "at": made.key[0],
                "event": made.id,
                "step": step,
                "text": _said(field, made),
            }
            rows.append(row)
    return rows


def _checks(run: Run) -> "list[InstrumentCheck]":
    """What the checks of a run say of each instrument, in order of (at, event).

    A reading at *stop* fails it, as it was found: adjusting it afterwards does not undo that. It is good again once
    each thing its step asks has been read with it and what it read last of everything is not at *stop*. Nothing before
    a failure in the same run is good: it was one and the same instrument that was found out. What is recorded with an
    instrument of another kind checks nothing.
    """
    made: dict[tuple[str, str], tuple[str, Field, Made]] = {}
    asked: dict[str, list[str]] = {}
    for step in run.plan.order:
        for field in run.steps[step].listed():
            if not field.row.get("verifies"):
                continue
            if not field.row.get("optional"):
                asked.setdefault(step, []).append(field.row["id"])
            for one in live(field):
                if is_named(one.instrument) and "instrument-other" not in one.amiss:
                    made[one.key] = (step, field, one)
    rows: list[InstrumentCheck] = []
    last: dict[str, dict[tuple[str, str], Verdict]] = {}
    for key in sorted(made):
        step, field, one = made[key]
        of = last.setdefault(one.instrument, {})
        of[(step, field.row["id"])] = one.verdict
        whole = all([(step, name) in of for name in asked.get(step, [])])
        good = whole and "stop" not in of.values()
        if one.verdict == "stop":
            rows = [row for row in rows if row["instrument"] != one.instrument or not row["good"]]
        elif not good:
            continue
        row: InstrumentCheck = {
            "instrument": one.instrument,
            "at": key[0],
            "event": key[1],
            "person": one.person,
            "time": one.ms,
            "good": good,
            "text": _said(field, one),
        }
        rows.append(row)
    return rows


def drawn(run: Run) -> "InstrumentsUsed":
    """What a run read with named instruments, what it checked them by, and the answer to what was found of it.

    `{read, checks, answer}`: `read` rows are `{instrument, at, event, step, text}`, `checks` rows `{instrument, at,
    event, person, time, good, text}`; `answer` is that of the deviation named by the run's opening, `{at, event,
    person, time, action}`, or None.
    """
    rows: list[InstrumentReading] = []
    for step in run.plan.order:
        for field in run.steps[step].listed():
            if field.row.get("instrument") and not field.row.get("verifies"):
                rows.extend(_readings(step, field))
    answer = run.answers.get(run.opened.id) if run.opened else None
    told: DoubtAnswer | None = None
    if answer is not None:
        row: Any = answering.told(answer)
        row["at"] = answer.hlc
        told = row
    return {"read": rows, "checks": _checks(run), "answer": told}


def proposal(
    run: Run, step: str, entry: "Entry", known: Known | None, last: str | None
) -> "InstrumentCard | None":
    """The instrument an entry is most likely made with; `last` is what this device used last for the like."""
    vessel = run.vessel()
    place = None
    for card in known.vessels if known else []:
        if card["id"] == vessel:
            place = card.get("place")
    done = [made.instrument for made in live(run.steps[step].fields[entry["id"]])]
    failed = doubts.failed(_known_checks(run, known))
    cards = run.administration.instruments()
    return proposed(cards, entry, done=done, failed=failed, last=last, place=place)


def _known_checks(run: Run, known: Known | None) -> "list[InstrumentCheck]":
    lines = [line for line in (known.lines() if known else []) if line["id"] != run.id]
    return doubts.checks_of(lines) + _checks(run)


def choices(
    run: Run, step: str, entry: "Entry", known: Known | None, last: str | None, now: int
) -> "InstrumentChoices":
    """What an entry can be read with: `{proposed: id|None, rows}`, rows as `doubts.states` gives them."""
    cards = of_kind(run.administration.instruments(), entry.get("instrument"))
    card = proposal(run, step, entry, known, last)
    rows = doubts.states(cards, _known_checks(run, known), [], now)
    return {"proposed": card["id"] if card else None, "rows": rows}
