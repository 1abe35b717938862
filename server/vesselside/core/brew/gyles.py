"""One gyle from its sheet and its runs: planned against actual, what that says, and how it ferments."""

from vesselside.core.ground.clock import milliseconds
from vesselside.core.ground.errors import CoreError
from vesselside.core.ground.numbers import text
from vesselside.core.sums import calculations

from . import gylesums, recipes
from .brewsheet import brew_sheet
from .chart import chart
from .gylereadings import actuals, minus, readings, rows
from .moves import moves

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from vesselside.core.shapes import ByBrew, GylePlace, GyleReading, GyleView, OpenedRun, Point, Working

HOUR_MS = 3_600_000.0


def _with_totals(held: "ByBrew", brews: int) -> "ByBrew":
    """Volume and gravity of the whole gyle, by the sum for brews in one vessel, and what the beer reads now."""
    found = dict(held)
    total = held.get(("collected", 1))
    last = ("brew-volume", brews)
    if brews > 1 and total is not None and last not in held and ("brew-volume", 1) in held:
        # the vessel is read in all once both brews are in: the second is what was added
        row = total.copy()
        row["value"] = minus(total["value"], held[("brew-volume", 1)]["value"])
        found[last] = row
    parts = []
    for brew in range(1, brews + 1):
        volume, gravity = found.get(("brew-volume", brew)), found.get(("brew-gravity", brew))
        if volume is None or gravity is None:
            return found
        parts.append((volume, gravity))
    try:
        given = [[volume["value"], gravity["value"]] for volume, gravity in parts]
        working = calculations.work("blend-brews", {"brews": given})
    except CoreError:
        # readings that are no volume and gravity stand in their own rows
        return found
    of = {row["id"]: row["value"] for row in working["results"]}
    for measure, result in (
        ("original-gravity", "sg"),
        ("original-plato", "plato"),
        ("collected", "volume_l"),
    ):
        if (measure, 1) not in held:
            row = parts[-1][1].copy()
            row["value"] = of[result]
            found[(measure, 1)] = row
    return found


def _now(found: "list[GyleReading]", held: "ByBrew") -> "ByBrew":
    """The gravity of the beer as last read, as measure `beer-gravity`."""
    final = held.get(("final-gravity", 1))
    read = [row for row in found if row["measure"] == "gravity-now"]
    if final is None and read:
        final = read[sorted([(row["time"], row["run"], at) for at, row in enumerate(read)])[-1][2]]
    return {} if final is None else {("beer-gravity", 1): final}


def _curve(found: "list[GyleReading]", held: "ByBrew") -> "list[Point]":
    """Points of the fermentation by time: `{time, hours, gravity, temperature, run}`, hours from the first gravity."""
    begun = held.get(("original-gravity", 1))
    points: dict[str, Point] = {}
    if begun is not None:
        points[begun["run"]] = {
            "time": begun["time"], "hours": "", "gravity": begun["value"], "temperature": None, "run": begun["run"],
        }  # fmt: skip
    for reading in found:
        if reading["measure"] not in ("gravity-now", "temperature-now"):
            continue
        point = points.setdefault(
            reading["run"],
            {
                "time": reading["time"],
                "hours": "",
                "gravity": None,
                "temperature": None,
                "run": reading["run"],
            },
        )
        if reading["measure"] == "gravity-now":
            point["gravity"] = reading["value"]
        else:
            point["temperature"] = reading["value"]
    order = sorted([(points[key]["time"], key) for key in points])
    curve: list[Point] = []
    for time, key in order:
        point = points[key]
        first = curve[0]["time"] if curve else time
        point["hours"] = text((milliseconds(time) - milliseconds(first)) / HOUR_MS, 1)
        curve.append(point)
    return curve


def _forecast(curve: "list[Point]", held: "ByBrew", recipe: "dict[str, Any]") -> "Working | None":
    """The working of the terminal gravity, when there are readings enough for one."""
    begun = held.get(("original-gravity", 1))
    series: list[list[str]] = []
    for point in curve:
        if point["gravity"] is not None and (not series or series[-1][0] != point["hours"]):
            series.append([point["hours"], point["gravity"]])
    if begun is None:
        return None
    given: dict[str, object] = {"original_sg": begun["value"], "readings": series}
    if "attenuation_pct" in recipe:
        given["expected_pct"] = recipe["attenuation_pct"]
    try:
        return calculations.work("terminal-gravity", given)
    except CoreError:
        # too few readings, or the gravity has not begun to fall
        return None


def gyle(
    recipe: "dict[str, Any] | None",
    settings: dict[str, str],
    runs: "list[OpenedRun]",
    mashes: list[dict[str, str]],
    before: "list[Point] | None" = None,
    place: "GylePlace | None" = None,
) -> "GyleView":
    """A gyle's page from its recipe version, the site's settings when it was begun, and its runs as they were opened.

    `runs` are `[{run: view, procedure}]`; `mashes` are past mashes in the same tun, `[{measure: text}]`; `before` is
    the curve of the last brew, to be drawn beside this one; `place` is `{gyle, vessels, elsewhere}`, its number, the
    site's vessels and the runs that drew it into another gyle. The sheet is None without a whole
    recipe, and then the readings stand alone. Never raises on stored runs.
    """
    sheet = None
    shaped: dict[str, Any] = {}
    if recipe is not None and recipes.whole(recipe):
        shaped, _ = recipes.read(recipe)
        sheet = brew_sheet(recipe, settings)
    brews = int(shaped.get("brews", "1"))
    found = readings(runs, brews)
    held = _with_totals(actuals(found), brews)
    held.update(_now(found, held))
    lines = sheet["lines"] if sheet else []
    asked = gylesums.Gyle(lines, shaped, settings, held)
    curve = _curve(found, held)
    forecast = _forecast(curve, held, shaped)
    return {
        "sheet": sheet,
        "brews": brews,
        "rows": rows(lines, held, brews),
        "readings": found,
        "results": gylesums.results(asked, brews),
        "corrections": gylesums.corrections(asked, brews),
        "tun": gylesums.tun(mashes, settings),
        "curve": curve,
        "forecast": forecast,
        "chart": chart(curve, before or [], forecast, asked.planned.get("final-gravity")),
        "moves": moves(place["gyle"], runs, place["elsewhere"], place["vessels"], held) if place else None,
    }


def mash_of(runs: "list[OpenedRun]") -> dict[str, str]:
    """What one mash read, by measure, for the tun's constants."""
    return {key[0]: row["value"] for key, row in actuals(readings(runs, 1)).items()}
