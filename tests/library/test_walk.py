"""A careful person reaches the end of every procedure that ships, through the core, with every reading on target."""

from typing import Any

import pytest

from tests.core.walker import Walker
from vesselside.library import load

LIBRARY = load()
# What a person would give on opening, and readings that other readings decide.
INPUTS = {
    "beer": "1200", "boil-gravity": "1.0406", "brew": "1200", "capacity": "1300", "charge-volume": "160",
    "collected": "1200", "copper": "1290", "diameter": "1.10", "dose": "4", "first-bitterness": "24.0",
    "first-minutes": "60", "gravity": "1.0090", "liquor": "620", "malt": "230", "mash-temperature": "66.0",
    "original": "1.0420", "pitch-rate": "0.75",
}  # fmt: skip
READINGS = {
    ("first", "mL"): "5.2", ("second", "mL"): "5.4", ("lowest", "°C"): "55", ("highest", "°C"): "57",
    ("reading", ""): "1.0420", ("gross", "g"): "460.0", ("live", ""): "210",
    ("dead", ""): "12", ("squares", ""): "5", ("dilution", "times"): "100", ("mean", "°C"): "64.7",
    ("liquor", "°C"): "82", ("cold", "°C"): "11", ("warmest", "°C"): "19",
    ("cover-hook", "mm"): "1.55", ("body-hook", "mm"): "1.66", ("end-thickness", "mm"): "0.208",
    ("length", "mm"): "2.49", ("tun", "°C"): "22", ("malt", "°C"): "14.5", ("hot", "°C"): "82.5",
}  # fmt: skip
OF_ONE = {
    "liquor-treatment": {"raw.alkalinity": "180"},
    # a tank a little below its strength, so that there is something to make up
    "recovered-caustic-tank": {"titrate.first": "4.9"},
    "stock-count": {
        "strength.original": "1042.0", "strength.present": "1009.0", "closing.beer": "1000.0",
        "moved.opening": "400.0", "moved.made": "1200.0", "moved.received": "0.0", "moved.sent": "590.0",
        "moved.lost": "6.0",
    },
    "failed-seam": {"read.thickness": "1.15"},
    "low-carbonation": {"read.co2": "4.20"},
    "copper-boil": {"gravity.gravity": "1.0382", "gravity.volume": "1345", "gravity.temperature": "99"},
}  # fmt: skip


class Hand(Walker):
    """Reads a series as often as the sums that are fed by one ask for."""

    def enter(self, step: str, entry: dict[str, Any]) -> None:
        for _ in range(10 if entry.get("series") else 1):
            super().enter(step, entry)


def readings_of(procedure: dict[str, Any]) -> dict[str, str]:
    """Readings that cannot be taken from a step's own limits."""
    found = {}
    for step in procedure["steps"]:
        for entry in step.get("entries", []):
            usual = READINGS.get((entry["id"], entry.get("unit", "")))
            if usual and entry["kind"] in ("reading", "count"):
                found[f"{step['id']}.{entry['id']}"] = usual
    found["contact.minutes"] = "32"
    return {**found, **OF_ONE.get(procedure["id"], {})}


def asked_of(procedure: dict[str, Any]) -> dict[str, str]:
    """What is given on opening it."""
    return {row["id"]: INPUTS.get(row["id"]) or row["default"] for row in procedure.get("inputs", [])}


@pytest.mark.parametrize("procedure", [pytest.param(row, id=row["id"]) for row in LIBRARY.procedures])
def test_a_careful_person_reaches_the_end(procedure: dict[str, Any]) -> None:
    walker = Hand(
        procedure, LIBRARY.cautions, inputs_given=asked_of(procedure), readings=readings_of(procedure)
    )
    view = walker.finish()
    assert view["status"] == "finished"
    assert view["findings"] == []
    assert view["proofs"] == sorted({step["proof"] for step in procedure["steps"] if "proof" in step})
