"""Fill volume from weight, and the study of what empties weigh."""

from vesselside.core.ground.errors import CoreError
from vesselside.core.sums.brewhouse.gravity import WATER_20_KG_L
from vesselside.core.sums.inputs import number, series

AIR_KG_L = 0.0012
WEIGHTS_KG_L = 8.0
LEAST_ML = 50.0


def fill_volume(*, gross_g: float, tare_g: float, gravity_sg: float) -> dict:
    """Volume of beer in a package at 20 °C [mL], from its weight in air.

    Formula: net x (1 - air / weights) / (SG x 0.9982 - air), with air 0.0012 and weights 8.0 [kg/L]. Range 20 to
    30000 [g], 1 to 15000 [g], 0.990 to 1.060. Raises CoreError `order` when the tare is not below the gross. Less than
    50 mL is marked: no package of beer is so small. Source: oiml-d28. Example: 458.0 g gross, 13.0 g tare, SG 1.010:
    441.8 mL.
    """
    net = gross_g - tare_g
    if net <= 0.0:
        raise CoreError("order", "The empty package weighs as much as the full one.", field="tare_g")
    density = gravity_sg * WATER_20_KG_L
    buoyancy = 1.0 - AIR_KG_L / WEIGHTS_KG_L
    volume = net * buoyancy / (density - AIR_KG_L)
    marks = [] if volume >= LEAST_ML else ["Less than 50 mL: weigh the full and the empty package again."]
    return {"net_g": net, "density_kg_l": density, "volume_ml": volume, "marks": marks}


def target_weight(*, volume_ml: float, tare_g: float, gravity_sg: float) -> dict:
    """What a package filled to `volume_ml` at 20 °C weighs in air [g]: the reverse of fill-volume.

    Formula: volume x (SG x 0.9982 - air) / (1 - air / weights) + tare. Range 50 to 30000 [mL], 1 to 15000 [g], 0.990 to
    1.060. Source: oiml-d28. Example: 440 mL of SG 1.010 in 13.0 g weighs 456.1 g.
    """
    density = gravity_sg * WATER_20_KG_L
    net = volume_ml * (density - AIR_KG_L) / (1.0 - AIR_KG_L / WEIGHTS_KG_L)
    return {"gross_g": net + tare_g, "net_g": net, "density_kg_l": density}


def tare_study(*, empties: list, error_ml: float) -> dict:
    """Mean tare [g], its spread, and whether one mean may stand for all, from weighed empties.

    Formula: mean and sample standard deviation; a mean may be used while the spread is at most a tenth of the tolerable
    negative error. Range at least 10 empties, 1 to 15000 [g], 0.4 to 250 [mL]. Source: tare-tenth (from memory).
    Example: ten cans from 12.9 to 13.1 g, spread 0.06 g against a tenth of 13.2 mL: yes.
    """
    weights = [row[0] for row in empties]
    count = len(weights)
    mean = sum(weights) / count
    spread = (sum([(weight - mean) ** 2 for weight in weights]) / (count - 1)) ** 0.5
    allowed = error_ml / 10.0
    marks = [] if spread <= allowed else ["These empties vary too much: weigh each package's own tare."]
    return {
        "mean_g": mean,
        "spread_g": spread,
        "allowed_g": allowed,
        "count": count,
        "range_g": max(weights) - min(weights),
        "marks": marks,
    }


_GRAVITY = number("gravity_sg", "Present gravity 20/20", "", "0.990", "1.060", 4)
_TARE = number("tare_g", "Empty package and end", "g", "1", "15000", 1)
_AS_PACKED = ["Gravity is the beer's as packed, at 20 °C.", "The tare is the mean of a tare study."]

ROWS = [
    {
        "name": "fill-volume",
        "title": "Fill volume from weight",
        "place": "packaging",
        "inputs": [number("gross_g", "Full package", "g", "20", "30000", 1), _TARE, _GRAVITY],
        "formula": "Volume = net weight × (1 − air ÷ weights) ÷ (gravity × 0.9982 − air).",
        "steps": [["net_g", "Net weight", "g", 1], ["density_kg_l", "Density of the beer", "kg/L", 4]],
        "results": [["volume_ml", "Volume at 20 °C", "mL", 1]],
        "sources": ["oiml-d28"],
        "assumptions": _AS_PACKED,
        "function": fill_volume,
    },
    {
        "name": "target-weight",
        "title": "Weight of a full package",
        "place": "packaging",
        "inputs": [number("volume_ml", "Volume wanted at 20 °C", "mL", "50", "30000", 0), _TARE, _GRAVITY],
        "formula": "Weight = volume × (gravity × 0.9982 − air) ÷ (1 − air ÷ weights) + tare.",
        "steps": [["density_kg_l", "Density of the beer", "kg/L", 4], ["net_g", "Net weight", "g", 1]],
        "results": [["gross_g", "Full package", "g", 1]],
        "sources": ["oiml-d28"],
        "assumptions": _AS_PACKED,
        "function": target_weight,
    },
    {
        "name": "tare-study",
        "title": "Tare study",
        "place": "packaging",
        "inputs": [
            series(
                "empties", "Empties", [number("weight_g", "Empty", "g", "1", "15000", 2)], rows=10, most=200
            ),
            number("error_ml", "Tolerable negative error", "mL", "0.4", "250", 1),
        ],
        "formula": "Mean of the empties; the spread may be at most a tenth of the tolerable negative error.",
        "steps": [
            ["count", "Empties", "", 0],
            ["range_g", "Lightest to heaviest", "g", 2],
            ["allowed_g", "Spread allowed", "g", 2],
        ],
        "results": [["mean_g", "Mean tare", "g", 2], ["spread_g", "Spread", "g", 3]],
        "sources": ["tare-tenth"],
        "assumptions": ["A new study for each lot of cans or ends."],
        "function": tare_study,
    },
]
