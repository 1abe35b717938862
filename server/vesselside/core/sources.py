"""Where figures and formulas come from, as data that the phone shows beside a working.

`kind` is standard, law, published, maker, common-practice or from-memory (recalled, not yet read again).
"""

SOURCES = {
    "asbc-cubic": {
        "title": "ASBC cubic for °Plato from specific gravity 20/20 °C, valid 1.000 to 1.083",
        "kind": "published",
    },
    "kell-1975": {
        "title": "Kell, density of water, J. Chem. Eng. Data 20 (1975) 97",
        "kind": "published",
    },
    "iapws-if97": {
        "title": "IAPWS Industrial Formulation 1997; a polynomial fitted to it within 0.01 kJ/kg from 0 to 100 °C",
        "kind": "standard",
    },
    "glass-expansion": {
        "title": "Cubic expansion of hydrometer glass, 25e-6 per °C",
        "kind": "from-memory",
    },
    "heat-balance": {
        "title": "Heat balance of malt, liquor and tun; heat of dry malt 1.55 kJ/(kg K)",
        "kind": "from-memory",
    },
    "two-end-points": {
        "title": "Warder's titration of hydroxide and carbonate with two end points",
        "kind": "published",
    },
    "molar-masses": {
        "title": "Standard atomic weights, IUPAC",
        "kind": "standard",
    },
    "mass-balance": {"title": "Mass balance", "kind": "published"},
    "rinse-band": {
        "title": "Rinse within 0.3 pH and 50 µS/cm or 10 % of today's mains",
        "kind": "common-practice",
    },
    "contact-both-in-band": {
        "title": "Contact time is credited between two readings only when both are in band",
        "kind": "common-practice",
    },
    "21-cfr-113-60": {
        "title": "21 CFR 113.60 (a), seam measurements: overlap = cover hook + body hook + end thickness - "
        "seam length",
        "kind": "law",
        "note": "Law for US low-acid foods, not for beer; the can and end makers' figures go first.",
    },
    "seam-butting": {
        "title": "Body hook butting with 1.1 times the plate thicknesses",
        "kind": "from-memory",
    },
    "oiml-d28": {
        "title": "OIML D 28, conventional value of weighing in air: weights 8000 kg/m³, air 1.2 kg/m³",
        "kind": "standard",
    },
    "average-quantity": {
        "title": "Directive 76/211/EEC Annex I and SI 2006/659: tolerable negative errors, 5 mL to 25 L",
        "kind": "law",
    },
    "laliberte": {
        "title": "Laliberté and Cooper, density of aqueous solutions, J. Chem. Eng. Data 49 (2004) 1141; "
        "a polynomial fitted to sucrose from 5 to 50 °C",
        "kind": "published",
    },
    "kolbach": {
        "title": "Kolbach's residual alkalinity: alkalinity - calcium / 1.4 - magnesium / 1.7",
        "kind": "from-memory",
    },
    "alkalinity": {
        "title": "Alkalinity as the acid that brings a sample to pH 4.5; carbonic acid pK 6.35 and 10.33 at 25 °C",
        "kind": "from-memory",
    },
    "acid-constants": {
        "title": "Dissociation constants at 25 °C of lactic, phosphoric, hydrochloric and sulphuric acid",
        "kind": "from-memory",
    },
    "mash-buffer": {
        "title": "Malts as buffers between their own mash pH and the charge of liquor and acid",
        "kind": "from-memory",
        "note": "An estimate, with its spread; the mash is measured.",
    },
    "grain-absorption": {
        "title": "Spent grain keeps about 0.9 L of liquor for each kg of malt, net",
        "kind": "common-practice",
        "note": "A starting figure; each tun has its own.",
    },
    "last-runnings": {
        "title": "Run-off stops at gravity 1.010 or pH 5.8, whichever comes first",
        "kind": "common-practice",
    },
    "extract-definition": {
        "title": "Extract of malt as litre-degrees per kg, or per cent by weight, fine grind, as-is",
        "kind": "published",
    },
    "utilisation-table": {
        "title": "Utilisation of hops by minutes boiled and gravity, losses to the beer included",
        "kind": "from-memory",
        "note": "Coppers differ by a quarter and more; fit it to your own beers.",
    },
    "malowicki-2005": {
        "title": "Malowicki and Shellhammer, isomerisation of hop acids, J. Agric. Food Chem. 53 (2005) 4434",
        "kind": "published",
        "note": "Measured from 90 to 130 °C in a model solution of pH 5.2; rate constants as in its abstract.",
    },
    "fitted-loss": {
        "title": "One loss factor between kinetics and measured beers, by least squares",
        "kind": "common-practice",
    },
    "dry-hop-loss": {
        "title": "Beer kept by dry hops: about 5 L/kg of pellets, 8 L/kg of whole hops",
        "kind": "from-memory",
    },
    "counting": {
        "title": "Counting chamber: volume over a square, and Poisson's spread of a count",
        "kind": "published",
    },
    "pitching": {
        "title": "Pitching by live cells for each mL and °P of the whole brew",
        "kind": "common-practice",
    },
    "iapws-sr6": {
        "title": "IAPWS SR6-08, liquid water at 0.1 MPa: viscosity",
        "kind": "standard",
    },
    "iapws-sr1": {
        "title": "IAPWS SR1-86, vapour pressure of saturated water",
        "kind": "standard",
    },
    "iapws-g7": {
        "title": "IAPWS G7-04, Henry's constant of gases in water",
        "kind": "standard",
    },
}
"""Every source by id: `{title, kind, note?}`."""


def cited(ids: list[str]) -> list[dict]:
    """The sources named by `ids`, in that order, each with its id."""
    rows = []
    for key in ids:
        row = {"id": key}
        row.update(SOURCES[key])
        rows.append(row)
    return rows
