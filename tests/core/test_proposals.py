"""What is proposed at a vessel, of the procedures that ship: what it needs first, what does not fit last, with why."""

import pytest

from vesselside import library

from .walker import ask
from .world import FACTS, HOUR, abandoned, cleaned, drew, filled, line, ready, row, showing

NOW = 1_790_000_000_000
PROCEDURES = library.load().procedures
KIND = {one["id"]: one["kind"] for one in PROCEDURES}
CARDS = [
    {"id": "fv1", "name": "FV 1", "kind": "fermenter", "place": "Tank room"},
    {"id": "bbt1", "name": "BBT 1", "kind": "bright", "place": "Cold room"},
    {"id": "mt", "name": "Mash tun", "kind": "mash-tun", "place": "Brewhouse"},
    {"id": "hlt", "name": "Hot liquor", "kind": "liquor-tank", "place": "Brewhouse"},
    {"id": "cans", "name": "Canning line", "kind": "canning-line", "place": "Packaging"},
]


def ago(hours):
    return NOW - int(hours * HOUR)


def full(one):
    """A line with what a summary adds to it."""
    return {"procedure": None, "instruments": {"read": [], "checks": [], "answer": None}, **one}


def proposed(runs, vessel="fv1", **more):
    ask("load", vessels=CARDS, runs=[full(one) for one in runs], now=NOW, settings={})
    return ask("propose", procedures=PROCEDURES, now=NOW, vessel=vessel, **more)


def due(runs):
    ask("load", vessels=CARDS, runs=[full(one) for one in runs], now=NOW, settings={})
    return [
        (one["vessel"], one["procedure"], one["why"])
        for one in ask("propose", procedures=PROCEDURES, now=NOW)
    ]


def by(name, rows):
    return next(one for one in rows if one["procedure"] == name)


def looked(run, hours):
    end = {
        "leaves": "filled",
        "proofs": [],
        "clean": None,
        "sanitised": None,
        "lasting": {},
        "answered": None,
    }
    life = [
        row("begun", run, ago(hours) - 1),
        row("finished", run, ago(hours), override=None, worked="", **end),
    ]
    return line(run, "fv1", life, kind="cellar", gyle="g1", procedure="fermenter-check")


CLEAN = cleaned("a", "fv1", ago(20), sanitised=False)
BEER = [cleaned("a", "fv1", ago(200)), filled("f", "fv1", ago(190))]
ENDED = [*BEER, looked("l", 2)]
NOT_FIT = [fact for fact in FACTS if fact != "released"]


@pytest.mark.parametrize(
    ("vessel", "runs", "procedure", "why"),
    [
        ("fv1", [], "fermenter-caustic-clean", "No clean of it is known here"),
        ("fv1", [CLEAN], "fermenter-sanitise", "Clean, not sanitised"),
        ("fv1", [cleaned("a", "fv1", ago(69))], "fermenter-sanitise", "Clean runs out in 3 h"),
        ("fv1", [cleaned("a", "fv1", ago(77))], "fermenter-caustic-clean", "Clean ran out 5 h ago"),
        ("fv1", [cleaned("a", "fv1", ago(7))], "cast-and-pitch", "Sanitised, 5 h left"),
        ("fv1", [cleaned("a", "fv1", ago(9), clean=False)], "fermenter-caustic-clean", "Rinsed, not proved clean"),
        ("fv1", [abandoned("a", "fv1", ago(1), "rinsed", dosed=True)], "aborted-clean-made-safe",
         "Contains chemical: make it safe"),
        ("fv1", [*BEER, drew("d", "fv1", ago(3), None)], "fermenter-caustic-clean", "Beer out: clean it"),
        ("fv1", [*BEER, looked("l", 30)], "fermenter-check", "Not looked at for 30 h"),
        ("fv1", ENDED, "crash-chill", "Its gravity is not shown to stand still."),
        ("fv1", [*ENDED, showing("s", "g1", NOT_FIT)], "beer-release", "Shown fit: it can be released"),
        ("bbt1", [], "bright-caustic-clean", "No clean of it is known here"),
        ("bbt1", [abandoned("a", "bbt1", ago(1), "co2")], "bright-acid-clean", "Beer out, CO2 in it: clean it"),
        ("mt", [drew("d", "mt", ago(1), None)], "spent-grain-dig-out", "Wort off: the grain comes out"),
        ("cans", [cleaned("a", "cans", ago(5)), ready("p", "cans", ago(0.3))], "canning-periodic-checks",
         "Check due in 12 min"),
        ("cans", [cleaned("a", "cans", ago(5)), ready("p", "cans", ago(0.6))], "canning-periodic-checks",
         "Check overdue by 6 min"),
        ("cans", [cleaned("a", "cans", ago(5))], "canning-line-pre-start", "Sanitised, 7 h left"),
    ],
)  # fmt: skip
def test_a_vessel_is_offered_what_it_needs_first_with_the_reason(vessel, runs, procedure, why):
    first = proposed(runs, vessel)[0]
    assert (first["procedure"], first["why"], first["place"]) == (procedure, why, "next")


def test_one_press_is_large_two_stand_beside_it_and_the_rest_is_all_there():
    for vessel in ("fv1", "bbt1", "mt", "cans"):
        kind = next(card["kind"] for card in CARDS if card["id"] == vessel)
        rows = proposed([CLEAN, cleaned("b", "cans", ago(5))], vessel)
        places = [one["place"] for one in rows]
        assert places.count("next") <= 1
        assert places.count("beside") <= 2
        assert places == sorted(places, key=["next", "beside", "rest"].index)
        wanted = {one["id"] for one in PROCEDURES if kind in one["vessel_kinds"]}
        assert {one["procedure"] for one in rows} == wanted


def test_a_clean_tank_is_not_offered_the_end_of_a_clean_that_nobody_stopped():
    made_safe = by("aborted-clean-made-safe", proposed([CLEAN]))
    assert (made_safe["fit"], made_safe["why"]) == (False, "No chemical is known in it.")


def test_what_does_not_fit_comes_last_with_its_reason():
    rows = proposed(BEER)
    fits = [one["fit"] for one in rows]
    assert fits == sorted(fits, reverse=True)
    assert by("fermenter-caustic-clean", rows)["why"] == "It holds gyle g1."
    assert by("cast-and-pitch", rows)["why"] == "It is filled already."
    assert by("beer-release", rows)["why"] == "Its gravity is not shown to stand still."
    assert by("cast-and-pitch", proposed([CLEAN]))["why"].startswith("It was not sanitised after that clean")
    assert by("dry-hop", proposed([CLEAN]))["why"] == "No beer in it is known here."
    assert all(one["why"] for one in rows if not one["fit"])


@pytest.mark.parametrize(("left", "why"), [("locked", "It is locked off."), ("out", "It is out of use.")])
def test_a_vessel_that_is_locked_off_or_out_of_use_is_offered_nothing(left, why):
    rows = proposed([abandoned("a", "fv1", ago(1), left)])
    assert {one["place"] for one in rows} == {"rest"}
    assert {one["why"] for one in rows if one["deed"] != "trouble"} == {why}


def test_what_is_for_when_it_goes_wrong_always_fits_and_is_never_proposed():
    for runs in ([CLEAN], BEER, [abandoned("a", "fv1", ago(1), "locked")]):
        trouble = [one for one in proposed(runs) if one["deed"] == "trouble"]
        assert len(trouble) == 3
        assert {(one["fit"], one["place"]) for one in trouble} == {(True, "rest")}


def test_a_crop_is_no_look_at_the_beer_and_an_empty_tank_is_not_dumped():
    rows = proposed([*BEER, looked("l", 30)])
    assert [one["procedure"] for one in rows if one["why"].startswith("Not looked at")] == ["fermenter-check"]
    assert by("brew-dumped", rows)["fit"]
    assert by("brew-dumped", proposed([CLEAN]))["why"] == "Nothing is known to be in it."


def test_nothing_stands_beside_that_is_neither_needed_nor_ever_done_here():
    assert [one["procedure"] for one in proposed([]) if one["place"] == "beside"] == ["beer-stone-removal"]
    alone = proposed([], "hlt")
    assert [(one["procedure"], one["place"]) for one in alone] == [("liquor-treatment", "beside")]


def test_a_run_alike_is_named_and_is_not_proposed_again():
    begun = line("c", "fv1", [row("begun", "c", ago(1))], status="open", procedure="fermenter-caustic-clean")
    rows = proposed([begun])
    assert {one["procedure"]: one["run"] for one in rows if KIND[one["procedure"]] == "cleaning"} == {
        one["id"]: "c"
        for one in PROCEDURES
        if one["kind"] == "cleaning" and "fermenter" in one["vessel_kinds"]
    }
    assert {one["run"] for one in rows if KIND[one["procedure"]] != "cleaning"} == {None}
    assert [one for one in rows if one["place"] == "next"] == []
    elsewhere = {**begun, "vessel": "fv2"}
    assert {one["run"] for one in proposed([elsewhere])} == {None}


def test_among_what_fits_alike_the_one_done_most_comes_first():
    young = [cleaned("a", "fv1", ago(12)), filled("f", "fv1", ago(10))]
    assert proposed(young)[0]["procedure"] != "dry-hop"
    often = [line(f"u{n}", "fv9", [], kind="cellar", procedure="dry-hop") for n in range(3)]
    first = proposed([*young, *often])[0]
    assert (first["procedure"], first["place"], first["why"]) == ("dry-hop", "beside", "")


def test_at_no_vessel_they_stand_by_kind_and_in_each_by_use():
    often = [line(f"u{n}", None, [], kind="brewery", procedure="pest-round") for n in range(2)]
    rows = [one["procedure"] for one in proposed(often, None)]
    assert set(rows) == {one["id"] for one in PROCEDURES if not one["vessel_kinds"]}
    kinds = [KIND[name] for name in rows]
    assert kinds == sorted(kinds, key=["cleaning", "brew", "cellar", "packaging", "brewery", "trouble"].index)
    assert rows[kinds.index("brewery")] == "pest-round"


def test_what_must_not_wait_is_told_over_all_vessels_the_worst_first():
    runs = [
        *BEER, looked("l", 30), abandoned("x", "bbt1", ago(1), "rinsed", dosed=True),
        cleaned("b", "cans", ago(5)), ready("p", "cans", ago(0.6)),
    ]  # fmt: skip
    assert due(runs) == [
        ("bbt1", "aborted-clean-made-safe", "Contains chemical: make it safe"),
        ("cans", "canning-periodic-checks", "Check overdue by 6 min"),
        ("fv1", "fermenter-check", "Not looked at for 30 h"),
    ]
    assert due([cleaned("a", "fv1", ago(5), sanitised=False)]) == []
