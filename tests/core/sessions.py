"""Sets of events that try the fold: one for each finding, and a tangle that upsets every rule order could upset."""

from vesselside.core.door import views

from .builder import PROCEDURE, Pen, administration


def fold(events, procedure=PROCEDURE, more=()):
    return views.fold("r1", events, procedure, [*administration(), *more])


def codes(state):
    return [row["code"] for row in state["findings"]]


def wrong_events(pen):
    """One event for each finding that a single bad record gives."""
    yield "bad-data", pen.write("step.done", step=7)
    yield "unknown-step", pen.done("polish")
    yield "unknown-field", pen.entry("rinse", "colour", "7", "")
    yield "bad-value", pen.entry("strength", "percent", "two", "%")
    yield "bad-value", pen.entry("vent", "seen", "perhaps")
    yield "typed-differs", pen.entry("strength", "percent", "2.0", "%", typed="2.1")
    yield "unit-differs", pen.entry("strength", "percent", "2.0", "g/L")
    yield "sum-differs", pen.entry("strength", "percent", "2.0", "%", how="worked")
    yield "from-paper", pen.entry("rinse", "weights", "440", "g", how="paper")
    yield "early", pen.done("look")
    yield "again", pen.done("vent")
    yield "done-unready", pen.done("strength")
    yield "unjudged", pen.entry("rinse", "ph", "7.4", "pH")
    yield "target-unknown", pen.write("sign.given", step="look", target="nothing", role="brewer")
    yield "opened-twice", pen.opened()
    yield "strike-refused", pen.write("struck", target="nothing", reason="?")
    yield "finished-early", pen.write("run.finished")
    yield "skipped", pen.write("step.skipped", step="strength", reason="no meter")


def tangle():
    """Two phones, a strike, a contest, a settling, a deviation: every rule that order could upset."""
    one, two = Pen("phone-a", step=1500), Pen("phone-b", step=1700)
    events = one.clean()
    two.now = one.now - 80_000
    low = two.entry("strength", "percent", "1.1", "%", verdict="advise", person="col")
    ph = two.entry("rinse", "ph", "9.9", "pH", verdict="advise", person="ash")
    both = [events[4]["id"], low["id"]]
    settle = two.write(
        "entry.settled",
        step="strength",
        field="percent",
        chosen=low["id"],
        over=both,
        reason="re-read",
        person="col",
    )
    strike = two.write("struck", target=ph["id"], reason="wrong vessel", person="ash")
    early = one.write("sign.given", step="look", target="phone-b-0099", role="duty", person="col")
    raised = two.write("deviation.raised", step="rinse", text="late rinse", person="ash")
    done = two.done("strength", person="nobody")
    review = one.write("run.reviewed", verdict="accepted", digest="0" * 64, person="dee")
    finish = one.write("struck", target=events[-1]["id"], reason="not yet", person="bay")
    return [*events, low, ph, settle, strike, early, raised, done, review, finish]


TANGLE = tangle()
