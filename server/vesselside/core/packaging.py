"""Packaging: the double seam, and fill volume from weight."""

from .errors import CoreError
from .inputs import number

WATER_20_KG_L = 0.9982
AIR_KG_L = 0.0012
WEIGHTS_KG_L = 8.0

# nominal volume up to [mL]: tolerable negative error as a share of nominal, and in mL (one is zero)
_ERRORS = (
    (50.0, 0.09, 0.0),
    (100.0, 0.0, 4.5),
    (200.0, 0.045, 0.0),
    (300.0, 0.0, 9.0),
    (500.0, 0.03, 0.0),
    (1000.0, 0.0, 15.0),
    (10000.0, 0.015, 0.0),
    (15000.0, 0.0, 150.0),
    (25000.0, 0.01, 0.0),
)


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
    (W - 1.1 (2 te + tb)). Ranges as in the row. Raises CoreError `not-a-seam` when the hooks cannot fit in the seam.
    Sources: 21-cfr-113-60 (overlap), seam-butting. Example: 1.50 + 1.60 + 0.23 - 2.50 is 0.83 mm.
    """
    room = seam_length_mm - 1.1 * (2.0 * end_thickness_mm + body_thickness_mm)
    if room <= 0.0 or cover_hook_mm >= seam_length_mm or body_hook_mm >= seam_length_mm:
        raise CoreError(
            "not-a-seam", "These hooks do not fit in this seam: measure again.", field="seam_length_mm"
        )
    return {
        "overlap_mm": cover_hook_mm + body_hook_mm + end_thickness_mm - seam_length_mm,
        "butting_pct": 100.0 * (body_hook_mm - 1.1 * body_thickness_mm) / room,
        "room_mm": room,
    }


def fill_volume(*, gross_g: float, tare_g: float, gravity_sg: float) -> dict:
    """Volume of beer in a can at 20 °C [mL], from its weight in air.

    Formula: net x (1 - air / weights) / (SG x 0.9982 - air), with air 0.0012 and weights 8.0 [kg/L]. Ranges as in the
    row. Raises CoreError `order` when the tare is not below the gross. Source: oiml-d28.
    Example: 458.0 g gross, 13.0 g tare, SG 1.010: 441.8 mL.
    """
    net = gross_g - tare_g
    if net <= 0.0:
        raise CoreError("order", "The empty can weighs as much as the full one.", field="tare_g")
    density = gravity_sg * WATER_20_KG_L
    buoyancy = 1.0 - AIR_KG_L / WEIGHTS_KG_L
    return {"net_g": net, "density_kg_l": density, "volume_ml": net * buoyancy / (density - AIR_KG_L)}


def tolerable_negative_error(*, nominal_ml: float) -> dict:
    """Tolerable negative error, T1 and T2 [mL] for packages of `nominal_ml`, 5 mL to 25 L.

    Formula: the table of Directive 76/211/EEC Annex I, percentages rounded up to a tenth of a mL; T1 = nominal - TNE,
    T2 = nominal - 2 TNE. Source: average-quantity. Example: 440 mL has TNE 13.2, T1 426.8, T2 413.6 mL.
    """
    error = 0.0
    for most, share, fixed in _ERRORS:
        if nominal_ml <= most:
            error = share * nominal_ml + fixed
            break
    tenths = error * 10.0
    whole = float(int(tenths))
    error = (whole if tenths - whole < 1e-6 else whole + 1.0) / 10.0
    return {"error_ml": error, "t1_ml": nominal_ml - error, "t2_ml": nominal_ml - 2.0 * error}


ROWS = [
    {
        "name": "seam-overlap",
        "title": "Double seam overlap",
        "place": "packaging",
        "inputs": [
            number("cover_hook_mm", "Cover hook", "mm", "0.5", "3", 2),
            number("body_hook_mm", "Body hook", "mm", "0.5", "3", 2),
            number("end_thickness_mm", "End thickness", "mm", "0.1", "0.5", 3),
            number("seam_length_mm", "Seam length", "mm", "1.5", "4", 2),
            number("body_thickness_mm", "Can wall thickness at the flange", "mm", "0.05", "0.4", 3, "0.150"),
        ],
        "formula": "Overlap = cover hook + body hook + end thickness - seam length. "
        "Butting = (body hook - 1.1 x wall) / (seam length - 1.1 x (2 x end + wall)).",
        "steps": [["room_mm", "Room for the body hook", "mm", 2]],
        "results": [["overlap_mm", "Overlap", "mm", 2], ["butting_pct", "Body hook butting", "%", 0]],
        "sources": ["21-cfr-113-60", "seam-butting"],
        "assumptions": ["Limits are the can and end makers'."],
        "function": seam_overlap,
    },
    {
        "name": "fill-volume",
        "title": "Fill volume from weight",
        "place": "packaging",
        "inputs": [
            number("gross_g", "Full can", "g", "20", "30000", 1),
            number("tare_g", "Empty can and end", "g", "1", "5000", 1),
            number("gravity_sg", "Present gravity 20/20", "", "0.990", "1.060", 4),
        ],
        "formula": "Volume = net weight x (1 - air / weights) / (gravity x 0.9982 - air).",
        "steps": [["net_g", "Net weight", "g", 1], ["density_kg_l", "Density of the beer", "kg/L", 4]],
        "results": [["volume_ml", "Volume at 20 °C", "mL", 1]],
        "sources": ["oiml-d28"],
        "assumptions": [
            "Gravity is the beer's as packed, CO2 in it.",
            "The tare is the mean of a tare study.",
        ],
        "function": fill_volume,
    },
    {
        "name": "tolerable-negative-error",
        "title": "Tolerable negative error",
        "place": "packaging",
        "inputs": [number("nominal_ml", "Nominal volume", "mL", "5", "25000", 0)],
        "formula": "From the table of the average-quantity rules; "
        "T1 = nominal - error, T2 = nominal - twice the error.",
        "steps": [],
        "results": [
            ["error_ml", "Tolerable negative error", "mL", 1],
            ["t1_ml", "T1: at most 2.5 % below", "mL", 1],
            ["t2_ml", "T2: none below", "mL", 1],
        ],
        "sources": ["average-quantity"],
        "assumptions": ["Packages of one nominal volume; local law decides."],
        "function": tolerable_negative_error,
    },
]
