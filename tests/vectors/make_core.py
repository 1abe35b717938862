"""Writes `core/runs.json`: sessions of bridge calls that both runtimes must answer alike.

Run it after the fold changes on purpose: `python -m tests.vectors.make_core`.
"""

import json
from pathlib import Path

from tests.core.builder import CAUTIONS, PROCEDURE, SEEN, START, TABLED, Pen, administration
from tests.core.every_finding import run_with
from tests.core.sessions import TANGLE, fold, wrong_events
from tests.core.world import cleaned
from tests.vectors.calls import BAY, NOW, call, opened, ordered, prepare
from tests.vectors.plant_sessions import interlocked, measured, proposed
from vesselside.core.door.views import summary
from vesselside.core.run.findings import FINDINGS


def findings():
    """A run for each finding that one can gain, looked at whole, as a line, and through what a list makes of it."""
    for code in sorted(set(FINDINGS) - {"review-lapsed"}):
        events, procedure, admin = run_with(code)
        args = {"run": "r1", "procedure": procedure, "cautions": CAUTIONS, "admin": admin}
        yield (
            f"finding: {code}",
            [
                {"name": "open", "args": {**args, "events": ordered(events)}},
                call("line"),
                *[call("look", step=step, person=BAY, now=NOW) for step in ("strength", "rinse")],
            ],
        )


def tapped():
    """A person's taps as one call each, on a device that knows the plant: taken and refused."""
    clean = Pen().clean()

    def tap(number, action, step, person=BAY, **more):
        at = NOW + number * 1000
        stamp = {
            "time": "2026-09-21T15:00:00.000Z",
            "hlc": f"{at:012x}-0000",
            "source": "/devices/tap",
            "seen": SEEN,
        }
        stamp["ids"] = [f"tap-{number}-{n}" for n in range(4)]
        return call("act", action=action, step=step, person=person, now=at, stamp=stamp, **more)

    cards = [{"id": "fv1", "name": "FV 1", "kind": "fermenter", "place": "Tank room"}]
    return [
        {"name": "load", "args": {"vessels": cards, "runs": [cleaned("c1", "fv1", START)], "now": NOW}},
        opened(clean[:4]),
        tap(1, "enter", "strength", field="percent", typed="2,0", how="keyed"),
        tap(2, "done", "look"),
        tap(3, "done", "strength", sight=["pressure"]),
        tap(4, "hold-start", "soak"),
        tap(5, "hold-end", "soak"),
        {"name": "stand", "args": {"now": NOW + 9000}},
        tap(6, "note", None, text="Foam at the vent"),
        call("view"),
        call("line"),
    ]


def sessions():
    yield from findings()
    yield "taps", tapped()
    clean = Pen().clean()
    yield (
        "clean, tap by tap",
        [
            opened(clean[:1]),
            *[call("taken", now=NOW, events=[event]) for event in clean[1:]],
            call("view"),
            call("line"),
        ],
    )
    yield "tangle, at once", [opened(ordered(TANGLE)), call("view")]
    yield (
        "tangle, backwards",
        [opened([]), *[call("taken", now=NOW, events=[event]) for event in reversed(TANGLE)], call("view")],
    )
    yield "administration told beforehand", told()
    for number, (code, event) in enumerate(wrong_events(Pen())):
        yield (
            f"wrong {number}: {code}",
            [opened(clean[:4]), call("taken", now=NOW, events=[event]), call("view")],
        )
    yield (
        "prepare",
        [
            {
                "name": "prepare",
                "args": {
                    "action": "open",
                    "procedure": PROCEDURE,
                    "vessel": "fv1",
                    "inputs": {"volume": "120,5"},
                    "person": BAY,
                    "now": NOW,
                },
            },
            opened(clean[:1]),
            prepare("done", step="vent"),
            prepare("caution", step="vent", caution="pressure"),
            call("look", step="vent", person=BAY, met=[], now=NOW),
            opened(clean[:4]),
            prepare("enter", step="strength", field="percent", typed="2,05"),
            prepare("enter", step="strength", field="percent", typed="2.9"),
            prepare("enter", step="strength", field="percent", typed="9"),
            prepare("enter", step="strength", field="percent", typed="two"),
            call("judge", step="strength", field="percent", typed="1.2"),
            call("judge", step="rinse", field="ph", typed="7"),
            opened(clean[:6]),
            prepare("hold-start", step="soak"),
            prepare("hold-end", step="soak"),
            prepare("deviate", step="strength", field="percent", text="odd smell"),
            prepare("strike", target=clean[4]["id"], reason="misread"),
            prepare("abandon", reason="pump failed", left="chemical"),
            prepare("finish"),
            opened(clean),
            prepare("review", verdict="accepted", digest="0" * 64),
            prepare("review", person={"id": "dee", "role": "manager"}, verdict="accepted", digest="0" * 64),
            call("check", event=clean[0]),
            call("check", event={"id": "UPPER"}),
        ],
    )
    yield "someone who has left", retired()
    yield "a deviation followed up", followed_up()
    gravities = {"original_sg": "1.0400", "present_sg": "1,0390"}
    brought = {"calculation": "attenuation", "inputs": gravities, "result": "apparent_pct"}
    worked = {
        "how": "worked",
        "from": {"calculation": "attenuation", "inputs": {**gravities, "present_sg": "1.0390"}},
    }
    good, wrong = Pen("phone-b", start=START + 600_000), Pen("phone-c", start=START + 700_000)
    yield (
        "a sum brought to an entry",
        [
            opened(clean[:4]),
            call("takers", calculation="attenuation", result="apparent_pct"),
            call("work", step="strength", field="percent", sum=brought),
            call("work", step="strength", field="percent", sum={**brought, "result": "colour"}),
            prepare("enter", step="strength", field="percent", typed="2.4", how="worked", sum=brought),
            {
                "name": "faults",
                "args": {"name": "attenuation", "inputs": {"original_sg": "2", "present_sg": "2"}},
            },
            call("taken", now=NOW, events=[good.entry("strength", "percent", "2.4", "%", **worked)]),
            call("taken", now=NOW, events=[wrong.entry("strength", "percent", "2.2", "%", **worked)]),
            call("view"),
        ],
    )
    yield "interlocks", interlocked()
    yield "a table from two series", tabled()
    yield "what is proposed", proposed()
    yield "opened by mistake", unbegun()
    yield "instruments", measured()
    lines = [summary(fold(clean))]
    yield (
        "plant",
        [
            opened(clean),
            {
                "name": "load",
                "args": {
                    "vessels": [{"id": "fv1", "name": "FV1", "kind": "fermenter", "place": "cellar"}],
                    "runs": lines,
                    "settings": {},
                    "now": NOW,
                },
            },
        ],
    )


def unbegun():
    """A run that is opened by mistake and put away, beside one that can no longer be."""
    pen = Pen()
    run = opened([pen.opened()])
    away = prepare("abandon", untouched=True)
    closed = pen.write("run.abandoned", reason="mistake", left="rinsed", untouched=True)
    work = [call("taken", now=NOW, events=[pen.entry("vent", "seen", "open")]), away, call("line")]
    return [run, call("line"), away, *work, opened([pen.opened(), closed]), call("view"), call("line")]


def tabled():
    """A sum that takes a table: a column not begun, a row not whole, rows out of order, and the record of it."""
    pen = Pen()
    run = opened([pen.opened()])
    run["args"]["procedure"] = TABLED
    work = call("work", step="read", field="mixed")
    keyed = [
        ("litres", "1000", "L"),
        ("litres", "500", "L"),
        ("gravity", "1.0400", ""),
        ("gravity", "1.0460", ""),
    ]
    entered = [call("taken", now=NOW, events=[pen.entry("read", *row)]) for row in keyed]
    take = prepare("enter", step="read", field="mixed", typed="1.0420", how="worked")
    return [run, *[made for one in entered for made in (work, one)], work, take, call("view")]


def told():
    """Runs handed over without administration are judged by what the device was told, in parts or anew."""
    events, run = ordered(Pen().clean()), opened(Pen().clean())
    del run["args"]["admin"]
    aside = call("line", procedure=PROCEDURE, events=events[:4])
    every = administration()
    return [
        run, call("told", admin=every[:3]), run, call("told", admin=every[3:]), aside,
        call("taken", now=NOW, admin=[]), call("view"), run,
        call("told", admin=[], anew=True), call("taken", now=NOW, admin=[]), call("view"), run, aside,
    ]  # fmt: skip


def retired():
    """What someone records before and after a phone knew that they had left."""
    run, later = opened(Pen().clean()[:4]), f"{int(SEEN) + 1:016d}"
    gone = {"person": "bay", "role": "brewer", "status": "gone"}
    left = {
        "source": "/server",
        "subject": "/admin",
        "sequence": later,
        "type": "person.retired",
        "data": gone,
    }
    run["args"]["admin"] = [*administration(), left]
    pen = Pen("phone-b", start=START + 600_000)
    notes = [pen.write("note.added", text="mine", seen=seen) for seen in (SEEN, later)]
    return [run, *[call("taken", now=NOW, events=[note]) for note in notes], call("view")]


def followed_up():
    """A deviation answered with who prevents it by when, and then closed."""
    run = opened(Pen().clean()[:4])
    pen = Pen("phone-b", start=START + 600_000)
    raised = pen.write("deviation.raised", text="The rinse came back pink.")
    whole = {"text": "Rinsed", "cause": "Valve", "prevention": "A stop", "owner": "bay", "due": "2026-12-05"}
    said = {"deviation": raised["id"], **whole, "action": whole["text"], "pending": True}
    said.pop("text")

    def answer(**given):
        return prepare("answer", {"id": "col", "role": "duty"}, deviation=raised["id"], **given)

    def taken(event):
        return call("taken", now=NOW, events=[event])

    return [
        run, taken(raised), answer(text="Rinsed", pending=True), answer(**whole, pending=True),
        taken(pen.write("deviation.answered", person="col", **said)), answer(text="The stop is fitted."),
        taken(pen.write("deviation.answered", person="col", **{**said, "due": "soon"})),
        taken(pen.write("deviation.answered", person="col", deviation=raised["id"], action="Fitted.")),
        answer(text="Again"), call("view"), call("line"),
    ]  # fmt: skip


def main():
    rows = [{"name": name, "calls": calls} for name, calls in sessions()]
    path = Path(__file__).parent / "core" / "runs.json"
    path.write_text(json.dumps(rows, indent=1, sort_keys=True) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
