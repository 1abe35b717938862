"""A gyle's moves: casts, transfers, rackings, fillings, blends and dumps; what went out, what came in, what was lost.

A procedure's `draws` says which entries are the volumes. What was not read is what the vessel is known to have held by
the moves before; what was lost is the registry's sum for one stage. Read from the runs as folded, so a reading that is
struck or corrected moves nothing or something else.
"""

from vesselside.core.ground import numbers
from vesselside.core.ground.errors import CoreError
from vesselside.core.plant.draws import called, gyle_of
from vesselside.core.sums import calculations

from .gylereadings import minus

TYPE_CHECKING = False
if TYPE_CHECKING:
    from vesselside.core.shapes import (
        ByBrew,
        Draws,
        EntryRecord,
        Mark,
        Move,
        MoveKind,
        Moves,
        OpenedRun,
        RunView,
        Step,
        VesselCard,
        VolumeOut,
        Working,
    )

MOVES = {
    "cast": "Cast",
    "transfer": "Transferred",
    "rack": "Racked",
    "pack": "Packaged",
    "blend": "Blended or reworked",
    "dump": "Dumped",
}
UNIT = "L"
_ACCOUNT = {"copper_l": ("cast", "out"), "fermenter_l": ("cast", "in"), "bright_l": ("transfer", "in")}


def _live(view: "RunView", place: str | None) -> "EntryRecord | None":
    """The entry `step.field` of a run that counts: live, neither contested nor void."""
    step, _, field = (place or "").partition(".")
    at = view["steps"].get(step)
    held = at["entries"].get(field) if at else None
    if held is None or held["status"] != "live":
        return None
    rows = [row for row in held["all"] if row["state"] == "live"]
    return rows[-1] if rows else None


def _text(view: "RunView", place: str | None) -> str | None:
    row = _live(view, place)
    return None if row is None else str(row["value"])


def _volume(view: "RunView", place: str | None) -> str | None:
    row = _live(view, place)
    return str(row["value"]) if row is not None and row["unit"] == UNIT else None


def _said(view: "RunView", draws: "Draws") -> bool:
    when = draws.get("when")
    return not when or _text(view, when["entry"]) in when["is"]


class _Gyle:
    """What is known so far of where a gyle is and how much of it."""

    def __init__(
        self, gyle: str, runs: "list[OpenedRun]", vessels: "list[VesselCard]", held: "ByBrew"
    ) -> None:
        self.gyle = gyle_of(gyle)
        self.used = [row["run"]["vessel"] for row in runs if row["run"]["vessel"]]
        self.cards = {card["id"]: card for card in vessels}
        self.held = held
        self.contents: dict[str | None, str] = {}
        self.counts: dict[MoveKind, int] = {}
        self.lost = "0"
        self.sums: dict[tuple[str, str], str] = {}

    def name(self, vessel: str) -> str:
        return self.cards[vessel]["name"] if vessel in self.cards else vessel

    def kind(self, vessel: str | None) -> str | None:
        return self.cards[vessel]["kind"] if vessel in self.cards else None

    def sources(self, view: "RunView", draws: "Draws") -> list[str]:
        """The vessels the beer may have come from: the one that is named, else those of such a kind that hold it."""
        if not draws.get("from"):
            return [view["vessel"]] if view["vessel"] else []
        named = _text(view, draws.get("named"))
        if named:
            return [key for key in sorted(self.cards) if called(self.cards[key], named)]
        for holding in (self.contents, self.used):
            found = sorted([key for key in set(holding) if key and key != view["vessel"]])
            found = [key for key in found if self.kind(key) in draws["from"]]
            if found:
                return found
        return []

    def out(self, view: "RunView", draws: "Draws", source: str | None, empty: bool) -> str | None:
        """What left the source: as read, else what it is known to have held less what is left in it."""
        given: VolumeOut = draws.get("out", {})
        read = _volume(view, given.get("entry"))
        if read is None and "measure" in given:
            measured = self.held.get((given["measure"], self.counts.get(draws["move"], 1)))
            read = None if measured is None else measured["value"]
        if read is not None:
            return read
        before = _volume(view, given.get("held")) or self.contents.get(source)
        left = "0" if empty else _volume(view, given.get("left"))
        return None if before is None or left is None else minus(before, left)

    def come_in(self, view: "RunView", draws: "Draws") -> str | None:
        """What arrived: as read, or the vessel's new total less what it is known to have held."""
        total, before = _volume(view, draws.get("total")), self.contents.get(view["vessel"])
        if "total" not in draws:
            return _volume(view, draws.get("in"))
        return None if total is None or before is None else minus(total, before)

    def shift(self, row: "Move", source: str | None, vessel: str | None, empty: bool) -> None:
        """Take what moved out of the source and put it where it went."""
        gone = row["out"] or row["in"]
        if source in self.contents:
            if empty or gone is None:
                del self.contents[source]
            else:
                # a part that was not read as it left counts as it arrived: its loss comes out when the rest has gone
                self.contents[source] = minus(self.contents[source], gone)
        if vessel and row["in"] is not None:
            self.contents[vessel] = numbers.plus(self.contents.get(vessel, "0"), row["in"])
        for way, volume in (("out", row["out"]), ("in", row["in"])):
            if volume is not None:
                key = (row["move"], way)
                self.sums[key] = numbers.plus(self.sums.get(key, "0"), volume)


def _stage(into: str | None, out: str | None) -> "Working | None":
    if into is None or out is None:
        return None
    try:
        return calculations.work("stage-loss", {"into_l": into, "out_l": out})
    except CoreError:
        # volumes that cannot be a stage stand in the row as they were read
        return None


def _of(working: "Working | None", result: str) -> str | None:
    for row in working["results"] if working else []:
        if row["id"] == result:
            return str(row["value"])
    return None


def _row(state: _Gyle, view: "RunView", step: "Step", mark: "Mark | EntryRecord") -> "Move":
    """One move, and what is known after it."""
    draws = step["draws"]
    empty = view["steps"][step["id"]]["status"] == "done" and _said(view, draws)
    other = gyle_of(_text(view, draws["gyle"])) if "gyle" in draws else None
    foreign = other is not None and other != state.gyle
    away = other is not None and gyle_of(view["gyle"]) != state.gyle
    state.counts[draws["move"]] = state.counts.get(draws["move"], 0) + 1
    found = [] if foreign else state.sources(view, draws)
    source = found[0] if len(found) == 1 else None
    whole = "in" in draws or "total" in draws
    arrived = state.come_in(view, draws)
    left = arrived if foreign else state.out(view, draws, source, empty)
    working = None if foreign else _stage(left, arrived)
    row: Move = {
        "move": draws["move"],
        "title": MOVES[draws["move"]],
        "run": view["id"],
        "step": step["id"],
        "unit": UNIT,
        "person": mark["person"],
        "time": mark["time"],
        "empty": empty,
        "from": [state.name(key) for key in found],
        "to": state.name(view["vessel"]) if view["vessel"] and draws.get("from") else None,
        "gyle": view["gyle"] if away else other if foreign else None,
        "in": arrived,
        "out": left,
        "working": working,
        "loss": _of(working, "lost_l") if whole else left,
        "loss_pct": _of(working, "lost_pct"),
        "lost": "0",
        "lost_pct": None,
    }
    if row["loss"] is not None and not foreign:
        state.lost = numbers.plus(state.lost, row["loss"])
    state.shift(row, source, None if away else view["vessel"] if draws.get("from") else None, empty)
    begun = state.sums.get(("cast", "out"))
    row["lost"] = state.lost
    row["lost_pct"] = _of(_stage(begun, minus(begun, state.lost)), "lost_pct") if begun else None
    return row


def _marks(runs: "list[OpenedRun]") -> "list[tuple[RunView, Step, Mark | EntryRecord]]":
    """Every drawing step that was done or holds a volume, in order of time: `(view, step, mark)`."""
    found: dict[tuple[str, str, str, int], tuple[RunView, Step, Mark | EntryRecord]] = {}
    for place, held in enumerate(runs):
        view = held["run"]
        procedure = held["procedure"]
        for step in procedure["steps"] if procedure else []:
            draws, state = step.get("draws"), view["steps"].get(step["id"])
            if not draws or "move" not in draws or state is None:
                continue
            arrives = draws.get("in") or draws.get("total")
            out: VolumeOut = draws.get("out", {})
            mark: Mark | EntryRecord | None = _live(view, arrives) or _live(view, out.get("entry"))
            if state["status"] == "done":
                mark = state["done"]
            # what goes nowhere is let go only when the person says so
            if mark is not None and (arrives or (state["status"] == "done" and _said(view, draws))):
                found[(mark["time"], view["id"], step["id"], place)] = (view, step, mark)
    return [found[key] for key in sorted(found)]


def moves(
    gyle: str,
    runs: "list[OpenedRun]",
    elsewhere: "list[OpenedRun]",
    vessels: "list[VesselCard]",
    held: "ByBrew",
) -> "Moves":
    """The moves of a gyle from its runs `[{run: view, procedure}]` and those `elsewhere` that drew it into another.

    `vessels` are the site's cards, `held` what was read, by `(measure, brew)`. Rows come in
    order of time; `lost` is all that is lost so far, `account` the working of the losses from copper to package once
    nothing of it is left in a tank.
    """
    state = _Gyle(gyle, runs, vessels, held)
    rows = [_row(state, view, step, mark) for view, step, mark in _marks(runs + elsewhere)]
    return {"rows": rows, "account": _account(state, rows)}


def _account(state: _Gyle, rows: "list[Move]") -> "Working | None":
    if [row for row in rows if row["gyle"]]:
        return None
    left = [key for key in state.contents if state.kind(key) in ("fermenter", "bright")]
    given = {key: state.sums.get(_ACCOUNT[key]) for key in _ACCOUNT}
    packed = [state.sums[key] for key in (("pack", "in"), ("rack", "in")) if key in state.sums]
    if left or not packed or None in given.values():
        return None
    given["packed_l"] = packed[0] if len(packed) == 1 else numbers.plus(packed[0], packed[1])
    try:
        return calculations.work("beer-losses", given)
    except CoreError:
        # a volume that cannot be one stands in its row
        return None
