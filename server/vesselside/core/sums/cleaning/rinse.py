"""The end of the rinse, against today's mains."""

from vesselside.core.sums.inputs import number


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


_SAME_METER = ["Mains and rinse are read with the same meter today."]

ROWS = [
    {
        "name": "rinse-conductivity-limit",
        "title": "End of rinse by conductivity",
        "place": "cellar",
        "inputs": [number("mains_us_cm", "Today's mains", "µS/cm", "0", "5000", 0)],
        "formula": "Mains + 50 µS/cm or mains + 10 %, whichever is larger.",
        "steps": [["by_step", "Mains + 50", "µS/cm", 0], ["by_share", "Mains + 10 %", "µS/cm", 0]],
        "results": [["limit_us_cm", "Rinse no higher than", "µS/cm", 0]],
        "sources": ["rinse-band"],
        "assumptions": _SAME_METER,
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
        "assumptions": _SAME_METER,
        "function": rinse_ph_band,
    },
]
