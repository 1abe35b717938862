"""Published limits and codes that the library's procedures and cautions rest on, beside what their sources say.

Sources of the values below, and how far each was read for this check:
- Workplace exposure limits, United Kingdom: HSE, EH40/2005, 4th edition 2020, Table 1. Carbon dioxide as HSE repeats it
  on its page on the hazards of the gas; the others from memory of the table.
- Sodium hydroxide by strength: Regulation (EC) No 1272/2008, Annex VI, index 011-002-00-6, as repeated in the
  European industry's note on its classification.
- Noise: Control of Noise at Work Regulations (Northern Ireland) 2006, regulation 4, which has the values of the
  regulations of 2005 for Great Britain.
- pH of drinking water: The Water Supply (Water Quality) Regulations 2016, Schedule 2 (from memory).
- Scalds: Moritz and Henriques, Am. J. Pathol. 23 (1947) 695: full thickness in 5 s at 60 °C, as tables of scald times
  for hot water repeat it; 1 s at 70 °C (from memory).
- Pictograms of hazard statements: UN GHS, Annex 1 (from memory).
"""

import re
from collections.abc import Iterator
from typing import Any

import pytest

from vesselside.library import load

LIBRARY = load()
SHIFT, SHORT = "8 hours", "15 minutes"

EXPOSURE: dict[str, dict[str, tuple[str, str]]] = {
    "CO2": {SHIFT: ("5000", "ppm"), SHORT: ("15000", "ppm")},
    "sodium hydroxide": {SHORT: ("2", "mg/m³")},
    "nitric acid": {SHORT: ("1", "ppm")},
    "phosphoric acid": {SHIFT: ("1", "mg/m³"), SHORT: ("2", "mg/m³")},
    "sulphuric acid": {SHIFT: ("0.05", "mg/m³")},
    "hydrogen chloride": {SHIFT: ("1", "ppm"), SHORT: ("5", "ppm")},
    "carbon monoxide": {SHIFT: ("20", "ppm"), SHORT: ("100", "ppm")},
    "hydrogen peroxide": {SHIFT: ("1", "ppm"), SHORT: ("2", "ppm")},
    "chlorine": {SHORT: ("0.5", "ppm")},
    "sulphur dioxide": {SHIFT: ("0.5", "ppm"), SHORT: ("1", "ppm")},
    "nitrogen dioxide": {SHIFT: ("0.5", "ppm"), SHORT: ("1", "ppm")},
    "grain dust": {SHIFT: ("10", "mg/m³")},
}
PICTOGRAM = {
    "GHS02": ("H220", "H221", "H225"),
    "GHS03": ("H270", "H272"),
    "GHS04": ("H280", "H281"),
    "GHS05": ("H290", "H314", "H318"),
    "GHS06": ("H330", "H331"),
    "GHS09": ("H400", "H410"),
}

SAID = re.compile(
    rf"({'|'.join(EXPOSURE)}) ((?:[\d .]+ (?:ppm|mg/m³) over (?:{SHIFT}|{SHORT})(?:, )?)+)", re.IGNORECASE
)
PART = re.compile(rf"([\d .]+) (ppm|mg/m³) over ({SHIFT}|{SHORT})")


def texts(part: Any) -> Iterator[str]:
    """Every text in a document of the library."""
    if isinstance(part, str):
        yield part
    elif isinstance(part, dict):
        for value in part.values():
            yield from texts(value)
    elif isinstance(part, list):
        for value in part:
            yield from texts(value)


def documents() -> list[dict[str, Any]]:
    return [*LIBRARY.cautions, *LIBRARY.procedures]


def caution(name: str) -> dict[str, Any]:
    return next(row for row in LIBRARY.cautions if row["id"] == name)


def limited(cited: str) -> list[tuple[str, dict[str, Any]]]:
    """Every reading whose limits cite a source: (where, entry)."""
    return [
        (f"{procedure['id']}: {step['id']}.{entry['id']}", entry)
        for procedure in LIBRARY.procedures
        for step in procedure["steps"]
        for entry in step.get("entries", [])
        if cited in entry.get("limits", {}).get("source", "")
    ]


@pytest.mark.parametrize("substance", EXPOSURE)
def test_every_exposure_limit_that_is_said_is_the_published_one(substance: str) -> None:
    said = {
        (document["id"], over, value.replace(" ", ""), unit)
        for document in documents()
        for text in texts(document)
        for name, all_of_it in SAID.findall(text)
        if name.lower() == substance.lower()
        for value, unit, over in PART.findall(all_of_it)
    }
    assert {(over, value, unit) for _, over, value, unit in said} == {
        (over, *limit) for over, limit in EXPOSURE[substance].items()
    }, said


def test_no_exposure_limit_is_said_in_words_this_check_does_not_read() -> None:
    """Whatever cites EH40 states its limits so that they were compared above."""
    unread = [
        text
        for document in documents()
        for text in texts(document)
        if "EH40" in text and not SAID.search(" ".join(text.split()))
    ]
    assert unread == []


def test_nobody_works_on_in_a_room_at_the_limit_of_eight_hours() -> None:
    rows = [row for row in limited("CO2 5 000 ppm") if row[1]["label"].startswith("Room CO2")]
    assert len(rows) >= 20
    for where, entry in rows:
        assert float(entry["limits"]["stop"][1]) < 5000, where
        assert float(entry["limits"]["target"][1]) < 5000, where
        alarms = [row for row in entry["raises"] if row["caution"] == "gas-alarm"]
        assert [float(row["above"]) for row in alarms] == [4999.0], where


def test_caustic_is_classed_by_its_strength() -> None:
    """1A from 5 %, 1B from 2 to 5 %, irritant from 0.5 to 2 %."""
    for name in ("caustic", "hot-caustic"):
        (burns,) = [row for row in caution(name)["codes"] if row.startswith("H314")]
        assert re.findall(r"1[AB] from [\d to]+ %", burns) == ["1A from 5 %", "1B from 2 to 5 %"]
    (irritates,) = [row for row in caution("caustic")["codes"] if "H315" in row]
    assert "H319" in irritates
    assert "from 0.5 to 2 %" in irritates
    for name in ("caustic-in-co2", "residual-caustic"):
        assert "from 2 %" in " ".join(caution(name)["codes"])


def test_codes_bring_their_pictograms() -> None:
    """Save where a caution names several substances, whose own sheets decide."""
    for row in LIBRARY.cautions:
        for pictogram, statements in PICTOGRAM.items():
            told = [code for code in row["codes"] if code.startswith(statements)]
            told = [code for code in told if " for " not in code and "by what" not in code]
            assert not told or pictogram in row["pictograms"], (row["id"], told)


def test_water_is_hot_or_cold_enough_to_keep_legionella_down() -> None:
    # HSE L8 and HSG274 Part 2 (from memory): stored at 60 °C, 50 °C at the outlet within a minute, cold under 20 °C.
    assert re.findall(r"\d+ °C", " ".join(caution("legionella")["first"])) == ["60 °C", "20 °C"]
    found = limited("HSG274 Part 2: stored")
    assert found
    assert {entry["limits"]["stop"][0] for _, entry in found} == {"60"}
    found = limited("HSG274 Part 2: 50 °C")
    assert found
    assert {entry["limits"]["target"][0] for _, entry in found} == {"50"}
    found = limited("HSG274 Part 2: cold")
    assert found
    assert {entry["limits"]["target"][1] for _, entry in found} == {"20"}


def test_noise_has_the_values_of_the_law() -> None:
    said = re.findall(r"\b\d\d\b(?= dB| and \d\d dB)", " ".join(" ".join(texts(caution("noise"))).split()))
    assert set(said) == {"80", "85", "87"}


def test_mains_water_is_what_drinking_water_may_be() -> None:
    rows = [entry for _, entry in limited("Water Supply (Water Quality)") if entry["unit"] == "pH"]
    assert rows
    assert {tuple(entry["limits"]["target"]) for entry in rows} == {("6.5", "9.5")}


def test_scalds_are_as_fast_as_was_measured() -> None:
    said = [
        " ".join(text.split())
        for document in documents()
        for text in texts(document)
        if "Moritz and Henriques" in text
    ]
    assert len(said) >= 4
    for text in said:
        assert re.findall(r"(\d+) s at (\d+) °C", text) == [("5", "60"), ("1", "70")]
