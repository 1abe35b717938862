"""Writes `core/sheets.json`: recipes, sheets and gyles that both runtimes must work out alike.

Run it after the sheet changes on purpose: `python -m tests.vectors.make_sheets`.
"""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from tests.core import moving
from tests.core.brewing import RECIPE, run

VECTORS = Path(__file__).parent / "core" / "sheets.json"

TWO = {**RECIPE, "brews": "2"}
HALF = {"id": "half", "version": 1, "grist": [{"malt": "Pale"}], "hops": [{"use": "dry"}], "volume_l": "much"}
SETTINGS = {"brewhouse-efficiency": "71,5", "mash-tun-heat": "35"}
WRONG = {"boil-off-rate": "brisk", "tun-left": " "}
MASH = {
    "malt": "226.2", "mash-liquor": "611", "strike": "76.7", "malt-temperature": "15.0", "tun-temperature": "20.0",
    "mash-temperature": "64.8",
}  # fmt: skip
COPPER = {
    "boil-hop-1-alpha": "8.0", "copper-start": "1328", "copper-start-gravity": "1.0388", "copper-end": "1241",
    "copper-end-gravity": "1.0416",
}  # fmt: skip
MASHES = [
    {**MASH, "tun-temperature": tun, "strike": strike, "malt": malt}
    for tun, strike, malt in (("20.0", "77.5", "226"), ("60.0", "74.6", "226"), ("40.0", "75.6", "190"))
]


def gyles() -> Iterator[dict[str, Any]]:
    """A gyle stage by stage, one of two brews, and one without a recipe."""
    cast = run("f", 700, {"brew-volume": "1188", "brew-gravity": "1.0418"})
    checks = [
        run(f"d{day}", 700 + 1440 * day, {"gravity-now": sg, "temperature-now": "19.2"})
        for day, sg in enumerate(["1.0360", "1.0170", "1.0104"], 1)
    ]
    runs = [run("m", 0, MASH), run("c", 300, COPPER), cast, *checks]
    for many in range(len(runs) + 1):
        yield {"recipe": RECIPE, "settings": SETTINGS, "runs": runs[:many], "mashes": []}
    second = run(
        "s", 1500, {"brew-gravity": "1.0426", "collected": "2390", "whirlpool-hop-1": ["0.9", "0.96"]}
    )
    yield {"recipe": TWO, "settings": {}, "runs": [*runs[:3], run("n", 900, MASH), second], "mashes": MASHES}
    yield {"recipe": None, "runs": runs}
    yield {"recipe": {"id": "old", "name": "Old card"}, "runs": runs, "mashes": MASHES[:2]}


def moves() -> Iterator[dict[str, Any]]:
    """A gyle from cast to package, in parts, blended into another, and dumped."""
    copper = moving.COPPER
    copper["run"] |= {"vessel": "copper", "gyle": "g1"}
    part = moving.transfer("one", 190, end__empty="part", end__volume="600")
    given = {"why__from": "G1", "move__moved": "55", "move__empty": "part", "move__left": "475"}
    blend = moving.run("b", 230, "blend-and-rework", "bbt1", "move", "g2", **given)
    dump = {"decide__decision": "dump", "effluent__let_go": "1150"}
    dumped = moving.run("d", 50, "brew-dumped", "fv1", "effluent", **dump)
    days = [
        ([], []), ([copper], []), ([copper, moving.cast(gravity__volume="1250")], []),
        ([copper, moving.cast(), dumped], []),
        ([copper, moving.cast(), moving.transfer(), moving.canned()], []),
        ([copper, moving.cast(), part, moving.transfer(end__volume="530")], [blend]),
    ]  # fmt: skip
    for runs, elsewhere in days:
        place = {"gyle": "g1", "vessels": moving.VESSELS, "elsewhere": elsewhere}
        yield {"recipe": RECIPE, "settings": {}, "runs": runs, "place": place}


def sessions() -> list[dict[str, Any]]:
    """All of them."""
    sheets = [
        {"name": "brew-sheet", "args": {"recipe": recipe, "settings": settings}}
        for recipe in (RECIPE, TWO, HALF, {}, [], {**RECIPE, "ratio_l_kg": "1.5", "grist": []})
        for settings in ({}, SETTINGS)
    ]
    return [
        {
            "name": "the form and the site",
            "calls": [
                {"name": "recipe-form", "args": {}},
                *[{"name": "site-figures", "args": {"settings": given}} for given in ({}, SETTINGS, WRONG)],
            ],
        },
        {"name": "brew sheets", "calls": sheets},
        {"name": "gyles", "calls": [{"name": "gyle", "args": given} for given in gyles()]},
        {"name": "moves", "calls": [{"name": "gyle", "args": given} for given in moves()]},
    ]


if __name__ == "__main__":
    VECTORS.write_text(json.dumps(sessions(), indent=1, sort_keys=True) + "\n", encoding="utf-8")
