"""What a vessel needs next, and which procedures may be begun on it now: the rule behind the presses at a vessel.

What a procedure is for is read off its own steps (`deeds`), so that a site's own procedures are ranked as those that
came with the app. A need is a deed with its reason in a word; procedures follow it, then what is done here most, and
last what does not fit the state of the vessel, with the reason. Nothing is forbidden here: the interlocks do that.
"""

from vesselside.core.ground import numbers

from . import deeds, fitness, vessel
from .draws import gyle_of

TYPE_CHECKING = False
if TYPE_CHECKING:
    from vesselside.core.shapes import (
        Deed,
        Fact,
        Held,
        Lasting,
        Line,
        OfferedProcedure,
        Proposal,
        VesselKind,
        VesselState,
        VesselView,
    )

    Need = tuple[Deed, str, bool]
    Before = tuple[Held, Lasting, VesselKind, set[Fact], int]

HOUR = 3_600_000
SOON = 4 * HOUR
"""How long before a proof runs out its vessel is due [ms]; common practice, no source."""
LOOK = 20 * HOUR
"""How long after the last look at beer in a tank the next is proposed [ms]: once a day; common practice, no source."""
OVERDUE = 24 * HOUR
YOUNG = 48 * HOUR
"""How long after the fill nobody looks for the end of a ferment [ms]; common practice, no source."""
BREWHOUSE = ("mash-tun", "copper", "whirlpool")
KINDS = ("cleaning", "brew", "cellar", "packaging", "brewery", "trouble")
BESIDE = 2
"""How many presses stand beside the large one."""
_LOOKED: "tuple[Deed, ...]" = ("look", "beer", "add")
_RUNS = "One runs here already."
_URGENT: "tuple[Deed, ...]" = ("safe", "check", "fill", "sanitise", "clean", "look")
"""In what order several vessels are told of."""


def span(ms: int) -> str:
    """A length of time [ms] as it is said: minutes under an hour, hours to two days, then days. Never below 1 min."""
    if ms < HOUR:
        return numbers.text(max(ms, 60_000) / 60000.0, 0) + " min"
    if ms < 48 * HOUR:
        return numbers.text(float(ms // HOUR), 0) + " h"
    return numbers.text(float(ms // (24 * HOUR)), 0) + " days"


def _running(procedure: "OfferedProcedure", here: "list[Line]") -> "str | None":
    """The run alike that was opened last on this vessel, or None."""
    found = [
        (line["opened"]["time"], line["id"])
        for line in here
        if line["opened"] and deeds.alike(line, procedure)
    ]
    return max(found)[1] if found else None


# -- what the vessel needs --------------------------------------------------------


def _needs(
    row: "VesselView", before: "Before", here: "list[Line]", offered: "dict[str, Deed]"
) -> "list[Need]":
    held, _, kind, _, now = before
    state = row["state"]
    if state == "filled":
        return _filled(row, before, here, offered)
    if state == "chemical":
        if vessel.stands_full(held):
            return [("fill", "Sanitiser stands in it", False)]
        return [("safe", "Contains chemical: make it safe", True)]
    if state in ("clean", "sanitised"):
        return _proved(row, kind, now, offered)
    if state == "rinsed":
        ran_out = row["proved_until"]
        said = (
            "Rinsed, not proved clean" if ran_out is None else "Clean ran out " + span(now - ran_out) + " ago"
        )
        return [("clean", said, False)]
    if state == "soiled":
        return _soiled(held, kind, here, offered)
    if state == "co2":
        return [("clean", "Beer out, CO2 in it: clean it", True)]
    return []


def _soiled(held: "Held", kind: "VesselKind", here: "list[Line]", offered: "dict[str, Deed]") -> "list[Need]":
    if not held["known"]:
        return [("clean", "No clean of it is known here", False)]
    if not held["gone"]:
        return [("clean", "Soiled: clean it", False)]
    cold = kind in vessel.COLD
    needs: list[Need] = [("clean", "Beer out: clean it" if cold else "Emptied: clean it", cold)]
    last = _last(here)
    if last is None or offered.get(str(last.get("procedure"))) != "dig":
        needs.insert(0, ("dig", "Wort off: the grain comes out", True))
    return needs


def _last(here: "list[Line]") -> "Line | None":
    """The run that was closed last on this vessel."""
    ended = [(_ended(line) or 0, line["id"]) for line in here if _ended(line) is not None]
    for line in here:
        if ended and line["id"] == max(ended)[1] and not line.get("elsewhere"):
            return line
    return None


def _ended(line: "Line") -> int | None:
    times = [row["time"] for row in line.get("life", []) if row["what"] == "finished"]
    return max(times) if times else None


def _proved(row: "VesselView", kind: "VesselKind", now: int, offered: "dict[str, Deed]") -> "list[Need]":
    proved = row["proved_until"] or now
    short = proved - now <= SOON
    runs_out = "Clean runs out in " + span(proved - now)
    sanitised = row["sanitised_until"]
    if row["state"] == "sanitised" and sanitised is not None:
        left = min(sanitised, proved) - now
        said = "Sanitised, " + span(left) + " left"
        return [("fill", said, left <= SOON), ("brew", said, False)]
    said = "Clean, not sanitised" if sanitised is None else "Clean, sanitising out of date"
    if short:
        said = runs_out
    if kind in BREWHOUSE:
        return [("brew", runs_out if short else "Clean", False)]
    again: Deed = "sanitise" if "sanitise" in offered.values() else "clean"
    return [(again, said, short)]


def _filled(
    row: "VesselView", before: "Before", here: "list[Line]", offered: "dict[str, Deed]"
) -> "list[Need]":
    _, _, kind, lacking, now = before
    due = row["check_due"]
    if due is not None:
        late = now - due
        said = "Check overdue by " + span(late) if late > 0 else "Check due in " + span(-late)
        return [("check", said, late > 0)]
    needs: list[Need] = []
    looks = [_ended(line) or 0 for line in here if offered.get(str(line.get("procedure"))) in _LOOKED]
    seen = max(looks + [row["since"] or now])
    if now - seen >= LOOK:
        needs.append(("look", "Not looked at for " + span(now - seen), now - seen >= OVERDUE))
    if kind in BREWHOUSE:
        return [("brew", "Wort in it: run it off", False)]
    if now - (row["since"] or now) < YOUNG:
        return needs
    facts = [fact for fact in fitness.FACTS if fact in lacking and fact != "released"]
    if facts:
        needs.append(("beer", fitness.FACTS[facts[0]][0], False))
    elif lacking:
        needs.append(("beer", "Shown fit: it can be released", False))
    return needs


# -- what does not fit now --------------------------------------------------------


def _unfit(procedure: "OfferedProcedure", what: "Deed", row: "VesselView", before: "Before") -> str:
    """Why a procedure does not fit the vessel as it stands, in words; empty where it does."""
    held, kind = before[0], before[2]
    state = row["state"]
    if what == "trouble":
        return ""
    if state in ("locked", "out", "cleaning"):
        return vessel.UNFIT[state]
    full = vessel.stands_full(held)
    if what == "safe":
        return "" if held["chemical"] else "No chemical is known in it."
    if procedure["kind"] == "cleaning":
        holds = (
            vessel.holding(held, "") if "empty" in deeds.asks_of(procedure, kind) or what == "clean" else None
        )
        if what == "sanitise" and not holds:
            return _first(
                [
                    code
                    for code in _fill_codes(before, "fill")
                    if code in ("not-clean", "clean-lapsed", "chemical")
                ]
            )
        return holds or ""
    if held["chemical"] and not (full and deeds.rinses_first(procedure)):
        return vessel.UNFIT["chemical"]
    if what in ("fill", "add") and deeds.asks_of(procedure, kind) & {"fill", "add"}:
        codes = _fill_codes(before, "add" if what == "add" else "fill")
        return _first([code for code in codes if not (full and code == "chemical")])
    return _unfit_beer(procedure, what, before)


def _unfit_beer(procedure: "OfferedProcedure", what: "Deed", before: "Before") -> str:
    """The same, of what is done with beer or wort in the vessel."""
    held, _, kind, lacking, _ = before
    if what == "brew" and held["filled"] and procedure.get("leaves") == "filled":
        return vessel.UNFIT["filled"]
    if what in ("add", "check", "look", "beer") and not held["filled"]:
        return "No beer in it is known here."
    if kind in vessel.COLD and deeds.empties(procedure) and not held["filled"]:
        return "Nothing is known to be in it."
    if what == "check" and held["ready"] is None:
        return "No pre-start of this line stands."
    if what == "beer" and deeds.asks_of(procedure, kind) & {"release"}:
        wanted = [fact for fact in fitness.NEEDED["release"] if fact in lacking]
        wanted = [fact for fact in wanted if fact not in deeds.shows(procedure)]
        return fitness.FACTS[wanted[0]][0] if wanted else ""
    return ""


def _fill_codes(before: "Before", interlock: str) -> list[str]:
    held, lasting, kind, _, now = before
    return vessel.unfit(held, interlock=interlock, lasting=lasting, now=now, run="", kind=kind)


def _first(codes: list[str]) -> str:
    return vessel.UNFIT[codes[0]] if codes else ""


def lacking_of(gyle: str | None, runs: "list[Line]", kind: "VesselKind | None") -> "set[Fact]":
    """What is not shown yet of the beer in a vessel of that kind; nothing where its gyle is not known.

    Carbonation is read where the beer is carbonated, so of a fermenter it is not asked.
    """
    mine = [line for line in runs if gyle and gyle_of(line.get("gyle")) == gyle_of(gyle)]
    if not mine:
        return set()
    shown: set[Fact] = set()
    for line in mine:
        shown.update(line.get("shows", {}))
    gone = fitness.ended(mine)
    lacks = set([fact for fact in fitness.FACTS if fact in gone or fact not in shown])
    return lacks - {"carbonation"} if kind == "fermenter" else lacks


# -- all of it --------------------------------------------------------------------


def _proposal(
    procedure: str, on: str | None, what: "Deed", fit: bool, why: str, due: bool, run: str | None
) -> "Proposal":
    return {
        "procedure": procedure,
        "vessel": on,
        "place": "rest",
        "deed": what,
        "fit": fit,
        "why": why,
        "due": due,
        "run": run,
    }


def _serves(
    procedure: "OfferedProcedure", need: "Need", what: "Deed", lacking: "set[Fact]", state: "VesselState"
) -> int:
    """How well a procedure meets a need, 0 for not at all: of beer, by how many facts it would show.

    Of cleans one that also sanitises; under CO2 one that keeps the tank shut, for caustic takes the gas up.
    """
    if need[0] != what:
        return 0
    if what == "clean":
        shut = (state == "co2") != deeds.opens(procedure)
        return 1 + (2 if deeds.sanitises(procedure) else 0) + (1 if shut else 0)
    if what != "beer":
        return 1
    facts = [fact for fact in deeds.shows(procedure) if fact in lacking]
    if lacking == {"released"}:
        return 1 if "released" in facts else 0
    return len([fact for fact in facts if fact != "released"])


def _used(runs: "list[Line]") -> dict[str, int]:
    """How often each procedure was opened, by the runs held."""
    found: dict[str, int] = {}
    for line in runs:
        name = str(line.get("procedure"))
        found[name] = found.get(name, 0) + 1
    return found


def at_vessel(
    row: "VesselView",
    held: "Held",
    here: "list[Line]",
    runs: "list[Line]",
    procedures: "list[OfferedProcedure]",
    lasting: "Lasting",
    now: int,
) -> "list[Proposal]":
    """The procedures for a vessel at `now` [ms], best first: what it needs, what else fits by use, what does not fit.

    `row` is its row of the board, `held` what `vessel.replay` makes of its life, `here` the lines on it, `runs` all
    lines, `lasting` the site's clocks [ms]. `place` is `next` for the one it needs (at most one), `beside` for two
    more, else `rest`; `why` is the reason in a word, `due` that it should not wait, `run` an open run alike.
    """
    kind = row["kind"]
    lacking = lacking_of(row["gyle"], runs, kind)
    before: Before = (held, lasting, kind, lacking, now)
    mine = [procedure for procedure in procedures if kind in procedure.get("vessel_kinds", [])]
    offered = {procedure["id"]: deeds.deed(procedure, kind) for procedure in mine}
    needs = _needs(row, before, here, offered)
    used = _used(runs)
    ranked: list[tuple[tuple[int, int, int, int, int, str, str], Proposal]] = []
    for procedure in mine:
        what, run = offered[procedure["id"]], _running(procedure, here)
        unfit = _RUNS if run else _unfit(procedure, what, row, before)
        order, serves, why, due = len(needs), 0, unfit, False
        for at, need in enumerate([] if unfit else needs):
            serves = _serves(procedure, need, what, lacking, row["state"])
            if serves:
                order, why, due = at, need[1], need[2]
                break
        group = 3 if unfit else 2 if what == "trouble" else 0 if serves else 1
        tail = (KINDS.index(procedure["kind"]), procedure["title"], procedure["id"])
        key = (group, order, -serves, -used.get(procedure["id"], 0)) + tail
        ranked.append((key, _proposal(procedure["id"], row["id"], what, not unfit, why, due, run)))
    rows = [proposal for _, proposal in sorted(ranked, key=lambda pair: pair[0])]
    _place([one for one in rows if one["fit"] and one["deed"] != "trouble"], used)
    return rows


def _place(rows: "list[Proposal]", used: dict[str, int]) -> None:
    """One press for what is needed, two beside it for what else is, or is done here at all; never none."""
    rest = rows
    if rows and rows[0]["why"]:
        rows[0]["place"], rest = "next", rows[1:]
    known = [one for one in rest if one["why"] or used.get(one["procedure"])]
    for one in (known if known or rest is not rows else rest)[:BESIDE]:
        one["place"] = "beside"


def at_none(runs: "list[Line]", procedures: "list[OfferedProcedure]") -> "list[Proposal]":
    """The procedures that are done at no vessel: by kind, in each what is done most first."""
    used = _used(runs)
    mine = [one for one in procedures if not one.get("vessel_kinds")]
    keys = [(KINDS.index(one["kind"]), -used.get(one["id"], 0), one["title"], one["id"]) for one in mine]
    return [_proposal(key[3], None, "other", True, "", False, None) for key in sorted(keys)]


def due(every: "list[list[Proposal]]") -> "list[Proposal]":
    """Of the proposals of all vessels what should not wait, one a vessel, what hurts or holds up most first."""
    found: list[tuple[tuple[int, int], Proposal]] = []
    for at, rows in enumerate(every):
        first = [row for row in rows if row["due"]][:1]
        for row in first:
            rank = _URGENT.index(row["deed"]) if row["deed"] in _URGENT else len(_URGENT)
            found.append(((rank, at), row))
    return [row for _, row in sorted(found, key=lambda pair: pair[0])]
