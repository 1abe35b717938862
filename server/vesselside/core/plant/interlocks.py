"""What stops a step on all that this device holds: why, what to do, where else, and who may override it.

Which step asks which interlock is data in the procedure. What the site holds is `known`
(`known.Known`), the run that asks included or not: its own newest state always counts.
"""

from vesselside.core.run.authority import outranks
from vesselside.core.run.events import ROLES
from vesselside.core.run.ledger import Run
from vesselside.core.run.procedure import INTERLOCKS, own_figure
from vesselside.core.run.steps import MORE_CONTACT, SHORT_CONTACT

from . import doubts, vessel
from .draws import called
from .fitness import FACTS, NEEDED, NO_GYLE, ended, lots_lacking
from .happenings import drawn
from .known import Known
from .states import by_vessel, lasting, state_of

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    from vesselside.core.shapes import (
        Aim,
        Ask,
        Fact,
        Found,
        Held,
        InterlockView,
        Lasting,
        Line,
        Offer,
        VesselCard,
        Wait,
    )

NOTHING = Known([], [], {}, [], None)
_SHORT = ("clean-lapsed", "not-sanitised", "sanitised-lapsed")
_DO = {
    "cleaning": "Let the clean be finished, or stop it and say how the vessel is left.",
    "chemical": "Do not open it. Make it safe: Aborted clean made safe.",
    "locked": "Ask whoever hung the lock.",
    "out": "Take another vessel.",
    "hold": "Have a duty brewer answer for it, and clean it again where that is what is to be done.",
    "hot": "Let it cool, vent open.",
    "pressure": "Let the pressure off by its procedure: see and hear no flow.",
    "filled": "Take another vessel. Look in and read the label: what is in this one?",
    "not-clean": "Clean it and prove it, or take another vessel.",
    "empty": "Use the procedure that fills an empty vessel.",
}
# Beer or a hand on top of these hurts somebody, whoever answers for it.
_NEVER = ("chemical", "cleaning", "locked", "pressure")
_NAMED = 4  # how many figures are named before they are only counted
_RECHECK = "Read it again with an instrument that is good, or have a duty brewer answer for it."
_LOOK_IN = (
    "Put nothing in. Read the vessel's label: is this the right vessel?",
    "If there is beer or wort in it: move it, or dump it by its procedure.",
    "If the record is wrong: see the vent open, drain it, look in with a torch, and have a duty brewer override.",
)
_REPROVE = "Short re-prove: look, rinse, read the residue, sanitise."


def _own(run: Run, known: Known) -> "list[Line]":
    """Every summary held, this run's own as it stands now."""
    lines = [line for line in known.lines() if line["id"] != run.id]
    opened, held = run.opened, run.plan.procedure
    found = drawn(run)
    mine: Line = {
        "id": run.id,
        "kind": held["kind"] if held else "",
        "leaves": held.get("leaves") if held else None,
        "vessel": run.vessel(),
        "gyle": run.gyle(),
        "status": run.status(),
        "opened": None,
        "life": found["life"],
        "shows": found["shows"],
        "lots_unknown": found["lots_unknown"],
        "bound_for": found["bound_for"],
        "fills": found["fills"],
        "asked": found["asked"],
        "overrides": found["overrides"],
        "instruments": found["instruments"],
    }
    if opened:
        mine["opened"] = {"event": opened.id, "person": opened.person, "time": opened.received_time}
    return lines + [mine]


def _card(known: Known, key: str | None) -> "VesselCard | None":
    """A vessel by its id, or by its name as a person writes it: capitals and spaces do not matter."""
    for card in known.vessels:
        if called(card, key):
            return card
    return None


def _aim(known: Known, name: str | None, *, listed: bool) -> "Aim | None":
    """The vessel of that name; unless it must be `listed`, one that nothing else is known of will do."""
    card = _card(known, name)
    if card is not None:
        return {"id": card["id"], "name": card["name"], "kind": card["kind"]}
    return {"id": name, "name": name, "kind": None} if name and not listed else None


def _target(run: Run, ask: "Ask", known: Known, lines: "list[Line]") -> "tuple[Aim | None, str | None]":
    """The vessel an ask is about, and the name it was given by."""
    of = ask.get("of")
    if of is None:
        name = run.vessel()
        return (_aim(known, name, listed=False), name)
    if of == "gyle":
        gyle = run.gyle()
        named = [
            (line["opened"]["time"] if line["opened"] else "", line["id"], line["bound_for"])
            for line in lines
            if gyle and line["gyle"] == gyle and line.get("bound_for")
        ]
        name = max(named)[2] if named else None
    else:
        name = run.entry(of)
    return (_aim(known, name, listed=True), name)


def _fill(run: Run, ask: "Ask", known: Known, now: int) -> "Found | None":
    lines = _own(run, known)
    card, name = _target(run, ask, known, lines)
    if card is None:
        if name is None:
            return None
        text = "No vessel here is called " + str(name) + "."
        return {"reasons": [text], "do": ["Write the vessel's name as it stands on its label."], "offers": []}
    if "on" in ask and card["kind"] is not None and card["kind"] not in ask["on"]:
        return None
    grouped = by_vessel(known.vessels, lines)
    lasts: Lasting = {"clean": run.lasting("clean-hours"), "sanitised": run.lasting("sanitised-hours")}

    def wrong(other: str, kind: str | None, interlock: str) -> "tuple[list[str], Held]":
        held = vessel.replay(grouped.get(other, []), kind, known.whole)
        codes = vessel.unfit(held, interlock=interlock, lasting=lasts, now=now, run=run.id, kind=kind)
        if ask.get("full") and vessel.stands_full(held):
            codes = [code for code in codes if code != "chemical"]
        return (codes, held)

    codes, stands = wrong(card["id"], card["kind"], ask["interlock"])
    if not codes:
        doubted = doubts.found(lines, doubts.checks_of(lines), known.instruments)
        shaken = doubts.of_proof(grouped.get(card["id"], []), stands, doubted)
        return {"reasons": shaken, "do": [_RECHECK], "offers": [], "warns": True} if shaken else None
    do = [_DO[code] for code in codes if code in _DO]
    if [code for code in codes if code in _SHORT] and not [code for code in codes if code in _DO]:
        do.append(_REPROVE)
    offers: list[Offer] = []
    for other in known.vessels if ask["interlock"] == "fill" else []:
        if other["id"] != card["id"] and other["kind"] == card["kind"]:
            unfit, held = wrong(other["id"], other["kind"], "fill")
            if not unfit:
                state, proved, sanitised = state_of(held, lasting(known.settings), now)
                offers.append(
                    {"id": other["id"], "name": other["name"], "state": state, "until": sanitised or proved}
                )
    reasons = [card["name"] + ": " + vessel.UNFIT[code] for code in codes]
    return {
        "reasons": reasons,
        "do": do,
        "offers": offers,
        "never": [code for code in codes if code in _NEVER],
    }


def _empty(run: Run, ask: "Ask", known: Known, now: int) -> "Found | None":
    card = _aim(known, run.vessel(), listed=False)
    if card is None:
        return None
    lines = by_vessel(known.vessels, _own(run, known)).get(card["id"], [])
    holds = vessel.holding(vessel.replay(lines, card["kind"]), run.id)
    if holds is None:
        return None
    return {"reasons": [card["name"] + ": " + holds], "do": list(_LOOK_IN), "offers": []}


def _facts(run: Run, ask: "Ask", known: Known, now: int) -> "Found | None":
    gyle = run.gyle()
    if gyle is None:
        do = "Stop this run and open it again with the gyle's number."
        return {"reasons": [NO_GYLE], "do": [do], "offers": []}
    have: set[Fact] = set()
    mine = [line for line in _own(run, known) if line["gyle"] == gyle]
    for line in mine:
        have.update(line.get("shows", {}))
    gone = ended(mine)
    lacking = [fact for fact in NEEDED[ask["interlock"]] if fact in gone or fact not in have]
    found: Found = {
        "reasons": [FACTS[fact][0] for fact in lacking],
        "do": [FACTS[fact][1] for fact in lacking],
        "offers": [],
    }
    unknown = _lots(run, ask, known, now)
    if unknown:
        found["reasons"] = found["reasons"] + unknown["reasons"]
        found["do"] = found["do"] + unknown["do"]
    return found if found["reasons"] else None


def _lots(run: Run, ask: "Ask", known: Known, now: int) -> "Found | None":
    """A lot written down as unknown blocks release, not the brew."""
    gyle = run.gyle()
    lines = [line for line in _own(run, known) if line["id"] == run.id or (gyle and line["gyle"] == gyle)]
    reasons = lots_lacking(lines)
    if not reasons:
        return None
    return {"reasons": reasons, "do": ["Find the lot and enter it, striking the other."], "offers": []}


def _canning(run: Run, ask: "Ask", known: Known, now: int) -> "Found | None":
    card = _aim(known, run.vessel(), listed=False)
    lines = by_vessel(known.vessels, _own(run, known)).get(card["id"], []) if card else []
    held = vessel.replay(lines, card["kind"] if card else None)
    ready = held["ready"]
    if ready is None:
        reason = (
            "No pre-start of this line stands since it was last cleaned, set, changed or stopped for long."
        )
    elif now >= ready["until"]:
        reason = "The pre-start of this line is out of date."
    elif ready["gyle"] and run.gyle() and ready["gyle"] != run.gyle():
        reason = "The pre-start of this line was for gyle " + ready["gyle"] + "."
    else:
        return None
    return {
        "reasons": [reason],
        "do": ["Stop the line. Do the pre-start before another can is filled."],
        "offers": [],
    }


def _figures(run: Run, ask: "Ask", known: Known, now: int) -> "Found | None":
    """Each figure that the site must give itself is signed once before the procedure first runs."""
    held = run.plan.procedure
    unsigned = [
        row["label"]
        for row in (held.get("settings", []) if held else [])
        if own_figure(row) and row["id"] not in known.settings
    ]
    if not unsigned:
        return None
    text = "Nobody has signed for this site: " + "; ".join(unsigned[:_NAMED])
    if len(unsigned) > _NAMED:
        text += " and " + str(len(unsigned) - _NAMED) + " more"
    return {
        "reasons": [text + "."],
        "do": ["Have a manager look at each and sign it: the desk, Set up, Site figures."],
        "offers": [],
    }


def _contact(run: Run, step: str, now: int) -> "Found | None":
    held = run.steps[step]
    if not held.holds or held.hold_left(now) or not held.contact_short(now):
        return None
    return {"reasons": [SHORT_CONTACT], "do": [MORE_CONTACT], "offers": []}


_JUDGES: "dict[str, Callable[[Run, Ask, Known, int], Found | None]]" = {
    "fill": _fill,
    "add": _fill,
    "empty": _empty,
    "release": _facts,
    "release-cask": _facts,
    "package": _facts,
    "lots": _lots,
    "figures": _figures,
    "canning-run": _canning,
}


def asked(run: Run, step: str, known: Known | None, now: int) -> "list[InterlockView]":
    """What the interlocks say of a step at `now` [ms]; empty when nothing stands against it.

    `by` lists the roles that can override it (none, when the vessel is in a state that hurts), `override` is the event
    that does, so that it stops no longer. `known` None: the plant has not been read on this device, and what is not
    known stops.
    """
    rows: list[InterlockView] = []
    for ask in run.plan.asks(step):
        judge = _JUDGES.get(ask["interlock"])
        found: Found | None = None
        if judge is not None:
            found = judge(run, ask, NOTHING if known is None else known, now)
        elif ask["interlock"] == "contact":
            found = _contact(run, step, now)
        if found is None:
            continue
        title, may = INTERLOCKS[ask["interlock"]]
        may = may and not found.get("never")
        cover = run.overridden(ask["interlock"], None, now) if may else None
        row: InterlockView = {
            "interlock": ask["interlock"],
            "title": title,
            "stops": not ask.get("warns") and not found.get("warns") and cover is None,
            "reasons": found["reasons"],
            "do": found["do"],
            "offers": found["offers"],
            "by": [role for role in ROLES if may and outranks(role, "duty")],
            "override": cover.id if cover else None,
        }
        rows.append(row)
    return rows


def waits(run: Run, step: str, known: Known | None, now: int) -> "list[Wait]":
    """The interlocks that stop a step now, in the shape of a step's `waits`."""
    rows: list[Wait] = []
    for found in asked(run, step, known, now):
        # contact time stops the tick alone, as the hold does: the readings that mend it must go in
        if found["stops"] and found["interlock"] != "contact":
            wait: Wait = {
                "code": "interlock",
                "step": step,
                "interlock": found["interlock"],
                "text": " ".join(found["reasons"]),
                "do": found["do"],
            }
            rows.append(wait)
    return rows
