"""Order, needs, locks and limits that keep a person from harm, held against the procedures as data."""

from typing import Any

import pytest

from vesselside.core.run import limits
from vesselside.core.run.procedure import Plan
from vesselside.core.sums import calculations
from vesselside.library import load

LIBRARY = load()
PROCEDURES = {row["id"]: row for row in LIBRARY.procedures}


def step(procedure: str, key: str) -> dict[str, Any]:
    """A step of a procedure."""
    found: dict[str, Any] = next(row for row in PROCEDURES[procedure]["steps"] if row["id"] == key)
    return found


def before(procedure: str, key: str) -> set[str]:
    """Every step that `key` waits for, directly or through others."""
    plan = Plan(PROCEDURES[procedure])
    found: set[str] = set()
    todo = list(plan.needs[key])
    while todo:
        need = todo.pop()
        if need not in found:
            found.add(need)
            todo.extend(plan.needs[need])
    return found


def verdicts(name: str, key: str, field: str) -> dict[str, str]:
    """How each answer of a choice is judged."""
    return {row["id"]: row["verdict"] for row in entry(name, key, field)["options"]}


def entries(row: dict[str, Any]) -> list[str]:
    """The entries of a step, in order."""
    return [entry["id"] for entry in row.get("entries", [])]


def entry(procedure: str, key: str, field: str) -> dict[str, Any]:
    """An entry of a step."""
    found: dict[str, Any] = next(row for row in step(procedure, key)["entries"] if row["id"] == field)
    return found


def interlocks(row: dict[str, Any]) -> set[str]:
    """What a step asks, so that it stops."""
    return {ask["interlock"] for ask in row.get("asks", []) if not ask.get("warns")}


def reads_gas(row: dict[str, Any]) -> bool:
    """Whether the room's CO2 is read at a step, by nobody's leave above the limit."""
    read = [made for made in row.get("entries", []) if made.get("instrument") == "gas-monitor"]
    return bool(read) and "gas" in interlocks(row)


VENTED = [
    pytest.param(name, row["id"], id=f"{name}-{row['id']}")
    for name, procedure in PROCEDURES.items()
    for row in procedure["steps"]
    if "pressure" in interlocks(row)
]


@pytest.mark.parametrize(("name", "key"), VENTED)
def test_the_room_is_read_before_or_as_a_tank_is_vented(name: str, key: str) -> None:
    row = step(name, key)
    if any(reads_gas(step(name, need)) for need in before(name, key)):
        return
    assert reads_gas(row)
    read = entries(row)
    assert read.index("room") < read.index("flow")


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("fermenter-caustic-clean", "vent-open"), ("fermenter-sanitise", "vent-open"),
        ("bright-caustic-clean", "vent-open"), ("beer-stone-removal", "vent-open"),
        ("aborted-clean-made-safe", "vent-open"), ("cast-and-pitch", "vent-open"), ("yeast-vessel-clean", "vent-open"),
    ],
)  # fmt: skip
def test_extraction_and_the_way_out_of_the_gas_come_before_the_vent(name: str, key: str) -> None:
    row = step(name, key)
    assert entries(row)[:2] == ["extraction", "room"]
    assert "co2-room" in row["cautions"]
    assert row["never_locked"]


@pytest.mark.parametrize(
    "name", ["fermenter-caustic-clean", "bright-caustic-clean", "brewhouse-caustic-clean"]
)
def test_a_dose_is_judged_by_its_share_of_what_was_worked_out(name: str) -> None:
    # ±10 % on target and never a quarter over, whatever the size of the charge: common practice, no source.
    figures = {row["id"]: row["default"] for row in PROCEDURES[name]["settings"]}
    assert (figures["dose-tolerance"], figures["dose-stop"]) == ("10", "25")
    asked = entry(name, "dose", "dosed")

    class Sight:
        def __init__(self, worked: str) -> None:
            self.worked = worked

        def setting(self, key: str) -> str:
            return figures[key]

        def entry(self, field: str) -> str:
            assert field == "charge.stock"
            return self.worked

    small = Sight("1.9")  # 40 L at 2 % from 32 %
    said = [limits.judge(asked, typed, small)["verdict"] for typed in ("1.6", "1.8", "2.0", "2.2", "2.4")]
    assert said == ["advise", "target", "target", "advise", "stop"]


def test_the_sum_of_a_shut_tank_counts_its_cooling() -> None:
    # Dry air by the gas law, vapour pressure 25.0 and 1.7 kPa of the steam tables:
    # (101.3 - 25.0) x 288.15 / 338.15 + 1.7.
    given = {"tank_l": "1300", "gas_pct": "0", "temp_c": "65", "charge_l": "160", "free_pct": "2"}
    given["cooled_c"] = "15"
    fell = float(calculations.work("caustic-in-gas", given)["results"][0]["value"])
    assert fell == pytest.approx(-346, abs=2)
    for name, key in (("fermenter-caustic-clean", "gas-clear"), ("bright-caustic-clean", "air")):
        assert {"temp_c", "cooled_c"} <= set(entry(name, key, "lowest")["works"]["inputs"])


# -- gas ---------------------------------------------------------------------


def test_grain_is_read_only_with_rakes_locked_and_lines_shut_and_through_no_door() -> None:
    assert {"lock", "valves"} <= before("spent-grain-dig-out", "drained")
    assert {"mash-rakes", "confined-space"} <= set(step("spent-grain-dig-out", "drained")["cautions"])
    assert "door" not in before("spent-grain-dig-out", "drained")
    assert "Probe" not in step("spent-grain-dig-out", "drained")["how"]


def test_a_monitor_is_tried_outside_before_a_room_is_read_with_it() -> None:
    assert "personal" in before("gas-monitor-check", "door")
    assert not before("gas-monitor-check", "personal")


def band(asked: dict[str, Any], figures: dict[str, str], typed: str) -> str:
    """The verdict on a reading whose limits rest on settings alone."""

    class Sight:
        def setting(self, key: str) -> str:
            return figures[key]

    said: str = limits.judge(asked, typed, Sight())["verdict"]
    return said


@pytest.mark.parametrize(
    ("key", "field", "typed", "verdict"),
    [
        ("personal", "reads", "3500", "stop"), ("personal", "reads", "4500", "target"),
        ("personal", "reads", "5600", "stop"), ("personal", "air", "0", "stop"), ("personal", "air", "420", "target"),
        ("fixed", "low", "5000", "target"), ("fixed", "low", "5001", "stop"), ("fixed", "low", "8000", "stop"),
        ("fixed", "high", "15000", "target"), ("fixed", "high", "15001", "stop"), ("fixed", "high", "20000", "stop"),
        ("fixed", "bottle", "5000", "stop"), ("fixed", "bottle", "20000", "target"),
    ],
)  # fmt: skip
def test_a_monitor_out_by_more_than_a_tenth_or_an_alarm_above_the_limits_stops(
    key: str, field: str, typed: str, verdict: str
) -> None:
    # EH40/2005: 5 000 ppm over 8 hours, 15 000 ppm over 15 minutes. It sets no alarms, and is not cited for them.
    figures = {row["id"]: row["default"] for row in PROCEDURES["gas-monitor-check"]["settings"]}
    asked = entry("gas-monitor-check", key, field)
    assert band(asked, figures, typed) == verdict
    assert not asked["limits"]["source"].startswith("EH40")


def test_nobody_is_sent_into_gas_on_one_breath() -> None:
    said = " ".join(next(row for row in LIBRARY.cautions if row["id"] == "gas-cylinders")["minute"])
    assert "in one breath" not in said
    assert "leave at once" in said


# -- caustic -----------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("fermenter-caustic-clean", "dose"),
        ("bright-caustic-clean", "dose"),
        ("yeast-vessel-clean", "charge"),
    ],
)
def test_caustic_goes_in_only_with_gas_cleared_vent_seen_and_cooling_off(name: str, key: str) -> None:
    waits = before(name, key)
    assert {"vent-open", "cooling-off"} <= waits
    assert any(
        made.get("instrument") == "co2-meter"
        for need in waits
        for made in step(name, need).get("entries", [])
    )
    assert {"empty", "vent"} <= interlocks(step(name, key))
    assert "vent" in entries(step(name, key))


OPENED = [
    pytest.param(name, at, id=f"{name}-{row['id']}")
    for name, procedure in PROCEDURES.items()
    for at, row in enumerate(procedure["steps"])
    if row.get("opens") and any("peracetic" in later.get("cautions", []) for later in procedure["steps"][at:])
]


@pytest.mark.parametrize(("name", "at"), OPENED)
def test_a_port_opened_for_a_look_is_shut_before_anything_is_sprayed(name: str, at: int) -> None:
    row = PROCEDURES[name]["steps"][at]
    asked = next(made for made in row["entries"] if made["id"] == "port")
    assert {option["id"]: option["verdict"] for option in asked["options"]} == {
        "shut": "target",
        "open": "stop",
    }


def test_a_hot_washer_is_not_topped_up() -> None:
    asked = entry("cask-wash", "strength", "top-up")
    assert [band(asked, {}, typed) for typed in ("20", "45", "60")] == ["target", "advise", "stop"]
    assert "Never top up a hot tank" in step("cask-wash", "strength")["how"]


def test_an_unfinished_clean_may_hold_hypochlorite_and_then_no_acid_comes_near() -> None:
    options = {row["id"]: row for row in entry("aborted-clean-made-safe", "what", "chemical")["options"]}
    assert "No acid near" in options["hypochlorite"]["advice"]
    assert "hypochlorite" in step("aborted-clean-made-safe", "what")["cautions"]


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("aborted-clean-made-safe", "stop"), ("aborted-clean-made-safe", "vent-open"),
        ("aborted-clean-made-safe", "drain"), ("power-cut", "heat"), ("power-cut", "gas"), ("power-cut", "vents"),
        ("canning-shut-down", "beer-off"), ("canning-shut-down", "gas-off"), ("canning-shut-down", "lock"),
        ("cast-and-pitch", "oxygen-off"),
    ],
)  # fmt: skip
def test_making_safe_waits_for_nothing(name: str, key: str) -> None:
    assert step(name, key).get("never_locked")
    assert before(name, key) == set()


def test_the_filler_bowl_is_seen_vented_before_caustic() -> None:
    assert "vent" in interlocks(step("filler-clean", "circuit"))
    assert {"empty", "vent"} <= interlocks(step("filler-clean", "charge"))
    assert entries(step("filler-clean", "charge"))[0] == "vent"


def test_nobody_smells_or_feels_for_caustic() -> None:
    options = [row["label"] for row in entry("grist-and-mash-in", "tun-ready", "seen")["options"]]
    assert not [label for label in options if "Smell" in label or "slip" in label]
    assert "pH strip" in step("grist-and-mash-in", "tun-ready")["how"]


TITRATED = [
    pytest.param(procedure["id"], id=procedure["id"])
    for procedure in LIBRARY.procedures
    if any("1 mol/L" in row["how"] for row in procedure["steps"])
]


@pytest.mark.parametrize("name", TITRATED)
def test_the_acid_of_a_titration_is_named(name: str) -> None:
    # Sulphuric gives two protons: the same readings would stand for half the acid (molar masses and equivalents).
    for row in PROCEDURES[name]["steps"]:
        if "1 mol/L" in row["how"]:
            assert "Hydrochloric acid of 1 mol/L" in row["how"]
            assert "both readings from zero" in row["how"]


CHARGED = [
    pytest.param(procedure["id"], id=procedure["id"])
    for procedure in LIBRARY.procedures
    if any(row["id"] == "caustic-stock-strength" for row in procedure.get("settings", []))
]


@pytest.mark.parametrize("name", CHARGED)
def test_the_density_of_caustic_goes_with_its_strength(name: str) -> None:
    assert "caustic-stock-density" not in [row["id"] for row in PROCEDURES[name]["settings"]]
    for row in PROCEDURES[name]["steps"]:
        for made in row.get("entries", []):
            works = made.get("works", {})
            if "stock_kg_l" in works.get("inputs", {}) and works["calculation"].startswith("caustic"):
                assert works["inputs"]["stock_kg_l"]["calculation"] == "caustic-density"


# -- pressure and oxygen -----------------------------------------------------


def test_a_gas_hose_comes_off_a_vented_tank_whose_own_valve_is_shut() -> None:
    assert "vent-open" in before("bright-caustic-clean", "gas-off")
    assert entries(step("bright-caustic-clean", "gas-off")) == ["valve", "gas"]


def test_a_fermenter_to_be_filled_is_vented_first_and_no_port_is_opened() -> None:
    row = step("cast-and-pitch", "fill-ready")
    assert "vent-open" in before("cast-and-pitch", "fill-ready")
    assert "look in through the port" not in row["how"]
    assert not row.get("opens")


def test_oxygen_is_off_before_the_yeast_goes_in() -> None:
    assert "oxygen-off" in before("cast-and-pitch", "pitch")
    order = [row["id"] for row in PROCEDURES["cast-and-pitch"]["steps"]]
    assert order.index("oxygen-off") == order.index("fill") + 1


def test_a_full_tank_cannot_run_back_through_the_line() -> None:
    row = step("second-brew-fill", "fill")
    assert "siphon-backflow" in row["cautions"]
    assert entries(row)[0] == "check-valve"


def test_one_figure_holds_the_pressure_of_every_bright_tank() -> None:
    held = entry("carbonate", "gas", "regulator")["limits"]
    assert held["target"][1] == held["stop"][1] == {"setting": "bright-pressure-high"}
    assert entry("carbonate", "limits", "plate")["limits"]["stop"][0] == {"setting": "bright-pressure-high"}
