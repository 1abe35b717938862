"""Dry hops: how much, what beer they keep, and what they do to the gravity."""

from vesselside.core.sums.inputs import choice, number

# beer kept [L] by 1 kg of hops, from memory of common practice
_KEPT = {"pellets": 5.0, "whole": 8.0}


def dry_hop(*, beer_l: float, dose_g_l: float, form: str, kept_l_kg: float | None) -> dict:
    """Hops [kg] for a dose [g/L], and the beer [L] they keep.

    Formula: hops = beer x dose / 1000; kept = hops x litres per kg, by the brewery's own figure or 5 for pellets and 8
    for whole hops. Range 1 to 50000 [L], 0.1 to 30 [g/L], 1 to 15 [L/kg]. A large dose is marked. Source: dry-hop-loss.
    Example: 2000 L at 5 g/L of pellets: 10 kg, which keep 50 L.
    """
    hops = beer_l * dose_g_l / 1000.0
    per_kg = _KEPT[form] if kept_l_kg is None else kept_l_kg
    kept = hops * per_kg
    marks = ["Hop creep: the gravity may fall again; keep it warm and test for diacetyl before chilling."]
    if kept > beer_l / 10.0:
        marks.append("The hops keep more than a tenth of the beer.")
    return {
        "hops_kg": hops,
        "kept_l": kept,
        "per_kg": per_kg,
        "out_l": beer_l - kept,
        "loss_pct": 100.0 * kept / beer_l,
        "marks": marks,
    }


ROWS = [
    {
        "name": "dry-hop",
        "title": "Dry hops",
        "place": "cellar",
        "inputs": [
            number("beer_l", "Beer in the vessel", "L", "1", "50000", 0),
            number("dose_g_l", "Dose", "g/L", "0.1", "30", 1),
            choice("form", "Hops", [["pellets", "Pellets"], ["whole", "Whole"]], "pellets"),
            number("kept_l_kg", "Beer kept, this brewery's figure", "L/kg", "1", "15", 1, optional=True),
        ],
        "formula": "Hops = beer × dose; beer kept = hops × litres kept by a kilogram.",
        "steps": [["per_kg", "Beer kept by a kilogram", "L/kg", 1], ["loss_pct", "Loss", "%", 1]],
        "results": [
            ["hops_kg", "Hops", "kg", 2],
            ["kept_l", "Beer kept", "L", 0],
            ["out_l", "Beer to come out", "L", 0],
        ],
        "sources": ["dry-hop-loss"],
        "assumptions": [
            "Vent open and pressure off before the port is opened: beer fobs over on dry-hopping."
        ],
        "function": dry_hop,
    },
]
