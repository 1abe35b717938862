"""What state each vessel is in, as far as this device knows, from the runs done on it; and what is amiss in the plant.

Two clocks run after a proved clean: *clean* (site default 72 h closed) and *sanitised* (same shift, 12 h);
both defaults are common practice, no source, and settings of the site.
"""

from vesselside.core.ground.clock import stamp_ms
from vesselside.core.run.lasting import lasts

from . import doubts, fitness
from .draws import emptyings
from .vessel import COLD, LINES, UNFIT, on_hold, replay, stands_full, unfit

TYPE_CHECKING = False
if TYPE_CHECKING:
    from vesselside.core.shapes import (
        FillStanding,
        Held,
        Lasting,
        Line,
        Trouble,
        VesselCard,
        VesselState,
        VesselView,
    )

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


def lasting(settings: dict[str, str]) -> "Lasting":
    """How long the two clocks last by the site's settings: `{clean, sanitised}` [ms]."""
    return {
        "clean": lasts("clean-hours", settings.get("clean-hours")),
        "sanitised": lasts("sanitised-hours", settings.get("sanitised-hours")),
    }


def state_of(held: "Held", clocks: "Lasting", now: int) -> "tuple[VesselState, int | None, int | None]":
    """A vessel's state in one word, and until when it is proved clean and sanitised [ms] or None."""
    proved = None if held["clean"] is None else held["clean"] + clocks["clean"]
    sanitised = None if held["sanitised"] is None else held["sanitised"] + clocks["sanitised"]
    if held["cleaning"]:
        return ("cleaning", None, None)
    if held["chemical"]:
        return ("chemical", None, None)
    if held["filled"]:
        return ("hold" if on_hold(held) else "filled", None, None)
    if proved is None:
        return (held["state"], None, None)
    if now >= proved:
        return ("rinsed", proved, sanitised)
    if sanitised is not None and now < sanitised:
        return ("sanitised", proved, sanitised)
    return ("clean", proved, sanitised)


def since(held: "Held", state: "VesselState", proved: int | None) -> int | None:
    """Since when a vessel is in `state`, as `state_of` says it, proved clean until `proved` [ms]; None if unknown."""
    if state == "cleaning":
        return min([stamp_ms(at) for at in held["cleaning"].values()])
    if state == "chemical":
        return min(held["chemical"].values())
    if state == "sanitised":
        return held["sanitised"]
    if state == "rinsed" and proved is not None:
        return proved
    return held["since"]


def by_vessel(vessels: "list[VesselCard]", runs: "list[Line]") -> "dict[str, list[Line]]":
    """Summaries by the vessel they are on, and beside them what runs elsewhere took out of it."""
    found = emptyings(vessels, runs)
    for line in runs:
        if line["vessel"]:
            found.setdefault(line["vessel"], []).append(line)
    return found


def board(
    vessels: "list[VesselCard]",
    runs: "list[Line]",
    settings: dict[str, str],
    now: int,
    doubted: "list[Trouble] | None" = None,
    whole: int | None = None,
) -> "list[VesselView]":
    """The state of every vessel at `now` [ms], from summaries of its runs (any order).

    Times are epoch ms or None. A clean past its date is shown as rinsed, not proved. `doubt` says what of the
    proofs a vessel stands on is in doubt, by `doubted` (`doubts.found` over all runs). `whole` is from when on this
    device holds every run [ms], None when it holds all: what rests on older ones is not judged.
    """
    grouped = by_vessel(vessels, runs)
    let_go = fitness.troubles(runs, whole)
    rows: list[VesselView] = []
    for vessel in vessels:
        lines = grouped.get(vessel["id"], [])
        held = replay(lines, vessel.get("kind"), whole)
        rows.append(row(vessel, lines, held, settings, let_go, doubted or [], now))
    return rows


def row(
    vessel: "VesselCard",
    lines: "list[Line]",
    held: "Held",
    settings: dict[str, str],
    let_go: "list[Trouble]",
    doubted: "list[Trouble]",
    now: int,
) -> "VesselView":
    """One row of `board`: `lines` are the vessel's, `held` what `vessel.replay` makes of them."""
    every = lasts("check-minutes", settings.get("check-minutes"))
    state, proved, sanitised = state_of(held, lasting(settings), now)
    running = [
        (line["opened"]["time"], line["id"])
        for line in lines
        if line["status"] == "open" and line["opened"] and not line.get("elsewhere")
    ]
    return {
        "id": vessel["id"],
        "name": vessel.get("name"),
        "kind": vessel.get("kind"),
        "place": vessel.get("place"),
        "state": state,
        "since": since(held, state, proved),
        "chemical": min(held["chemical"].values()) if held["chemical"] else None,
        "proved_until": proved,
        "sanitised_until": sanitised,
        "run": max(running)[1] if running else None,
        "gyle": held["gyle"],
        "check_due": held["good"] + every if held["ready"] and held["good"] is not None else None,
        "trouble": held["trouble"] + [told for told in let_go if told["vessel"] == vessel["id"]],
        "doubt": doubts.of_proof(lines, held, doubted),
    }


_BY_SANITISE = ("not-sanitised", "sanitised-lapsed")


def fills(
    vessels: "list[VesselCard]", runs: "list[Line]", settings: dict[str, str], now: int
) -> "list[FillStanding]":
    """Which of the vessels and lines that beer is put into may be filled at `now` [ms], in the order of `vessels`.

    `ready` is `now`, `sanitise` where nothing but a sanitising is lacking, else `no`, with why; `chemical` are the runs
    that put chemical in which nothing shows to be out, none where it is the sanitiser that stands in it till the fill.
    Judged by the rule that a fill is stopped by (`vessel.unfit`); a line may stand full of its sanitiser.
    """
    grouped = by_vessel(vessels, runs)
    lasting_here = lasting(settings)
    rows: list[FillStanding] = []
    for card in vessels:
        kind = card.get("kind")
        held = replay(grouped.get(card["id"], []), kind)
        codes = unfit(held, interlock="fill", lasting=lasting_here, now=now, run="", kind=kind)
        full = stands_full(held)
        if full and kind in LINES:
            codes = [code for code in codes if code != "chemical"]
        lacking = [code for code in codes if code not in _BY_SANITISE]
        rows.append(
            {
                "id": card["id"],
                "name": card.get("name"),
                "beer": kind in COLD or kind in LINES,
                "ready": "no" if lacking else "sanitise" if codes else "now",
                "why": [UNFIT[code] for code in codes],
                "chemical": [] if full else sorted(held["chemical"]),
            }
        )
    return rows


def troubles(vessels: "list[VesselCard]", runs: "list[Line]", only: str | None = None) -> "list[Trouble]":
    """What the lives of all vessels, or of `only` one, bring to light, vessels unknown to the site included."""
    kinds: dict[str, str | None] = {vessel["id"]: vessel.get("kind") for vessel in vessels}
    grouped = by_vessel(vessels, runs)
    found: list[Trouble] = []
    for vessel in sorted(grouped) if only is None else [only]:
        found.extend(replay(grouped.get(vessel, []), kinds.get(vessel))["trouble"])
    return found
