"""What was wrong from the liquor to the pitch and in the cleans beside it, held against the procedures as data."""

import re

import pytest

from tests.core.walker import ask
from vesselside.core.plant import vessel
from vesselside.core.plant.states import lasting, state_of
from vesselside.core.run import limits
from vesselside.core.sums import calculations, sources

from .test_dangerous import LIBRARY, PROCEDURES, before, entries, entry, step
from .test_walk import Hand, asked_of, readings_of

MINE = (
    "aborted-clean-made-safe", "brewhouse-caustic-clean", "cast-and-pitch", "chemical-delivery-and-spill",
    "copper-boil", "crash-chill", "dry-hop", "effluent-neutralise", "fermenter-check", "grist-and-mash-in",
    "heat-exchanger-clean", "liquor-treatment", "new-starter-induction", "power-cut", "run-off-and-sparge",
    "second-brew-fill", "small-parts-soak", "spent-grain-dig-out", "whirlpool-late-hops", "yeast-crop",
    "yeast-vessel-clean",
)  # fmt: skip


class Sight:
    """A procedure's own figures, with what was asked on opening and what was read."""

    def __init__(self, procedure: str, **known: str) -> None:
        held = PROCEDURES[procedure]
        self.figures = {row["id"]: row["default"] for row in held.get("settings", [])}
        self.known = {row["id"]: row.get("default") for row in held.get("inputs", [])} | known

    def setting(self, key: str) -> str:
        return self.figures[key]

    def input(self, key: str) -> str | None:
        return self.known[key]

    def entry(self, field: str) -> str | None:
        return self.known.get(field)


def verdict(place: tuple[str, str, str], typed: str, **known: str) -> str:
    """How a reading is judged by the procedure's own figures."""
    said: str = limits.judge(entry(*place), typed, Sight(place[0], **known))["verdict"]
    return said


# -- the copper --------------------------------------------------------------


def test_late_hops_and_finings_go_in_while_the_boil_runs() -> None:
    waits = before("copper-boil", "copper-finings")
    assert "first-hops" in waits
    assert "boil" not in waits
    assert {"boil", "copper-finings"} <= before("copper-boil", "end-gravity")


def test_late_hops_can_be_ticked_while_the_hour_is_counted() -> None:
    procedure = PROCEDURES["copper-boil"]
    walker = Hand(
        procedure, LIBRARY.cautions, inputs_given=asked_of(procedure), readings=readings_of(procedure)
    )
    while walker.view["next"] != "boil":
        walker.do(walker.view["next"])
    walker.meet("boil")
    walker.act("hold-start", step="boil")
    walker.do("copper-finings")
    assert walker.view["steps"]["copper-finings"]["status"] == "done"
    assert walker.view["steps"]["boil"]["status"] == "open"
    assert walker.view["findings"] == []


def test_the_heat_is_off_before_the_end_is_read_and_going_off_waits_for_nothing() -> None:
    assert "off" in before("copper-boil", "end-gravity")
    assert step("copper-boil", "off")["never_locked"]
    assert before("copper-boil", "off") == set()
    order = [row["id"] for row in PROCEDURES["copper-boil"]["steps"]]
    assert order.index("copper-finings") < order.index("off") < order.index("end-gravity")


# -- mash, run-off, whirlpool ------------------------------------------------


def test_the_run_off_stops_where_its_source_says() -> None:
    gravity, ph = re.findall(r"\d\.\d+", sources.SOURCES["last-runnings"]["title"])
    figures = {row["id"]: row for row in PROCEDURES["run-off-and-sparge"]["settings"]}
    assert (figures["last-runnings"]["default"], figures["last-runnings-ph"]["default"]) == (gravity, ph)
    place = ("run-off-and-sparge", "runnings", "gravity")
    assert [verdict(place, typed) for typed in ("1.0110", "1.0095")] == ["target", "advise"]


def test_the_measured_range_of_late_bitterness_ends_at_ninety_not_at_seventy() -> None:
    row = step("whirlpool-late-hops", "cool")
    assert "90 to 130 °C" in row["how"]
    assert "range" not in entry("whirlpool-late-hops", "cool", "target")["limits"]["low"]
    place = ("whirlpool-late-hops", "cool", "target")
    assert [verdict(place, typed, stand="92") for typed in ("92", "80")] == ["target", "advise"]
    assert verdict(place, "80") == "target"


def test_a_hot_tun_is_cooled_through_no_line_that_somebody_else_tagged() -> None:
    said = entry("spent-grain-dig-out", "drained", "bed")["limits"]
    assert "tag it again" in said["high"]
    assert "Door stays shut" in said["halt"]


# -- liquor ------------------------------------------------------------------


def test_treated_liquor_is_judged_by_alkalinity_and_its_ph_read_aerated() -> None:
    assert entries(step("liquor-treatment", "read-back"))[:3] == ["alkalinity", "aerated", "ph"]
    place = ("liquor-treatment", "read-back", "alkalinity")
    assert [verdict(place, typed) for typed in ("30", "70", "131")] == ["target", "advise", "stop"]
    # free CO2 keeps pH low, so that only the end of all alkalinity stops
    place = ("liquor-treatment", "read-back", "ph")
    assert [verdict(place, typed) for typed in ("7.4", "5.5", "9.5", "4.4")] == [
        "target", "advise", "advise", "stop",
    ]  # fmt: skip
    straight = {
        row["id"]: row["verdict"] for row in entry("liquor-treatment", "read-back", "aerated")["options"]
    }
    assert straight == {"poured": "target", "not": "stop"}


def test_the_weight_of_metabisulphite_is_said_and_takes_the_chlorine_out() -> None:
    # Na2S2O5 + 2 Cl2 + 3 H2O -> 2 NaHSO4 + 4 HCl, molar masses of IUPAC: 190.107 / (2 x 70.906) g for a gram.
    said = step("liquor-treatment", "chlorine")["how"]
    rule, needed, example = re.search(
        r"([\d.]+) g for every 1000 L.*?takes ([\d.]+) g.*takes ([\d.]+) g", said
    ).groups()
    assert float(needed) == pytest.approx(190.107 / (2 * 70.906), abs=0.005)
    assert float(needed) < float(rule) < 1.2 * float(needed)
    assert float(example) == pytest.approx(1.2 * 0.5 * float(rule), abs=0.05)
    assert "acid" not in before("liquor-treatment", "wait")


# -- what a recipe can fill in ------------------------------------------------


def test_a_sour_beer_and_a_warm_yeast_are_judged_by_their_own_figures() -> None:
    place = ("fermenter-check", "ph", "ph")
    assert [verdict(place, typed) for typed in ("4.3", "3.8", "3.3")] == ["target", "advise", "stop"]
    assert [verdict(place, typed, ph="3.3") for typed in ("3.3", "4.0", "4.5")] == [
        "target",
        "advise",
        "stop",
    ]
    place = ("fermenter-check", "temperature", "tank")
    assert [verdict(place, typed) for typed in ("19", "24", "31")] == ["target", "advise", "stop"]
    assert [verdict(place, typed, ferment="35") for typed in ("36", "47")] == ["target", "stop"]
    for name, key, field in (
        ("cast-and-pitch", "start", "out"), ("cast-and-pitch", "fill", "out"),
        ("cast-and-pitch", "pitch", "temperature"), ("second-brew-fill", "start", "out"),
        ("second-brew-fill", "fill", "out"),
    ):  # fmt: skip
        read = {"pitch-temperature": "34"}
        assert verdict((name, key, field), "35", **read) == "target"
        assert verdict((name, key, field), "46", **read) == "stop"
        assert verdict((name, key, field), "35") == "stop"


def test_the_gravity_of_the_end_is_worked_for_the_recipes_boil() -> None:
    asked = {row["id"]: row for row in PROCEDURES["copper-boil"]["inputs"]}
    assert asked["boil-minutes"]["from"] == "recipe.boil_min"
    for made in ("planned", "liquor"):
        assert entry("copper-boil", "gravity", made)["works"]["inputs"]["boil_min"] == {
            "input": "boil-minutes"
        }


def test_the_boil_lasts_as_long_as_the_recipe_says_and_an_hour_without_one() -> None:
    procedure = PROCEDURES["copper-boil"]
    for asked, seconds in (({"boil-minutes": "75"}, 4500), ({}, 3600)):
        walker = Hand(
            procedure,
            LIBRARY.cautions,
            inputs_given=asked_of(procedure) | asked,
            readings=readings_of(procedure),
        )
        while walker.view["next"] != "boil":
            walker.do(walker.view["next"])
        walker.meet("boil")
        walker.act("hold-start", step="boil")
        assert walker.view["steps"]["boil"]["hold"]["seconds"] == seconds


def test_a_cast_asks_its_gravity_once_and_pitches_by_it() -> None:
    asked = [row for row in PROCEDURES["cast-and-pitch"]["inputs"] if "ravity" in row["label"]]
    assert [row["unit"] for row in asked] == [""]
    wanted = entry("cast-and-pitch", "pitch", "wanted")
    read = {"yeast.cells": "1000", "yeast.viability": "95"}
    sight = Sight("cast-and-pitch", original="1.0420", collected="1200", **read)
    working = limits.work(wanted, sight, {})
    assert next(row["value"] for row in working["inputs"] if row["id"] == "plato") == "10.48"
    # 0.75 million x 10.48 in each mL of 1200 L and the 10 L of slurry: 9.5 million million
    assert next(row["value"] for row in working["steps"] if row["unit"] == "×10¹²") == "9.5"


def test_the_metabisulphite_is_worked_from_the_chlorine_read() -> None:
    sight = Sight("liquor-treatment", **{"fill.volume": "1200", "raw.chlorine": "0.5"})
    working = limits.work(entry("liquor-treatment", "chlorine", "wanted"), sight, {})
    assert working["results"][0]["value"] == "0.9"


def test_what_a_tanks_pressure_does_to_its_door_is_told_where_it_is_read() -> None:
    for name, key, read, kilograms in (
        ("fermenter-check", "way-out", {"way-out.pressure": "0.30"}, "487"),
        ("fermenter-caustic-clean", "vent-open", {"vent-open.gauge": "0.05"}, "81"),
    ):
        row = entry(name, key, "push")
        assert row["optional"]
        working = limits.work(row, Sight(name, **read), {})
        assert working["results"][0]["value"] == kilograms
        assert any("the vent, seen open with no flow, decides" in mark for mark in working["marks"])


def test_a_strong_beer_is_no_fault_of_the_brew() -> None:
    assert verdict(("copper-boil", "gravity", "gravity"), "1.0850", original="1.0900") == "target"
    assert verdict(("cast-and-pitch", "gravity", "gravity"), "1.0950", original="1.0950") == "target"
    assert verdict(("cast-and-pitch", "gravity", "gravity"), "1.0950", original="1.0420") == "stop"


def test_a_drum_of_another_strength_than_the_sums_reckon_with_is_noticed() -> None:
    place = ("chemical-delivery-and-spill", "papers", "strength")
    assert [verdict(place, typed) for typed in ("32", "25", "50")] == ["target", "advise", "advise"]


# -- cleans ------------------------------------------------------------------


def test_a_flow_that_is_on_target_scours_its_hoses_too() -> None:
    figures = {row["id"]: row["default"] for row in PROCEDURES["heat-exchanger-clean"]["settings"]}
    given = {
        "flow_l_min": figures["exchanger-flow-low"],
        "bore_mm": figures["exchanger-bore"],
        "temp_c": "50",
    }
    velocity = calculations.work("pipe-velocity", given)["results"][0]["value"]
    place = ("heat-exchanger-clean", "forward", "velocity")
    assert verdict(place, velocity) == "target"
    assert verdict(("heat-exchanger-clean", "forward", "flow"), "60") == "advise"
    assert entry(*place)["limits"]["target"][0] in sources.SOURCES["pipe-cleaning"]["title"]


def test_one_hold_and_one_proof_are_of_one_vessel() -> None:
    row = step("brewhouse-caustic-clean", "contact")
    assert entries(row) == ["return"]
    assert not re.search(r"mash tun|copper|whirlpool|each vessel", row["title"] + row["how"], re.IGNORECASE)
    assert "run" in row["how"]
    assert (
        "Each vessel has a run, a hold and proofs of its own"
        in PROCEDURES["brewhouse-caustic-clean"]["summary"]
    )


def test_a_hot_charge_carried_on_is_titrated_and_never_dosed_over() -> None:
    dose, titrated = (step("brewhouse-caustic-clean", key) for key in ("dose", "strength-start"))
    assert dose["optional"]
    for row in (dose, titrated):
        assert row["chemical"] == "in"
        assert "empty" in {ask["interlock"] for ask in row["asks"] if not ask.get("warns")}
    assert "40 °C" in entry("brewhouse-caustic-clean", "strength-start", "strength")["limits"]["low"]


@pytest.mark.parametrize(
    ("name", "start", "end", "washed"),
    [
        ("brewhouse-caustic-clean", "strength-start", "strength-end", ["contact"]),
        ("heat-exchanger-clean", "strength-start", "strength", ["forward", "backward"]),
        ("yeast-vessel-clean", "strength-start", "strength-end", ["contact"]),
        ("small-parts-soak", "bath", "strength-end", ["soak"]),
    ],
)
def test_caustic_is_titrated_before_it_works_and_after(
    name: str, start: str, end: str, washed: list[str]
) -> None:
    assert start in before(name, washed[0])
    assert set(washed) <= before(name, end)
    for row in PROCEDURES[name]["steps"]:
        if row.get("chemical") == "out" and row.get("proof") == "residue":
            assert end in before(name, row["id"])


@pytest.mark.parametrize("name", MINE)
def test_stock_to_make_up_a_weak_charge_is_worked_where_it_is_asked_for(name: str) -> None:
    for row in PROCEDURES[name]["steps"]:
        for made in row.get("entries", []):
            if "worked" in made.get("limits", {}).get("low", "") and made.get("unit") == "% w/v":
                sums = [other["works"]["calculation"] for other in row["entries"] if "works" in other]
                assert "caustic-make-up" in sums


def test_an_exchanger_left_full_contains_chemical() -> None:
    procedure = PROCEDURES["heat-exchanger-clean"]
    walker = Hand(
        procedure, LIBRARY.cautions, inputs_given=asked_of(procedure), readings=readings_of(procedure)
    )
    assert walker.finish()["findings"] == []
    held = vessel.replay([ask("line", run=walker.run)], "heat-exchanger")
    assert state_of(held, lasting({}), walker.now)[0] == "chemical"


def test_wort_waits_for_a_strip_of_what_stood_in_the_exchanger() -> None:
    assert "flush" in before("cast-and-pitch", "start")
    for place in (("cast-and-pitch", "flush", "strip"), ("second-brew-fill", "start", "strip")):
        assert [verdict(place, typed) for typed in ("0", "3", "150")] == ["target", "advise", "stop"]
        assert "peracetic" in step(place[0], place[1])["cautions"]


def test_a_yeast_vessel_is_sanitised_when_it_is_drained_not_when_it_is_full() -> None:
    full, drained = (step("yeast-vessel-clean", key) for key in ("sanitise", "drain-sanitiser"))
    assert (full["chemical"], full.get("proof")) == ("in", None)
    assert (drained["chemical"], drained["proof"]) == ("out", "sanitised")
    assert "sanitise" in before("yeast-vessel-clean", "drain-sanitiser")
    assert entries(drained) == ["drained", "strip", "label"]


def test_effluent_is_on_target_only_within_the_consent() -> None:
    place = ("effluent-neutralise", "dose", "ph")
    assert [verdict(place, typed) for typed in ("2.0", "5.9", "8.0", "10.1", "13.0")] == [
        "advise", "advise", "target", "advise", "advise",
    ]  # fmt: skip


def test_acid_of_three_quarters_is_not_called_weak() -> None:
    said = step("effluent-neutralise", "dose")["how"]
    assert "eak acid" not in said
    assert "75 % is strong" in said
