"""What a manager reads beside each field of a procedure. A field without words here is edited as text in the rest.

One row a field, by the name of its shape and in the order of the form: `(label, help)`, the help empty where the
label says it all.
"""

WORDS: dict[str, dict[str, tuple[str, str]]] = {
    "Procedure": {
        "title": ("Title", ""),
        "kind": ("Kind", ""),
        "vessel_kinds": ("Done on", "None of them: it is not done on a vessel."),
        "summary": ("Summary", "What it takes the vessel or the beer from, and to."),
        "leaves": ("Leaves the vessel", "A clean leaves it to its proofs."),
        "steps": ("Steps", ""),
        "inputs": (
            "Asked on opening",
            "Asked of the person, or filled from the vessel, the recipe or its sheet.",
        ),
        "settings": ("Site figures", "Strengths, times and limits that each site gives its own value."),
    },
    "Setting": {
        "label": ("Label", ""),
        "unit": ("Unit", "Empty when it has none."),
        "default": ("Usual value", ""),
        "source": ("Where the value is from", "A law, a label, a maker’s figure, or common practice."),
        "id": ("Short name", "Figures of one short name are one figure of the site."),
    },
    "Input": {
        "label": ("Label", ""),
        "kind": ("Kind", ""),
        "unit": ("Unit", "Empty when it has none."),
        "places": ("Decimals", ""),
        "default": ("Usual value", ""),
        "from": ("Filled from", "vessel.capacity_l, recipe.mash_temp_c or sheet.strike, say."),
        "id": ("Short name", ""),
    },
    "Step": {
        "title": ("What to do", "As an order: Open the vent and see it open."),
        "why": ("Why", ""),
        "how": ("How", ""),
        "who": ("Done by", ""),
        "proof": ("Proves", ""),
        "needs": ("Waits for", ""),
        "critical": ("A starter’s doing needs a second signature", ""),
        "anytime": ("May be done out of order", ""),
        "optional": ("May be passed by", ""),
        "cautions": ("Cautions, met before the step opens", ""),
        "hold": ("Hold", ""),
        "entries": ("To be written down", ""),
        "id": ("Short name", "Records name the step by it; keep it when the step stays the same step."),
    },
    "Hold": {
        "seconds": ("Lasts at least, in seconds", ""),
    },
    "Entry": {
        "label": ("Label", ""),
        "kind": ("Kind", ""),
        "unit": ("Unit", "Of a reading; empty when it has none."),
        "places": ("Decimals", ""),
        "instrument": ("Read with", ""),
        "series": ("Repeated through the step", ""),
        "optional": ("May be left out", ""),
        "least": ("At least so many times", ""),
        "verifies": (
            "Checks the instrument itself",
            "Repeated, once or more for each instrument, with limits.",
        ),
        "measures": ("Is the actual of", "A line of the brew sheet, in its unit."),
        "options": ("Answers", ""),
        "limits": ("Limits", ""),
        "raises": ("Cautions raised by the reading", ""),
        "works": ("Worked out", ""),
        "id": ("Short name", ""),
    },
    "Option": {
        "label": ("Answer", ""),
        "verdict": ("Means", ""),
        "advice": ("What to do then", ""),
        "id": ("Short name", ""),
    },
    "Limits": {
        "target": ("On target", "Inside these: on target."),
        "stop": ("Stop", "Outside these the step cannot be done."),
        "low": ("When below target", ""),
        "high": ("When above target", ""),
        "halt": ("When outside the stop limits", ""),
        "source": ("Where the limits are from", ""),
    },
    "Raise": {
        "above": ("Above", ""),
        "below": ("Below", ""),
        "caution": ("Caution", ""),
    },
    "Works": {
        "calculation": ("Calculation", ""),
        "inputs": ("What feeds it", "One line each: the input’s name, a colon, and what it is given."),
        "result": ("Result", "Its main result when left out."),
        "proposes": ("The result is proposed as the entry", ""),
    },
}

ROWS = {
    "settings": "Site figure",
    "inputs": "Question",
    "steps": "Step",
    "entries": "Entry",
    "options": "Answer",
    "raises": "Caution",
}
"""What one row of each list is called."""

OPTIONS = {
    "brew": "Brew day",
    "trouble": "When it goes wrong",
    "co2": "Under CO2",
    "chemical": "Containing chemical",
    "reading": "Reading",
    "second": "A brewer, and a second person signs",
    "brewer": "A brewer",
    "anyone": "Anyone",
    "target": "On target",
    "advise": "Advise",
    "stop": "Stop",
    "micro": "No life left (micro or ATP)",
    "process": "The clean was strong, hot and long enough",
    "look": "It looks clean",
    "residue": "No chemical is left",
    "sanitised": "Sanitised",
    "bright": "Bright beer tank",
    "lot": "Lot",
    "ph-meter": "pH meter",
    "co2-meter": "CO2 meter, gas",
    "dissolved-co2-meter": "CO2 meter, dissolved",
    "oxygen-meter": "Oxygen meter, dissolved",
    "oxygen-monitor": "Oxygen monitor, room",
}
"""Choices whose id does not say it; any other is its id with spaces for dashes."""

_NUMBERS = ("reading", "count")
WHEN = {
    ("Entry", field): _NUMBERS
    for field in (
        "unit",
        "places",
        "least",
        "instrument",
        "verifies",
        "measures",
        "limits",
        "raises",
        "works",
    )
} | {("Entry", "options"): ("choice",), ("Input", "places"): ("reading",)}
"""Fields asked only of rows of these kinds."""
