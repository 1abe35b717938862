"""Sessions that rest on the vessels and instruments a phone holds: interlocks, proposals, readings."""

from tests.core.builder import PROCEDURE, START, Pen
from tests.core.filling import FILLING, VESSELS, FillPen
from tests.core.metering import BENCH, CARDS, DAY, admin, failing, full, used
from tests.core.world import HOUR, abandoned, cleaned, drew, filled, ready, showing
from tests.vectors.calls import BAY, NOW, call, opened, prepare


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
