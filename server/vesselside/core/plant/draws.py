"""What a run takes out of another vessel: which vessel that is, and the emptying as it stands in that vessel's life.

A run says what it drew by kind of vessel and gyle (a happening `drawn`). Of the vessels that hold the gyle at that
time the one of such a kind is meant, or the one the run names; where several would fit and none is named, none is
taken for empty: a vessel wrongly shown full is looked into, one wrongly shown empty is not.
"""

from vesselside.core.run.events import is_id

TYPE_CHECKING = False
if TYPE_CHECKING:
    from vesselside.core.shapes import Drawn, Happening, Line, VesselCard

    Moments = dict[tuple[str, str, str, int], tuple[Line, Happening]]


def plain(text: str) -> str:
    """A name as it is compared: capitals, spaces and marks between do not matter."""
    return "".join([letter for letter in text.lower() if letter not in " -_."])


def called(card: "VesselCard", name: str | None) -> bool:
    """Whether a person who writes `name` means this vessel."""
    wanted = plain(name or "")
    return bool(wanted) and wanted in (plain(card["id"]), plain(card.get("name", "")))


def gyle_of(text: str | None) -> str | None:
    """A gyle's number as records carry it, from the way a person writes it, or None. Example: `G 312` is `g-312`."""
    said = (text or "").strip().lower()
    if is_id(said):
        return said
    plainly = [letter if is_id(letter) and letter != "-" else " " for letter in said]
    return "-".join("".join(plainly).split()) or None


def _holds(line: "Line") -> bool:
    """Whether a run, as far as it has gone, fills its vessel or says that it is full."""
    for row in line["life"]:
        if row["what"] == "filled":
            return True
        if row["what"] in ("finished", "abandoned"):
            return row.get("leaves", row.get("left")) == "filled"
    return line.get("leaves") == "filled"


def _moments(runs: "list[Line]") -> "dict[str, Moments]":
    """Of each gyle what fills and what draws, in order: `{gyle: {(at, event, run, number): (line, row)}}`."""
    found: dict[str, Moments] = {}
    for line in runs:
        mine = gyle_of(line.get("gyle"))
        holds = bool(line["vessel"] and mine) and _holds(line)
        for number, row in enumerate(line.get("life", [])):
            if not row.get("whole", True):
                continue
            gyle = gyle_of(row.get("gyle")) if row["what"] == "drawn" else mine
            tells = row["what"] == "drawn" or (
                holds and row["what"] in ("begun", "filled", "finished", "emptied")
            )
            if gyle and tells:
                found.setdefault(gyle, {})[(row["at"], row["event"], line["id"], number)] = (line, row)
    return found


def emptyings(vessels: "list[VesselCard]", runs: "list[Line]") -> "dict[str, list[Line]]":
    """What the runs (summaries, any order) took out of vessels other than their own, `{vessel: [lines]}`.

    Each line is the drawing run's with a life of its happenings `emptied` alone, as `vessel.replay` takes them.
    """
    kinds = {card["id"]: card for card in vessels}
    found: dict[str, list[Line]] = {}
    moments = _moments(runs)
    for gyle in moments:
        holding: set[str | None] = set()
        gone: dict[str | None, str] = {}
        for key in sorted(moments[gyle]):
            line, row = moments[gyle][key]
            if row["what"] == "emptied":
                holding.discard(line["vessel"])
                gone[line["vessel"]] = row["at"]
                continue
            if row["what"] != "drawn":
                # a run that is closed late, with nothing done since the beer went, says nothing new
                if row["what"] != "finished" or row.get("worked", row["at"]) > gone.get(line["vessel"], ""):
                    holding.add(line["vessel"])
                continue
            fitting = [name for name in sorted(kinds) if name in holding and name != line["vessel"]]
            fitting = [name for name in fitting if kinds[name].get("kind") in row["from"]]
            if row.get("named"):
                fitting = [name for name in fitting if called(kinds[name], row["named"])]
            if len(fitting) != 1:
                continue
            holding.discard(fitting[0])
            gone[fitting[0]] = row["at"]
            taken = row.copy()
            taken["what"], taken["gyle"] = "emptied", gyle
            found.setdefault(fitting[0], []).append(_only(line, fitting[0], taken))
    return found


def _only(line: "Line", vessel: str, row: "Happening") -> "Line":
    part = line.copy()
    part["vessel"], part["life"], part["elsewhere"] = vessel, [row], True
    part["leaves"], part["fills"] = None, False
    return part


def reach(line: "Line") -> list[object]:
    """What of a run bears on vessels other than its own: while this stays the same, so do their lives."""
    rows: list[object] = []
    for row in line.get("life", []):
        if row["what"] in ("begun", "filled", "emptied", "drawn", "finished", "abandoned"):
            told = [row.get(name) for name in ("gyle", "named", "whole", "leaves", "left", "worked")]
            rows.append([row["what"], row["at"], told])
    return [line.get("vessel"), gyle_of(line.get("gyle")), rows]


def source(line: "Drawn") -> str | None:
    """The gyle that a run took out of a vessel other than its own, or None; a text that is no id names none."""
    for row in line.get("life", []):
        if row["what"] == "drawn":
            gyle = gyle_of(row.get("gyle"))
            return gyle if is_id(gyle) else None
    return None
