"""What a gyle's readings say: efficiency, losses, the plant's own constants, and what to correct next.

The rows say which sum is asked and where it takes its figures from; the sums are those of the registry.
"""

from vesselside.core.ground import numbers
from vesselside.core.ground.errors import CoreError
from vesselside.core.sums import calculations

from . import sitefigures
from .gylereadings import minus

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from vesselside.core.shapes import (
        ByBrew,
        Correction,
        Figure,
        GyleResult,
        SheetLine,
        SiteSetting,
        TunFit,
        Working,
    )


def _actual(measure: str) -> dict:
    return {"actual": measure}


def _planned(line: str) -> dict:
    return {"planned": line}


_GRIST = {"rows": [[_actual("malt"), {"mean": "extract"}]]}
_BOIL_OFF = {
    "start_l": _actual("copper-start"), "end_l": _actual("copper-end"), "minutes": {"recipe": "boil_min"},
    "start_sg": _actual("copper-start-gravity"),
}  # fmt: skip
_CAST = {"into_l": _actual("copper-end"), "out_l": _actual("brew-volume")}
_MOVED = {"into_l": _actual("collected"), "out_l": _actual("bright-volume")}

# id, stage, label, calculation, result, inputs, the site's setting it could become
RESULTS: list = [
    [
        "efficiency", "copper", "Brewhouse efficiency", "brewhouse-efficiency", "efficiency_pct",
        {"grist": _GRIST, "volume_l": _actual("copper-end"), "sg": _actual("copper-end-gravity")},
        "brewhouse-efficiency",
    ],
    ["boil-off", "copper", "Boil-off", "boil-off", "rate_l_h", _BOIL_OFF, "boil-off-rate"],
    ["cast-loss", "fermenter", "Left in copper and whirlpool", "stage-loss", "lost_l", _CAST, "whirlpool-left"],
    ["cast-loss-share", "fermenter", "Of the copper", "stage-loss", "lost_pct", _CAST, None],
    ["cellar-loss", "beer", "Fermenter to bright tank", "stage-loss", "lost_pct", _MOVED, None],
    [
        "attenuation", "beer", "Apparent attenuation", "attenuation", "apparent_pct",
        {"original_sg": _actual("original-gravity"), "present_sg": _actual("beer-gravity")}, None,
    ],
    [
        "alcohol", "beer", "Alcohol", "attenuation", "abv",
        {"original_sg": _actual("original-gravity"), "present_sg": _actual("beer-gravity")}, None,
    ],
]  # fmt: skip

_MASH = {
    "malt_kg": _actual("malt"), "liquor_l": _actual("mash-liquor"), "mash_temp_c": _actual("mash-temperature"),
    "target_temp_c": _planned("mash-temperature"), "added_temp_c": {"site": "hot-liquor-temperature"},
    "moisture_pct": {"site": "malt-moisture"},
}  # fmt: skip
_HOPS = {
    "target_ibu": _planned("boil-hop-1-bitterness"), "alpha_pct": _actual("boil-hop-1-alpha"),
    "minutes": _planned("boil-hop-1-minutes"), "volume_l": _planned("copper-end"), "sg": _planned("boil-gravity"),
}  # fmt: skip
_COPPER_UP = {
    "volume_l": _actual("copper-start"), "sg": _actual("copper-start-gravity"), "boil_min": {"recipe": "boil_min"},
    "rate_l_h": {"site": "boil-off-rate"}, "target_l": _planned("copper-end"),
    "target_sg": _planned("copper-end-gravity"),
}  # fmt: skip
_END = {
    "volume_l": _actual("copper-end"), "sg": _actual("copper-end-gravity"),
    "target_sg": _planned("copper-end-gravity"), "rate_l_h": {"site": "boil-off-rate"},
}  # fmt: skip
_NEXT_MALT = {
    "grist": {"rows": [["100", {"mean": "extract"}]]}, "efficiency_pct": {"result": "efficiency"},
    "volume_l": _planned("copper-end"), "sg": _planned("copper-end-gravity"),
}  # fmt: skip

# id, stage, label, calculation, inputs, measure that ends it, [actual, planned, by more than] it waits for
CORRECTIONS: list = [
    [
        "mash", "mash", "Bring the mash to its temperature", "mash-correction", _MASH, "run-off-volume",
        ["mash-temperature", "0.5"],
    ],
    ["hops", "copper", "First hops by this lot's alpha acids", "hop-addition", _HOPS, "boil-hop-1", None],
    ["copper-up", "copper", "At copper-up", "copper-up", _COPPER_UP, "copper-end", None],
    ["end-of-boil", "copper", "At the end of the boil", "end-of-boil", _END, "brew-volume", None],
    ["next-malt", "mash", "Malt for the next brew, at this efficiency", "grist-for-gravity", _NEXT_MALT, None, None],
]  # fmt: skip

_TUN = ("malt", "mash-liquor", "strike", "malt-temperature", "tun-temperature", "mash-temperature")
"""What a mash must have read for the tun's constants, in the order the fit takes them."""


class Gyle:
    """A sheet, its recipe, the site's figures and what was read, asked by sums."""

    def __init__(
        self, lines: "list[SheetLine]", recipe: "dict[str, Any]", settings: dict[str, str], held: "ByBrew"
    ) -> None:
        self.planned = {line["id"]: line["value"] for line in lines}
        self.workings = {line["id"]: line["working"] for line in lines}
        self.recipe = recipe
        self.settings = settings
        self.held = held
        self.results: dict[tuple[str, int], str] = {}

    def read(self, measure: str, brew: int) -> str | None:
        """What was read, or None."""
        row = self.held.get((measure, brew))
        return None if row is None else row["value"]

    def work(self, name: str, inputs: dict, brew: int) -> "Working | None":
        """The working of a sum for one brew; None while something is not known or does not fit."""
        try:
            given = {key: self._figure(inputs[key], brew) for key in inputs}
            return calculations.work(name, given)
        except CoreError:
            # a sum that cannot be worked from these readings is not shown; the readings are
            return None

    def _figure(self, source: object, brew: int) -> object:
        if isinstance(source, str):
            return source
        if not isinstance(source, dict):
            raise CoreError("waits", "Not known yet.")
        if "rows" in source:
            return [[self._figure(cell, brew) for cell in row] for row in source["rows"]]
        text = None
        if "actual" in source:
            text = self.read(source["actual"], brew)
        elif "planned" in source:
            text = self.planned.get(source["planned"])
        elif "recipe" in source:
            text = self.recipe.get(source["recipe"])
        elif "site" in source:
            text = sitefigures.figure(self.settings, source["site"])
        elif "result" in source:
            text = self.results.get((source["result"], brew))
        elif "mean" in source:
            text = self._step("malt", "mean_pct")
        if text is None:
            raise CoreError("waits", "Not known yet.")
        return text

    def _step(self, line: str, step: str) -> str | None:
        working = self.workings.get(line)
        for row in working["steps"] if working else []:
            if row["id"] == step:
                return row["value"]
        return None


def _value(working: "Working", wanted: str) -> "Figure":
    for row in working["results"]:
        if row["id"] == wanted:
            return row
    raise CoreError("bad-sheet", "The sum has no result called " + wanted)


def results(gyle: Gyle, brews: int) -> "list[GyleResult]":
    """Efficiency, losses and attenuation.

    `site` is `{setting, value}`, the figure the sheet rested on, where there is one.
    """
    found: list[GyleResult] = []
    for key, stage, label, name, wanted, inputs, setting in RESULTS:
        for brew in range(1, brews + 1):
            working = gyle.work(name, inputs, brew)
            if working is None:
                continue
            line = _value(working, wanted)
            gyle.results[(key, brew)] = line["value"]
            found.append(
                {
                    "id": key, "stage": stage, "label": label, "brew": brew, "value": line["value"],
                    "unit": line["unit"], "working": working,
                    "site": _site(gyle.settings, setting) if setting else None,
                }
            )  # fmt: skip
    return found


def _site(settings: dict[str, str], setting: str) -> "SiteSetting":
    return {"setting": setting, "value": sitefigures.figure(settings, setting) or ""}


def _missed(gyle: Gyle, measure: str, brew: int, allowed: str) -> bool:
    read, planned = gyle.read(measure, brew), gyle.planned.get(measure)
    if read is None or planned is None:
        return False
    off = minus(read, planned)
    return numbers.compare(off[1:] if off[:1] == "-" else off, allowed) > 0


def corrections(gyle: Gyle, brews: int) -> "list[Correction]":
    """What to do at the next stage, `[{id, stage, label, brew, working}]`; gone once the next stage has been read."""
    found: list[Correction] = []
    for key, stage, label, name, inputs, ends, missed in CORRECTIONS:
        for brew in range(1, brews + 1):
            if ends is not None and gyle.read(ends, brew) is not None:
                continue
            if missed is not None and not _missed(gyle, missed[0], brew, missed[1]):
                continue
            working = gyle.work(name, inputs, brew)
            if working is not None:
                found.append({"id": key, "stage": stage, "label": label, "brew": brew, "working": working})
    return found


def tun(mashes: list[dict[str, str]], settings: dict[str, str]) -> "TunFit | None":
    """The tun's constants from past mashes `[{measure: text}]`, `{working, site: [{setting, value}]}`.

    None while fewer than three mashes were read whole, or they are too alike to tell the constants apart.
    """
    brews = []
    for mash in mashes:
        row = [mash.get(measure) for measure in _TUN]
        if None not in row:
            brews.append(row)
    given = {"brews": brews, "moisture_pct": sitefigures.figure(settings, "malt-moisture")}
    try:
        working = calculations.work("tun-fit", given)
    except CoreError:
        # too few or too alike: there is no fit to show
        return None
    names = ("mash-tun-heat", "malt-slaking")
    return {"working": working, "site": [_site(settings, name) for name in names]}
