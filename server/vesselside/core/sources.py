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
        "title": "21 CFR 113.60 (a), seam measurements: overlap = cover hook + body hook + end thickness - seam length",
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
