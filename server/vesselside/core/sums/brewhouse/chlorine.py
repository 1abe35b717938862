"""Chlorine out of the liquor: metabisulphite for what was read, and what that adds."""

from vesselside.core.sums.inputs import choice, number

CL2_G_MOL = 70.906
CHLORIDE_G_MOL = 35.453
SULPHATE_G_MOL = 96.06
_SALTS = {"sodium": 190.107, "potassium": 222.324}
"""Molar masses of the metabisulphites [g/mol]."""


def chlorine_removal(*, volume_l: float, chlorine_mg_l: float, salt: str, more_pct: float) -> dict:
    """Metabisulphite [g] that takes total chlorine [mg/L as Cl2], free or as chloramine, out of `volume_l`.

    Formula: S2O5 + 2 HOCl + H2O = 2 SO4 + 2 Cl + 4 H, one metabisulphite for two of Cl2, plus so many per cent more;
    all of it ends as sulphate. Range 1 to 50000 [L], 0 to 10 [mg/L], 0 to 100 [%]. More than 4 mg/L is marked.
    Sources: chlorine-sulphite, molar-masses. Example: 1000 L at 1 mg/L takes 1.50 g of sodium metabisulphite, 12 % of
    it for safety.
    """
    chlorine_mol = chlorine_mg_l / 1000.0 / CL2_G_MOL
    mol = chlorine_mol / 2.0 * (1.0 + more_pct / 100.0)
    marks = ["More than tap water may well hold: read it again."] if chlorine_mg_l > 4.0 else []
    return {
        "salt_g": mol * _SALTS[salt] * volume_l,
        "per_mg": _SALTS[salt] / 2.0 / CL2_G_MOL,
        "sulphate": mol * 2.0 * SULPHATE_G_MOL * 1000.0,
        "chloride": chlorine_mol * CHLORIDE_G_MOL * 1000.0,
        "marks": marks,
    }


ROWS = [
    {
        "name": "chlorine-removal",
        "title": "Metabisulphite against chlorine",
        "place": "brewhouse",
        "inputs": [
            number("volume_l", "Liquor", "L", "1", "50000", 0),
            number("chlorine_mg_l", "Total chlorine read", "mg/L", "0", "10", 2),
            choice("salt", "Metabisulphite of", [["sodium", "Sodium"], ["potassium", "Potassium"]], "sodium"),
            number("more_pct", "More, to be sure", "%", "0", "100", 0, "12"),
        ],
        "formula": "One of metabisulphite takes out two of chlorine: grams = litres × mg/L ÷ 1000 × grams for a gram, "
        "and the share more.",
        "steps": [["per_mg", "Takes, for a gram of chlorine", "g", 2]],
        "results": [
            ["salt_g", "Metabisulphite", "g", 1],
            ["sulphate", "Sulphate added", "mg/L", 1],
            ["chloride", "Chloride added", "mg/L", 1],
        ],
        "sources": ["chlorine-sulphite", "molar-masses"],
        "assumptions": [
            "Total chlorine counts free chlorine and chloramine; chloramine leaves its ammonia.",
            "Into much cold liquor, never near acid, which drives off sulphur dioxide. Stir, wait, read again.",
        ],
        "function": chlorine_removal,
    },
]
