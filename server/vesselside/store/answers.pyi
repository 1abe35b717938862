"""What the office answers beyond the core's shapes: times as RFC 3339, digests, faults; for readers alone, as they are.

The OpenAPI document and the TypeScript types are made from this file and `vesselside.core.shapes`.
"""

from typing import Annotated, Literal, NotRequired, TypedDict

from msgspec import Meta

from vesselside.core.shapes import (
    CautionGroup,
    CleanFigures,
    Deviation,
    GyleResult,
    InstrumentDoubt,
    Json,
    Left,
    Planned,
    Point,
    Procedure,
    ProcedureKind,
    RecordData,
    Review,
    Role,
    RunStatus,
    RunView,
    Summary,
    Working,
    _Instrument,
    _Trouble,
    _Vessel,
)  # fmt: skip

class RunFault(TypedDict):
    """Why a run could not be worked out, and up to which record; what is shown is the last that could."""

    code: str
    text: str
    sequence: NotRequired[str]

class RunsFault(TypedDict):
    """Which runs could not be worked out, so that what is shown lacks what they say."""

    code: str
    runs: list[str]

class RunHeld(RunView):
    """A run with all that the office found of it; `digest` is SHA-256 (hex) over its records' hashes."""

    digest: str

class RunLine(Summary):
    """A line of the office's register; `reviewed` says whether a review of the run as it is stands."""

    digest: NotRequired[str]
    reviewed: bool
    fault: NotRequired[RunFault]

class CleaningLine(CleanFigures):
    """A clean of the cleaning register: who closed it on which device, its figures, what was found, what a review said.

    `found` is in words, each once; `reviewed` says whether the review is of the records as they are.
    """

    run: str
    time: str
    status: RunStatus
    left: Left | None
    vessel: str | None
    gyle: str | None
    procedure: str | None
    version: int | None
    title: str
    person: str
    device: str
    found: list[str]
    deviations: int
    deviations_open: int
    review: Review | None
    reviewed: bool

class DeviationLine(Deviation):
    """A deviation of the list: of which run it is, and whether it waits, is followed up (`pending`) or closed."""

    run: str
    title: str
    procedure: str | None
    vessel: str | None
    gyle: str | None
    status: RunStatus
    state: Literal["open", "pending", "closed"]

class _Envelope(TypedDict):
    specversion: str
    id: str
    source: str
    type: str
    subject: str
    time: str
    hlc: str
    seen: str
    number: int
    data: RecordData
    prevhash: str
    signature: str

class EventSent(_Envelope):
    """A record as a device signs it, a CloudEvents 1.0 envelope; what is not of this shape is answered, not refused."""

    person: str

class PersonNamed(TypedDict):
    """A person and what people call them."""

    id: str
    name: str

class KnownToPhone(TypedDict):
    """What a phone knows from its reference of those that returned events speak of."""

    people: NotRequired[list[PersonNamed]]
    procedures: NotRequired[list[Procedure]]

class Event(_Envelope):
    """A record as it is stored; `sequence` and `recordedtime` are the office's. One of its own says `log` and `by`.

    `redacted` is the hash of the record as it was signed, where something was taken out of it.
    """

    person: NotRequired[str]
    log: NotRequired[str]
    by: NotRequired[str]
    sequence: str
    recordedtime: str
    redacted: NotRequired[str]

class TroubleTold(_Trouble):
    """What several runs bring to light, its time as text."""

    time: str

class VesselStanding(_Vessel):
    """A vessel and the state it is in, times as text; with a fault where not all of its runs could be worked out."""

    since: str | None
    chemical: str | None
    proved_until: str | None
    sanitised_until: str | None
    check_due: str | None
    trouble: list[TroubleTold]
    fault: NotRequired[RunsFault]

class DoubtTold(InstrumentDoubt):
    """A run that read with an instrument found out, and when it was opened."""

    title: str
    opened: str

class InstrumentStanding(_Instrument):
    """An instrument and how it stands by its checks, times as text."""

    last_good: str | None
    failed: str | None
    due: str | None
    doubt: list[DoubtTold]

class PersonCard(TypedDict):
    """Somebody who works here."""

    id: str
    name: str
    role: Role

class PublicKey(TypedDict):
    """A P-256 public key (RFC 7517)."""

    kty: str
    crv: str
    x: str
    y: str

class TreeHead(TypedDict):
    """A signed head of the log's Merkle tree; the signature is over the rest, canonical."""

    log: str
    size: int
    root: str
    time: str
    key: PublicKey
    signature: str

class DeviceKey(TypedDict):
    """A device, what it is called, and the key it signs with."""

    id: str
    name: str
    key: PublicKey

class NamedRecipe(TypedDict):
    """A recipe version by its name."""

    id: str
    version: int
    name: str

class GyleLine(TypedDict):
    """A gyle of the list."""

    id: str
    recipe: NamedRecipe | None
    begun: str
    last: str
    runs: int
    open: int
    vessels: list[str]

class GyleBefore(TypedDict):
    """The brew of the same recipe before it."""

    id: str
    recipe: NamedRecipe | None
    begun: str | None
    rows: list[Planned]
    results: list[GyleResult]
    curve: list[Point]
    forecast: Working | None

class LogDoubted(TypedDict):
    """A phone was shown a log that does not go on from what it had been shown; sizes of both."""

    device: str
    name: str
    kind: str
    time: str
    kept: int
    told: int | None

class LogRestored(TypedDict):
    """When the log was put back to a copy, and how many records that had."""

    time: str
    size: int

class NeedsRuns(TypedDict):
    """The newest runs behind each count."""

    faults: list[RunLine]
    deviations: list[RunLine]
    contested: list[RunLine]
    reviews: list[RunLine]

class StandingRun(TypedDict):
    """A run that put chemical in which nothing shows to be out, and since when nothing was recorded of it."""

    run: str
    vessel: str
    title: str
    status: RunStatus
    since: str

class OverrideShare(TypedDict):
    """How often an interlock that was asked was overridden, and whether that is too often for the rule to stay."""

    interlock: str
    title: str
    runs: int
    overridden: int
    redesign: bool

class Quarantined(TypedDict):
    """A record that is kept and not believed."""

    sequence: str
    recordedtime: str
    problem: str | None
    carrier: str | None
    run: str | None
    event: Annotated[
        dict[str, Json],
        Meta(
            description="Open on purpose: the record as it came, whatever it says; that is why it stands here"
        ),
    ]

class Named(TypedDict):
    """A person or device by its id; the name is null when it is not known, or was erased."""

    id: str
    name: str | None

class Administered(TypedDict):
    """One thing that was administered; `by` is who did it: a person, `command-line`, or `server` itself."""

    sequence: str
    recordedtime: str
    kind: str
    by: Named | None
    person: Named | None
    device: Named | None
    data: Annotated[
        dict[str, Json],
        Meta(description="Open on purpose: each kind says other things, and a newer server other kinds"),
    ]

class FigureSigned(TypedDict):
    """Who gave a figure last and when, and what it was before it was changed."""

    by: Named | None
    time: str
    value: str
    before: str | None

class OwnFigure(TypedDict):
    """A figure or statement of the site; `own`: the site's to give; `hazards`: what it bears on."""

    id: str
    label: str
    unit: str
    usual: str
    source: str
    own: bool
    hazards: list[CautionGroup]
    procedures: list[str]
    value: str
    signed: FigureSigned | None
    fault: str | None
    far: bool

class DeviceHeard(TypedDict):
    """A device and how far it was heard."""

    id: str
    name: str
    enrolled: str
    revoked: str | None
    heard: str | None
    number: int
    sequence: str
    offset_ms: int | None

class PersonStanding(TypedDict):
    """Anybody who ever worked here; a name that was erased is null."""

    id: str
    name: str | None
    role: Role
    status: str

class PublishedVersion(TypedDict):
    """One version of a procedure: when, by whom and with what note it was published."""

    version: int
    sha256: str
    published: str
    person: str | None
    note: str | None

class ProcedureVersions(TypedDict):
    """A procedure and its versions, newest first."""

    id: str
    title: str
    kind: ProcedureKind
    versions: list[PublishedVersion]
