"""The caustic charge: making it up, titrating it, and bringing it back to strength."""

from vesselside.core.ground.errors import CoreError
from vesselside.core.sums.inputs import number

NAOH_G_MOL = 39.997
NA2CO3_G_MOL = 105.988
# density of plain caustic at 20 °C [kg/L] by its strength [% w/w]
_DENSITY = (
    (0.0, 0.9982),
    (5.0, 1.0538),
    (10.0, 1.1089),
    (15.0, 1.1640),
    (20.0, 1.2191),
    (25.0, 1.2739),
    (30.0, 1.3279),
    (35.0, 1.3798),
    (40.0, 1.4300),
    (45.0, 1.4779),
    (50.0, 1.5253),
)


# how much denser it is at 20 °C than at 0, 40, 60 and 80 °C [g/L], by strength
_EXPANSION = (
    (0.0, -1.6, 6.0, 15.0, 26.4),
    (5.0, -6.0, 8.0, 17.9, 29.4),
    (10.0, -8.2, 9.4, 20.0, 31.8),
    (20.0, -10.5, 11.2, 23.1, 35.8),
    (30.0, -12.1, 12.5, 25.4, 38.8),
    (40.0, -13.5, 13.6, 27.3, 41.1),
    (50.0, -14.7, 14.4, 28.6, 42.6),
)


def _between(table: tuple, at: float) -> list:
    """The row of `table` at `at`, by its first column, read between entries."""
    n = 1
    while n < len(table) - 1 and at > table[n][0]:
        n += 1
    low, high = table[n - 1], table[n]
    share = (at - low[0]) / (high[0] - low[0])
    return [low[k] + (high[k] - low[k]) * share for k in range(len(low))]


def caustic_density(*, stock_pct_ww: float, temp_c: float) -> dict:
    """Density [kg/L] of plain sodium hydroxide solution by its strength [% w/w] and temperature.

    Formula: a table at 20 °C in steps of 5 %, less a table of its expansion, both read between entries. Range 1 to 50
    [% w/w], 0 to 80 [°C]. Strong and cold is marked: it sets. Source: caustic-density.
    Example: 32 % at 20 °C is 1.349 kg/L, at 60 °C 1.323; 50 % at 20 °C is 1.525 kg/L.
    """
    cold, to_40, to_60, to_80 = _between(_EXPANSION, stock_pct_ww)[1:]
    lighter = _between(((0.0, cold), (20.0, 0.0), (40.0, to_40), (60.0, to_60), (80.0, to_80)), temp_c)[1]
    at_20 = _between(_DENSITY, stock_pct_ww)[1]
    found = at_20 - lighter / 1000.0
    sets = stock_pct_ww > 40.0 and temp_c < 15.0
    return {
        "density_kg_l": found,
        "stock_pct_wv": stock_pct_ww * found,
        "at_20": at_20,
        "marks": ["So strong and cold it may set solid: ask the supplier before it is warmed."]
        if sets
        else [],
    }


def caustic_charge(
    *, final_volume_l: float, target_pct_wv: float, stock_pct_ww: float, stock_kg_l: float
) -> dict:
    """Volume of caustic stock [L] for a final charge of `final_volume_l` at `target_pct_wv` [% w/v].

    Formula: NaOH wanted [kg] = volume x strength / 100; stock = NaOH / (stock w/w x density). Range 1 to 20000 [L], 0.1
    to 5 [% w/v], 1 to 50 [% w/w], 1.000 to 1.530 [kg/L]. Raises CoreError `too-strong` when the stock is no stronger
    than the target. Source: mass-balance. Example: 200 L at 2 % from 32 % stock of 1.35 kg/L takes 9.26 L.
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


def dose_band(*, worked_l: float, within_pct: float) -> dict:
    """The least and the most [L] that may go in where `worked_l` was worked out.

    Formula: worked less and plus so many per cent of itself: strength goes with the dose. Range 0.01 to 5000 [L], 1 to
    50 [%]. Source: mass-balance. Example: 2.5 L within 10 % is 2.25 to 2.75 L.
    """
    return {"low_l": worked_l * (1.0 - within_pct / 100.0), "high_l": worked_l * (1.0 + within_pct / 100.0)}


def caustic_make_up(
    *, charge_l: float, free_pct: float, target_pct_wv: float, stock_pct_ww: float, stock_kg_l: float
) -> dict:
    """Stock [L] that brings a worked charge from `free_pct` back to `target_pct_wv` [% w/v of free NaOH].

    Formula: charge x (target - free) / (stock w/v - target), so that the stock's own volume counts. Range 1 to 20000
    [L], 0 to 5 and 0.1 to 5 [% w/v]. Raises CoreError `order` when it is strong enough, `too-strong` when the stock
    is no stronger. Source: mass-balance. Example: 200 L from 1.4 to 2.0 % with 32 % stock of 1.35 kg/L takes 2.91 L.
    """
    if free_pct >= target_pct_wv:
        raise CoreError("order", "The charge is strong enough.", field="target_pct_wv")
    stock_pct_wv = stock_pct_ww * stock_kg_l
    if stock_pct_wv <= target_pct_wv:
        raise CoreError(
            "too-strong", "The stock is no stronger than the charge wanted.", field="stock_pct_ww"
        )
    stock_l = charge_l * (target_pct_wv - free_pct) / (stock_pct_wv - target_pct_wv)
    return {
        "stock_l": stock_l,
        "stock_kg": stock_l * stock_kg_l,
        "stock_pct_wv": stock_pct_wv,
        "charge_l": charge_l + stock_l,
    }


def caustic_titration(*, first_ml: float, second_ml: float, sample_ml: float, acid_mol_l: float) -> dict:
    """Free NaOH and carbonate [% w/v] from a titration with two end points read on one burette.

    Formula: with P the first (phenolphthalein) and M the second (methyl orange) reading from zero, free NaOH =
    (2P - M) x acid x 39.997 / (10 x sample); sodium carbonate = 2 (M - P) x acid x 52.994 / (10 x sample). When
    2P is below M no caustic is free: it is all carbonate and bicarbonate, marked so. `acid_mol_l` is of a one-proton
    acid. Range 0 to 100 [mL], 1 to 100 [mL], 0.01 to 2 [mol/L]. Raises CoreError `order` when M is below P.
    Sources: two-end-points, molar-masses. Example: P 5.2, M 5.4 mL of 1 mol/L on 10 mL: 2.00 % free, 0.21 % carbonate.
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
    free = free_ml * NAOH_G_MOL * per_ml
    carbonate = carbonate_ml * NA2CO3_G_MOL / 2.0 * per_ml
    if free > 0.0 and carbonate > free:
        marks.append("More carbonate than free caustic: renew the charge rather than make it up.")
    return {
        "free_ml": free_ml,
        "carbonate_ml": carbonate_ml,
        "free_pct": free,
        "carbonate_pct": carbonate,
        "marks": marks,
    }


STOCK = number("stock_pct_ww", "Strength of the stock", "% w/w", "1", "50", 1)
STOCK_DENSITY = number("stock_kg_l", "Density of the stock", "kg/L", "1.000", "1.530", 3, "1.350")
_TARGET = number("target_pct_wv", "Strength wanted", "% w/v", "0.1", "5", 2)
WATER_FIRST = "Water first, stock to the water, slowly; goggles, gauntlets and apron on."
_SUPPLIER = (
    "Strength is the supplier's, on the drum. So is density, or it is that of plain caustic of this strength."
)

ROWS = [
    {
        "name": "caustic-charge",
        "title": "Caustic stock for a charge",
        "place": "cellar",
        "inputs": [
            number("final_volume_l", "Volume of the final charge", "L", "1", "20000", 0),
            _TARGET,
            STOCK,
            STOCK_DENSITY,
        ],
        "formula": "Stock = volume × strength wanted ÷ 100 ÷ (stock strength ÷ 100 × stock density).",
        "steps": [
            ["naoh_kg", "Sodium hydroxide wanted", "kg", 2],
            ["stock_kg", "Stock by weight", "kg", 2],
            ["water_l", "Water to the final charge, about", "L", 0],
        ],
        "results": [["stock_l", "Stock to dose", "L", 1]],
        "sources": ["mass-balance"],
        "assumptions": [_SUPPLIER, WATER_FIRST],
        "function": caustic_charge,
    },
    {
        "name": "caustic-density",
        "title": "Density of caustic by strength and temperature",
        "place": "cellar",
        "inputs": [STOCK, number("temp_c", "At", "°C", "0", "80", 0, "20")],
        "formula": "Tables of plain caustic at 20 °C and of its expansion, read between entries.",
        "steps": [
            ["at_20", "Density at 20 °C", "kg/L", 3],
            ["stock_pct_wv", "Strength by volume, there", "% w/v", 1],
        ],
        "results": [["density_kg_l", "Density", "kg/L", 3]],
        "sources": ["caustic-density"],
        "assumptions": ["Plain caustic; a built detergent goes by its label."],
        "function": caustic_density,
    },
    {
        "name": "dose-band",
        "title": "How near a dose must be",
        "place": "cellar",
        "inputs": [
            number("worked_l", "Dose worked out", "L", "0.01", "5000", 2),
            number("within_pct", "Within", "%", "1", "50", 0, "10"),
        ],
        "formula": "Worked less its share, to worked plus its share.",
        "steps": [],
        "results": [["low_l", "From", "L", 2], ["high_l", "To", "L", 2]],
        "sources": ["mass-balance"],
        "assumptions": ["The strength of a charge goes with the dose, whatever the size of the charge."],
        "function": dose_band,
    },
    {
        "name": "caustic-make-up",
        "title": "Caustic stock to make a charge up",
        "place": "cellar",
        "inputs": [
            number("charge_l", "Charge in the circuit", "L", "1", "20000", 0),
            number("free_pct", "Free caustic now", "% w/v", "0", "5", 2),
            _TARGET,
            STOCK,
            STOCK_DENSITY,
        ],
        "formula": "Stock = charge × (wanted − free now) ÷ (stock w/v − wanted).",
        "steps": [
            ["stock_pct_wv", "Stock", "% w/v", 1],
            ["stock_kg", "Stock by weight", "kg", 2],
            ["charge_l", "Charge then", "L", 0],
        ],
        "results": [["stock_l", "Stock to dose", "L", 1]],
        "sources": ["mass-balance"],
        "assumptions": [_SUPPLIER, WATER_FIRST, "Carbonate does not clean: only free caustic counts."],
        "function": caustic_make_up,
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
        "formula": "Free caustic = (2 × first − second) × acid × 39.997 ÷ (10 × sample); "
        "carbonate = 2 × (second − first) × acid × 52.994 ÷ (10 × sample).",
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
]
