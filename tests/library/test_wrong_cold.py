"""Cleaning, cellar and packaging, as data: order of steps, needs, limits that a site can fill in, and hazards named."""

from typing import Any

import pytest
import yaml

from vesselside.core.plant import fitness
from vesselside.core.run import instruments, limits
from vesselside.library import FOLDER

from .test_dangerous import PROCEDURES, before, entry, interlocks, step

COLD = [
    "fermenter-caustic-clean", "fermenter-sanitise", "bright-caustic-clean", "bright-acid-clean", "beer-stone-removal",
    "transfer-to-bright", "carbonate", "blend-and-rework", "brew-dumped", "line-sanitise", "filler-clean",
    "canning-line-pre-start", "canning-periodic-checks", "canning-changeover", "canning-shut-down",
    "label-date-and-lot", "wrong-date-or-label", "goods-in", "pallet-hold-and-release", "keg-fill", "keg-wash",
    "cask-racking", "cask-wash", "complaint-and-return", "mock-recall", "instrument-checks", "gas-monitor-check",
    "relief-and-cooling-checks", "eyewash-and-shower-check",
]  # fmt: skip
ENTRIES = {
    (name, row["id"], made["id"]): made
    for name in COLD
    for row in PROCEDURES[name]["steps"]
    for made in row.get("entries", [])
}


def named(name: str, key: str) -> set[str]:
    """The cautions a step names."""
    return set(step(name, key).get("cautions", []))


# -- limits ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "key", "field", "figure"),
    [
        ("canning-periodic-checks", "carbonation", "co2", "carbonation"),
        ("carbonate", "read", "first", "carbonation"),
        ("keg-fill", "from-fermenter", "first", "carbonation"),
        ("canning-periodic-checks", "seam", "thickness", "seam-thickness"),
        ("canning-line-pre-start", "seam", "thickness", "seam-thickness"),
        ("canning-line-pre-start", "seam", "length", "seam-length"),
        ("canning-periodic-checks", "teardown", "body-hook", "body-hook"),
        ("canning-periodic-checks", "teardown", "cover-hook", "cover-hook"),
    ],
)
def test_seams_and_carbonation_are_judged_by_one_figure_everywhere(
    name: str, key: str, field: str, figure: str
) -> None:
    said = entry(name, key, field)["limits"]
    assert said["target"] == [{"setting": f"{figure}-low"}, {"setting": f"{figure}-high"}]
    assert said["stop"] == [{"setting": f"{figure}-stop-low"}, {"setting": f"{figure}-stop-high"}]


# -- seams -------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "key", "fields"),
    [
        ("canning-line-pre-start", "seam", ["length", "thickness", "body-hook", "cover-hook", "end-thickness"]),
        ("canning-periodic-checks", "teardown", ["length", "body-hook", "cover-hook", "end-thickness"]),
        ("canning-periodic-checks", "seam", ["thickness"]),
    ],
)  # fmt: skip
def test_a_seam_is_measured_at_three_points_of_each_head(name: str, key: str, fields: list[str]) -> None:
    for field in fields:
        made = entry(name, key, field)
        assert made["series"]
        assert made["least"] >= 3


@pytest.mark.parametrize(
    ("name", "key"), [("canning-line-pre-start", "seam"), ("canning-periodic-checks", "teardown")]
)
def test_the_overlap_is_worked_for_each_point(name: str, key: str) -> None:
    made = entry(name, key, "overlap")
    assert made["series"]
    assert made["least"] >= 3
    assert made["works"]["calculation"] == "seam-overlap"


# -- instruments -------------------------------------------------------------

CHECKED = {
    made["instrument"]
    for name in ("instrument-checks", "gas-monitor-check")
    for row in PROCEDURES[name]["steps"]
    for made in row.get("entries", [])
    if made.get("verifies")
}
# A clock is checked by the phone's, and a count of cells by a second chamber in its own step.
UNCHECKED = {"timer", "microscope"}


def test_every_kind_of_instrument_that_a_reading_names_can_be_checked() -> None:
    used = {made["instrument"] for made in ENTRIES.values() if "instrument" in made}
    assert used - CHECKED - UNCHECKED == set()


def test_every_kind_there_is_is_checked_somewhere() -> None:
    assert set(instruments.KINDS) - CHECKED == UNCHECKED


@pytest.mark.parametrize(
    ("unit", "kinds"),
    [
        ("g/L", {"dissolved-co2-meter"}),
        ("% vol", {"co2-meter"}),
        ("ppm", {"gas-monitor"}),
        ("ppb", {"oxygen-meter"}),
        ("%", {"oxygen-monitor"}),
    ],
)
def test_gas_and_what_is_dissolved_are_read_with_two_instruments(unit: str, kinds: set[str]) -> None:
    gases = {"co2-meter", "dissolved-co2-meter", "oxygen-meter", "oxygen-monitor", "gas-monitor"}
    used = {
        made["instrument"]
        for made in ENTRIES.values()
        if made.get("unit") == unit and made.get("instrument") in gases
    }
    assert used == kinds


# -- lines left full ---------------------------------------------------------


def test_a_sanitised_line_is_left_full_and_says_so() -> None:
    ways = [row.get("chemical") for row in PROCEDURES["line-sanitise"]["steps"]]
    assert "in" in ways
    assert "out" not in ways
    options = {row["id"]: row["verdict"] for row in entry("line-sanitise", "drain", "full")["options"]}
    assert options == {"full": "target", "air": "stop"}
    assert "full of peracetic acid" in step("line-sanitise", "tag")["title"]


@pytest.mark.parametrize(
    ("name", "seen", "rinsed", "beer"),
    [
        ("canning-line-pre-start", "sanitised", "rinsed", "connect"),
        ("keg-fill", "line", "rinse", "connect"),
        ("cask-racking", "line", "rinse", "rack"),
    ],
)
def test_a_full_line_is_read_then_rinsed_and_proved_before_beer(
    name: str, seen: str, rinsed: str, beer: str
) -> None:
    assert {"interlock": "fill", "full": True} in step(name, seen)["asks"]
    assert seen in before(name, rinsed)
    assert step(name, rinsed)["chemical"] == "out"
    assert {"mains", "ph", "strip"} <= {made["id"] for made in step(name, rinsed)["entries"]}
    assert {"peracetic", "pressurised-line"} <= named(name, rinsed)
    assert rinsed in before(name, beer)
    assert {"interlock": "fill"} in step(name, beer)["asks"]
    strip = entry(name, seen, "strip")["limits"]
    assert strip["target"] == [{"setting": "peracetic-low"}, {"setting": "peracetic-high"}]


# -- release -----------------------------------------------------------------

PACKED = [
    name
    for name in COLD
    if any(row.get("fills") for row in PROCEDURES[name]["steps"])
    and PROCEDURES[name]["vessel_kinds"][0].endswith("-line")
]


@pytest.mark.parametrize("name", PACKED)
def test_beer_goes_into_a_package_only_when_released(name: str) -> None:
    fills = next(row["id"] for row in PROCEDURES[name]["steps"] if row.get("fills"))
    asked = {fills} | before(name, fills)
    assert any("package" in interlocks(step(name, key)) for key in asked)


@pytest.mark.parametrize("name", ["keg-fill", "cask-racking"])
def test_what_comes_straight_from_a_fermenter_can_be_released_by_name(name: str) -> None:
    assert any("fermenter" in row["draws"]["from"] for row in PROCEDURES[name]["steps"] if "draws" in row)
    row = step(name, "release")
    assert row["shows"] == ["released"]
    assert row["who"] == "second"
    asked = next(iter(interlocks(row)))
    lacking = set(fitness.NEEDED[asked]) - {
        fact for key in before(name, "release") for fact in shown(name, key)
    }
    assert lacking <= {"stable", "limit", "diacetyl", "creep", "ph"}
    fills = next(other["id"] for other in PROCEDURES[name]["steps"] if other.get("fills"))
    assert "release" in before(name, fills)


def shown(name: str, key: str) -> list[str]:
    """The facts a step shows of its gyle."""
    facts: list[str] = step(name, key).get("shows", [])
    return facts


# -- caustic -----------------------------------------------------------------

TITRATING = sorted(
    {
        name
        for (name, _, _), made in ENTRIES.items()
        if made.get("works", {}).get("calculation") == "caustic-titration"
    }
)


@pytest.mark.parametrize("name", TITRATING)
def test_caustic_is_titrated_at_the_start_and_at_the_end(name: str) -> None:
    titrated = [
        row
        for row in PROCEDURES[name]["steps"]
        if any(
            made.get("works", {}).get("calculation") == "caustic-titration" for made in row.get("entries", [])
        )
    ]
    assert len(titrated) == 2
    first, last = titrated
    assert first["id"] in before(name, last["id"])
    assert first.get("proof") is None
    assert last["proof"] == "process"
    between = before(name, last["id"]) - before(name, first["id"]) - {first["id"]}
    assert between & {"contact", "wash"}
    for row in titrated:
        assert {"acid", "glass"} <= set(row["cautions"])


@pytest.mark.parametrize("name", COLD)
def test_advice_to_use_the_worked_stock_has_its_sum_beside_it(name: str) -> None:
    for row in PROCEDURES[name]["steps"]:
        said = " ".join(made.get("limits", {}).get("low", "") for made in row.get("entries", []))
        if "worked stock" in said:
            sums = {made.get("works", {}).get("calculation") for made in row["entries"]}
            assert "caustic-make-up" in sums, row["id"]


@pytest.mark.parametrize("name", ["keg-wash", "cask-wash"])
def test_a_washer_is_not_topped_up_hot(name: str) -> None:
    asked = entry(name, "strength", "top-up")
    verdicts = [limits.judge(asked, typed, None)["verdict"] for typed in ("20", "45", "60")]
    assert verdicts == ["target", "advise", "stop"]
    assert {"caustic", "chemical-to-water"} <= named(name, "strength")


# -- labels ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("volume", "typed", "verdict"),
    [
        ("50", "2.0", "target"), ("50", "1.9", "stop"), ("200", "3.0", "target"), ("200", "2.9", "stop"),
        ("330", "3.9", "stop"), ("440", "4.0", "target"), ("1000", "4.0", "target"), ("1001", "5.9", "stop"),
        ("5000", "6.0", "target"),
    ],
)  # fmt: skip
def test_the_volume_on_a_label_is_as_high_as_the_law_wants_for_that_volume(
    volume: str, typed: str, verdict: str
) -> None:
    # The Weights and Measures (Packaged Goods) Regulations 2006; Directive 76/211/EEC, Annex I, 3.1 (from memory).
    class Sight:
        def setting(self, key: str) -> str:
            return {"nominal-volume": volume}[key]

    asked = entry("label-date-and-lot", "size", "height")
    assert limits.judge(asked, typed, Sight())["verdict"] == verdict


# -- hazards -----------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "key", "cautions"),
    [
        ("bright-acid-clean", "charge", {"acid", "glass", "pressurised-line"}),
        ("bright-acid-clean", "sanitise", {"peracetic", "pressurised-line", "vacuum"}),
        ("bright-acid-clean", "drain", {"peracetic", "pressurised-line", "vacuum"}),
        ("bright-acid-clean", "drain-acid", {"acid", "pressurised-line", "vacuum"}),
        ("bright-acid-clean", "rinse-out", {"acid", "pressurised-line", "vacuum"}),
        ("beer-stone-removal", "rinse-out", {"acid", "vacuum"}),
        ("beer-stone-removal", "charge", {"acid", "glass"}),
        ("line-sanitise", "make-up", {"peracetic", "glass"}),
        ("cask-wash", "smell", {"lifting"}), ("cask-wash", "rinse", {"lifting"}), ("cask-wash", "steam", {"lifting"}),
        ("cask-racking", "rack", {"lifting", "pressurised-line", "vacuum"}),
        ("cask-racking", "line", {"peracetic", "pressurised-line"}),
        ("cask-racking", "store", {"lifting", "falling-stacks", "forklift"}),
        ("keg-wash", "wash", {"lifting"}), ("keg-fill", "leaks", {"lifting"}),
        ("goods-in", "vehicle", {"forklift", "caustic", "acid", "falling-stacks"}),
        ("goods-in", "malt", {"forklift", "knives", "grain-dust"}),
        ("goods-in", "store", {"forklift", "falling-stacks"}), ("goods-in", "unload", {"falling-stacks"}),
        ("keg-fill", "store", {"falling-stacks"}), ("keg-wash", "tag", {"falling-stacks"}),
        ("cask-wash", "store", {"falling-stacks"}), ("pallet-hold-and-release", "count", {"falling-stacks", "knives"}),
        ("pallet-hold-and-release", "look", {"falling-stacks"}), ("pallet-hold-and-release", "out", {"falling-stacks"}),
        ("canning-line-pre-start", "packaging-lots", {"falling-stacks", "knives"}),
        ("canning-changeover", "new", {"falling-stacks", "knives"}), ("canning-changeover", "stop", {"compressed-air"}),
        ("canning-shut-down", "lock", {"compressed-air", "guards-isolation"}),
        ("filler-clean", "isolate", {"compressed-air", "guards-isolation"}),
        ("label-date-and-lot", "count-out", {"knives"}), ("wrong-date-or-label", "since", {"falling-stacks", "knives"}),
        ("mock-recall", "hold", {"falling-stacks"}),
    ],
)  # fmt: skip
def test_a_step_names_its_hazards(name: str, key: str, cautions: set[str]) -> None:
    assert cautions <= named(name, key)


def test_a_leaking_drum_on_a_load_is_left_alone() -> None:
    options = {row["id"]: row for row in entry("goods-in", "vehicle", "vehicle")["options"]}
    assert options["drum"]["verdict"] == "stop"
    assert "Nobody touches it" in options["drum"]["advice"]


def test_one_fermenter_clean_does_not_say_again_what_it_has_just_said() -> None:
    shown_again = {
        ("mains-today", "glass"),
        ("pre-rinse", "slips"),
        ("dose", "glycol-shut-in"),
        ("contact", "lone-working"),
    }
    for key, caution in shown_again:
        assert caution not in named("fermenter-caustic-clean", key)
    assert "glycol-shut-in" in named("fermenter-caustic-clean", "cooling-off")
    assert "cooling-off" in before("fermenter-caustic-clean", "dose")


# -- files -------------------------------------------------------------------


@pytest.mark.parametrize("path", sorted(FOLDER.glob("*/*.yaml")), ids=lambda path: path.stem)
def test_every_file_can_be_read_by_any_reader_of_yaml(path: Any) -> None:
    assert yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.SafeLoader)
