"""What must be shown of a gyle before it is released, packaged or sent out, and what was let go without it.

A run's life says which facts it showed (`showed`), which it ended by what it added (`ended`) and where beer was let go
(`passed`). A letting go is judged by what stood before it, by (hlc, event); what was lacking, and no override covers,
is trouble that stays open until answered.
"""

from vesselside.core.run.findings import TROUBLES

from .draws import gyle_of

TYPE_CHECKING = False
if TYPE_CHECKING:
    from vesselside.core.shapes import Fact, Happening, Line, Trouble, TroubleCode, What

# fact about a gyle that a procedure's step shows: (what is lacking, what to do)
FACTS: "dict[Fact, tuple[str, str]]" = {
    "stable": ("Its gravity is not shown to stand still.", "Read gravity over the site's hours: Rest and crash chill."),
    "limit": ("It is not shown to be at its limit.", "Read the forced ferment: Rest and crash chill."),
    "diacetyl": ("The test for diacetyl is not done.", "Warm a sample and smell it: Rest and crash chill."),
    "creep": ("Hop creep is not shown to be over.", "Say how it was hopped and read gravity: Rest and crash chill."),
    "ph": ("No pH in range is recorded.", "Read its pH: Daily fermenter check, or Beer release."),
    "carbonation": ("Its carbonation is not read in range.", "Read CO2 twice: Beer release, Carbonate, or Keg fill."),
    "released": ("Nobody has released it.", "Release it by name: Beer release, Carbonate, Keg fill or Cask racking."),
}  # fmt: skip
NEEDED: "dict[str, tuple[Fact, ...]]" = {
    "release": ("stable", "limit", "diacetyl", "creep", "ph", "carbonation"),
    # The priming of a cask is worked as if nothing were left to ferment, and its gas is still to come.
    "release-cask": ("stable", "limit", "diacetyl", "creep", "ph"),
    "package": ("released",),
    "lots": (),
}
CODES: "dict[str, TroubleCode]" = {
    "release": "released-unfit",
    "release-cask": "released-unfit",
    "package": "packaged-unfit",
    "lots": "let-go-unknown",
}
NO_GYLE = "It is not said which gyle this is."


def lots_lacking(lines: "list[Line]") -> list[str]:
    """What is wrong with the lots of these runs, in words."""
    found: list[str] = []
    for line in lines:
        found.extend(["Lot unknown. " + label for label in line.get("lots_unknown", [])])
    return found


def reach(line: "Line") -> list[object]:
    """What of a run bears on the fitness of its gyle: while this stays the same, so does what is told of others."""
    rows = [
        [row["what"], row["at"], row["event"], row.get("fact")]
        for row in line.get("life", [])
        if row["what"] in ("passed", "showed", "ended")
    ]
    return [gyle_of(line.get("gyle")), rows, line.get("lots_unknown", [])]


def _last(
    lines: "list[Line]", what: "What", before: tuple[str, str] | None = None
) -> "dict[Fact, tuple[str, str]]":
    """Of each fact that these runs showed or ended, when they last did so, as (hlc, event)."""
    found: dict[Fact, tuple[str, str]] = {}
    for line in lines:
        for row in line.get("life", []):
            key = (row["at"], row["event"])
            if row["what"] == what and (before is None or key < before):
                found[row["fact"]] = max(found.get(row["fact"], key), key)
    return found


def ended(lines: "list[Line]") -> "list[Fact]":
    """The facts that something added ended, and that were not shown since."""
    showed = _last(lines, "showed")
    last = _last(lines, "ended")
    return [fact for fact in FACTS if fact in last and showed.get(fact, ("", "")) < last[fact]]


def _lacking(row: "Happening", line: "Line", lines: "list[Line]") -> list[str]:
    interlock = row["interlock"]
    if not gyle_of(line.get("gyle")) and NEEDED[interlock]:
        return [NO_GYLE]
    key = (row["at"], row["event"])
    last = _last(lines, "ended", key)
    showed = _last(lines, "showed", key)
    have = [fact for fact in showed if showed[fact] > last.get(fact, ("", ""))]
    return [FACTS[fact][0] for fact in NEEDED[interlock] if fact not in have] + lots_lacking(lines)


def _brewed_here(lines: "list[Line]", whole: int | None) -> bool:
    """Whether all that was shown of a gyle is among its runs that are held: its brewing is."""
    if whole is None:
        return True
    brewed: list[int] = []
    for line in lines:
        if line["kind"] == "brew":
            brewed.extend([row["time"] for row in line.get("life", []) if row["what"] == "begun"])
    return bool(brewed) and min(brewed) >= whole


def troubles(runs: "list[Line]", whole: int | None = None) -> "list[Trouble]":
    """What was let go of a gyle without what its interlock asks, from summaries of runs in any order, in its order.

    Rows are as those of `vessel.replay`; of one run and one interlock the first alone. `whole` is from when on every
    run is held [ms], None when all are: a gyle brewed before is not judged.
    """
    gyles: dict[str | None, list[Line]] = {}
    for line in runs:
        gyles.setdefault(gyle_of(line.get("gyle")), []).append(line)
    found: dict[tuple[str, str, str, str], Trouble] = {}
    for line in runs:
        gyle = gyle_of(line.get("gyle"))
        for row in line.get("life", []):
            if row["what"] != "passed" or row["override"]:
                continue
            if gyle and not _brewed_here(gyles[gyle], whole):
                continue
            reasons = _lacking(row, line, gyles[gyle] if gyle else [line])
            if not reasons:
                continue
            code = CODES[row["interlock"]]
            told: Trouble = {
                "run": line["id"],
                "vessel": line["vessel"],
                "event": row["event"],
                "step": row["step"],
                "person": row["person"],
                "time": row["time"],
                "code": code,
                "text": TROUBLES[code] + " ".join(sorted(set(reasons))),
                "interlock": row["interlock"],
                "answered": row["answered"],
            }
            found[(row["at"], row["event"], line["id"], row["interlock"])] = told
    rows: list[Trouble] = []
    seen: set[tuple[str, str]] = set()
    for key in sorted(found):
        if key[2:] not in seen:
            seen.add(key[2:])
            rows.append(found[key])
    return rows
