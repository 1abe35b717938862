"""A step whose title or how names a hazard shows a caution for it.

The pairs below are the house's own reading of the hazards of the job (05 of the design, and the regulations each
caution names); a word that is only mentioned in passing is reworded rather than excused.
"""

import re
from typing import Any

import pytest

from vesselside.library import load

CAUSTIC = {
    "caustic",
    "hot-caustic",
    "caustic-in-co2",
    "caustic-on-aluminium",
    "residual-caustic",
    "caustic-in-eye",
}
PRESSURE = {
    "pressure-manway",
    "pressurised-line",
    "vacuum",
    "gas-cylinders",
    "fobbing",
    "steam",
    "caustic-in-co2",
    "glycol-shut-in",
}
GAS = {"co2-room", "gas-alarm", "gas-cylinders", "fobbing", "caustic-in-co2", "confined-space"}
ENTRY = {"confined-space", "pressure-manway"}
ACID = {"acid", "nitric-on-copper", "chlorine-with-acid", "chemical-to-water", "peracetic"}
ALOFT = {"height", "fobbing", "hot-liquor", "hot-wort", "mash-rakes", "boil-over"}
MACHINE = {"guards-isolation", "mash-rakes", "jammed-cans"}

WORDS: dict[str, set[str]] = {
    r"caustic": CAUSTIC | {"chemical-to-water", "effluent", "chlorine-with-acid"},
    r"(?<!peracetic )(?<!acetic )\bacids?\b(?! of 1 mol)": ACID,
    r"peracetic": {"peracetic"},
    r"hypochlorite|\bbleach": {"hypochlorite", "chlorine-with-acid"},
    r"metabisulphite": {"metabisulphite"},
    r"hot (liquor|water)|scald": {"hot-liquor", "steam"},
    r"hot wort|boiling|bring it to the boil": {"hot-wort", "boil-over"},
    r"\bsteam\b": {"steam", "hot-liquor", "boil-over"},
    r"\b([6-9][0-9]|1[0-2][0-9]) ?°C": {"hot-liquor", "hot-wort", "hot-caustic", "steam", "boil-over"},
    r"\bCO2\b|carbon dioxide": GAS,
    r"nitrogen\b": {"nitrogen"},
    r"oxygen (bottle|cylinder|valve)|oxygenat": {"oxygen-enrichment"},
    r"\bvent(s|ed|ing)?\b|manway|under pressure|pressure off|let down": PRESSURE,
    r"cylinder\b": {"gas-cylinders", "oxygen-enrichment"},
    r"\b(enter (the|a)|go in\b|climb in|inside the (tank|tun|copper)|dig out|head and arms)": ENTRY,
    r"\brakes?\b|auger": {"mash-rakes"},
    r"\bguards?\b|conveyor|seamer|emergency stop|\bmill\b|reach in\b": MACHINE,
    r"\blift(ing|ed)? (it|the (sack|cask|keg|drum))|\bsacks?\b|hoist|full (cask|keg)s?\b": {"lifting"},
    r"ladder|tank top|from the platform|stage of the copper": ALOFT,
    r"\bdust": {"grain-dust", "metabisulphite", "caustic", "laboratory-reagents"},
    r"\bpowders?\b": {"grain-dust", "metabisulphite", "laboratory-reagents", "hot-wort"},
    r"\biodine\b|\bindicators?\b|\bstain\b(?! skin)|reagent": {"laboratory-reagents"},
    r"calcium chloride to": {"chemical-to-water"},
    r"\bburner": {"gas-burner"},
    r"\bflues?\b|damper": {"gas-burner", "steam"},
    r"carbon monoxide": {"gas-burner"},
    r"fire alarm|extinguisher|everything that burns|\bflame; meet": {"fire"},
    r"\bstirrer": MACHINE,
    r"hot-sanitise": {"hot-liquor", "steam"},
    r"burette|hydrometer|\bglass (beaker|jar|sample)|microscope slide": {"glass"},
    r"forklift|pallet truck": {"forklift"},
    r"glycol": {"glycol-shut-in"},
    r"refrigerant|ammonia": {"refrigerant"},
    r"holding tank": {"effluent"},
    r"compressed air": {"compressed-air"},
    r"\bstack(s|ed)?\b": {"falling-stacks"},
    r"legionella|\bno mist\b|without mist": {"legionella"},
    r"droppings|rat urine|\bmouse\b": {"pest-dirt"},
    r"\bcut (the |straps|wrap)|\bkni(fe|ves)\b": {"knives"},
}  # fmt: skip

STEPS = [
    pytest.param(step, id=f"{procedure['id']}-{step['id']}")
    for procedure in load().procedures
    for step in procedure["steps"]
]


def lacking(step: dict[str, Any]) -> list[str]:
    """The hazard words of a step that no caution of it answers."""
    text = f"{step['title']}. {step['how']}"
    shown = set(step.get("cautions", []))
    found = []
    for pattern, cautions in WORDS.items():
        match = re.search(pattern, text, re.IGNORECASE)
        if match and not shown & cautions:
            found.append(f"{match[0]!r} wants one of {', '.join(sorted(cautions))}")
    return found


@pytest.mark.parametrize("step", STEPS)
def test_every_hazard_a_step_names_has_its_caution(step: dict[str, Any]) -> None:
    assert lacking(step) == []


def test_a_step_without_its_caution_is_found() -> None:
    step = {"title": "Drain the caustic", "how": "Open the vent at the ladder.", "cautions": ["slips"]}
    assert [text.split("'")[1] for text in lacking(step)] == ["caustic", "vent", "ladder"]
    step["cautions"] = ["hot-caustic", "vacuum", "height"]
    assert lacking(step) == []


def test_every_caution_named_in_the_pairs_exists() -> None:
    known = {caution["id"] for caution in load().cautions}
    assert set().union(*WORDS.values()) <= known


def test_every_caution_of_the_library_is_shown_somewhere() -> None:
    from vesselside.library.table import cautions_of

    library = load()
    used = set().union(*(cautions_of(procedure) for procedure in library.procedures))
    emergencies = {caution["id"] for caution in library.cautions if "emergency" in caution}
    assert {caution["id"] for caution in library.cautions} - used - emergencies == set()
