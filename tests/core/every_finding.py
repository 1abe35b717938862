"""For each finding that a run can gain of itself, a run that gains it: `run_with(code)`."""

from .builder import PROCEDURE, Pen, administration
from .sessions import wrong_events

METER = {"id": "ph-9", "name": "pH 9", "kind": "ph-meter", "place": "", "check_days": 7, "in_use": False}
INSTRUMENT = {
    "source": "/server", "subject": "/admin", "sequence": "0000000000000006", "type": "instrument.changed",
    "data": {"id": "ph-9", "instrument": METER},
}  # fmt: skip


def alone(value="yes", sequence="0000000000000006"):
    """The site's word that there is nobody but the one who did the work to accept a run."""
    data = {"name": "own-review", "value": value}
    return {**INSTRUMENT, "sequence": sequence, "type": "setting.changed", "data": data}


SUM = {"calculation": "attenuation", "inputs": {"original_sg": "1.0400", "present_sg": "1.0100"}}
_SINGLE = [code for code, _ in wrong_events(Pen())]
STAMPS = {
    "bad-time": {"time": "yesterday"},
    "clock-ahead": {"recordedtime": "2026-01-01T00:00:00.000Z"},
    "taken-out": {"redacted": "ab" * 32},
    "seen-ahead": {"seen": "9999999999999999", "sequence": "0000000000000009"},
}


def _step(name, **more):
    """The small procedure with more said of one step."""
    steps = [{**row, **more} if row["id"] == name else row for row in PROCEDURE["steps"]]
    return {**PROCEDURE, "steps": steps}


def _entry(step, field, **more):
    """The small procedure with more said of one entry."""
    [held] = [row for row in PROCEDURE["steps"] if row["id"] == step]
    return _step(step, entries=[{**row, **more} if row["id"] == field else row for row in held["entries"]])


def _override(pen, code):
    by = "col" if code == "overridden" else "bay"
    raised = pen.write(
        "deviation.raised", step="strength", text="why", check="looked", interlock="fill", person=by
    )
    return [raised], _step("strength", asks=[{"interlock": "fill"}])


def _by_vessel(pen, code):
    if code == "left-chemical":
        dosed = [pen.entry("strength", "percent", "2.0", "%")]
        stopped = pen.write("run.abandoned", reason="leak", left="soiled")
        return [*dosed, stopped], _step("strength", chemical="in")
    skipped = pen.write("step.skipped", step="strength", reason="in a hurry")
    return [skipped], _step("strength", asks=[{"interlock": "vent"}])


def _by_instrument(pen, code):
    kind = "ph-meter" if code == "instrument-out" else "thermometer"
    if code == "sum-for-reading":
        entry = pen.entry("rinse", "weights", "74.3", "%", how="worked", **{"from": SUM})
        return [entry], _entry("rinse", "weights", instrument="scales", unit="%")
    return [pen.entry("rinse", "mains", "7.4", "pH", instrument="ph-9")], _entry(
        "rinse", "mains", instrument=kind
    )


def _by_review(pen, code):
    """What comes of accepting a run that one did some of the work of."""
    word = {"verdict": "accepted", "digest": "0" * 64, "text": ""}
    return [pen.done("vent", person="dee"), pen.write("run.reviewed", person="dee", **word)], PROCEDURE


def _by_presence(pen, code):
    if code == "person-not-proved":
        return [{**pen.write("note.added", text="I am Bay."), "source": "/devices/phone-z"}], PROCEDURE
    word = {"verdict": "accepted", "digest": "0" * 64, "text": ""}
    return [pen.write("run.reviewed", person="dee", after=13 * 3_600_000, **word)], PROCEDURE


def _by_order(pen, code):
    """What comes of records that are each well formed."""
    match code:
        case "not-opened" | "unknown-procedure" | "procedure-differs":
            return [], PROCEDURE
        case "unauthorised":
            return [pen.write("note.added", text="Who am I?", person="nobody")], PROCEDURE
        case "verdict-differs":
            return [pen.entry("strength", "percent", "9.0", "%")], PROCEDURE
        case "caution-unmet":
            return [pen.entry("vent", "seen", "open", person="ash")], PROCEDURE
        case "hold-short":
            return [pen.write("hold.started", step="soak", seconds=60), pen.done("soak")], PROCEDURE
        case "contested":
            return [pen.entry("strength", "percent", value, "%") for value in ("2.0", "2.1")], PROCEDURE
        case "too-many":
            return [pen.done("vent") for _ in range(70)], PROCEDURE
        case "void":
            rinse = [("mains", "7.4"), ("ph", "7.5"), ("mains", "9.0")]
            made = [pen.entry("rinse", field, value, "pH") for field, value in rinse]
            made[2]["data"]["over"] = [made[0]["id"]]
            return made, PROCEDURE
        case "late" | "finished-twice":
            closed = pen.write("run.finished")
            more = pen.write("run.finished") if code == "finished-twice" else pen.done("tidy")
            return [closed, more], PROCEDURE
        case "earlier-reopened":
            struck = pen.entry("strength", "percent", "2.0", "%")
            rest = [pen.done("strength"), pen.done("soak")]
            return [struck, *rest, pen.write("struck", target=struck["id"], reason="misread")], PROCEDURE
        case "second-same":
            done = pen.done("look")
            return [done, pen.write("sign.given", step="look", target=done["id"], role="brewer")], PROCEDURE
    raise AssertionError(f"No run is written that gains the finding {code}")


def run_with(code):
    """Events of one run, its procedure and the administration, that give the finding `code`."""
    pen = Pen()
    events = pen.clean()[:4]
    admin = [*administration(), INSTRUMENT]
    if code == "own-work-alone":
        admin.append(alone())
    if code in _SINGLE:
        return [*events, list(wrong_events(pen))[_SINGLE.index(code)][1]], PROCEDURE, admin
    if code in STAMPS:
        events[-1] |= STAMPS[code]
        return events, PROCEDURE, admin
    if code in ("override-refused", "overridden"):
        more, procedure = _override(pen, code)
    elif code in ("person-not-proved", "desk-closed"):
        more, procedure = _by_presence(pen, code)
    elif code in ("own-work", "own-work-alone"):
        more, procedure = _by_review(pen, code)
    elif code in ("left-chemical", "never-skipped"):
        more, procedure = _by_vessel(pen, code)
    elif code in ("instrument-out", "instrument-other", "sum-for-reading"):
        more, procedure = _by_instrument(pen, code)
    else:
        more, procedure = _by_order(pen, code)
    if code == "unknown-procedure":
        procedure = None
    elif code == "procedure-differs":
        procedure = {**procedure, "sha256": "cd" * 32}
    return events[code == "not-opened" :] + more, procedure, admin
