"""What state each vessel is in, as far as this device knows, from the runs done on it.

Two clocks run after a proved clean: *clean* (site default 72 h closed) and *sanitised* (same shift, 12 h);
both defaults are common practice, no source, and settings of the site.
"""

from . import numbers
from .clock import milliseconds

STATES = (
    "soiled",
    "rinsed",
    "cleaning",
    "chemical",
    "co2",
    "pressure",
    "hot",
    "locked",
    "clean",
    "sanitised",
    "filled",
    "hold",
    "out",
)
DEFAULTS = {"clean-hours": "72", "sanitised-hours": "12"}
PROVED = ("process", "look", "residue")


def _hours(settings: dict, name: str) -> int:
    text = settings.get(name, DEFAULTS[name])
    return numbers.quantise(numbers.value(text) * 3600000.0, 0)


def _after(row: dict, held: dict) -> None:
    """Move a vessel's state on by one run, in place."""
    held["run"] = row["id"] if row["status"] == "open" else None
    held["gyle"] = row["gyle"] or held["gyle"]
    if row["status"] == "abandoned":
        held["state"], held["clean"], held["sanitised"] = row["left"], None, None
    elif row["kind"] != "cleaning":
        if row["status"] == "finished":
            held["state"] = row["leaves"] or "soiled"
            held["clean"], held["sanitised"] = None, None
    elif row["status"] == "open":
        held["state"] = "cleaning"
    else:
        at = milliseconds(row["finished"]["time"])
        proofs = row["proofs"]
        if all([proof in proofs for proof in PROVED]):
            held["clean"] = at
            held["gyle"] = None
        if "sanitised" in proofs and held["clean"] is not None:
            held["sanitised"] = at
        held["state"] = "clean" if held["clean"] is not None else "rinsed"


def _standing(held: dict, settings: dict, now: int) -> tuple[str, int | None, int | None]:
    if held["state"] != "clean":
        return (held["state"], None, None)
    proved = held["clean"] + _hours(settings, "clean-hours")
    sanitised = None if held["sanitised"] is None else held["sanitised"] + _hours(settings, "sanitised-hours")
    if now >= proved:
        return ("rinsed", proved, sanitised)
    if sanitised is not None and now < sanitised:
        return ("sanitised", proved, sanitised)
    return ("clean", proved, sanitised)


def board(vessels: list[dict], runs: list[dict], settings: dict, now: int) -> list[dict]:
    """The state of every vessel at `now` [ms], from summaries of its runs (any order).

    Returns rows `{id, name, kind, place, state, proved_until, sanitised_until, run, gyle}`; times are epoch ms or
    None. A clean past its date is shown as rinsed, not proved.
    """
    by_vessel: dict = {}
    for row in runs:
        if row["vessel"] and row["opened"]:
            by_vessel.setdefault(row["vessel"], []).append((row["opened"]["time"], row["id"], row))
    rows = []
    for vessel in vessels:
        held = {"state": "soiled", "clean": None, "sanitised": None, "run": None, "gyle": None}
        done = [(time, key) for time, key, _ in by_vessel.get(vessel["id"], [])]
        done.sort()
        found = {key: row for _, key, row in by_vessel.get(vessel["id"], [])}
        for _, key in done:
            _after(found[key], held)
        state, proved, sanitised = _standing(held, settings, now)
        line = {"state": state, "proved_until": proved, "sanitised_until": sanitised}
        line["run"], line["gyle"] = held["run"], held["gyle"]
        for name in ("id", "name", "kind", "place"):
            line[name] = vessel.get(name)
        rows.append(line)
    return rows
