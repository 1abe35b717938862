"""Where figures and formulas come from, as data that the phone shows beside a working.

`kind` is standard, law, published, maker, common-practice or from-memory (recalled, not yet read again).
"""

TYPE_CHECKING = False
if TYPE_CHECKING:
    from vesselside.core.shapes import Cited, Source

SOURCES: "dict[str, Cited]" = {
    "21-cfr-113-60": {
        "title": "21 CFR 113.60 (a), seam measurements: overlap = cover hook + body hook + end thickness "
        "- seam length",
        "kind": "law",
        "note": "Law for US low-acid foods, not for beer; the can and end makers' figures go first.",
    },
    "acid-constants": {
        "title": "Dissociation constants at 25 °C of lactic, phosphoric, hydrochloric and sulphuric acid",
        "kind": "from-memory",
    },
    "alkalinity": {
        "title": "Alkalinity as the acid that brings a sample to pH 4.5; carbonic acid pK 6.35 and 10.33 "
        "at 25 °C",
        "kind": "from-memory",
    },
    "alpha-solubility": {
        "title": "Alpha acids dissolve to about 90 mg/L in boiling wort of pH 5.2",
        "kind": "from-memory",
    },
    "asbc-cubic": {
        "title": "ASBC cubic for °Plato from specific gravity 20/20 °C, valid 1.000 to 1.083",
        "kind": "published",
    },
    "average-quantity": {
        "title": "Directive 76/211/EEC Annex I and SI 2006/659: tolerable negative errors, 5 mL to 25 L",
        "kind": "law",
    },
    "balling": {
        "title": "Balling: 2.0665 g of extract give 1 g alcohol, 0.9565 g carbon dioxide, 0.11 g yeast; "
        "real extract 0.1808 of original, 0.8192 of apparent",
        "kind": "published",
    },
    "beer-chart": {
        "title": "A beer chart's equation: g/L = 10 p exp(2617.25 / T - 10.73797), p in bar absolute",
        "kind": "from-memory",
        "note": "Pure water by IAPWS G7-04 bounds it from above.",
    },
    "caustic-density": {
        "title": "Density of sodium hydroxide in water by strength and temperature, International Critical "
        "Tables III, 79",
        "kind": "published",
        "note": "Read as quoted, from 24 to 50 % and 20 to 80 °C; weaker and colder is from memory.",
    },
    "chlorine-sulphite": {
        "title": "Chlorine and chloramine by sulphite: one of metabisulphite for two of Cl2",
        "kind": "published",
        "note": "12 % more than the moles ask for is common practice, no source.",
    },
    "congress-colour": {
        "title": "Malt colour by the laboratory mash of 50 g in 450 g, EBC",
        "kind": "from-memory",
    },
    "contact-both-in-band": {
        "title": "Contact time is credited between two readings only when both are in band",
        "kind": "common-practice",
    },
    "counting": {
        "title": "Counting chamber: volume over a square, and Poisson's spread of a count",
        "kind": "published",
    },
    "dry-hop-loss": {
        "title": "Beer kept by dry hops: about 5 L/kg of pellets, 8 L/kg of whole hops",
        "kind": "from-memory",
    },
    "duty-table": {
        "title": "UK revenue's Notice 226, 30.3: alcohol by fall of gravity, factors 0.125 to 0.135",
        "kind": "published",
        "note": "Read as quoted, the notice being withdrawn; check the authority's own table before a return.",
    },
    "duty-truncation": {
        "title": "HMRC Alcoholic Products Technical Guide, section 11: strength is rounded down to one "
        "decimal",
        "kind": "law",
    },
    "eh40": {
        "title": "EH40/2005: carbon dioxide 5 000 ppm over 8 hours, 15 000 ppm over 15 minutes",
        "kind": "law",
        "note": "United Kingdom.",
    },
    "ethanol-density": {
        "title": "OIML R 22: ethanol at 20 °C, 789.24 kg/m³",
        "kind": "standard",
    },
    "extract-definition": {
        "title": "Extract of malt as litre-degrees per kg, or per cent by weight, fine grind, as-is",
        "kind": "published",
    },
    "fermentation-heat": {
        "title": "Heat of fermentation, 587 kJ/kg of extract fermented",
        "kind": "from-memory",
    },
    "first-order": {
        "title": "First-order loss of strength",
        "kind": "published",
    },
    "fitted-loss": {
        "title": "One loss factor between kinetics and measured beers, by least squares",
        "kind": "common-practice",
    },
    "food-information": {
        "title": "Regulation (EU) 1169/2011, Annex X: date of minimum durability",
        "kind": "from-memory",
    },
    "gas-law": {
        "title": "Ideal gas less the second virial coefficient of carbon dioxide, -123.7 mL/mol at 20 °C",
        "kind": "from-memory",
    },
    "glass-expansion": {
        "title": "Cubic expansion of hydrometer glass, 25e-6 per °C",
        "kind": "from-memory",
    },
    "grain-absorption": {
        "title": "Spent grain keeps about 0.9 L of liquor for each kg of malt, net",
        "kind": "common-practice",
        "note": "A starting figure; each tun has its own.",
    },
    "heat-balance": {
        "title": "Heat balance of malt, liquor and tun; heat of dry malt 1.55 kJ/(kg K)",
        "kind": "from-memory",
    },
    "iapws-g7": {
        "title": "IAPWS G7-04, Henry's constant of gases in water",
        "kind": "standard",
    },
    "iapws-if97": {
        "title": "IAPWS Industrial Formulation 1997; a polynomial fitted to it within 0.01 kJ/kg from 0 "
        "to 100 °C",
        "kind": "standard",
    },
    "iapws-sr1": {
        "title": "IAPWS SR1-86, vapour pressure of saturated water",
        "kind": "standard",
    },
    "iapws-sr6": {
        "title": "IAPWS SR6-08, liquid water at 0.1 MPa: viscosity",
        "kind": "standard",
    },
    "kell-1975": {
        "title": "Kell, density of water, J. Chem. Eng. Data 20 (1975) 97",
        "kind": "published",
    },
    "kolbach": {
        "title": "Kolbach's residual alkalinity: alkalinity - calcium / 1.4 - magnesium / 1.7",
        "kind": "from-memory",
    },
    "laliberte": {
        "title": "Laliberté and Cooper, density and heat of aqueous solutions, J. Chem. Eng. Data 49 "
        "(2004) 1141",
        "kind": "published",
        "note": "Read through a fit: sucrose from 5 to 50 °C, caustic near 50 °C.",
    },
    "last-runnings": {
        "title": "Run-off stops at gravity 1.010 or pH 5.8, whichever comes first",
        "kind": "common-practice",
    },
    "lot-marking": {
        "title": "Directive 2011/91/EU: the lot is marked, preceded by L",
        "kind": "from-memory",
    },
    "malowicki-2005": {
        "title": "Malowicki and Shellhammer, isomerisation of hop acids, J. Agric. Food Chem. 53 (2005) 4434",
        "kind": "published",
        "note": "Measured from 90 to 130 °C in a model solution of pH 5.2; rate constants as in its "
        "abstract.",
    },
    "marking-height": {
        "title": "The Weights and Measures (Packaged Goods) Regulations 2006 and Directive 76/211/EEC Annex I, 3.1: "
        "least height of the figures of the quantity (from memory)",
        "kind": "from-memory",
    },
    "mash-buffer": {
        "title": "Malts as buffers between their own mash pH and the charge of liquor and acid",
        "kind": "from-memory",
        "note": "An estimate, with its spread; the mash is measured.",
    },
    "mass-balance": {
        "title": "Mass balance",
        "kind": "published",
    },
    "mean-range": {
        "title": "Control chart for mean and range, samples of five: 2.326 and 0.864",
        "kind": "published",
    },
    "morey-colour": {
        "title": "Morey: SRM = 1.4922 x MCU^0.6859, up to 50 SRM; EBC = 1.97 SRM",
        "kind": "published",
        "note": "A fit to others' fits; Lovibond from EBC is from memory.",
    },
    "molar-masses": {
        "title": "Standard atomic weights, IUPAC",
        "kind": "standard",
    },
    "naoh-solution": {
        "title": "Heat of solution of sodium hydroxide by moles of water at 25 °C",
        "kind": "from-memory",
    },
    "neutralisation": {
        "title": "Heat of neutralisation, 55.8 kJ/mol of hydroxide",
        "kind": "published",
    },
    "oiml-d28": {
        "title": "OIML D 28, conventional value of weighing in air: weights 8000 kg/m³, air 1.2 kg/m³",
        "kind": "standard",
    },
    "packers-rules": {
        "title": "Packers' rules: on average full, at most 1 in 40 below T1, 1 in 10 000 below T2",
        "kind": "from-memory",
    },
    "peracetic-titration": {
        "title": "Peroxide by oxidant, then peracetic acid by iodine and thiosulphate",
        "kind": "published",
    },
    "pipe-cleaning": {
        "title": "Pipes are cleaned at 1.5 m/s or more, turbulent",
        "kind": "common-practice",
    },
    "pitching": {
        "title": "Pitching by live cells for each mL and °P of the whole brew",
        "kind": "common-practice",
    },
    "reference-test": {
        "title": "Directive 76/211/EEC Annex II, 2.1 to 2.3, and SI 2006/659 Schedule 2, 2 to 4: reference test",
        "kind": "law",
    },
    "pressure-area": {
        "title": "Force = pressure x area seen straight on; standard gravity 9.80665 m/s²",
        "kind": "standard",
    },
    "rinse-band": {
        "title": "Rinse within 0.3 pH and 50 µS/cm or 10 % of today's mains",
        "kind": "common-practice",
    },
    "robust-fit": {
        "title": "Least squares with Huber's weights; Levenberg and Marquardt's steps",
        "kind": "published",
    },
    "seam-butting": {
        "title": "Body hook butting with 1.1 times the plate thicknesses",
        "kind": "from-memory",
    },
    "seam-free-space": {
        "title": "Free space = seam thickness - 3 ends - 2 bodies",
        "kind": "from-memory",
    },
    "si-minute": {
        "title": "The SI: a minute is 60 s",
        "kind": "standard",
    },
    "student": {
        "title": "Student's t, two-sided 95 %",
        "kind": "published",
    },
    "tare-tenth": {
        "title": "A mean tare may stand for all while its spread is a tenth of the tolerable negative error",
        "kind": "from-memory",
    },
    "two-end-points": {
        "title": "Warder's titration of hydroxide and carbonate with two end points",
        "kind": "published",
    },
    "uk-gallon": {
        "title": "Units of Measurement Regulations 1995: gallon 4.54609 L; barrel of 36",
        "kind": "law",
    },
    "utilisation-table": {
        "title": "Utilisation of hops by minutes boiled and gravity, losses to the beer included",
        "kind": "from-memory",
        "note": "Coppers differ by a quarter and more; fit it to your own beers.",
    },
    "wall-wetting": {
        "title": "A static ball wets an upright wall with 27 to 35 L/min for each metre around",
        "kind": "common-practice",
    },
}
"""Every source by id: `{title, kind, note?}`."""


def cited(ids: list[str]) -> "list[Source]":
    """The sources named by `ids`, in that order, each with its id."""
    rows = []
    for key in ids:
        said = SOURCES[key]
        row: Source = {"id": key, "title": said["title"], "kind": said["kind"]}
        if "note" in said:
            row["note"] = said["note"]
        rows.append(row)
    return rows
