"""Runs of the shipped procedures that move beer, as the fold gives them, for tests of a gyle's moves."""

from typing import Any

from tests.core.brewing import run as measured
from vesselside.library import load

PROCEDURES = {row["id"]: row for row in load().procedures}
VESSELS = [
    {"id": key, "name": name, "kind": kind, "place": "Plant"}
    for key, name, kind in (
        ("wp", "Whirlpool", "whirlpool"), ("fv1", "FV 1", "fermenter"), ("fv2", "FV 2", "fermenter"),
        ("bbt1", "BBT 1", "bright"), ("line", "Canning line", "canning-line"), ("keg", "Keg filler", "keg-line"),
    )
]  # fmt: skip
COPPER = measured("copper", 0, {"copper-end": "1240"})


def run(
    name: str, hour: int, procedure: str, vessel: str, step: str, gyle: str = "g1", **read: str
) -> dict[str, Any]:
    """A run of a shipped procedure as the fold gives it, its drawing step done, each `step__field` read as said."""
    time = f"2026-11-{1 + hour // 24:02d}T{hour % 24:02d}:00:00.000Z"
    steps: dict[str, Any] = {
        row["id"]: {"status": "open", "done": None, "entries": {}} for row in PROCEDURES[procedure]["steps"]
    }
    steps[step].update(status="done", done={"event": f"{name}-done", "person": "bay", "time": time})
    units = {
        (row["id"], entry["id"]): entry.get("unit", "")
        for row in PROCEDURES[procedure]["steps"] for entry in row.get("entries", [])
    }  # fmt: skip
    for place, value in read.items():
        at, _, field = place.replace("_", "-").partition("--")
        made = {"value": value, "time": time, "person": "bay", "state": "live", "unit": units[(at, field)]}
        steps[at]["entries"][field] = {"status": "live", "all": [made]}
    view = {"id": name, "status": "finished", "vessel": vessel, "gyle": gyle, "steps": steps}
    draws = [
        {"id": row["id"], "draws": row["draws"]} for row in PROCEDURES[procedure]["steps"] if "draws" in row
    ]
    return {"run": view, "procedure": {"id": procedure, "steps": draws}}


def cast(name: str = "cast", hour: int = 1, vessel: str = "fv1", **read: str) -> dict[str, Any]:
    return run(name, hour, "cast-and-pitch", vessel, "stop", **{"gravity__volume": "1190", **read})


def transfer(name: str = "move", hour: int = 200, **read: str) -> dict[str, Any]:
    given = {"end__volume": "1130", "end__empty": "empty", **read}
    return run(name, hour, "transfer-to-bright", "bbt1", "end", **given)


def canned(hour: int = 240, **read: str) -> dict[str, Any]:
    given = {"account__packed": "1095", "tank__left": "0", "tank__empty": "empty", **read}
    return run("can", hour, "canning-shut-down", "line", "tank", **given)
