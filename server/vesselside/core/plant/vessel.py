"""The life of one vessel: the happenings of all runs on it, in order of (hlc, id), become its state.

Two clocks run after a proved clean: *clean* and *sanitised*. A fill is judged against what stood before it, by the
site's hours as the filling run knew them; what was not proved, and no override covers, is *trouble*: a finding and
a deviation that stays open until a duty brewer answers it. Order of arrival changes nothing.
"""

from vesselside.core.ground import numbers
from vesselside.core.run.findings import TROUBLES

from .draws import gyle_of

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    from vesselside.core.shapes import (
        Happening,
        Held,
        Interlock,
        Lasting,
        Line,
        Proof,
        Trouble,
        TroubleCode,
        VesselState,
        What,
    )

COLD = ("fermenter", "bright", "yeast-vessel")
LINES = ("cask-line", "keg-line", "canning-line")
NOT_NOW: "tuple[VesselState, ...]" = ("locked", "out", "hot", "pressure")

PROVED: "tuple[Proof, ...]" = ("process", "look", "residue")
"""The proofs that make a clean proved."""

UNFIT = {
    "cleaning": "It is being cleaned.",
    "chemical": "It contains chemical.",
    "locked": "It is locked off.",
    "out": "It is out of use.",
    "hold": "It is on hold.",
    "hot": "It is hot.",
    "pressure": "It is under pressure.",
    "filled": "It is filled already.",
    "not-clean": "No proved clean since it was last soiled is known here.",
    "clean-lapsed": "Its clean is out of date.",
    "not-sanitised": "It was not sanitised after that clean, or was opened since.",
    "sanitised-lapsed": "Its sanitising is out of date.",
    "empty": "Nothing held here says that there is beer in it to add to.",
}


def _blank(whole: int | None) -> "Held":
    return {
        "state": "soiled",
        "known": False,
        "whole": whole,
        "cleaning": {},
        "busy": {},
        "chemical": {},
        "gone": {},
        "trouble": [],
        "clean": None,
        "sanitised": None,
        "clean_by": None,
        "sanitised_by": None,
        "opened": None,
        "disturbed": None,
        "filled": None,
        "gyle": None,
        "since": None,
        "ready": None,
        "good": None,
    }


def on_hold(held: "Held") -> bool:
    """Whether what is in the vessel waits for an answer: its fill was not proved, or what proved it was rejected."""
    filled = held["filled"]
    if filled is None:
        return False
    for told in held["trouble"]:
        unproved = told["code"] == "filled-unproved" and told["event"] == filled["event"]
        rejected = told["code"] == "review-rejected" and told["run"] in filled["proved"]
        if (unproved or rejected) and told["answered"] is None:
            return True
    return False


def unfit(
    held: "Held", *, interlock: str, lasting: "Lasting", now: int, run: str, kind: str | None
) -> list[str]:
    """Why a vessel may not be filled (or, for interlock `add`, added to) at `now` [ms]: codes of UNFIT, none if it may.

    `lasting` is `{clean, sanitised}` [ms]; `run` the run that asks: what it has begun to fill itself it may go on with.
    """
    filled = held["filled"]
    if filled and filled["run"] == run:
        return []
    found = []
    if [key for key in held["cleaning"] if key != run]:
        found.append("cleaning")
    if held["chemical"]:
        found.append("chemical")
    elif held["state"] in NOT_NOW or held["state"] == "hold":
        found.append(held["state"])
    if interlock == "add":
        if not filled:
            found.append("empty")
        elif on_hold(held):
            found.append("hold")
    elif filled:
        fresh = filled["sanitised"] is not None and now - filled["sanitised"] < lasting["sanitised"]
        if not (kind in LINES and fresh):
            found.append("filled")
    else:
        found.extend(_unproved(held, lasting, now))
    return found


def stands_full(held: "Held") -> bool:
    """Whether the chemical in it is the sanitiser it was proved sanitised with, left in until it is rinsed out."""
    return bool(held["chemical"]) and held["sanitised"] is not None


def holding(held: "Held", run: str) -> str | None:
    """What the vessel is known to hold that `run` did not put there, in words, or None."""
    if not held["filled"] or held["filled"]["run"] == run:
        return None
    return (
        "It holds gyle " + held["gyle"] + "."
        if held["gyle"]
        else "It is filled; of which gyle is not known here."
    )


def _unproved(held: "Held", lasting: "Lasting", now: int) -> list[str]:
    if held["clean"] is None:
        return [] if held["chemical"] else ["not-clean"]
    found = []
    if now - held["clean"] >= lasting["clean"]:
        found.append("clean-lapsed")
    if held["sanitised"] is None:
        found.append("not-sanitised")
    elif now - held["sanitised"] >= lasting["sanitised"]:
        found.append("sanitised-lapsed")
    return found


def _trouble(held: "Held", line: "Line", row: "Happening", code: "TroubleCode", text: str) -> None:
    asked: Interlock = "canning-run" if code in ("held-since", "check-missed") else "fill"
    told: Trouble = {
        "run": line["id"],
        "vessel": line["vessel"],
        "event": row["event"],
        "step": row.get("step"),
        "person": row["person"],
        "time": row["time"],
        "code": code,
        "text": TROUBLES[code] + text,
        "interlock": row.get("interlock", asked),
        "answered": row["answered"],
    }
    held["trouble"].append(told)


def _seen_whole(held: "Held", row: "Happening") -> bool:
    """Whether a clean that still held at this fill would be among the runs that are here."""
    return held["whole"] is None or row["time"] >= held["whole"] + row["lasting"]["clean"]


def _fill(held: "Held", line: "Line", row: "Happening", kind: str | None) -> None:
    """Judge a fill against what stood before it, then take the vessel as filled."""
    interlock = row.get("interlock", "fill")
    codes = unfit(
        held, interlock=interlock, lasting=row["lasting"], now=row["time"], run=line["id"], kind=kind
    )
    if codes and not row.get("override") and _seen_whole(held, row):
        _trouble(held, line, row, "filled-unproved", " ".join([UNFIT[code] for code in codes]))
    before = held["filled"]
    if before is None:
        _take(held, line, row, held["sanitised"], _proving(held))
    elif before["run"] != line["id"]:
        gyle = held["gyle"]
        _take(held, line, row, before["sanitised"], before["proved"])
        held["gyle"] = held["gyle"] or gyle


def _proving(held: "Held") -> list[str]:
    """The runs on whose clean and sanitising the vessel stands."""
    by = (held["clean_by"] if held["clean"] is not None else None, held["sanitised_by"])
    return [run for run in by if run]


def _take(held: "Held", line: "Line", row: "Happening", sanitised: int | None, proved: list[str]) -> None:
    held["filled"] = {"run": line["id"], "event": row["event"], "sanitised": sanitised, "proved": proved}
    held["state"], held["clean"], held["sanitised"] = "filled", None, None
    held["gyle"], held["since"], held["disturbed"] = line["gyle"], row["time"], row["at"]


def _left(held: "Held", state: "VesselState", row: "Happening") -> None:
    if state != held["state"]:
        held["since"] = row["time"]
    held["state"], held["clean"], held["sanitised"] = state, None, None
    held["filled"], held["gyle"] = None, None


def _emptied(held: "Held", line: "Line", row: "Happening", kind: str | None) -> None:
    """What was in the vessel has been taken out; by a run elsewhere only if it is that gyle that is known here."""
    gyle = gyle_of(row.get("gyle") or line["gyle"])
    held["gone"][gyle] = row
    here = gyle_of(held["gyle"]) == gyle if held["filled"] else gyle in held["busy"].values()
    if line.get("elsewhere") and not here:
        return
    _left(held, row["leaves"], row)
    if line["kind"] != "cleaning":
        held["disturbed"] = row["at"]
    held["ready"], held["good"] = None, None


def _still_filled(held: "Held", line: "Line", row: "Happening", kind: str | None) -> None:
    """A run ends saying the vessel is filled: nothing new where it was, a fill where it was known not to be.

    Closed late, with nothing done in it since its beer was taken out, or by itself, it leaves the vessel as that did.
    """
    gone = held["gone"].get(gyle_of(line["gyle"]))
    mine = [other for other in line["life"] if other["what"] == "emptied"]
    if mine or (gone and row.get("worked", row["at"]) <= gone["at"]):
        return
    if held["filled"]:
        held["gyle"] = line["gyle"] or held["gyle"]
    elif held["known"] and (kind in COLD or line.get("fills")):
        _fill(held, line, row, kind)
    else:
        _take(held, line, row, None, [])


def _cleaned(held: "Held", line: "Line", row: "Happening", begun: str | None) -> None:
    if "residue" in row["proofs"]:
        mine = held["chemical"].get(line["id"])
        held["chemical"] = {} if mine is None else {line["id"]: mine}
    if held["disturbed"] is not None and begun is not None and held["disturbed"] > begun:
        return
    if row["clean"] is not None:
        _left(held, "clean", row)
        held["clean"] = held["since"] = row["clean"]
        held["clean_by"], held["sanitised_by"] = line["id"], None
    elif row["sanitised"] is None or held["clean"] is None:
        _left(held, "rinsed", row)
    fresh = row["sanitised"] is not None and (held["opened"] is None or held["opened"] <= row["sanitised"])
    if fresh and held["clean"] is not None:
        held["sanitised"], held["sanitised_by"] = row["sanitised"], line["id"]


def _ended(held: "Held", line: "Line", row: "Happening", kind: str | None) -> None:
    begun = held["cleaning"].pop(line["id"], None)
    held["busy"].pop(line["id"], None)
    left: VesselState = row["leaves"] if row["what"] == "finished" else row["left"]
    if row["what"] == "finished" and line["kind"] == "cleaning":
        _cleaned(held, line, row, begun)
    elif row["what"] == "finished" and line["kind"] == "trouble":
        # what was put right was put right in a vessel that another run has filled, or cleaned, and will leave
        return
    elif left == "filled":
        _still_filled(held, line, row, kind)
    else:
        _left(held, left, row)
        held["disturbed"] = row["at"]
        if left == "chemical":
            held["chemical"].setdefault(line["id"], row["time"])
    if not held["filled"]:
        held["ready"], held["good"] = None, None


def _checked(held: "Held", line: "Line", row: "Happening", kind: str | None) -> None:
    """A periodic check on a line: a bad or missed one puts everything since the last good one on hold."""
    last = held["good"]
    if not row["good"]:
        _trouble(held, line, row, "held-since", _since(last, row["time"]))
    elif last is not None and row["time"] - last > 2 * row["minutes"]:
        _trouble(held, line, row, "check-missed", _since(last, row["time"]))
    if row["good"]:
        held["good"] = row["time"]


def _since(last: int | None, now: int) -> str:
    if last is None:
        return "No good check before it is known: everything filled in this run is on hold."
    minutes = numbers.text((now - last) / 60000.0, 0)
    return "Everything filled in the " + minutes + " min since the last good check is on hold."


def _begun(held: "Held", line: "Line", row: "Happening", kind: str | None) -> None:
    ends = [other["at"] for other in line["life"] if other["what"] in ("finished", "abandoned")]
    if not ends or ends[0] > row["at"]:
        if line["kind"] == "cleaning":
            held["cleaning"][line["id"]] = row["at"]
        else:
            held["busy"][line["id"]] = gyle_of(line["gyle"])


def _dosed(held: "Held", line: "Line", row: "Happening", kind: str | None) -> None:
    holds = holding(held, line["id"])
    if row.get("interlock") and holds and not row["override"]:
        _trouble(held, line, row, "dosed-filled", holds)
    held["chemical"].setdefault(line["id"], row["time"])
    held["sanitised"] = None


def _proved_gone(held: "Held", line: "Line", row: "Happening", kind: str | None) -> None:
    held["chemical"] = {}


def _opened(held: "Held", line: "Line", row: "Happening", kind: str | None) -> None:
    held["opened"], held["sanitised"] = row["time"], None


def _filled(held: "Held", line: "Line", row: "Happening", kind: str | None) -> None:
    if not row["on"] or kind is None or kind in row["on"]:
        _fill(held, line, row, kind)


def _readied(held: "Held", line: "Line", row: "Happening", kind: str | None) -> None:
    held["good"] = row["time"]
    held["ready"] = {"run": line["id"], "gyle": line["gyle"], "until": row["time"] + row["lasts"]}


def _lapsed(held: "Held", line: "Line", row: "Happening", kind: str | None) -> None:
    held["ready"] = None


def _rejected(held: "Held", line: "Line", row: "Happening", kind: str | None) -> None:
    """A review that did not accept a run: what it proved is proved no longer, till it is answered and done again."""
    _trouble(held, line, row, "review-rejected", "")
    if held["filled"]:
        return
    if held["clean"] is not None and held["clean_by"] == line["id"]:
        _left(held, "soiled" if row["answered"] else "hold", row)
    elif held["sanitised_by"] == line["id"]:
        held["sanitised"] = None


_HANDLERS: "dict[What, Callable[[Held, Line, Happening, str | None], None]]" = {
    "begun": _begun,
    "chemical-in": _dosed,
    "chemical-out": _proved_gone,
    "opened": _opened,
    "filled": _filled,
    "emptied": _emptied,
    "checked": _checked,
    "ready": _readied,
    "lapsed": _lapsed,
    "finished": _ended,
    "abandoned": _ended,
    "rejected": _rejected,
}
"""What each happening does to its vessel; one that is not here (`drawn`) bears on others alone."""


def replay(runs: "list[Line]", kind: str | None, whole: int | None = None) -> "Held":
    """What the summaries of all runs held on one vessel of `kind` (any order) say of it.

    `whole` is from when on every run is held [ms], None when all are: a fill whose clean may be older is not judged.
    `trouble` is in order.
    """
    place: dict[tuple[str, str, str, int], tuple[Line, Happening]] = {}
    for line in runs:
        for number, row in enumerate(line.get("life", [])):
            place[(row["at"], row["event"], line["id"], number)] = (line, row)
    held = _blank(whole)
    for key in sorted(place):
        line, row = place[key]
        handler = _HANDLERS.get(row["what"])
        if handler is not None:
            handler(held, line, row, kind)
            held["known"] = held["known"] or row["what"] != "begun"
    return held
