"""The double seam of a can: how far its hooks overlap, and how far the body hook fills its room."""

from vesselside.core.ground.errors import CoreError
from vesselside.core.sums.inputs import number


def seam_overlap(
    *,
    cover_hook_mm: float,
    body_hook_mm: float,
    end_thickness_mm: float,
    seam_length_mm: float,
    body_thickness_mm: float,
) -> dict:
    """Overlap of a double seam [mm], and how far the body hook butts [%].

    Formula: overlap = cover hook + body hook + end thickness - seam length; butting = 100 (BH - 1.1 tb) /
    (W - 1.1 (2 te + tb)). Range 0.5 to 3 [mm] hooks, 1.5 to 4 [mm] length, 0.05 to 0.5 [mm] thickness. Raises CoreError
    `not-a-seam` when the hooks cannot fit in the seam; hooks that do not meet, and butting outside 0 to 100 %, are
    marked. Sources: 21-cfr-113-60 (overlap), seam-butting.
    Example: 1.50 + 1.60 + 0.23 - 2.50 is 0.83 mm.
    """
    room = seam_length_mm - 1.1 * (2.0 * end_thickness_mm + body_thickness_mm)
    if room <= 0.0 or cover_hook_mm >= seam_length_mm or body_hook_mm >= seam_length_mm:
        raise CoreError(
            "not-a-seam", "These hooks do not fit in this seam: measure again.", field="seam_length_mm"
        )
    overlap = cover_hook_mm + body_hook_mm + end_thickness_mm - seam_length_mm
    butting = 100.0 * (body_hook_mm - 1.1 * body_thickness_mm) / room
    marks = []
    if overlap <= 0.0:
        marks.append(
            "The hooks do not overlap: this seam is open. Stop the line, hold what it made, measure again."
        )
    if butting > 100.0 or butting < 0.0:
        marks.append("A body hook cannot butt so far: measure again.")
    return {"overlap_mm": overlap, "butting_pct": butting, "room_mm": room, "marks": marks}


def seam_free_space(*, seam_thickness_mm: float, end_thickness_mm: float, body_thickness_mm: float) -> dict:
    """Free space of a double seam [mm]: how much thicker it is than the metal in it.

    Formula: seam thickness - (3 x end + 2 x body). Range 0.5 to 2.5 [mm], 0.1 to 0.5 [mm], 0.05 to 0.4 [mm]. Less than
    none is marked: measure again. Source: seam-free-space. Example: 1.15 - (3 x 0.23 + 2 x 0.15) is 0.16 mm.
    """
    metal = 3.0 * end_thickness_mm + 2.0 * body_thickness_mm
    free = seam_thickness_mm - metal
    marks = ["The seam is thinner than its metal: measure again."] if free < 0.0 else []
    return {"free_mm": free, "metal_mm": metal, "marks": marks}


_END = number("end_thickness_mm", "End thickness", "mm", "0.1", "0.5", 3)
_BODY = number("body_thickness_mm", "Can wall thickness at the flange", "mm", "0.05", "0.4", 3, "0.150")
_MAKERS = ["Limits are the can and end makers'."]

ROWS = [
    {
        "name": "seam-overlap",
        "title": "Double seam overlap",
        "place": "packaging",
        "inputs": [
            number("cover_hook_mm", "Cover hook", "mm", "0.5", "3", 2),
            number("body_hook_mm", "Body hook", "mm", "0.5", "3", 2),
            _END,
            number("seam_length_mm", "Seam length", "mm", "1.5", "4", 2),
            _BODY,
        ],
        "formula": "Overlap = cover hook + body hook + end thickness − seam length. "
        "Butting = (body hook − 1.1 × wall) ÷ (seam length − 1.1 × (2 × end + wall)).",
        "steps": [["room_mm", "Room for the body hook", "mm", 2]],
        "results": [["overlap_mm", "Overlap", "mm", 2], ["butting_pct", "Body hook butting", "%", 0]],
        "sources": ["21-cfr-113-60", "seam-butting"],
        "assumptions": _MAKERS,
        "function": seam_overlap,
    },
    {
        "name": "seam-free-space",
        "title": "Free space of a double seam",
        "place": "packaging",
        "inputs": [number("seam_thickness_mm", "Seam thickness", "mm", "0.5", "2.5", 2), _END, _BODY],
        "formula": "Free space = seam thickness − (3 × end + 2 × wall).",
        "steps": [["metal_mm", "Metal in the seam", "mm", 2]],
        "results": [["free_mm", "Free space", "mm", 2]],
        "sources": ["seam-free-space"],
        "assumptions": _MAKERS,
        "function": seam_free_space,
    },
]
