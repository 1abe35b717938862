"""What an entry of a procedure can be the measure of: a line of the brew sheet, or a figure only a run gives.

A procedure's entry says `measures: <id>`; nothing else ties the sheet to the procedures.
"""

MEASURED = [
    ["malt-temperature", "mash", "Malt temperature", "°C"],
    ["tun-temperature", "mash", "Mash tun before mashing in", "°C"],
    ["mash-ph", "mash", "Mash pH", "pH"],
    ["first-wort-gravity", "run-off", "First wort", ""],
    ["gravity-now", "beer", "Gravity", ""],
    ["temperature-now", "beer", "Temperature", "°C"],
    ["ph-now", "beer", "Beer pH", "pH"],
    ["bright-volume", "beer", "Moved to the bright tank", "L"],
]
"""`[measure, stage, label, unit]` of what no sheet plans."""

_UNITS = {
    "liquor": "L", "gypsum": "g", "calcium-chloride": "g", "epsom-salt": "g", "common-salt": "g", "malt": "kg",
    "mash-liquor": "L", "strike": "°C", "mash-temperature": "°C", "first-runnings": "L", "sparge": "L",
    "copper-hot": "L", "run-off-volume": "L", "run-off-gravity": "", "copper-start": "L",
    "copper-start-gravity": "", "boil-gravity": "", "boil-time": "min", "copper-end": "L",
    "copper-end-gravity": "", "boil-bitterness": "IBU", "stand-temperature": "°C", "stand-time": "min",
    "late-bitterness": "IBU", "brew-volume": "L", "brew-gravity": "", "collected": "L", "original-gravity": "",
    "original-plato": "°P", "pitch": "kg", "pitch-volume": "L", "pitch-temperature": "°C",
    "ferment-temperature": "°C", "final-gravity": "", "alcohol": "%", "duty-strength": "% ABV",
    "bitterness": "IBU",
}  # fmt: skip
_FAMILIES = {
    "grist": {"": "kg"},
    "boil-hop": {"": "kg", "-alpha": "%", "-bitterness": "IBU", "-minutes": "min"},
    "whirlpool-hop": {"": "kg"},
    "dry-hop": {"": "kg"},
}
"""Lines of which a sheet has as many as its recipe has rows: `grist-1`, `boil-hop-2-alpha`."""


def _of_family(measure: str) -> str | None:
    for name in _FAMILIES:
        start = name + "-"
        if measure[: len(start)] != start:
            continue
        rest = measure[len(start) :]
        digits = 0
        while digits < len(rest) and rest[digits] in "0123456789":
            digits += 1
        if digits:
            return _FAMILIES[name].get(rest[digits:])
    return None


def unit(measure: str) -> str | None:
    """The unit a measure is read in, empty when it has none; None when there is no such measure."""
    for row in MEASURED:
        if row[0] == measure:
            return row[3]
    if measure in _UNITS:
        return _UNITS[measure]
    return _of_family(measure)


def names() -> list[str]:
    """Every measure, a family by its first."""
    found = [row[0] for row in MEASURED] + list(_UNITS)
    for name in _FAMILIES:
        for rest in _FAMILIES[name]:
            found.append(name + "-1" + rest)
    return sorted(found)
