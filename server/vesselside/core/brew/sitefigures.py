"""The site's own figures that a brew sheet rests on: settings, each with a default to begin with.

A setting that a procedure uses too has the same default there; a test holds the two together.
"""

from vesselside.core.ground import numbers
from vesselside.core.ground.errors import CoreError
from vesselside.core.run.authority import Administration

FIGURES = [
    ["brewhouse-efficiency", "Brewhouse efficiency, to the end of the boil", "%", "75"],
    ["boil-off-rate", "Boil-off, as cooled", "L/h", "90"],
    ["whirlpool-left", "Wort left with hops and trub", "L", "40"],
    ["mash-tun-heat", "Heat of the mash tun, as litres of water", "L", "40"],
    ["malt-slaking", "Heat of slaking", "kJ/kg", "0"],
    ["malt-moisture", "Malt moisture", "%", "4"],
    ["malt-temperature", "Malt store", "°C", "15"],
    ["mash-tun-temperature", "Mash tun before mashing in", "°C", "20"],
    ["hot-liquor-temperature", "Hot liquor", "°C", "82"],
    ["run-off-temperature", "Wort at the end of the run-off", "°C", "75"],
    ["grain-kept", "Kept by the grain, net", "L/kg", "0.90"],
    ["tun-left", "Left under the plates and in pipes", "L", "10"],
    ["hop-loss-factor", "Loss factor of late bitterness", "", "0.46"],
    ["hop-kept", "Beer kept by dry hops", "L/kg", "6"],
    ["slurry-cells", "Cells in the slurry, usually", "million/mL", "1000"],
    ["slurry-viability", "Viability, usually", "%", "95"],
    ["raw-calcium", "Calcium of the raw liquor", "mg/L", "55"],
    ["raw-magnesium", "Magnesium of the raw liquor", "mg/L", "8"],
    ["raw-sodium", "Sodium of the raw liquor", "mg/L", "18"],
    ["raw-sulphate", "Sulphate of the raw liquor", "mg/L", "48"],
    ["raw-chloride", "Chloride of the raw liquor", "mg/L", "32"],
]
"""`[setting, label, unit, default]`; the defaults are common practice, no source."""

_DEFAULTS = {row[0]: row[3] for row in FIGURES}


def figure(settings: dict, name: str) -> str | None:
    """The site's figure, or its default; None when there is no such figure."""
    given = settings.get(name)
    return given if isinstance(given, str) and given.strip() else _DEFAULTS.get(name)


def as_known(administration: Administration, seen: str) -> dict:
    """The figures the site had given by sequence `seen`, by name."""
    found = {row[0]: administration.setting(row[0], seen) for row in FIGURES}
    return {name: found[name] for name in found if found[name] is not None}


def listed(settings: dict) -> list[dict]:
    """Every figure as the site has it: `{id, label, unit, value, usual, fault}`; a fault says what is no number."""
    found = []
    for key, label, unit, usual in FIGURES:
        row = {
            "id": key,
            "label": label,
            "unit": unit,
            "value": figure(settings, key),
            "usual": usual,
            "fault": None,
        }
        try:
            row["value"] = numbers.parse(row["value"])
        except CoreError as error:
            row["fault"] = error.text
        found.append(row)
    return found
