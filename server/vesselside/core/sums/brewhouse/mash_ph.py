"""An estimate of mash pH from grist and liquor, with how far it may be off."""

from vesselside.core.ground.errors import CoreError
from vesselside.core.sums.inputs import number, series

from .salts import CACO3_MG_MEQ

PH_SPREAD = 0.08
BUFFER_SPREAD = 0.25


def mash_ph(*, grist: list, liquor_l: float, residual_mg_l: float, acid_meq: float) -> dict:
    """pH of a mash, of a sample cooled to 20 °C, with the range it most likely lies in.

    Each malt is [kg, pH of its mash in distilled water, buffer meq/(kg pH)]. Formula: pH = mean of the malts' pH by
    kg x buffer + (residual alkalinity x liquor / 50.04 - acid) / (sum of kg x buffer). The range is two standard
    deviations of 0.08 in the malts' pH and 25 % in their buffer. Range 0.1 to 10000 [kg], 1 to 40000 [L], -500 to
    1000 [mg/L]. Raises CoreError `too-far` outside pH 4.5 to 7, where buffers are no longer steady. Sources:
    mash-buffer, kolbach. Example: 100 kg at 5.75 and 35 meq, 300 L of residual alkalinity 50: 5.84, 5.67 to 6.00.
    """
    buffers = [kg * buffer for kg, _, buffer in grist]
    whole = sum(buffers)
    plain = sum([buffers[n] * grist[n][1] for n in range(len(grist))]) / whole
    charge = residual_mg_l / CACO3_MG_MEQ * liquor_l - acid_meq
    shift = charge / whole
    ph = plain + shift
    if not 4.5 <= ph <= 7.0:
        raise CoreError(
            "too-far", "That lies outside pH 4.5 to 7, where this estimate holds.", field="residual_mg_l"
        )
    spread = 2.0 * (PH_SPREAD**2 + (BUFFER_SPREAD * shift) ** 2) ** 0.5
    return {
        "ph": ph,
        "low": ph - spread,
        "high": ph + spread,
        "plain": plain,
        "buffer_meq": whole,
        "charge_meq": charge,
        "shift": shift,
        "marks": ["An estimate: measure the mash."],
    }


ROWS = [
    {
        "name": "mash-ph",
        "title": "Mash pH, estimated",
        "place": "brewhouse",
        "inputs": [
            series(
                "grist",
                "Grist",
                [
                    number("kg", "Malt", "kg", "0.1", "10000", 1),
                    number("ph", "pH in distilled water", "pH", "3", "6.5", 2),
                    number("buffer_meq", "Buffer", "meq/(kg pH)", "10", "120", 0),
                ],
                rows=1,
            ),
            number("liquor_l", "Mash liquor", "L", "1", "40000", 0),
            number("residual_mg_l", "Residual alkalinity, as CaCO3", "mg/L", "-500", "1000", 0),
            number("acid_meq", "Acid in the mash", "meq", "0", "1000000", 0, "0"),
        ],
        "formula": "pH = mean pH of the malts by their buffer + (residual alkalinity × liquor ÷ 50.04 − "
        "acid) ÷ buffer.",
        "steps": [
            ["plain", "pH in distilled water", "pH", 2],
            ["buffer_meq", "Buffer of the grist", "meq/pH", 0],
            ["charge_meq", "Charge from liquor less acid", "meq", 0],
            ["shift", "Shift", "pH", 2],
        ],
        "results": [
            ["ph", "Mash pH at 20 °C", "pH", 2],
            ["low", "Likely from", "pH", 2],
            ["high", "Likely to", "pH", 2],
        ],
        "sources": ["mash-buffer", "kolbach", "alkalinity"],
        "assumptions": [
            "pH of a sample cooled to 20 °C; at mash temperature it reads about 0.3 lower.",
            "Base malt is near pH 5.7 to 5.8 and 30 to 45 meq; roast and crystal malts lie lower and buffer more.",
        ],
        "function": mash_ph,
    },
]
