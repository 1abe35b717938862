"""Beer released, packaged or sent out without what its interlock asks is told of, by whomever and in any order."""

import itertools

import pytest

from vesselside.core.door.views import summary
from vesselside.core.plant import fitness, states

from .builder import CAUTIONS, START, administration
from .filling import FILLING, VESSELS, FillPen
from .sessions import fold
from .walker import ask
from .world import FACTS, HOUR, line, row, showing

NOW = START + 10 * HOUR
BEFORE, AFTER = START - HOUR, START + HOUR


def showed(run, facts, ms=BEFORE, gyle="g1", **more):
    """A run that showed these facts of a gyle at `ms`."""
    life = [{**row("showed", f"{run}-{fact}", ms), "fact": fact} for fact in facts]
    return line(run, "fv2", life, kind="cellar", gyle=gyle, **more)


def let_go(*steps, gyle="g1", before=(), after=()):
    """The summary of a run in which these steps are ticked."""
    pen = FillPen()
    events = [pen.opened(gyle=gyle), *[make(pen) for make in before]]
    done = [pen.done(step) for step in steps]
    return summary(fold([*events, *done, *[make(pen, done) for make in after]], FILLING))


def codes(*runs):
    return [(told["code"], told["interlock"]) for told in fitness.troubles(list(runs))]


ASKED = [
    ("release", [fact for fact in FACTS if fact != "released"], "released-unfit"),
    ("release-cask", ["stable", "limit", "diacetyl", "creep", "ph"], "released-unfit"),
    ("package", ["released"], "packaged-unfit"),
]


@pytest.mark.parametrize(("step", "needed", "code"), ASKED)
def test_what_is_let_go_without_what_is_asked_is_told_of_with_what_lacks(step, needed, code):
    run = let_go(step)
    (told,) = fitness.troubles([run])
    assert (told["code"], told["interlock"], told["step"], told["run"]) == (code, step, step, "r1")
    assert (told["vessel"], told["answered"]) == ("fv1", None)
    for fact in needed:
        assert fitness.FACTS[fact][0] in told["text"]
    assert codes(run, showed("s", needed)) == []
    for fact in needed:
        rest = [other for other in needed if other != fact]
        assert codes(run, showed("s", rest)) == [(code, step)]
        assert codes(run, showed("s", rest), showed("t", [fact], AFTER)) == [(code, step)]
    assert codes(run, showed("s", needed, gyle="g2")) == [(code, step)]
    (told,) = fitness.troubles([let_go(step, gyle=None), showed("s", needed)])
    assert "which gyle" in told["text"]


def test_any_order_of_the_runs_tells_the_same():
    runs = [let_go("package", "release"), showed("s", ["ph", "stable"]), showed("t", ["released"], AFTER)]
    told = [fitness.troubles(list(order)) for order in itertools.permutations(runs)]
    assert told == [told[0]] * len(told)
    assert [row["code"] for row in told[0]] == ["packaged-unfit", "released-unfit"]


def test_packaging_that_leaves_out_the_step_that_asks_is_told_of_at_its_fill():
    (told,) = fitness.troubles([let_go("fill")])
    assert (told["code"], told["step"]) == ("packaged-unfit", "package")


def test_an_override_covers_it_a_strike_undoes_it_and_a_duty_brewer_answers_it():
    over = let_go("package", before=[lambda pen: pen.override("package", "package")])
    assert codes(over) == []
    struck = let_go(
        "package", after=[lambda pen, done: pen.write("struck", target=done[0]["id"], reason="not this one")]
    )
    assert codes(struck) == []
    answer = {"action": "Held, read again, sound", "person": "col"}
    told = let_go(
        "package",
        after=[lambda pen, done: pen.write("deviation.answered", deviation=done[0]["id"], **answer)],
    )
    (row,) = fitness.troubles([told])
    assert row["answered"]["action"] == "Held, read again, sound"


def test_a_fact_confirmed_again_after_a_correction_still_counts_from_its_first_tick():
    pen = FillPen()
    first = [pen.opened(), pen.done("gas")]
    at = [row["at"] for row in summary(fold(first, FILLING))["life"] if row["what"] == "showed"]
    again = [*first, pen.write("struck", target=first[1]["id"], reason="x"), pen.done("gas")]
    assert [row["at"] for row in summary(fold(again, FILLING))["life"] if row["what"] == "showed"] == at


def test_what_is_added_ends_what_was_shown_until_it_is_shown_again():
    pen = FillPen()
    events = [pen.opened(), pen.done("steady"), pen.done("gas"), pen.done("release")]
    assert codes(summary(fold([*events, pen.done("package")], FILLING))) == []
    events.append(pen.entry("fruit", "lot", "F-1", ""))
    amended = [*events, pen.done("package")]
    (told,) = fitness.troubles([summary(fold(amended, FILLING))])
    assert (told["code"], told["interlock"]) == ("packaged-unfit", "package")
    again = [*events, pen.done("release"), pen.done("package")]
    (told,) = fitness.troubles([summary(fold(again, FILLING))])
    assert told["interlock"] == "package"
    here = summary(fold(amended, FILLING))
    there = showed("s", ["stable", "released"], AFTER)
    assert fitness.ended([here]) == ["stable", "released"]
    assert fitness.ended([here, there]) == []
    assert fitness.ended([here, showed("s", ["released"], AFTER)]) == ["stable"]


def test_a_device_that_holds_what_was_added_stops_what_was_shown_before():
    fruit = {**row("ended", "f", START - HOUR), "fact": "released"}
    added = line("f", None, [fruit], kind="cellar", gyle="g1")
    since = {**row("showed", "t", START - HOUR + 1), "fact": "released"}
    again = line("t", None, [since], kind="cellar", gyle="g1", shows={"released": START - HOUR + 1})
    pen = FillPen()
    held = {"run": "r1", "procedure": FILLING, "cautions": CAUTIONS, "admin": administration()}
    ask("open", events=[pen.opened()], **held)

    def looked(*runs):
        ask("load", vessels=VESSELS, runs=list(runs), settings={}, now=NOW)
        person = {"id": "bay", "role": "brewer"}
        return ask("look", run="r1", step="package", person=person, now=NOW)["interlocks"]

    (told,) = looked(showing("s", "g1"), added)
    assert told["stops"]
    assert told["reasons"] == ["Nobody has released it."]
    assert "Beer release" in told["do"][0]
    assert looked(showing("s", "g1"), added, again) == []
    assert looked(showing("s", "g1"), {**added, "gyle": "g2"}) == []


def test_a_pallet_sent_out_with_a_lot_unknown_is_told_of_until_the_lot_is_found():
    run = let_go("pallet")
    assert codes(run) == []
    unknown = line("m", "mash-tun", [], gyle="g1", lots_unknown=["Malt: Lot"])
    assert codes(run, unknown) == [("let-go-unknown", "lots")]
    assert codes(run, {**unknown, "lots_unknown": []}) == []
    assert codes(let_go("pallet", gyle=None), unknown) == []


def test_the_board_of_a_phone_carries_it_at_the_vessel():
    board = {card["id"]: card for card in states.board(VESSELS, [let_go("package")], {}, NOW)}
    assert [told["code"] for told in board["fv1"]["trouble"]] == ["packaged-unfit"]
    assert board["fv2"]["trouble"] == []


def test_a_gyle_brewed_before_what_is_held_is_not_judged():
    brewed = line("b", "copper", [row("begun", "b", BEFORE)], kind="brew", gyle="g1")
    runs = [let_go("package"), brewed]
    assert [told["code"] for told in fitness.troubles(runs, BEFORE)] == ["packaged-unfit"]
    assert fitness.troubles(runs, BEFORE + 1) == []
    cellar = {**brewed, "kind": "cellar"}
    assert fitness.troubles([runs[0] | {"kind": "packaging"}, cellar], BEFORE) == []
