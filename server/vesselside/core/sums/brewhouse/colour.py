"""Colour of wort and beer, estimated from the colour of the malts."""

from vesselside.core.sums.inputs import number, series

LB_KG = 2.204623
GALLON_US_L = 3.785412
EBC_SRM = 1.97
# malt in a litre of the wort of a laboratory mash: 50 g to 450 g in all, drawn off at 8.6 °P
_LABORATORY_KG_L = 0.117


def beer_colour(*, grist: list, volume_l: float, efficiency_pct: float) -> dict:
    """Colour [EBC and SRM] of `volume_l` wort at 20 °C from a grist of [kg, malt colour in EBC].

    Formula (Morey): SRM = 1.4922 x MCU^0.6859, MCU = lb x °Lovibond / US gallon, °Lovibond = (EBC + 1.2) / 2.65, EBC =
    1.97 SRM; beside it malt colour by the laboratory mash, each kg at its strength and no boil. A model, always marked;
    above 50 SRM it was not fitted. Range 0.01 to 5000 [kg], 0 to 2000 [EBC], 1 to 50000 [L], 30 to 100 [%]. Sources:
    morey-colour, congress-colour. Example: 100 kg of 4 and 5 kg of 150 EBC in 500 L is 12.2 EBC.
    """
    mcu, lab = 0.0, 0.0
    for kg, ebc in grist:
        mcu += kg * LB_KG * (ebc + 1.2) / 2.65
        lab += kg * ebc
    mcu = mcu * GALLON_US_L / volume_l
    srm = 1.4922 * mcu**0.6859
    marks = ["A model: beers miss it by a fifth and more. Read the colour of the beer."]
    if srm > 50.0:
        marks.append("Darker than the model was fitted to.")
    return {
        "ebc": srm * EBC_SRM,
        "srm": srm,
        "mcu": mcu,
        "lab_ebc": lab / volume_l / _LABORATORY_KG_L * efficiency_pct / 100.0,
        "marks": marks,
    }


ROWS = [
    {
        "name": "beer-colour",
        "title": "Colour of wort and beer",
        "place": "brewhouse",
        "inputs": [
            series(
                "grist",
                "Grist",
                [
                    number("kg", "Malt", "kg", "0.01", "5000", 1),
                    number("ebc", "Its colour", "EBC", "0", "2000", 1),
                ],
                rows=1,
                most=12,
            ),
            number("volume_l", "Cooled wort", "L", "1", "50000", 0),
            number("efficiency_pct", "Brewhouse efficiency", "%", "30", "100", 0, "80"),
        ],
        "formula": "SRM = 1.4922 × MCU^0.6859; EBC = 1.97 × SRM. By the laboratory mash: kg × EBC ÷ litres ÷ 0.117 × "
        "efficiency.",
        "steps": [["mcu", "Malt colour units", "", 1], ["srm", "SRM", "", 1]],
        "results": [
            ["ebc", "Colour", "EBC", 0],
            ["lab_ebc", "By the laboratory mash, unboiled", "EBC", 0],
        ],
        "sources": ["morey-colour", "congress-colour"],
        "assumptions": [
            "Malt colour is on the maltster's sheet.",
            "Boiling and air darken it; beer is paler than its wort.",
        ],
        "function": beer_colour,
    },
]
