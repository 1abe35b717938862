"""What is taken out of a vessel empties it, whichever run took it, and in whatever order the records come."""

import itertools

import pytest

from vesselside.core.door.views import summary
from vesselside.core.plant import states

from .builder import START, Pen
from .sessions import fold
from .world import HOUR, cleaned, drew, filled, line, row

NOW = START + 10 * HOUR
VESSELS = [
    {"id": key, "name": name, "kind": kind, "place": "Plant"}
    for key, name, kind in (
        ("wp", "Whirlpool", "whirlpool"), ("fv1", "FV 1", "fermenter"), ("fv2", "FV 2", "fermenter"),
        ("bbt1", "BBT 1", "bright"), ("bbt2", "BBT 2", "bright"),
    )
]  # fmt: skip


def board(runs):
    return {card["id"]: card for card in states.board(VESSELS, runs, {}, NOW)}


def stood(run, vessel, begun, ended, *, worked=None, gyle="g1"):
    """A run that only says, on closing, that its vessel is full."""
    end = {
        "leaves": "filled",
        "proofs": [],
        "clean": None,
        "sanitised": None,
        "answered": None,
        "override": None,
    }
    end |= {
        "worked": row("x", run, worked or ended - 1)["at"],
        "lasting": {"clean": 72 * HOUR, "sanitised": 12 * HOUR},
    }
    life = [row("begun", run, begun), row("finished", run, ended, **end)]
    return line(run, vessel, life, kind="brew", gyle=gyle, leaves="filled", fills=False)


IN_WHIRLPOOL = stood("w", "wp", START, START + HOUR)
CAST = drew("c", "fv1", START + 2 * HOUR, ["whirlpool"])


def test_a_cast_leaves_the_whirlpool_soiled_in_any_order():
    assert board([IN_WHIRLPOOL])["wp"]["state"] == "filled"
    for runs in itertools.permutations([IN_WHIRLPOOL, CAST, cleaned("k", "fv2", START)]):
        shown = board(list(runs))["wp"]
        assert (shown["state"], shown["gyle"], shown["since"]) == ("soiled", None, START + 2 * HOUR)
        assert shown["run"] is None


@pytest.mark.parametrize(
    ("cast", "why"),
    [
        (drew("c", "fv1", START + 2 * HOUR, ["whirlpool"], gyle="g2"), "another gyle"),
        (drew("c", "fv1", START + 2 * HOUR, ["copper"]), "another kind of vessel"),
        (drew("c", "fv1", START + HOUR // 2, ["whirlpool"], gyle="g2"), "before it was there"),
        (drew("c", "fv1", START + 2 * HOUR, ["whirlpool"], named="BBT 1"), "another vessel, by name"),
    ],
)
def test_what_was_not_drawn_from_it_leaves_it_full(cast, why):
    assert board([IN_WHIRLPOOL, cast])["wp"]["state"] == "filled", why


def test_closing_the_whirlpools_run_late_does_not_fill_it_again():
    late = stood("w", "wp", START, START + 5 * HOUR, worked=START + HOUR)
    assert board([late, CAST])["wp"]["state"] == "soiled"
    still = {**late, "life": late["life"][:1], "status": "open"}
    assert board([still, CAST])["wp"]["state"] == "soiled"
    second = stood("w2", "wp", START + 3 * HOUR, START + 4 * HOUR)
    assert board([IN_WHIRLPOOL, CAST, second])["wp"]["state"] == "filled"


def test_of_two_tanks_with_the_gyle_neither_is_taken_for_empty_until_one_is_named():
    full = [filled("a", "bbt1", START, override="e"), filled("b", "bbt2", START, override="e")]
    unnamed = drew("p", "line", START + HOUR, ["bright"], leaves="co2")
    shown = board([*full, unnamed])
    assert (shown["bbt1"]["state"], shown["bbt2"]["state"]) == ("filled", "filled")
    named = drew("p", "line", START + HOUR, ["bright"], leaves="co2", named="bbt-2")
    shown = board([*full, named])
    assert (shown["bbt1"]["state"], shown["bbt2"]["state"]) == ("filled", "co2")
    rest = drew("q", "line", START + 2 * HOUR, ["bright"], leaves="co2")
    assert board([*full, named, rest])["bbt1"]["state"] == "co2"


def test_a_blend_empties_the_tank_of_the_other_gyle():
    full = [
        filled("a", "bbt1", START, gyle="g1", override="e"),
        filled("b", "bbt2", START, gyle="g2", override="e"),
    ]
    shown = board([*full, drew("p", "bbt1", START + HOUR, ["bright"], gyle="g1", source="G2 ", leaves="co2")])
    assert (shown["bbt1"]["state"], shown["bbt2"]["state"]) == ("filled", "co2")


def test_a_tank_said_to_be_full_again_after_it_was_emptied_is_told_of():
    full = filled("a", "fv1", START, override="e")
    moved = drew("p", "bbt1", START + HOUR, ["fermenter"], leaves="co2")
    look = stood("l", "fv1", START + 2 * HOUR, START + 3 * HOUR)
    assert [told["run"] for told in board([full, moved, look])["fv1"]["trouble"]] == ["l"]


DRAWING = {
    "id": "bench-move", "version": 1, "sha256": "ef" * 32, "title": "Bench move", "kind": "cellar",
    "vessel_kinds": ["bright"], "leaves": "filled", "settings": [], "inputs": [],
    "steps": [
        {
            "id": "end", "title": "End",
            "draws": {
                "from": ["fermenter"], "named": "end.tank", "when": {"entry": "end.empty", "is": ["empty"]},
                "leaves": "co2",
            },
            "entries": [
                {"id": "empty", "label": "Tank", "kind": "choice", "options": [
                    {"id": "empty", "label": "Empty", "verdict": "target"},
                    {"id": "part", "label": "Beer left", "verdict": "target"},
                ]},
                {"id": "tank", "label": "Which", "kind": "text", "optional": True},
            ],
        },
        {"id": "own", "title": "Own", "needs": [], "draws": {"leaves": "soiled"}, "entries": []},
    ],
}  # fmt: skip


def drawn(*events):
    state = fold(list(events), DRAWING)
    return [event for event in state["life"] if event["what"] in ("drawn", "emptied")]


def test_the_vessel_is_empty_when_its_step_is_done_and_says_so():
    pen = Pen()
    opened = pen.write(
        "run.opened", procedure="bench-move", version=1, sha256="ef" * 32, inputs={}, vessel="bbt1", gyle="g1"
    )
    said, done = pen.entry("end", "empty", "empty"), pen.done("end")
    assert drawn(opened, said) == []
    (told,) = drawn(opened, said, done)
    assert (told["event"], told["from"], told["gyle"], told["named"]) == (
        done["id"],
        ["fermenter"],
        "g1",
        None,
    )
    strike = pen.write("struck", target=said["id"], reason="Half of it is left")
    part = pen.entry("end", "empty", "part")
    (told,) = drawn(opened, said, done, strike, part, pen.done("end"))
    assert told["whole"] is False
    full = filled("a", "fv1", START - HOUR, override="e")
    state = fold([opened, said, done, strike, part, pen.done("end")], DRAWING)
    assert board([full, summary(state)])["fv1"]["state"] == "filled"
    assert board([full, summary(fold([opened, said, done], DRAWING))])["fv1"]["state"] == "co2"
    (told,) = drawn(opened, pen.entry("end", "tank", "FV 2"), said, done)
    assert told["named"] == "FV 2"
    mixed = {
        **DRAWING,
        "steps": [{**DRAWING["steps"][0], "draws": {"from": ["fermenter"], "gyle": "end.tank"}}],
    }
    for written, gyle in (("G 312", "g-312"), (" #G-312. ", "g-312"), ("G--1", "g--1"), ("?", None)):
        events = [opened, pen.entry("end", "tank", written), said, done]
        (told,) = [row for row in fold(events, mixed)["life"] if row["what"] == "drawn"]
        assert told["gyle"] == gyle
    (told,) = drawn(opened, pen.done("own"))
    assert (told["what"], told["leaves"]) == ("emptied", "soiled")


def test_the_first_chemical_into_a_vessel_is_asked_about_whichever_step_it_is_recorded_at():
    steps = [
        {"id": "dose", "title": "Dose", "chemical": "in", "asks": [{"interlock": "empty"}], "entries": []},
        {"id": "sanitise", "title": "Sanitise", "chemical": "in", "entries": []},
    ]
    clean = {**DRAWING, "id": "bench-dose", "kind": "cleaning", "leaves": "soiled", "steps": steps}
    full = filled("a", "fv1", START - HOUR, override="e")

    def told(*done):
        pen = Pen()
        opening = {
            "procedure": "bench-dose",
            "version": 1,
            "sha256": "ef" * 32,
            "inputs": {},
            "vessel": "fv1",
        }
        events = [pen.write("run.opened", **opening), *[pen.done(step) for step in done]]
        rows = board([full, summary(fold(events, clean))])["fv1"]["trouble"]
        return [(row["code"], row["step"]) for row in rows]

    assert told("dose", "sanitise") == [("dosed-filled", "dose")]
    assert told("sanitise") == [("dosed-filled", "sanitise")]
    assert told("sanitise", "dose")[0] == ("dosed-filled", "sanitise")
