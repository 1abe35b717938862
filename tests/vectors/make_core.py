"""Writes `core/runs.json`: sessions of bridge calls that both runtimes must answer alike.

Run it after the fold changes on purpose: `python -m tests.vectors.make_core`.
"""

import json
from pathlib import Path

from tests.core.builder import CAUTIONS, PROCEDURE, SEEN, START, TABLED, Pen, administration
from tests.core.every_finding import run_with
from tests.core.filling import FILLING, VESSELS, FillPen
from tests.core.metering import BENCH, CARDS, DAY, admin, failing, full, used
from tests.core.sessions import TANGLE, fold, wrong_events
from tests.core.world import HOUR, abandoned, cleaned, drew, filled, ready, showing
from vesselside.core.door.views import summary
from vesselside.core.run.findings import FINDINGS

BAY = {"id": "bay", "role": "brewer"}
NOW = START + 3_600_000


def opened(events):
    return {
        "name": "open",
        "args": {
            "run": "r1",
            "procedure": PROCEDURE,
            "cautions": CAUTIONS,
            "admin": administration(),
            "events": events,
        },
    }


def ordered(events):
    return sorted(events, key=lambda event: (event["hlc"], event["id"]))


def call(name, **args):
    return {"name": name, "args": {"run": "r1", **args}}


def prepare(action, person=BAY, **more):
    return call("prepare", action=action, person=person, now=NOW, **more)


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


def interlocked():
    """Every interlock asked with nothing held, with all held, stopped, overridden, and the vessel's life after it."""
    pen = FillPen()
    opening = pen.opened()
    run = opened([opening])
    run["args"]["procedure"] = FILLING
    steps = [step["id"] for step in FILLING["steps"]]
    held = [cleaned("c", "fv1", START - HOUR), showing("s", "g1"), ready("p", "fv2", START, "g2")]
    amiss = [
        abandoned("x", "fv1", START, "rinsed", dosed=True),
        filled("f", "fv2", START + 1),
        filled("g", "bbt1", START),
    ]

    def plant(runs, **given):
        args = {"vessels": VESSELS, "runs": runs, "settings": given, "now": NOW}
        return {"name": "load", "args": args}

    asked = [call("look", step=step, person=BAY, now=NOW) for step in steps]
    done = [prepare("done", step=step) for step in steps]
    words = {"step": "fill", "interlock": "fill", "reason": "Wort is hot", "check": "Swab"}
    override = prepare("override", {"id": "col", "role": "duty"}, **words)
    raised = pen.override("fill", "fill")
    marks = [pen.entry("meant", "vessel", "fv 2"), pen.write("hold.started", step="hold", seconds=600)]
    marks += [
        pen.entry("hold", "return", value, "°C", verdict=verdict, after=120_000)
        for value, verdict in (("58", "target"), ("45", "advise"), ("60", "target"))
    ]
    ends = [
        pen.done("dose"),
        pen.done("fill"),
        pen.done("steady"),
        pen.done("package"),
        pen.write("run.abandoned", reason="pump", left="rinsed"),
    ]
    full = [filled("f", "fv1", START, override="e"), filled("g", "bbt1", START, gyle="g2", override="e")]
    gone = [
        *full,
        drew("m", "bbt1", START + HOUR, ["fermenter"]),
        drew("n", "line", START, ["bright"], gyle="g1"),
    ]
    dosing = [
        plant(full),
        call("look", step="dose", person=BAY, now=NOW),
        plant(gone),
        call("look", step="dose", person=BAY, now=NOW),
    ]
    return [
        plant([]), run, *dosing, plant([]), *asked, *done, override, prepare("override", **words),
        prepare("skip", step="vent", reason="x"), plant([*held, *amiss], **{"clean-hours": "48", "shift-hours": "6"}),
        *asked, *done, call("taken", now=NOW, events=marks), *asked, prepare("done", step="hold"),
        call("taken", now=NOW, events=[raised]),
        *asked, *done, call("taken", now=NOW, events=ends), call("view"), call("line"),
    ]  # fmt: skip


def proposed():
    """What vessels need next, in every state that they are in here, by procedures that do a little of everything."""
    vessels = [*VESSELS, {"id": "mt", "name": "Mash tun", "kind": "mash-tun", "place": "Brewhouse"}]
    runs = [
        {**line, "procedure": "bench-fill"}
        for line in (
            filled("f", "fv1", START - 40 * HOUR, override="e"),
            cleaned("c", "fv2", START - 3 * HOUR, sanitised=False),
            abandoned("x", "bbt1", START, "rinsed", dosed=True),
            drew("d", "mt", START, None),
        )
    ]
    args = {"procedures": [PROCEDURE, FILLING, BENCH], "now": NOW}
    asked = [{"name": "propose", "args": {**args, "vessel": card["id"]}} for card in vessels]
    plant = {"vessels": vessels, "runs": runs, "settings": {}, "now": NOW}
    whole = [{"name": "propose", "args": {**args, "vessel": None}}, {"name": "propose", "args": args}]
    return [{"name": "load", "args": plant}, *asked, *whole]


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


def measured():
    """Which instrument a reading is made with, what its checks say of it, and what a failed one puts in doubt."""
    pen = Pen(start=START + 5 * DAY)
    run = opened([pen.opened()])
    run["args"].update(procedure=BENCH, admin=admin())
    vessels = [{"id": "fv1", "name": "FV 1", "kind": "fermenter", "place": "Tank room"}]
    runs = [
        full("good", START),
        used("u", START + DAY),
        failing("bad", START + 2 * DAY),
        full("two", START, with_="ph-2"),
    ]

    def plant(lines):
        args = {"vessels": vessels, "runs": lines, "settings": {}, "instruments": CARDS, "now": NOW}
        return {"name": "load", "args": args}

    def enter(field, typed, **more):
        step = "rinse" if field in ("ph", "again") else "check"
        return prepare("enter", step=step, field=field, typed=typed, how="keyed", **more)

    listed = {"name": "instruments", "args": {"now": START + 8 * DAY}}
    choose = [
        call("read-with", step="rinse", field="ph", now=START + 8 * DAY),
        call("read-with", step="rinse", field="ph", last="ph-2", now=NOW),
        call("read-with", step="check", field="seven", now=NOW),
        enter("ph", "7.4", instrument="ph-meter"), enter("ph", "7.4", instrument="ph-meter", last="ph-2"),
        enter("ph", "7.4", instrument="ph-2"), enter("ph", "7.4", instrument="tilt"), enter("ph", "7.4"),
        enter("seven", "7.01", instrument="ph-meter"),
    ]  # fmt: skip
    made = [
        pen.entry("check", "seven", "6.5", "pH", "stop", instrument="ph-1"),
        pen.entry("check", "seven", "7.02", "pH", instrument="ph-1"),
        pen.entry("rinse", "ph", "7.40", "pH", instrument="tilt"),
        pen.entry("check", "four", "4.01", "pH", instrument="ph-1"),
    ]
    answer = prepare(
        "answer", {"id": "col", "role": "duty"}, deviation=run["args"]["events"][0]["id"], text="Read again"
    )
    return [
        listed, plant([]), run, *choose, plant(runs), listed, *choose, answer,
        *[call("taken", now=NOW, events=[event]) for event in made], answer, *choose, call("view"), call("line"),
    ]  # fmt: skip


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
