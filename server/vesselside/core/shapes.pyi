"""What crosses a border of the core, shape by shape; for readers and type checkers alone, never imported.

The OpenAPI document and the TypeScript types are made from this file (`python -m tests.shapes.make`), so a shape is
written once. What is closed is a `Literal`, and a test holds it to the table that the code goes by. Texts are decimal
where they stand for a number; `time` is RFC 3339 where it is a text and epoch milliseconds where it is an integer.
"""

from typing import Annotated, Any, Literal, NotRequired, TypedDict

from msgspec import Meta

Json = Any
"""Any JSON value."""

RecordData = Annotated[
    dict[str, Json],
    Meta(
        description="Open on purpose: what is in it goes by the kind of the record, as the core's table of kinds says"
    ),
]

# -- closed lists -----------------------------------------------------------------

Verdict = Literal["target", "advise", "stop"]
RunStatus = Literal["finished", "open", "abandoned"]
StepStatus = Literal["shut", "open", "done", "skipped", "reopened"]
FieldStatus = Literal["empty", "live", "contested"]
EntryState = Literal["live", "void", "superseded", "struck", "contested"]
HoldState = Literal["idle", "running", "over"]
Way = Literal["keyed", "worked", "scanned", "paper"]
Role = Literal["starter", "brewer", "duty", "manager"]
Left = Literal["soiled", "rinsed", "chemical", "co2", "pressure", "hot", "locked", "filled", "out"]
VesselState = Literal[
    "soiled", "rinsed", "cleaning", "chemical", "co2", "pressure", "hot", "locked", "clean", "sanitised", "filled",
    "hold", "out",
]  # fmt: skip
Deed = Literal[
    "safe", "clean", "sanitise", "fill", "add", "brew", "dig", "check", "look", "beer", "other", "trouble"
]
"""What a procedure does to its vessel, as far as it is weighed what to propose."""
ProposalPlace = Literal["next", "beside", "rest"]
InstrumentState = Literal["good", "due", "failed", "out"]
ReviewVerdict = Literal["accepted", "rejected"]
WaitCode = Literal[
    "step", "caution", "entry", "contested", "stop", "hold", "interlock", "second", "again", "no-signature", "settled",
    "open", "role", "closed",
]  # fmt: skip
What = Literal[
    "begun", "chemical-in", "chemical-out", "opened", "filled", "emptied", "drawn", "showed", "ended", "passed",
    "ready", "lapsed", "checked", "finished", "abandoned", "rejected",
]  # fmt: skip
TroubleCode = Literal[
    "filled-unproved", "dosed-filled", "released-unfit", "packaged-unfit", "let-go-unknown", "held-since",
    "check-missed", "instrument-doubt", "review-rejected",
]  # fmt: skip
FoldFinding = Literal[
    "unknown-procedure", "procedure-differs", "not-opened", "opened-twice", "bad-data", "bad-time",
    "clock-ahead", "seen-ahead", "taken-out", "too-many", "unauthorised", "person-not-proved", "desk-closed",
    "own-work", "own-work-alone",
    "unknown-step", "unknown-field", "bad-value", "typed-differs", "unit-differs", "verdict-differs", "unjudged",
    "sum-differs", "sum-for-reading", "instrument-out", "instrument-other", "from-paper",
    "early", "again", "skipped", "done-unready",
    "caution-unmet", "hold-short", "second-same", "target-unknown", "strike-refused", "void", "contested",
    "earlier-reopened", "finished-early", "finished-twice", "override-refused", "overridden", "never-skipped",
    "left-chemical", "late", "review-lapsed",
]  # fmt: skip
"""What folding a run finds of a record."""
ReceiptFinding = Literal[
    "stale-authority", "clock-offset", "received-late", "gap", "device-revoked",
]  # fmt: skip
"""What the office alone finds, of how a record came to it."""
FindingCode = Literal[FoldFinding, TroubleCode, ReceiptFinding]
CautionWay = Literal["full", "state", "still", "met"]
EventKind = Literal[
    "run.opened", "caution.met", "entry.made", "entry.settled", "step.done", "step.skipped", "hold.started",
    "hold.ended", "sign.given", "note.added", "photo.added", "deviation.raised", "deviation.answered",
    "struck", "run.finished", "run.abandoned", "run.reviewed",
]  # fmt: skip
AdministrationKind = Literal[
    "person.changed", "person.secret-set", "person.retired", "person.signed-in", "person.signed-out",
    "sign-ins.kept", "sign-in.refused", "code.made", "device.enrolled", "device.revoked", "procedure.published",
    "setting.changed", "recipe.changed", "instrument.changed", "vessel.changed", "event.redacted",
    "announcement.put-away", "record.judged-again", "log.restored", "log.doubted",
]  # fmt: skip
WayIn = Literal["pin", "password", "offline", "idle"]
Presence = Literal["pin", "password", "offline", "before", ""]
Action = Literal[
    "open", "caution", "enter", "settle", "done", "skip", "hold-start", "hold-end", "sign", "note", "deviate",
    "override", "answer", "strike", "finish", "abandon", "review",
]  # fmt: skip
ProcedureKind = Literal["cleaning", "brew", "cellar", "packaging", "brewery", "trouble"]
VesselKind = Literal[
    "liquor-tank", "mash-tun", "copper", "whirlpool", "heat-exchanger", "fermenter", "yeast-vessel", "bright",
    "cask-line", "keg-line", "canning-line",
]  # fmt: skip
EntryKind = Literal["reading", "choice", "text", "lot", "photo", "count"]
InstrumentKind = Literal[
    "burette", "co2-meter", "conductivity-meter", "dissolved-co2-meter", "flow-meter", "gas-monitor", "hydrometer",
    "level-gauge", "microscope", "oxygen-meter", "oxygen-monitor", "ph-meter", "pressure-gauge", "scales",
    "seam-gauge", "test-strip", "thermometer", "timer",
]  # fmt: skip
Proof = Literal["process", "look", "residue", "micro", "sanitised"]
Signer = Literal["anyone", "brewer", "second"]
Interlock = Literal[
    "fill", "add", "empty", "contact", "release", "release-cask", "package", "canning-run", "lots", "figures",
    "pressure", "gas", "entry", "vent",
]  # fmt: skip
Fact = Literal["stable", "limit", "diacetyl", "creep", "ph", "carbonation", "released"]
MoveKind = Literal["cast", "transfer", "rack", "pack", "blend", "dump"]
CautionGroup = Literal["chemical", "heat", "gas", "pressure", "entry", "machine", "body"]
HopUse = Literal["boil", "whirlpool", "dry"]
Per = Literal["brew", "gyle"]
SourceKind = Literal["published", "standard", "law", "maker", "common-practice", "from-memory"]

# -- a procedure and a caution, as data ---------------------------------------------

class BoundFrom(TypedDict, total=False):
    """Where a bound takes its number from: exactly one of setting, input, entry and calculation."""

    setting: str
    input: str
    entry: str
    calculation: str
    inputs: dict[str, "Given"]
    result: str
    plus: str

class GivenFrom(BoundFrom, total=False):
    """A bound, or with `series` all values of one field, or of several as the columns of a table."""

    series: str | list[str]

Bound = str | BoundFrom
Given = str | GivenFrom

class SiteFigure(TypedDict):
    """A figure of the site that a procedure rests on, with its default and where that comes from."""

    id: str
    label: str
    unit: NotRequired[str]
    default: str
    source: str

_InputFrom = TypedDict("_InputFrom", {"from": NotRequired[str]})

class Input(_InputFrom):
    """Asked, or filled from the vessel, the recipe or its brew sheet, when a run is opened."""

    id: str
    label: str
    unit: NotRequired[str]
    kind: Literal["reading", "text"]
    places: NotRequired[int]
    default: NotRequired[str]

class Option(TypedDict):
    """One answer to a choice, and what it means."""

    id: str
    label: str
    verdict: Verdict
    advice: NotRequired[str]

class Limits(TypedDict):
    """Three bands: inside `target`; between it and `stop`; outside `stop`. A null end is open."""

    target: list[Bound | None]
    stop: NotRequired[list[Bound | None]]
    low: NotRequired[str]
    high: NotRequired[str]
    halt: NotRequired[str]
    source: str

class Raise(TypedDict):
    """A reading beyond a bound raises a caution at once."""

    above: NotRequired[Bound]
    below: NotRequired[Bound]
    caution: str

class Works(TypedDict):
    """The calculation that proposes an entry, and what feeds it."""

    calculation: str
    inputs: dict[str, Given]
    result: NotRequired[str]
    proposes: bool

class Entry(TypedDict):
    """One thing to write down at a step."""

    id: str
    label: str
    kind: EntryKind
    unit: NotRequired[str]
    places: NotRequired[int]
    series: NotRequired[bool]
    least: NotRequired[int]
    optional: NotRequired[bool]
    instrument: NotRequired[InstrumentKind]
    verifies: NotRequired[bool]
    measures: NotRequired[str]
    options: NotRequired[list[Option]]
    limits: NotRequired[Limits]
    raises: NotRequired[list[Raise]]
    works: NotRequired[Works]
    renews: NotRequired[list[str]]

class Ask(TypedDict):
    """An interlock a step asks: of the run's own vessel, or of the one named; to stop, or to warn."""

    interlock: Interlock
    of: NotRequired[str]
    warns: NotRequired[bool]
    full: NotRequired[bool]
    on: NotRequired[list[VesselKind]]

Answered = TypedDict("Answered", {"entry": str, "is": list[str]})

class VolumeOut(TypedDict, total=False):
    """The volume that left a vessel: as read or measured, or what it held before less what is left in it."""

    entry: str
    measure: str
    held: str
    left: str

_DrawsPlaces = TypedDict("_DrawsPlaces", {"from": list[VesselKind], "in": str}, total=False)

class Draws(_DrawsPlaces, total=False):
    """What a step, done, has taken out of a vessel: of the run's own, or of the one of these kinds with this gyle."""

    named: str
    gyle: str
    when: Answered
    leaves: VesselState
    move: MoveKind
    out: VolumeOut
    total: str

class HoldFor(TypedDict):
    """The least time a step must last."""

    seconds: Bound

class Step(TypedDict):
    """One step of a procedure, in the order a careful brewer does it."""

    id: str
    title: str
    why: str
    how: str
    who: NotRequired[Signer]
    critical: NotRequired[bool]
    cautions: NotRequired[list[str]]
    needs: NotRequired[list[str]]
    anytime: NotRequired[bool]
    optional: NotRequired[bool]
    hold: NotRequired[HoldFor]
    proof: NotRequired[Proof]
    asks: NotRequired[list[Ask]]
    fills: NotRequired[bool]
    draws: NotRequired[Draws]
    chemical: NotRequired[Literal["in", "out"]]
    opens: NotRequired[bool]
    never_locked: NotRequired[bool]
    shows: NotRequired[list[Fact]]
    ends: NotRequired[list[Fact]]
    readies: NotRequired[bool]
    checks: NotRequired[bool]
    entries: NotRequired[list[Entry]]

class ProcedureFile(TypedDict):
    """A procedure as it is written, without the hash it gets on being published."""

    id: str
    version: int
    title: str
    kind: ProcedureKind
    vessel_kinds: list[VesselKind]
    summary: str
    leaves: NotRequired[VesselState]
    settings: NotRequired[list[SiteFigure]]
    inputs: NotRequired[list[Input]]
    steps: list[Step]

class Procedure(ProcedureFile):
    """A procedure in one published version; `sha256` is of its RFC 8785 bytes without that."""

    sha256: str

class Caution(TypedDict):
    """What hurts, what to wear, what must be true first, and the states to be seen."""

    id: str
    version: int
    title: str
    group: CautionGroup
    hazard: str
    effect: str
    wear: list[str]
    first: list[str]
    minute: list[str]
    seen: list[str]
    pictograms: list[str]
    codes: list[str]
    sources: list[str]
    defer: str
    alarm: bool
    emergency: NotRequired[int]

# -- a run ----------------------------------------------------------------------------

class Mark(TypedDict):
    """Who did what when; `received` only where the phone's clock was far ahead of it."""

    event: str
    person: str
    time: str
    received: NotRequired[str]

class Wait(TypedDict):
    """Why a step is not open, or cannot be done yet."""

    code: WaitCode
    text: str
    step: NotRequired[str]
    field: NotRequired[str]
    caution: NotRequired[str]
    seconds: NotRequired[int]
    target: NotRequired[str]
    struck: NotRequired[str]
    void: NotRequired[str]
    interlock: NotRequired[str]
    do: NotRequired[list[str]]

class WorkedFrom(TypedDict):
    """The sum a value was worked by, and what it was given."""

    inputs: dict[str, str]
    calculation: NotRequired[str]

_MadeFrom = TypedDict("_MadeFrom", {"from": NotRequired[WorkedFrom]})

class EntryRecord(_MadeFrom):
    """One entry as it was made; `verdict` and `advice` are what the person was shown."""

    event: str
    person: str
    time: str
    state: EntryState
    value: str
    typed: str
    unit: str
    verdict: Verdict
    advice: str
    limit: str
    source: str
    how: Way
    instrument: NotRequired[str]

class FieldView(TypedDict):
    """What one field of a step holds; `void` says why what stands there does not count."""

    status: FieldStatus
    value: str | None
    typed: str | None
    unit: str
    verdict: Verdict | None
    advice: str
    source: str
    limit: str
    void: str
    events: list[str]
    all: list[EntryRecord]
    settles: list[str]

class HoldView(TypedDict):
    """How the hold of a step stands; `started` [ms] and `event` while it runs."""

    seconds: int
    state: HoldState
    event: NotRequired[str]
    started: NotRequired[int]

class CautionMet(Mark):
    """One person's meeting of one version of a caution."""

    version: int

class CautionView(TypedDict):
    """A caution of a step and who has met it there."""

    caution: str
    met: list[CautionMet]

class Skipped(Mark):
    """Why a step was passed by."""

    reason: str

class StepView(TypedDict):
    """One step of a run as it stands."""

    status: StepStatus
    waits: list[Wait]
    done: Mark | None
    skipped: Skipped | None
    signed: Mark | None
    cautions: list[CautionView]
    raised: list[str]
    hold: HoldView | None
    entries: dict[str, FieldView]

class Answer(Mark):
    """What was done about a deviation; while `pending`, what is to prevent it is still to be done."""

    action: str
    cause: NotRequired[str]
    prevention: NotRequired[str]
    owner: NotRequired[str]
    due: NotRequired[str]
    pending: NotRequired[bool]

class Deviation(Mark):
    """What was not as it should be; `trouble` where the office found it in the lives of several runs."""

    step: str | None
    text: str
    value: NotRequired[str]
    limit: NotRequired[str]
    interlock: NotRequired[str | None]
    check: NotRequired[str]
    trouble: NotRequired[TroubleCode]
    answered: Answer | None

class Note(Mark):
    """What a person wrote down beside the entries."""

    step: str | None
    text: str

class Photo(Mark):
    """A photo, named by its bytes."""

    step: str | None
    sha256: str

class Strike(Mark):
    """A record struck out, which stays legible."""

    target: str
    reason: str

class Finding(TypedDict):
    """What a manager should know of a record."""

    code: FindingCode
    event: str
    text: str

class Lapsed(TypedDict):
    """Since when a review no longer stands, and how many records it does not cover."""

    time: str
    added: int

class Review(Mark):
    """A manager's verdict on the run as its digest names it; whoever holds the hashes says whether it still stands."""

    verdict: ReviewVerdict
    digest: str
    text: str
    stands: NotRequired[bool]
    lapsed: NotRequired[Lapsed]

class RecipeVersion(TypedDict):
    """The recipe a gyle is brewed by, in the version it was begun with."""

    id: str
    version: int

class Lasting(TypedDict):
    """How long the two clocks of a vessel last [ms]."""

    clean: int
    sanitised: int

_DrawnFrom = TypedDict("_DrawnFrom", {"from": NotRequired[list[VesselKind]]})

class Happening(_DrawnFrom):
    """What a run did to its vessel or its gyle; what follows `what` depends on it."""

    at: str
    event: str
    person: str
    time: int
    what: What
    step: NotRequired[str]
    interlock: NotRequired[Interlock]
    on: NotRequired[list[VesselKind] | None]
    lasting: NotRequired[Lasting]
    override: NotRequired[str | None]
    answered: NotRequired[Answer | None]
    fact: NotRequired[Fact]
    good: NotRequired[bool]
    minutes: NotRequired[int]
    lasts: NotRequired[int]
    leaves: NotRequired[VesselState]
    left: NotRequired[Left]
    named: NotRequired[str | None]
    gyle: NotRequired[str | None]
    whole: NotRequired[bool]
    proofs: NotRequired[list[Proof]]
    clean: NotRequired[int | None]
    sanitised: NotRequired[int | None]
    worked: NotRequired[str]

class InstrumentReading(TypedDict):
    """A reading made with a named instrument."""

    instrument: str
    at: str
    event: str
    step: str
    text: str

class InstrumentCheck(TypedDict):
    """What a check said of an instrument [ms]."""

    instrument: str
    at: str
    event: str
    person: str
    time: int
    good: bool
    text: str

class DoubtAnswer(Answer):
    """The answer to what was read with an instrument found out, and its place."""

    at: str

class InstrumentsUsed(TypedDict):
    """What a run read with named instruments, and what it checked of them."""

    read: list[InstrumentReading]
    checks: list[InstrumentCheck]
    answer: DoubtAnswer | None

class Drawn(TypedDict):
    """What a run says of its vessel, its gyle and its instruments, for the lives of those."""

    life: list[Happening]
    shows: dict[Fact, int]
    lots_unknown: list[str]
    bound_for: str | None
    fills: bool
    asked: list[Interlock]
    overrides: list[str]
    instruments: InstrumentsUsed

class CleanFigure(TypedDict):
    """A figure of a clean, as it was read, and what its bounds said of it."""

    value: str
    unit: str
    verdict: Verdict

class CleanRinse(CleanFigure):
    """What a rinse read."""

    label: str

class CleanFigures(TypedDict):
    """What a clean proved: strengths at its two ends, the coldest reading, whole minutes in band and by the clock."""

    strength_start: CleanFigure | None
    strength_end: CleanFigure | None
    coldest: CleanFigure | None
    minutes: str | None
    held: str | None
    rinse: list[CleanRinse]

class PersonPresent(TypedDict):
    """Records of one person on one device, and what proves that the person was there: `pin` or `password` that the
    server took, `offline` (the phone's word), `before` (no sign-ins were kept then), or nothing.
    """

    person: str
    device: str
    how: Presence
    records: int

class RunHead(TypedDict):
    """A run without its steps."""

    id: str
    procedure: str | None
    version: int | None
    sha256: str | None
    title: str
    kind: ProcedureKind | Literal[""]
    leaves: VesselState | None
    vessel: str | None
    gyle: str | None
    recipe: RecipeVersion | None
    inputs: dict[str, str]
    status: RunStatus
    left: Left | None
    opened: Mark | None
    finished: Mark | None
    reason: str | None
    order: list[str]
    next: str | None
    deviations: list[Deviation]
    notes: list[Note]
    photos: list[Photo]
    strikes: list[Strike]
    proofs: list[Proof]
    findings: list[Finding]
    review: Review | None
    present: list[PersonPresent]
    events: int
    last: list[str] | None

class RunChanges(RunHead):
    """A run with those of its steps that have changed."""

    steps: dict[str, StepView]

class RunView(RunChanges, Drawn):
    """A whole run as it stands."""

class RunningHold(TypedDict):
    """The hold that runs now: since when [ms], and for how long."""

    step: str
    started: int
    seconds: int

class Line(Drawn):
    """What the lives of vessels, gyles and instruments read of a run."""

    id: str
    kind: ProcedureKind | Literal[""]
    leaves: VesselState | None
    vessel: str | None
    gyle: str | None
    status: RunStatus
    opened: Mark | None
    elsewhere: NotRequired[bool]

class Tally(TypedDict):
    """How many of a run's records call for a look, by what is said of them.

    Readings at `stop` and `advise`; received `late` and stamped by a `clock` in doubt, as far as the office has said
    so; from `paper`; by a person who was `unproved`; cut `short`: a hold, or a run finished with steps not done.
    """

    stop: int
    advise: int
    late: int
    clock: int
    paper: int
    unproved: int
    short: int

class Summary(Line):
    """One line of a register: who, what, when, and what calls for attention."""

    procedure: str | None
    version: int | None
    title: str
    left: Left | None
    proofs: list[Proof]
    recipe: RecipeVersion | None
    finished: Mark | None
    next: str | None
    done: int
    steps: int
    contested: int
    hold: RunningHold | None
    deviations: int
    deviations_open: int
    findings: list[FindingCode]
    strikes: int
    tally: Tally
    review: Review | None

# -- vessels and instruments ----------------------------------------------------------

class VesselCard(TypedDict):
    """A vessel of the site as it is listed."""

    id: str
    name: str
    kind: VesselKind
    place: str
    capacity_l: NotRequired[str]
    charge_l: NotRequired[str]
    diameter_m: NotRequired[str]
    brews: NotRequired[str]
    in_use: NotRequired[bool]

class Aim(TypedDict):
    """The vessel that an interlock asks about; of one that is not listed here no more than its id is known."""

    id: str
    name: str
    kind: VesselKind | None

class DoubtedReading(TypedDict):
    """A reading made with an instrument found out, and the finding at it."""

    event: str
    instrument: str
    text: str
    found: str

class _Trouble(TypedDict):
    run: str
    vessel: str | None
    event: str
    step: str | None
    person: str
    code: TroubleCode
    text: str
    interlock: str | None
    answered: Answer | None
    readings: NotRequired[list[DoubtedReading]]

class Trouble(_Trouble):
    """What several runs on a vessel, of a gyle or with an instrument bring to light [ms]: a finding and a deviation."""

    time: int

class _Vessel(VesselCard):
    state: VesselState
    run: str | None
    gyle: str | None
    doubt: list[str]

class VesselView(_Vessel):
    """A vessel and the state it is in; clocks in ms. `chemical`: since when some is in it, while it is cleaned too."""

    since: int | None
    chemical: int | None
    proved_until: int | None
    sanitised_until: int | None
    check_due: int | None
    trouble: list[Trouble]

class FillStanding(TypedDict):
    """Whether a vessel may be filled now, after a sanitise or not, and why; `chemical`: the runs whose may be in it."""

    id: str
    name: str | None
    beer: bool
    ready: Literal["now", "sanitise", "no"]
    why: list[str]
    chemical: list[str]

class Filled(TypedDict):
    """The fill that a vessel stands on; `proved` are the runs that had proved it fit."""

    run: str
    event: str
    sanitised: int | None
    proved: list[str]

class LineReady(TypedDict):
    """The pre-start that a line stands on."""

    run: str
    gyle: str | None
    until: int

class Held(TypedDict):
    """What the runs held on a vessel say of it, as its life is replayed; clocks in ms."""

    state: VesselState
    known: bool
    whole: int | None
    cleaning: dict[str, str]
    busy: dict[str, str | None]
    chemical: dict[str, int]
    gone: dict[str | None, Happening]
    trouble: list[Trouble]
    clean: int | None
    sanitised: int | None
    clean_by: str | None
    sanitised_by: str | None
    opened: int | None
    disturbed: str | None
    filled: Filled | None
    gyle: str | None
    since: int | None
    ready: LineReady | None
    good: int | None

class OfferedStep(TypedDict, total=False):
    """What a step says of what it does to its vessel."""

    asks: list[Ask]
    shows: list[Fact]
    ends: list[Fact]
    opens: bool
    checks: bool
    fills: bool
    draws: Draws
    chemical: Literal["in", "out"]
    proof: Proof

class OfferedProcedure(TypedDict):
    """A procedure as far as it is weighed what to propose."""

    id: str
    title: str
    kind: ProcedureKind
    vessel_kinds: list[VesselKind]
    leaves: NotRequired[VesselState | None]
    steps: list[OfferedStep]

class Proposal(TypedDict):
    """A procedure to begin: where its press stands, whether it fits, the reason in a word, an open run alike."""

    procedure: str
    vessel: str | None
    place: ProposalPlace
    deed: Deed
    fit: bool
    why: str
    due: bool
    run: str | None

class InstrumentCard(TypedDict):
    """An instrument of the site as it is listed."""

    id: str
    name: str
    kind: InstrumentKind
    place: str
    check_days: int
    in_use: bool

class InstrumentDoubt(TypedDict):
    """A run that read with an instrument found out, and what it read."""

    run: str
    vessel: str | None
    texts: list[str]
    answered: bool

class _Instrument(InstrumentCard):
    state: InstrumentState

class InstrumentView(_Instrument):
    """An instrument and how it stands by its checks; times in ms."""

    last_good: int | None
    failed: int | None
    due: int | None
    doubt: list[InstrumentDoubt]

class InstrumentChoices(TypedDict):
    """What an entry can be read with, and what it most likely is."""

    proposed: str | None
    rows: list[InstrumentView]

class InstrumentsHeld(TypedDict):
    """The instruments as they stand on a phone, and what those found out put in doubt."""

    rows: list[InstrumentView]
    doubts: list[Trouble]

class Offer(TypedDict):
    """Another vessel that would do, and until when [ms]."""

    id: str
    name: str
    state: VesselState
    until: int | None

class Found(TypedDict):
    """What one interlock found: `never` names states that nobody overrides, `warns` that it does not stop."""

    reasons: list[str]
    do: list[str]
    offers: list[Offer]
    never: NotRequired[list[str]]
    warns: NotRequired[bool]

class InterlockView(TypedDict):
    """What stands against a step: why, what to do, where else, and who may override it."""

    interlock: Interlock
    title: str
    stops: bool
    reasons: list[str]
    do: list[str]
    offers: list[Offer]
    by: list[Role]
    override: str | None

# -- sums and judgements ----------------------------------------------------------------

class Judgement(TypedDict):
    """What the bounds of an entry say of a value, and the cautions it raises."""

    value: str
    verdict: Verdict
    advice: str
    limit: str
    source: str
    raises: list[str]

class Bands(TypedDict):
    """The bands of an entry in words."""

    target: str
    stop: str
    source: str

class Figure(TypedDict):
    """One line of a working, its value as it is shown."""

    id: str
    label: str
    value: str
    unit: str

class GivenFigure(Figure):
    """What a sum was given: `given` where the value shown is not that, `rows` of a table."""

    given: NotRequired[str]
    rows: NotRequired[list[list[str]]]

class Cited(TypedDict):
    """Where figures and formulas come from."""

    title: str
    kind: SourceKind
    note: NotRequired[str]

class Source(Cited):
    """Where a sum comes from, by its id in the core's list."""

    id: str

class Working(TypedDict):
    """A sum worked out, with all that it takes to check it; the first result is the main one."""

    calculation: str
    title: str
    inputs: list[GivenFigure]
    formula: str
    steps: list[Figure]
    results: list[Figure]
    rounding: str
    sources: list[Source]
    assumptions: list[str]
    marks: list[str]
    proposed: NotRequired[str]

class SumFault(TypedDict):
    """What is wrong with an input of a sum."""

    code: str
    text: str
    field: str

class Taker(TypedDict):
    """An entry of an open step that a result of a sum fits."""

    step: str
    title: str
    field: str
    label: str
    value: str | None
    unit: str

class CautionShow(TypedDict):
    """How a caution is shown to one person now."""

    caution: str
    show: CautionWay

class MetBefore(TypedDict):
    """A person's meeting of a caution in any run [ms]."""

    caution: str
    version: int
    at: int

class Look(TypedDict):
    """What stands before a step for one person."""

    cautions: list[CautionShow]
    interlocks: list[InterlockView]
    signers: list[Role]

class Draft(TypedDict):
    """A record as a tap makes it, before the log writes it."""

    type: EventKind
    data: RecordData

class After(TypedDict):
    """What a screen shows once something was folded; `run` and `vessels` hold what changed alone."""

    run: RunChanges
    line: Summary
    vessels: list[VesselView]
    doubts: list[Trouble]
    looks: dict[str, Look]

class Acted(TypedDict):
    """A person's tap: the records it makes, what the bounds say of it, and what is so after it."""

    drafts: list[Draft]
    after: After
    judgement: NotRequired[Judgement]

class Stand(TypedDict):
    """The plant as it stands on a phone."""

    vessels: list[VesselView]
    doubts: list[Trouble]

# -- recipes, sheets and gyles ------------------------------------------------------------

class FieldFault(TypedDict):
    """What is wrong at a field of what was sent."""

    field: str
    text: str

class Asked(TypedDict):
    """One figure that a form asks for."""

    id: str
    label: str
    unit: str
    kind: NotRequired[Literal["text", "choice"]]
    min: NotRequired[str]
    max: NotRequired[str]
    places: NotRequired[int]
    options: NotRequired[list[tuple[str, str]]]
    default: NotRequired[str]
    optional: NotRequired[bool]
    whole: NotRequired[bool]
    longest: NotRequired[int]
    uses: NotRequired[list[HopUse]]

class AskedGroup(TypedDict):
    """Figures asked for together."""

    id: str
    title: str
    fields: list[Asked]

class AskedTable(TypedDict):
    """A table of a recipe: its columns, and what a row of it is called."""

    id: Literal["grist", "hops"]
    title: str
    row: str
    least: int
    columns: list[Asked]

class RecipeForm(TypedDict):
    """What a recipe holds, as data."""

    groups: list[AskedGroup]
    tables: list[AskedTable]

class GristRow(TypedDict):
    """One malt of the grist."""

    malt: str
    share_pct: str
    extract_pct: str

class HopRow(TypedDict):
    """One addition of hops; which figures it has goes by `use`."""

    hop: str
    lot: NotRequired[str]
    use: HopUse
    alpha_pct: str
    minutes: NotRequired[str]
    share_pct: NotRequired[str]
    dose_g_l: NotRequired[str]

class Recipe(TypedDict):
    """One version of a recipe: figures as decimal texts."""

    id: str
    version: int
    name: str
    volume_l: str
    brews: Literal["1", "2"]
    original_sg: str
    attenuation_pct: str
    bitterness_ibu: str
    mash_temp_c: str
    ratio_l_kg: str
    boil_min: str
    efficiency_pct: NotRequired[str]
    yeast: str
    pitch_rate: str
    pitch_c: str
    ferment_c: str
    ph: NotRequired[str]
    stand_c: NotRequired[str]
    stand_min: NotRequired[str]
    calcium_mg_l: NotRequired[str]
    magnesium_mg_l: NotRequired[str]
    sodium_mg_l: NotRequired[str]
    sulphate_mg_l: NotRequired[str]
    chloride_mg_l: NotRequired[str]
    notes: NotRequired[str]
    grist: list[GristRow]
    hops: list[HopRow]

class SheetLine(TypedDict):
    """One line of a brew sheet; `quiet` where it is said elsewhere on it."""

    id: str
    stage: str
    label: str
    unit: str
    per: Per
    value: str | None
    working: Working | None
    fault: str | None
    minutes: NotRequired[str]
    quiet: NotRequired[bool]

class Addition(TypedDict):
    """Hops that go in, by time."""

    use: HopUse
    minutes: str
    line: str
    label: str

class Sheet(TypedDict):
    """A recipe worked out: what to weigh, heat, collect and expect."""

    recipe: str | None
    version: int | None
    name: str
    brews: str
    stages: list[tuple[str, str]]
    lines: list[SheetLine]
    additions: list[Addition]
    faults: list[FieldFault]

class FigureOfSite(TypedDict):
    """A figure of the site that sheets rest on, as it has it and as it is usually."""

    id: str
    label: str
    unit: str
    value: str
    usual: str
    fault: str | None

class OpenedRun(TypedDict):
    """A run and its procedure as it was opened."""

    run: RunView
    procedure: Procedure | None

class GylePlace(TypedDict):
    """Where a gyle stands: its number, the site's vessels, and the runs that drew it into another gyle."""

    gyle: str
    vessels: list[VesselCard]
    elsewhere: list[OpenedRun]

class GyleReading(TypedDict):
    """A live entry that measures a line of the sheet."""

    measure: str
    value: str
    unit: str
    time: str
    person: str
    run: str
    step: str
    field: str
    series: bool
    brew: int

ByBrew = dict[tuple[str, int], GyleReading]

class Actual(TypedDict):
    """What was read, beside what was planned."""

    brew: int
    value: str
    time: str
    person: str
    run: str
    step: str
    field: str
    difference: str | None

class Planned(TypedDict):
    """A line of the sheet, planned against actual."""

    id: str
    stage: str
    label: str
    unit: str
    per: Per
    planned: str | None
    actual: list[Actual]

class SiteSetting(TypedDict):
    """The setting of the site that a result could become, and what it is."""

    setting: str
    value: str

class GyleResult(TypedDict):
    """What the readings of a gyle come to."""

    id: str
    stage: str
    label: str
    brew: int
    value: str
    unit: str
    site: SiteSetting | None
    working: Working

class Correction(TypedDict):
    """What to do at the next stage."""

    id: str
    stage: str
    label: str
    brew: int
    working: Working

class TunFit(TypedDict):
    """The tun's own constants from past mashes, and those the site goes by."""

    working: Working
    site: list[SiteSetting]

class Point(TypedDict):
    """A point of a fermentation, hours from the first gravity."""

    time: str
    hours: str
    gravity: str | None
    temperature: str | None
    run: str

class AxisMark(TypedDict):
    """A mark of an axis, in thousandths of the drawing."""

    at: int
    text: str

class Curve(TypedDict):
    """The points of one brew, `[x, y]` in thousandths of the drawing."""

    id: Literal["now", "before"]
    gravity: list[tuple[int, int]]
    temperature: list[tuple[int, int]]

class ForecastBand(TypedDict):
    """Where a forecast ends, in thousandths of the drawing."""

    end: int
    low: int
    high: int

class Chart(TypedDict):
    """The drawing of a fermentation, in thousandths, y downwards."""

    days: list[AxisMark]
    gravity: list[AxisMark]
    temperature: list[AxisMark]
    lines: list[Curve]
    forecast: ForecastBand | None
    planned: int | None

_MovePlaces = TypedDict("_MovePlaces", {"from": list[str], "in": str | None})

class Move(_MovePlaces):
    """Beer moved: what went out, what came in, and what was lost; `gyle` is the other one of a blend."""

    move: MoveKind
    title: str
    run: str
    step: str
    unit: str
    person: str
    time: str
    empty: bool
    to: str | None
    gyle: str | None
    out: str | None
    working: Working | None
    loss: str | None
    loss_pct: str | None
    lost: str
    lost_pct: str | None

class Moves(TypedDict):
    """The moves of a gyle in order of time, and its losses once none of it is left in a tank."""

    rows: list[Move]
    account: Working | None

class GyleView(TypedDict):
    """A gyle from its sheet and its runs."""

    sheet: Sheet | None
    brews: int
    rows: list[Planned]
    readings: list[GyleReading]
    results: list[GyleResult]
    corrections: list[Correction]
    tun: TunFit | None
    curve: list[Point]
    forecast: Working | None
    chart: Chart | None
    moves: Moves | None
