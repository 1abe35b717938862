"""Cleaning in place: the caustic charge, its titration, contact time, and the end of the rinse."""

from .errors import CoreError
from .inputs import number

NAOH_G_MOL = 39.997
NA2CO3_G_MOL = 105.988


def caustic_charge(
    *, final_volume_l: float, target_pct_wv: float, stock_pct_ww: float, stock_kg_l: float
) -> dict:
    """Volume of caustic stock [L] for a final charge of `final_volume_l` at `target_pct_wv` [% w/v].

    Formula: NaOH wanted [kg] = volume x strength / 100; stock = NaOH / (stock w/w x density). Ranges as in the row.
    Raises CoreError `too-strong` when the stock is weaker than the target. Source: mass-balance.
    Example: 200 L at 2 % from 32 % stock of 1.35 kg/L takes 9.26 L.
    """
    grams_per_ml = stock_pct_ww / 100.0 * stock_kg_l
    if grams_per_ml * 100.0 <= target_pct_wv:
        raise CoreError(
            "too-strong", "The stock is no stronger than the charge wanted.", field="stock_pct_ww"
        )
    naoh_kg = final_volume_l * target_pct_wv / 100.0
    stock_l = naoh_kg / grams_per_ml
    return {
        "naoh_kg": naoh_kg,
        "stock_kg": stock_l * stock_kg_l,
        "stock_l": stock_l,
        "water_l": final_volume_l - stock_l,
    }


def caustic_titration(*, first_ml: float, second_ml: float, sample_ml: float, acid_mol_l: float) -> dict:
    """Free NaOH and carbonate [% w/v] from a titration with two end points read on one burette.

    Formula: with P the first (phenolphthalein) and M the second (methyl orange) reading from zero, free NaOH =
    (2P - M) x acid x 39.997 / (10 x sample); sodium carbonate = 2 (M - P) x acid x 52.994 / (10 x sample). When
    2P is below M no caustic is free: it is all carbonate and bicarbonate, marked so. `acid_mol_l` is of a one-proton
    acid [mol/L]. Raises CoreError `order` when M is below P. Sources: two-end-points, molar-masses.
    Example: P 5.2, M 5.4 mL of 1 mol/L on 10 mL: 2.00 % free, 0.21 % carbonate.
    """
    if second_ml < first_ml:
        raise CoreError("order", "The second end point cannot come before the first.", field="second_ml")
    per_ml = acid_mol_l / (10.0 * sample_ml)
    free_ml = 2.0 * first_ml - second_ml
    marks = []
    if free_ml < 0.0:
        marks.append("No free caustic: carbonate and bicarbonate only.")
        carbonate_ml = 2.0 * first_ml
        free_ml = 0.0
    else:
        carbonate_ml = 2.0 * (second_ml - first_ml)
    return {
        "free_ml": free_ml,
        "carbonate_ml": carbonate_ml,
        "free_pct": free_ml * NAOH_G_MOL * per_ml,
        "carbonate_pct": carbonate_ml * NA2CO3_G_MOL / 2.0 * per_ml,
        "marks": marks,
    }


def contact_time(
    *, first_c: float, second_c: float, low_c: float, high_c: float, minutes: float, before_min: float
) -> dict:
    """Contact time [min] credited between two readings at the return, added to what was credited before.

    Formula: the minutes between them count only if both readings lie from `low_c` to `high_c`.
    Raises CoreError `order` when the band is empty. Source: contact-both-in-band.
    Example: 58 and 56 °C ten minutes apart in a band of 50 to 65 °C credit 10 min.
    """
    if high_c < low_c:
        raise CoreError("order", "The upper end of the band lies below the lower.", field="high_c")
    counts = low_c <= first_c <= high_c and low_c <= second_c <= high_c
    credited = minutes if counts else 0.0
    marks = [] if counts else ["Not credited: a reading was out of band."]
    return {"credited_min": credited, "total_min": before_min + credited, "marks": marks}


def rinse_conductivity_limit(*, mains_us_cm: float) -> dict:
    """Highest conductivity [µS/cm] of the last rinse, against today's mains.

    Formula: mains + 50 or mains + 10 %, whichever is larger. Range 0 to 5000. Source: rinse-band.
    Example: mains at 400 gives 450; at 800, 880.
    """
    by_step = mains_us_cm + 50.0
    by_share = mains_us_cm * 1.1
    return {"limit_us_cm": max(by_step, by_share), "by_step": by_step, "by_share": by_share}


def rinse_ph_band(*, mains_ph: float, band_ph: float) -> dict:
    """Lowest and highest pH of the last rinse, against today's mains.

    Formula: mains less and plus the band. Range pH 4 to 11, band 0.05 to 2. Source: rinse-band.
    Example: mains 7.4 and 0.3 give 7.1 to 7.7.
    """
    return {"low": mains_ph - band_ph, "high": mains_ph + band_ph}


_STOCK_DENSITY = number("stock_kg_l", "Density of the stock", "kg/L", "1.000", "1.530", 3, "1.350")

ROWS = [
    {
        "name": "caustic-charge",
        "title": "Caustic stock for a charge",
        "place": "cellar",
        "inputs": [
            number("final_volume_l", "Volume of the final charge", "L", "1", "20000", 0),
            number("target_pct_wv", "Strength wanted", "% w/v", "0.1", "5", 2),
            number("stock_pct_ww", "Strength of the stock", "% w/w", "1", "50", 1),
            _STOCK_DENSITY,
        ],
        "formula": "Stock = volume x strength wanted / 100 / (stock strength / 100 x stock density).",
        "steps": [
            ["naoh_kg", "Sodium hydroxide wanted", "kg", 2],
            ["stock_kg", "Stock by weight", "kg", 2],
            ["water_l", "Water to the final charge, about", "L", 0],
        ],
        "results": [["stock_l", "Stock to dose", "L", 1]],
        "sources": ["mass-balance"],
        "assumptions": [
            "Strength and density are the supplier's, on the drum.",
            "Water first, stock to the water.",
        ],
        "function": caustic_charge,
    },
    {
        "name": "caustic-titration",
        "title": "Strength of caustic by titration",
        "place": "cellar",
        "inputs": [
            number("first_ml", "First end point (phenolphthalein)", "mL", "0", "100", 2),
            number("second_ml", "Second end point (methyl orange)", "mL", "0", "100", 2),
            number("sample_ml", "Sample", "mL", "1", "100", 1, "10"),
            number("acid_mol_l", "Acid, one proton", "mol/L", "0.01", "2", 3, "1"),
        ],
        "formula": "Free caustic = (2 x first - second) x acid x 39.997 / (10 x sample); "
        "carbonate = 2 x (second - first) x acid x 52.994 / (10 x sample).",
        "steps": [
            ["free_ml", "Acid for free caustic", "mL", 2],
            ["carbonate_ml", "Acid for carbonate", "mL", 2],
        ],
        "results": [
            ["free_pct", "Free sodium hydroxide", "% w/v", 2],
            ["carbonate_pct", "Sodium carbonate", "% w/v", 2],
        ],
        "sources": ["two-end-points", "molar-masses"],
        "assumptions": ["Both end points are read on one burette from zero."],
        "function": caustic_titration,
    },
    {
        "name": "contact-time",
        "title": "Contact time credited",
        "place": "cellar",
        "inputs": [
            number("first_c", "Return at the first reading", "°C", "0", "100", 1),
            number("second_c", "Return at the second reading", "°C", "0", "100", 1),
            number("low_c", "Band from", "°C", "0", "100", 1),
            number("high_c", "Band to", "°C", "0", "100", 1),
            number("minutes", "Minutes between them", "min", "0", "240", 1),
            number("before_min", "Credited before", "min", "0", "1440", 1, "0"),
        ],
        "formula": "The minutes between two readings count only when both are in the band.",
        "steps": [["credited_min", "Credited now", "min", 1]],
        "results": [["total_min", "Contact time", "min", 1]],
        "sources": ["contact-both-in-band"],
        "assumptions": ["Readings are taken at the return."],
        "function": contact_time,
    },
    {
        "name": "rinse-conductivity-limit",
        "title": "End of rinse by conductivity",
        "place": "cellar",
        "inputs": [number("mains_us_cm", "Today's mains", "µS/cm", "0", "5000", 0)],
        "formula": "Mains + 50 µS/cm or mains + 10 %, whichever is larger.",
        "steps": [["by_step", "Mains + 50", "µS/cm", 0], ["by_share", "Mains + 10 %", "µS/cm", 0]],
        "results": [["limit_us_cm", "Rinse no higher than", "µS/cm", 0]],
        "sources": ["rinse-band"],
        "assumptions": ["Mains and rinse are read with the same meter today."],
        "function": rinse_conductivity_limit,
    },
    {
        "name": "rinse-ph-band",
        "title": "End of rinse by pH",
        "place": "cellar",
        "inputs": [
            number("mains_ph", "Today's mains", "pH", "4", "11", 2),
            number("band_ph", "Band either side", "pH", "0.05", "2", 2, "0.3"),
        ],
        "formula": "Mains less the band, to mains plus the band.",
        "steps": [],
        "results": [["low", "Rinse from", "pH", 2], ["high", "Rinse to", "pH", 2]],
        "sources": ["rinse-band"],
        "assumptions": ["Mains and rinse are read with the same meter today."],
        "function": rinse_ph_band,
    },
]
