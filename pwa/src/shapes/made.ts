/** Made from the core's and the office's stubs by `python -m tests.shapes.make`; not to be edited. */

import type { DeepReadonly } from "./readonly";

declare namespace made {
  /**
   * A person's tap: the records it makes, what the bounds say of it, and what is so after it.
   */
  export interface Acted {
    after: After;
    drafts: Draft[];
    judgement?: Judgement;
  }
  /**
   * What a screen shows once something was folded; `run` and `vessels` hold what changed alone.
   */
  export interface After {
    doubts: Trouble[];
    line: Summary;
    looks: {
      [k: string]: Look;
    };
    run: RunChanges;
    vessels: VesselView[];
  }
  /**
   * What several runs on a vessel, of a gyle or with an instrument bring to light [ms]: a finding and a deviation.
   */
  export interface Trouble {
    answered: Answer | null;
    code: TroubleCode;
    event: string;
    interlock: string | null;
    person: string;
    readings?: DoubtedReading[];
    run: string;
    step: string | null;
    text: string;
    time: number;
    vessel: string | null;
  }
  /**
   * What was done about a deviation; while `pending`, what is to prevent it is still to be done.
   */
  export interface Answer {
    action: string;
    cause?: string;
    due?: string;
    event: string;
    owner?: string;
    pending?: boolean;
    person: string;
    prevention?: string;
    received?: string;
    time: string;
  }
  /**
   * A reading made with an instrument found out, and the finding at it.
   */
  export interface DoubtedReading {
    event: string;
    found: string;
    instrument: string;
    text: string;
  }
  /**
   * One line of a register: who, what, when, and what calls for attention.
   */
  export interface Summary {
    asked: Interlock[];
    bound_for: string | null;
    contested: number;
    deviations: number;
    deviations_open: number;
    done: number;
    elsewhere?: boolean;
    fills: boolean;
    findings: FindingCode[];
    finished: Mark | null;
    gyle: string | null;
    hold: RunningHold | null;
    id: string;
    instruments: InstrumentsUsed;
    kind: ProcedureKind | "";
    leaves: VesselState | null;
    left: Left | null;
    life: Happening[];
    lots_unknown: string[];
    next: string | null;
    opened: Mark | null;
    overrides: string[];
    procedure: string | null;
    proofs: Proof[];
    recipe: RecipeVersion | null;
    review: Review | null;
    shows: {
      [k: string]: number;
    };
    status: RunStatus;
    steps: number;
    strikes: number;
    tally: Tally;
    title: string;
    version: number | null;
    vessel: string | null;
  }
  /**
   * Who did what when; `received` only where the phone's clock was far ahead of it.
   */
  export interface Mark {
    event: string;
    person: string;
    received?: string;
    time: string;
  }
  /**
   * The hold that runs now: since when [ms], and for how long.
   */
  export interface RunningHold {
    seconds: number;
    started: number;
    step: string;
  }
  /**
   * What a run read with named instruments, and what it checked of them.
   */
  export interface InstrumentsUsed {
    answer: DoubtAnswer | null;
    checks: InstrumentCheck[];
    read: InstrumentReading[];
  }
  /**
   * The answer to what was read with an instrument found out, and its place.
   */
  export interface DoubtAnswer {
    action: string;
    at: string;
    cause?: string;
    due?: string;
    event: string;
    owner?: string;
    pending?: boolean;
    person: string;
    prevention?: string;
    received?: string;
    time: string;
  }
  /**
   * What a check said of an instrument [ms].
   */
  export interface InstrumentCheck {
    at: string;
    event: string;
    good: boolean;
    instrument: string;
    person: string;
    text: string;
    time: number;
  }
  /**
   * A reading made with a named instrument.
   */
  export interface InstrumentReading {
    at: string;
    event: string;
    instrument: string;
    step: string;
    text: string;
  }
  /**
   * What a run did to its vessel or its gyle; what follows `what` depends on it.
   */
  export interface Happening {
    answered?: Answer | null;
    at: string;
    clean?: number | null;
    event: string;
    fact?: Fact;
    from?: VesselKind[];
    good?: boolean;
    gyle?: string | null;
    interlock?: Interlock;
    lasting?: Lasting;
    lasts?: number;
    leaves?: VesselState;
    left?: Left;
    minutes?: number;
    named?: string | null;
    on?: VesselKind[] | null;
    override?: string | null;
    person: string;
    proofs?: Proof[];
    sanitised?: number | null;
    step?: string;
    time: number;
    what: What;
    whole?: boolean;
    worked?: string;
  }
  /**
   * How long the two clocks of a vessel last [ms].
   */
  export interface Lasting {
    clean: number;
    sanitised: number;
  }
  /**
   * The recipe a gyle is brewed by, in the version it was begun with.
   */
  export interface RecipeVersion {
    id: string;
    version: number;
  }
  /**
   * A manager's verdict on the run as its digest names it; whoever holds the hashes says whether it still stands.
   */
  export interface Review {
    digest: string;
    event: string;
    lapsed?: Lapsed;
    person: string;
    received?: string;
    stands?: boolean;
    text: string;
    time: string;
    verdict: ReviewVerdict;
  }
  /**
   * Since when a review no longer stands, and how many records it does not cover.
   */
  export interface Lapsed {
    added: number;
    time: string;
  }
  /**
   * How many of a run's records call for a look, by what is said of them.
   *
   *     Readings at `stop` and `advise`; received `late` and stamped by a `clock` in doubt, as far as the office has said
   *     so; from `paper`; by a person who was `unproved`; cut `short`: a hold, or a run finished with steps not done.
   */
  export interface Tally {
    advise: number;
    clock: number;
    late: number;
    paper: number;
    short: number;
    stop: number;
    unproved: number;
  }
  /**
   * What stands before a step for one person.
   */
  export interface Look {
    cautions: CautionShow[];
    interlocks: InterlockView[];
    signers: Role[];
  }
  /**
   * How a caution is shown to one person now.
   */
  export interface CautionShow {
    caution: string;
    show: CautionWay;
  }
  /**
   * What stands against a step: why, what to do, where else, and who may override it.
   */
  export interface InterlockView {
    by: Role[];
    do: string[];
    interlock: Interlock;
    offers: Offer[];
    override: string | null;
    reasons: string[];
    stops: boolean;
    title: string;
  }
  /**
   * Another vessel that would do, and until when [ms].
   */
  export interface Offer {
    id: string;
    name: string;
    state: VesselState;
    until: number | null;
  }
  /**
   * A run with those of its steps that have changed.
   */
  export interface RunChanges {
    deviations: Deviation[];
    events: number;
    findings: Finding[];
    finished: Mark | null;
    gyle: string | null;
    id: string;
    inputs: {
      [k: string]: string;
    };
    kind: ProcedureKind | "";
    last: string[] | null;
    leaves: VesselState | null;
    left: Left | null;
    next: string | null;
    notes: Note[];
    opened: Mark | null;
    order: string[];
    photos: Photo[];
    present: PersonPresent[];
    procedure: string | null;
    proofs: Proof[];
    reason: string | null;
    recipe: RecipeVersion | null;
    review: Review | null;
    sha256: string | null;
    status: RunStatus;
    steps: {
      [k: string]: StepView;
    };
    strikes: Strike[];
    title: string;
    version: number | null;
    vessel: string | null;
  }
  /**
   * What was not as it should be; `trouble` where the office found it in the lives of several runs.
   */
  export interface Deviation {
    answered: Answer | null;
    check?: string;
    event: string;
    interlock?: string | null;
    limit?: string;
    person: string;
    received?: string;
    step: string | null;
    text: string;
    time: string;
    trouble?: TroubleCode;
    value?: string;
  }
  /**
   * What a manager should know of a record.
   */
  export interface Finding {
    code: FindingCode;
    event: string;
    text: string;
  }
  /**
   * What a person wrote down beside the entries.
   */
  export interface Note {
    event: string;
    person: string;
    received?: string;
    step: string | null;
    text: string;
    time: string;
  }
  /**
   * A photo, named by its bytes.
   */
  export interface Photo {
    event: string;
    person: string;
    received?: string;
    sha256: string;
    step: string | null;
    time: string;
  }
  /**
   * Records of one person on one device, and what proves that the person was there: `pin` or `password` that the
   *     server took, `offline` (the phone's word), `before` (no sign-ins were kept then), or nothing.
   */
  export interface PersonPresent {
    device: string;
    how: Presence;
    person: string;
    records: number;
  }
  /**
   * One step of a run as it stands.
   */
  export interface StepView {
    cautions: CautionView[];
    done: Mark | null;
    entries: {
      [k: string]: FieldView;
    };
    hold: HoldView | null;
    raised: string[];
    signed: Mark | null;
    skipped: Skipped | null;
    status: StepStatus;
    waits: Wait[];
  }
  /**
   * A caution of a step and who has met it there.
   */
  export interface CautionView {
    caution: string;
    met: CautionMet[];
  }
  /**
   * One person's meeting of one version of a caution.
   */
  export interface CautionMet {
    event: string;
    person: string;
    received?: string;
    time: string;
    version: number;
  }
  /**
   * What one field of a step holds; `void` says why what stands there does not count.
   */
  export interface FieldView {
    advice: string;
    all: EntryRecord[];
    events: string[];
    limit: string;
    settles: string[];
    source: string;
    status: FieldStatus;
    typed: string | null;
    unit: string;
    value: string | null;
    verdict: Verdict | null;
    void: string;
  }
  /**
   * One entry as it was made; `verdict` and `advice` are what the person was shown.
   */
  export interface EntryRecord {
    advice: string;
    event: string;
    from?: WorkedFrom;
    how: Way;
    instrument?: string;
    limit: string;
    person: string;
    source: string;
    state: EntryState;
    time: string;
    typed: string;
    unit: string;
    value: string;
    verdict: Verdict;
  }
  /**
   * The sum a value was worked by, and what it was given.
   */
  export interface WorkedFrom {
    calculation?: string;
    inputs: {
      [k: string]: string;
    };
  }
  /**
   * How the hold of a step stands; `started` [ms] and `event` while it runs.
   */
  export interface HoldView {
    event?: string;
    seconds: number;
    started?: number;
    state: HoldState;
  }
  /**
   * Why a step was passed by.
   */
  export interface Skipped {
    event: string;
    person: string;
    reason: string;
    received?: string;
    time: string;
  }
  /**
   * Why a step is not open, or cannot be done yet.
   */
  export interface Wait {
    caution?: string;
    code: WaitCode;
    do?: string[];
    field?: string;
    interlock?: string;
    seconds?: number;
    step?: string;
    struck?: string;
    target?: string;
    text: string;
    void?: string;
  }
  /**
   * A record struck out, which stays legible.
   */
  export interface Strike {
    event: string;
    person: string;
    reason: string;
    received?: string;
    target: string;
    time: string;
  }
  /**
   * A vessel and the state it is in; clocks in ms. `chemical`: since when some is in it, while it is cleaned too.
   */
  export interface VesselView {
    brews?: string;
    capacity_l?: string;
    charge_l?: string;
    check_due: number | null;
    chemical: number | null;
    diameter_m?: string;
    doubt: string[];
    gyle: string | null;
    id: string;
    in_use?: boolean;
    kind: VesselKind;
    name: string;
    place: string;
    proved_until: number | null;
    run: string | null;
    sanitised_until: number | null;
    since: number | null;
    state: VesselState;
    trouble: Trouble[];
  }
  /**
   * A record as a tap makes it, before the log writes it.
   */
  export interface Draft {
    /**
     * Open on purpose: what is in it goes by the kind of the record, as the core's table of kinds says
     */
    data: Record<string, unknown>;
    type: EventKind;
  }
  /**
   * What the bounds of an entry say of a value, and the cautions it raises.
   */
  export interface Judgement {
    advice: string;
    limit: string;
    raises: string[];
    source: string;
    value: string;
    verdict: Verdict;
  }
  /**
   * What was read, beside what was planned.
   */
  export interface Actual {
    brew: number;
    difference: string | null;
    field: string;
    person: string;
    run: string;
    step: string;
    time: string;
    value: string;
  }
  /**
   * Hops that go in, by time.
   */
  export interface Addition {
    label: string;
    line: string;
    minutes: string;
    use: HopUse;
  }
  /**
   * One thing that was administered; `by` is who did it: a person, `command-line`, or `server` itself.
   */
  export interface Administered {
    by: Named | null;
    /**
     * Open on purpose: each kind says other things, and a newer server other kinds
     */
    data: Record<string, unknown>;
    device: Named | null;
    kind: string;
    person: Named | null;
    recordedtime: string;
    sequence: string;
  }
  /**
   * A person or device by its id; the name is null when it is not known, or was erased.
   */
  export interface Named {
    id: string;
    name: string | null;
  }
  /**
   * The vessel that an interlock asks about; of one that is not listed here no more than its id is known.
   */
  export interface Aim {
    id: string;
    kind: VesselKind | null;
    name: string;
  }
  export interface Answered {
    entry: string;
    is: string[];
  }
  /**
   * An interlock a step asks: of the run's own vessel, or of the one named; to stop, or to warn.
   */
  export interface Ask {
    full?: boolean;
    interlock: Interlock;
    of?: string;
    on?: VesselKind[];
    warns?: boolean;
  }
  /**
   * One figure that a form asks for.
   */
  export interface Asked {
    default?: string;
    id: string;
    kind?: "choice" | "text";
    label: string;
    longest?: number;
    max?: string;
    min?: string;
    optional?: boolean;
    options?: [string, string][];
    places?: number;
    unit: string;
    uses?: HopUse[];
    whole?: boolean;
  }
  /**
   * Figures asked for together.
   */
  export interface AskedGroup {
    fields: Asked[];
    id: string;
    title: string;
  }
  /**
   * A table of a recipe: its columns, and what a row of it is called.
   */
  export interface AskedTable {
    columns: Asked[];
    id: "grist" | "hops";
    least: number;
    row: string;
    title: string;
  }
  /**
   * A mark of an axis, in thousandths of the drawing.
   */
  export interface AxisMark {
    at: number;
    text: string;
  }
  /**
   * The bands of an entry in words.
   */
  export interface Bands {
    source: string;
    stop: string;
    target: string;
  }
  /**
   * Where a bound takes its number from: exactly one of setting, input, entry and calculation.
   */
  export interface BoundFrom {
    calculation?: string;
    entry?: string;
    input?: string;
    inputs?: {
      [k: string]: string | GivenFrom;
    };
    plus?: string;
    result?: string;
    setting?: string;
  }
  /**
   * A bound, or with `series` all values of one field, or of several as the columns of a table.
   */
  export interface GivenFrom {
    calculation?: string;
    entry?: string;
    input?: string;
    inputs?: {
      [k: string]: string | GivenFrom;
    };
    plus?: string;
    result?: string;
    series?: string | string[];
    setting?: string;
  }
  /**
   * A calculation that an entry may be worked out by: what it is given, and the names of what it gives.
   */
  export interface CalculationChoice {
    inputs: CalculationInput[];
    name: string;
    results: string[];
    title: string;
  }
  /**
   * What a calculation is given.
   */
  export interface CalculationInput {
    id: string;
    label: string;
    unit: string;
  }
  /**
   * What hurts, what to wear, what must be true first, and the states to be seen.
   */
  export interface Caution {
    alarm: boolean;
    codes: string[];
    defer: string;
    effect: string;
    emergency?: number;
    first: string[];
    group: CautionGroup;
    hazard: string;
    id: string;
    minute: string[];
    pictograms: string[];
    seen: string[];
    sources: string[];
    title: string;
    version: number;
    wear: string[];
  }
  /**
   * A caution that a step may name.
   */
  export interface CautionChoice {
    group: CautionGroup;
    id: string;
    title: string;
  }
  /**
   * One difference between two versions, `where` in words.
   */
  export interface Change {
    after: string;
    before: string;
    kind: ChangeKind;
    where: string;
  }
  /**
   * The drawing of a fermentation, in thousandths, y downwards.
   */
  export interface Chart {
    days: AxisMark[];
    forecast: ForecastBand | null;
    gravity: AxisMark[];
    lines: Curve[];
    planned: number | null;
    temperature: AxisMark[];
  }
  /**
   * Where a forecast ends, in thousandths of the drawing.
   */
  export interface ForecastBand {
    end: number;
    high: number;
    low: number;
  }
  /**
   * The points of one brew, `[x, y]` in thousandths of the drawing.
   */
  export interface Curve {
    gravity: [number, number][];
    id: "before" | "now";
    temperature: [number, number][];
  }
  /**
   * Where figures and formulas come from.
   */
  export interface Cited {
    kind: SourceKind;
    note?: string;
    title: string;
  }
  /**
   * A figure of a clean, as it was read, and what its bounds said of it.
   */
  export interface CleanFigure {
    unit: string;
    value: string;
    verdict: Verdict;
  }
  /**
   * What a clean proved: strengths at its two ends, the coldest reading, whole minutes in band and by the clock.
   */
  export interface CleanFigures {
    coldest: CleanFigure | null;
    held: string | null;
    minutes: string | null;
    rinse: CleanRinse[];
    strength_end: CleanFigure | null;
    strength_start: CleanFigure | null;
  }
  /**
   * What a rinse read.
   */
  export interface CleanRinse {
    label: string;
    unit: string;
    value: string;
    verdict: Verdict;
  }
  /**
   * A clean of the cleaning register: who closed it on which device, its figures, what was found, what a review said.
   *
   *     `found` is in words, each once; `reviewed` says whether the review is of the records as they are.
   */
  export interface CleaningLine {
    coldest: CleanFigure | null;
    deviations: number;
    deviations_open: number;
    device: string;
    found: string[];
    gyle: string | null;
    held: string | null;
    left: Left | null;
    minutes: string | null;
    person: string;
    procedure: string | null;
    review: Review | null;
    reviewed: boolean;
    rinse: CleanRinse[];
    run: string;
    status: RunStatus;
    strength_end: CleanFigure | null;
    strength_start: CleanFigure | null;
    time: string;
    title: string;
    version: number | null;
    vessel: string | null;
  }
  /**
   * What to do at the next stage.
   */
  export interface Correction {
    brew: number;
    id: string;
    label: string;
    stage: string;
    working: Working;
  }
  /**
   * A sum worked out, with all that it takes to check it; the first result is the main one.
   */
  export interface Working {
    assumptions: string[];
    calculation: string;
    formula: string;
    inputs: GivenFigure[];
    marks: string[];
    proposed?: string;
    results: Figure[];
    rounding: string;
    sources: Source[];
    steps: Figure[];
    title: string;
  }
  /**
   * What a sum was given: `given` where the value shown is not that, `rows` of a table.
   */
  export interface GivenFigure {
    given?: string;
    id: string;
    label: string;
    rows?: string[][];
    unit: string;
    value: string;
  }
  /**
   * One line of a working, its value as it is shown.
   */
  export interface Figure {
    id: string;
    label: string;
    unit: string;
    value: string;
  }
  /**
   * Where a sum comes from, by its id in the core's list.
   */
  export interface Source {
    id: string;
    kind: SourceKind;
    note?: string;
    title: string;
  }
  /**
   * A deviation of the list: of which run it is, and whether it waits, is followed up (`pending`) or closed.
   */
  export interface DeviationLine {
    answered: Answer | null;
    check?: string;
    event: string;
    gyle: string | null;
    interlock?: string | null;
    limit?: string;
    person: string;
    procedure: string | null;
    received?: string;
    run: string;
    state: "closed" | "open" | "pending";
    status: RunStatus;
    step: string | null;
    text: string;
    time: string;
    title: string;
    trouble?: TroubleCode;
    value?: string;
    vessel: string | null;
  }
  /**
   * A device and how far it was heard.
   */
  export interface DeviceHeard {
    enrolled: string;
    heard: string | null;
    id: string;
    name: string;
    number: number;
    offset_ms: number | null;
    revoked: string | null;
    sequence: string;
  }
  /**
   * A device, what it is called, and the key it signs with.
   */
  export interface DeviceKey {
    id: string;
    key: PublicKey;
    name: string;
  }
  /**
   * A P-256 public key (RFC 7517).
   */
  export interface PublicKey {
    crv: string;
    kty: string;
    x: string;
    y: string;
  }
  /**
   * A run that read with an instrument found out, and when it was opened.
   */
  export interface DoubtTold {
    answered: boolean;
    opened: string;
    run: string;
    texts: string[];
    title: string;
    vessel: string | null;
  }
  /**
   * What a run says of its vessel, its gyle and its instruments, for the lives of those.
   */
  export interface Drawn {
    asked: Interlock[];
    bound_for: string | null;
    fills: boolean;
    instruments: InstrumentsUsed;
    life: Happening[];
    lots_unknown: string[];
    overrides: string[];
    shows: {
      [k: string]: number;
    };
  }
  /**
   * What a step, done, has taken out of a vessel: of the run's own, or of the one of these kinds with this gyle.
   */
  export interface Draws {
    from?: VesselKind[];
    gyle?: string;
    in?: string;
    leaves?: VesselState;
    move?: MoveKind;
    named?: string;
    out?: VolumeOut;
    total?: string;
    when?: Answered;
  }
  /**
   * The volume that left a vessel: as read or measured, or what it held before less what is left in it.
   */
  export interface VolumeOut {
    entry?: string;
    held?: string;
    left?: string;
    measure?: string;
  }
  /**
   * One thing to write down at a step.
   */
  export interface Entry {
    id: string;
    instrument?: InstrumentKind;
    kind: EntryKind;
    label: string;
    least?: number;
    limits?: Limits;
    measures?: string;
    optional?: boolean;
    options?: Option[];
    places?: number;
    raises?: Raise[];
    renews?: string[];
    series?: boolean;
    unit?: string;
    verifies?: boolean;
    works?: Works;
  }
  /**
   * Three bands: inside `target`; between it and `stop`; outside `stop`. A null end is open.
   */
  export interface Limits {
    halt?: string;
    high?: string;
    low?: string;
    source: string;
    stop?: (string | BoundFrom | null)[];
    target: (string | BoundFrom | null)[];
  }
  /**
   * One answer to a choice, and what it means.
   */
  export interface Option {
    advice?: string;
    id: string;
    label: string;
    verdict: Verdict;
  }
  /**
   * A reading beyond a bound raises a caution at once.
   */
  export interface Raise {
    above?: string | BoundFrom;
    below?: string | BoundFrom;
    caution: string;
  }
  /**
   * The calculation that proposes an entry, and what feeds it.
   */
  export interface Works {
    calculation: string;
    inputs: {
      [k: string]: string | GivenFrom;
    };
    proposes: boolean;
    result?: string;
  }
  /**
   * A record as it is stored; `sequence` and `recordedtime` are the office's. One of its own says `log` and `by`.
   *
   *     `redacted` is the hash of the record as it was signed, where something was taken out of it.
   */
  export interface Event {
    by?: string;
    /**
     * Open on purpose: what is in it goes by the kind of the record, as the core's table of kinds says
     */
    data: Record<string, unknown>;
    hlc: string;
    id: string;
    log?: string;
    number: number;
    person?: string;
    prevhash: string;
    recordedtime: string;
    redacted?: string;
    seen: string;
    sequence: string;
    signature: string;
    source: string;
    specversion: string;
    subject: string;
    time: string;
    type: string;
  }
  /**
   * A record as a device signs it, a CloudEvents 1.0 envelope; what is not of this shape is answered, not refused.
   */
  export interface EventSent {
    /**
     * Open on purpose: what is in it goes by the kind of the record, as the core's table of kinds says
     */
    data: Record<string, unknown>;
    hlc: string;
    id: string;
    number: number;
    person: string;
    prevhash: string;
    seen: string;
    signature: string;
    source: string;
    specversion: string;
    subject: string;
    time: string;
    type: string;
  }
  /**
   * What is wrong at a field, `steps.3.title` say; `line` only where a file was read.
   */
  export interface Fault {
    field: string;
    line?: number;
    text: string;
  }
  /**
   * What is wrong at a field of what was sent.
   */
  export interface FieldFault {
    field: string;
    text: string;
  }
  /**
   * A figure of the site that sheets rest on, as it has it and as it is usually.
   */
  export interface FigureOfSite {
    fault: string | null;
    id: string;
    label: string;
    unit: string;
    usual: string;
    value: string;
  }
  /**
   * Who gave a figure last and when, and what it was before it was changed.
   */
  export interface FigureSigned {
    before: string | null;
    by: Named | null;
    time: string;
    value: string;
  }
  /**
   * Whether a vessel may be filled now, after a sanitise or not, and why; `chemical`: the runs whose may be in it.
   */
  export interface FillStanding {
    beer: boolean;
    chemical: string[];
    id: string;
    name: string | null;
    ready: "no" | "now" | "sanitise";
    why: string[];
  }
  /**
   * The fill that a vessel stands on; `proved` are the runs that had proved it fit.
   */
  export interface Filled {
    event: string;
    proved: string[];
    run: string;
    sanitised: number | null;
  }
  /**
   * One field of the form; `fields` inside rows and groups; with `when` it is asked only of rows of these kinds.
   */
  export interface FormField {
    blank?: boolean;
    fields?: FormField[];
    help: string;
    id: string;
    kind: FormKind;
    label: string;
    longest?: number;
    options?: [string, string][];
    required: boolean;
    row?: string;
    when?: string[];
  }
  /**
   * What one interlock found: `never` names states that nobody overrides, `warns` that it does not stop.
   */
  export interface Found {
    do: string[];
    never?: string[];
    offers: Offer[];
    reasons: string[];
    warns?: boolean;
  }
  /**
   * One malt of the grist.
   */
  export interface GristRow {
    extract_pct: string;
    malt: string;
    share_pct: string;
  }
  /**
   * The brew of the same recipe before it.
   */
  export interface GyleBefore {
    begun: string | null;
    curve: Point[];
    forecast: Working | null;
    id: string;
    recipe: NamedRecipe | null;
    results: GyleResult[];
    rows: Planned[];
  }
  /**
   * A point of a fermentation, hours from the first gravity.
   */
  export interface Point {
    gravity: string | null;
    hours: string;
    run: string;
    temperature: string | null;
    time: string;
  }
  /**
   * A recipe version by its name.
   */
  export interface NamedRecipe {
    id: string;
    name: string;
    version: number;
  }
  /**
   * What the readings of a gyle come to.
   */
  export interface GyleResult {
    brew: number;
    id: string;
    label: string;
    site: SiteSetting | null;
    stage: string;
    unit: string;
    value: string;
    working: Working;
  }
  /**
   * The setting of the site that a result could become, and what it is.
   */
  export interface SiteSetting {
    setting: string;
    value: string;
  }
  /**
   * A line of the sheet, planned against actual.
   */
  export interface Planned {
    actual: Actual[];
    id: string;
    label: string;
    per: Per;
    planned: string | null;
    stage: string;
    unit: string;
  }
  /**
   * A gyle of the list.
   */
  export interface GyleLine {
    begun: string;
    id: string;
    last: string;
    open: number;
    recipe: NamedRecipe | null;
    runs: number;
    vessels: string[];
  }
  /**
   * Where a gyle stands: its number, the site's vessels, and the runs that drew it into another gyle.
   */
  export interface GylePlace {
    elsewhere: OpenedRun[];
    gyle: string;
    vessels: VesselCard[];
  }
  /**
   * A run and its procedure as it was opened.
   */
  export interface OpenedRun {
    procedure: Procedure | null;
    run: RunView;
  }
  /**
   * A procedure in one published version; `sha256` is of its RFC 8785 bytes without that.
   */
  export interface Procedure {
    id: string;
    inputs?: Input[];
    kind: ProcedureKind;
    leaves?: VesselState;
    settings?: SiteFigure[];
    sha256: string;
    steps: Step[];
    summary: string;
    title: string;
    version: number;
    vessel_kinds: VesselKind[];
  }
  /**
   * Asked, or filled from the vessel, the recipe or its brew sheet, when a run is opened.
   */
  export interface Input {
    default?: string;
    from?: string;
    id: string;
    kind: "reading" | "text";
    label: string;
    places?: number;
    unit?: string;
  }
  /**
   * A figure of the site that a procedure rests on, with its default and where that comes from.
   */
  export interface SiteFigure {
    default: string;
    id: string;
    label: string;
    source: string;
    unit?: string;
  }
  /**
   * One step of a procedure, in the order a careful brewer does it.
   */
  export interface Step {
    anytime?: boolean;
    asks?: Ask[];
    cautions?: string[];
    checks?: boolean;
    chemical?: "in" | "out";
    critical?: boolean;
    draws?: Draws;
    ends?: Fact[];
    entries?: Entry[];
    fills?: boolean;
    hold?: HoldFor;
    how: string;
    id: string;
    needs?: string[];
    never_locked?: boolean;
    opens?: boolean;
    optional?: boolean;
    proof?: Proof;
    readies?: boolean;
    shows?: Fact[];
    title: string;
    who?: Signer;
    why: string;
  }
  /**
   * The least time a step must last.
   */
  export interface HoldFor {
    seconds: string | BoundFrom;
  }
  /**
   * A whole run as it stands.
   */
  export interface RunView {
    asked: Interlock[];
    bound_for: string | null;
    deviations: Deviation[];
    events: number;
    fills: boolean;
    findings: Finding[];
    finished: Mark | null;
    gyle: string | null;
    id: string;
    inputs: {
      [k: string]: string;
    };
    instruments: InstrumentsUsed;
    kind: ProcedureKind | "";
    last: string[] | null;
    leaves: VesselState | null;
    left: Left | null;
    life: Happening[];
    lots_unknown: string[];
    next: string | null;
    notes: Note[];
    opened: Mark | null;
    order: string[];
    overrides: string[];
    photos: Photo[];
    present: PersonPresent[];
    procedure: string | null;
    proofs: Proof[];
    reason: string | null;
    recipe: RecipeVersion | null;
    review: Review | null;
    sha256: string | null;
    shows: {
      [k: string]: number;
    };
    status: RunStatus;
    steps: {
      [k: string]: StepView;
    };
    strikes: Strike[];
    title: string;
    version: number | null;
    vessel: string | null;
  }
  /**
   * A vessel of the site as it is listed.
   */
  export interface VesselCard {
    brews?: string;
    capacity_l?: string;
    charge_l?: string;
    diameter_m?: string;
    id: string;
    in_use?: boolean;
    kind: VesselKind;
    name: string;
    place: string;
  }
  /**
   * A live entry that measures a line of the sheet.
   */
  export interface GyleReading {
    brew: number;
    field: string;
    measure: string;
    person: string;
    run: string;
    series: boolean;
    step: string;
    time: string;
    unit: string;
    value: string;
  }
  /**
   * A gyle from its sheet and its runs.
   */
  export interface GyleView {
    brews: number;
    chart: Chart | null;
    corrections: Correction[];
    curve: Point[];
    forecast: Working | null;
    moves: Moves | null;
    readings: GyleReading[];
    results: GyleResult[];
    rows: Planned[];
    sheet: Sheet | null;
    tun: TunFit | null;
  }
  /**
   * The moves of a gyle in order of time, and its losses once none of it is left in a tank.
   */
  export interface Moves {
    account: Working | null;
    rows: Move[];
  }
  /**
   * Beer moved: what went out, what came in, and what was lost; `gyle` is the other one of a blend.
   */
  export interface Move {
    empty: boolean;
    from: string[];
    gyle: string | null;
    in: string | null;
    loss: string | null;
    loss_pct: string | null;
    lost: string;
    lost_pct: string | null;
    move: MoveKind;
    out: string | null;
    person: string;
    run: string;
    step: string;
    time: string;
    title: string;
    to: string | null;
    unit: string;
    working: Working | null;
  }
  /**
   * A recipe worked out: what to weigh, heat, collect and expect.
   */
  export interface Sheet {
    additions: Addition[];
    brews: string;
    faults: FieldFault[];
    lines: SheetLine[];
    name: string;
    recipe: string | null;
    stages: [string, string][];
    version: number | null;
  }
  /**
   * One line of a brew sheet; `quiet` where it is said elsewhere on it.
   */
  export interface SheetLine {
    fault: string | null;
    id: string;
    label: string;
    minutes?: string;
    per: Per;
    quiet?: boolean;
    stage: string;
    unit: string;
    value: string | null;
    working: Working | null;
  }
  /**
   * The tun's own constants from past mashes, and those the site goes by.
   */
  export interface TunFit {
    site: SiteSetting[];
    working: Working;
  }
  /**
   * What the runs held on a vessel say of it, as its life is replayed; clocks in ms.
   */
  export interface Held {
    busy: {
      [k: string]: string | null;
    };
    chemical: {
      [k: string]: number;
    };
    clean: number | null;
    clean_by: string | null;
    cleaning: {
      [k: string]: string;
    };
    disturbed: string | null;
    filled: Filled | null;
    gone: {
      [k: string]: Happening;
    };
    good: number | null;
    gyle: string | null;
    known: boolean;
    opened: number | null;
    ready: LineReady | null;
    sanitised: number | null;
    sanitised_by: string | null;
    since: number | null;
    state: VesselState;
    trouble: Trouble[];
    whole: number | null;
  }
  /**
   * The pre-start that a line stands on.
   */
  export interface LineReady {
    gyle: string | null;
    run: string;
    until: number;
  }
  /**
   * One addition of hops; which figures it has goes by `use`.
   */
  export interface HopRow {
    alpha_pct: string;
    dose_g_l?: string;
    hop: string;
    lot?: string;
    minutes?: string;
    share_pct?: string;
    use: HopUse;
  }
  /**
   * An instrument of the site as it is listed.
   */
  export interface InstrumentCard {
    check_days: number;
    id: string;
    in_use: boolean;
    kind: InstrumentKind;
    name: string;
    place: string;
  }
  /**
   * What an entry can be read with, and what it most likely is.
   */
  export interface InstrumentChoices {
    proposed: string | null;
    rows: InstrumentView[];
  }
  /**
   * An instrument and how it stands by its checks; times in ms.
   */
  export interface InstrumentView {
    check_days: number;
    doubt: InstrumentDoubt[];
    due: number | null;
    failed: number | null;
    id: string;
    in_use: boolean;
    kind: InstrumentKind;
    last_good: number | null;
    name: string;
    place: string;
    state: InstrumentState;
  }
  /**
   * A run that read with an instrument found out, and what it read.
   */
  export interface InstrumentDoubt {
    answered: boolean;
    run: string;
    texts: string[];
    vessel: string | null;
  }
  /**
   * An instrument and how it stands by its checks, times as text.
   */
  export interface InstrumentStanding {
    check_days: number;
    doubt: DoubtTold[];
    due: string | null;
    failed: string | null;
    id: string;
    in_use: boolean;
    kind: InstrumentKind;
    last_good: string | null;
    name: string;
    place: string;
    state: InstrumentState;
  }
  /**
   * The instruments as they stand on a phone, and what those found out put in doubt.
   */
  export interface InstrumentsHeld {
    doubts: Trouble[];
    rows: InstrumentView[];
  }
  /**
   * What a phone knows from its reference of those that returned events speak of.
   */
  export interface KnownToPhone {
    people?: PersonNamed[];
    procedures?: Procedure[];
  }
  /**
   * A person and what people call them.
   */
  export interface PersonNamed {
    id: string;
    name: string;
  }
  /**
   * What the lives of vessels, gyles and instruments read of a run.
   */
  export interface Line {
    asked: Interlock[];
    bound_for: string | null;
    elsewhere?: boolean;
    fills: boolean;
    gyle: string | null;
    id: string;
    instruments: InstrumentsUsed;
    kind: ProcedureKind | "";
    leaves: VesselState | null;
    life: Happening[];
    lots_unknown: string[];
    opened: Mark | null;
    overrides: string[];
    shows: {
      [k: string]: number;
    };
    status: RunStatus;
    vessel: string | null;
  }
  /**
   * A phone was shown a log that does not go on from what it had been shown; sizes of both.
   */
  export interface LogDoubted {
    device: string;
    kept: number;
    kind: string;
    name: string;
    time: string;
    told: number | null;
  }
  /**
   * When the log was put back to a copy, and how many records that had.
   */
  export interface LogRestored {
    size: number;
    time: string;
  }
  /**
   * A person's meeting of a caution in any run [ms].
   */
  export interface MetBefore {
    at: number;
    caution: string;
    version: number;
  }
  /**
   * The newest runs behind each count.
   */
  export interface NeedsRuns {
    contested: RunLine[];
    deviations: RunLine[];
    faults: RunLine[];
    reviews: RunLine[];
  }
  /**
   * A line of the office's register; `reviewed` says whether a review of the run as it is stands.
   */
  export interface RunLine {
    asked: Interlock[];
    bound_for: string | null;
    contested: number;
    deviations: number;
    deviations_open: number;
    digest?: string;
    done: number;
    elsewhere?: boolean;
    fault?: RunFault;
    fills: boolean;
    findings: FindingCode[];
    finished: Mark | null;
    gyle: string | null;
    hold: RunningHold | null;
    id: string;
    instruments: InstrumentsUsed;
    kind: ProcedureKind | "";
    leaves: VesselState | null;
    left: Left | null;
    life: Happening[];
    lots_unknown: string[];
    next: string | null;
    opened: Mark | null;
    overrides: string[];
    procedure: string | null;
    proofs: Proof[];
    recipe: RecipeVersion | null;
    review: Review | null;
    reviewed: boolean;
    shows: {
      [k: string]: number;
    };
    status: RunStatus;
    steps: number;
    strikes: number;
    tally: Tally;
    title: string;
    version: number | null;
    vessel: string | null;
  }
  /**
   * Why a run could not be worked out, and up to which record; what is shown is the last that could.
   */
  export interface RunFault {
    code: string;
    sequence?: string;
    text: string;
  }
  /**
   * A procedure as far as it is weighed what to propose.
   */
  export interface OfferedProcedure {
    id: string;
    kind: ProcedureKind;
    leaves?: VesselState | null;
    steps: OfferedStep[];
    title: string;
    vessel_kinds: VesselKind[];
  }
  /**
   * What a step says of what it does to its vessel.
   */
  export interface OfferedStep {
    asks?: Ask[];
    checks?: boolean;
    chemical?: "in" | "out";
    draws?: Draws;
    ends?: Fact[];
    fills?: boolean;
    opens?: boolean;
    proof?: Proof;
    shows?: Fact[];
  }
  /**
   * How often an interlock that was asked was overridden, and whether that is too often for the rule to stay.
   */
  export interface OverrideShare {
    interlock: string;
    overridden: number;
    redesign: boolean;
    runs: number;
    title: string;
  }
  /**
   * A figure or statement of the site; `own`: the site's to give; `hazards`: what it bears on.
   */
  export interface OwnFigure {
    far: boolean;
    fault: string | null;
    hazards: CautionGroup[];
    id: string;
    label: string;
    own: boolean;
    procedures: string[];
    signed: FigureSigned | null;
    source: string;
    unit: string;
    usual: string;
    value: string;
  }
  /**
   * Somebody who works here.
   */
  export interface PersonCard {
    id: string;
    name: string;
    role: Role;
  }
  /**
   * Anybody who ever worked here; a name that was erased is null.
   */
  export interface PersonStanding {
    id: string;
    name: string | null;
    role: Role;
    status: string;
  }
  /**
   * A procedure as it is written, without the hash it gets on being published.
   */
  export interface ProcedureFile {
    id: string;
    inputs?: Input[];
    kind: ProcedureKind;
    leaves?: VesselState;
    settings?: SiteFigure[];
    steps: Step[];
    summary: string;
    title: string;
    version: number;
    vessel_kinds: VesselKind[];
  }
  /**
   * A procedure and its versions, newest first.
   */
  export interface ProcedureVersions {
    id: string;
    kind: ProcedureKind;
    title: string;
    versions: PublishedVersion[];
  }
  /**
   * One version of a procedure: when, by whom and with what note it was published.
   */
  export interface PublishedVersion {
    note: string | null;
    person: string | null;
    published: string;
    sha256: string;
    version: number;
  }
  /**
   * A procedure to begin: where its press stands, whether it fits, the reason in a word, an open run alike.
   */
  export interface Proposal {
    deed: Deed;
    due: boolean;
    fit: boolean;
    place: ProposalPlace;
    procedure: string;
    run: string | null;
    vessel: string | null;
    why: string;
  }
  /**
   * A record that is kept and not believed.
   */
  export interface Quarantined {
    carrier: string | null;
    /**
     * Open on purpose: the record as it came, whatever it says; that is why it stands here
     */
    event: Record<string, unknown>;
    problem: string | null;
    recordedtime: string;
    run: string | null;
    sequence: string;
  }
  /**
   * One version of a recipe: figures as decimal texts.
   */
  export interface Recipe {
    attenuation_pct: string;
    bitterness_ibu: string;
    boil_min: string;
    brews: "1" | "2";
    calcium_mg_l?: string;
    chloride_mg_l?: string;
    efficiency_pct?: string;
    ferment_c: string;
    grist: GristRow[];
    hops: HopRow[];
    id: string;
    magnesium_mg_l?: string;
    mash_temp_c: string;
    name: string;
    notes?: string;
    original_sg: string;
    ph?: string;
    pitch_c: string;
    pitch_rate: string;
    ratio_l_kg: string;
    sodium_mg_l?: string;
    stand_c?: string;
    stand_min?: string;
    sulphate_mg_l?: string;
    version: number;
    volume_l: string;
    yeast: string;
  }
  /**
   * What a recipe holds, as data.
   */
  export interface RecipeForm {
    groups: AskedGroup[];
    tables: AskedTable[];
  }
  /**
   * A run without its steps.
   */
  export interface RunHead {
    deviations: Deviation[];
    events: number;
    findings: Finding[];
    finished: Mark | null;
    gyle: string | null;
    id: string;
    inputs: {
      [k: string]: string;
    };
    kind: ProcedureKind | "";
    last: string[] | null;
    leaves: VesselState | null;
    left: Left | null;
    next: string | null;
    notes: Note[];
    opened: Mark | null;
    order: string[];
    photos: Photo[];
    present: PersonPresent[];
    procedure: string | null;
    proofs: Proof[];
    reason: string | null;
    recipe: RecipeVersion | null;
    review: Review | null;
    sha256: string | null;
    status: RunStatus;
    strikes: Strike[];
    title: string;
    version: number | null;
    vessel: string | null;
  }
  /**
   * A run with all that the office found of it; `digest` is SHA-256 (hex) over its records' hashes.
   */
  export interface RunHeld {
    asked: Interlock[];
    bound_for: string | null;
    deviations: Deviation[];
    digest: string;
    events: number;
    fills: boolean;
    findings: Finding[];
    finished: Mark | null;
    gyle: string | null;
    id: string;
    inputs: {
      [k: string]: string;
    };
    instruments: InstrumentsUsed;
    kind: ProcedureKind | "";
    last: string[] | null;
    leaves: VesselState | null;
    left: Left | null;
    life: Happening[];
    lots_unknown: string[];
    next: string | null;
    notes: Note[];
    opened: Mark | null;
    order: string[];
    overrides: string[];
    photos: Photo[];
    present: PersonPresent[];
    procedure: string | null;
    proofs: Proof[];
    reason: string | null;
    recipe: RecipeVersion | null;
    review: Review | null;
    sha256: string | null;
    shows: {
      [k: string]: number;
    };
    status: RunStatus;
    steps: {
      [k: string]: StepView;
    };
    strikes: Strike[];
    title: string;
    version: number | null;
    vessel: string | null;
  }
  /**
   * Which runs could not be worked out, so that what is shown lacks what they say.
   */
  export interface RunsFault {
    code: string;
    runs: string[];
  }
  /**
   * The plant as it stands on a phone.
   */
  export interface Stand {
    doubts: Trouble[];
    vessels: VesselView[];
  }
  /**
   * A run that put chemical in which nothing shows to be out, and since when nothing was recorded of it.
   */
  export interface StandingRun {
    run: string;
    since: string;
    status: RunStatus;
    title: string;
    vessel: string;
  }
  /**
   * What is wrong with an input of a sum.
   */
  export interface SumFault {
    code: string;
    field: string;
    text: string;
  }
  /**
   * An entry of an open step that a result of a sum fits.
   */
  export interface Taker {
    field: string;
    label: string;
    step: string;
    title: string;
    unit: string;
    value: string | null;
  }
  /**
   * A signed head of the log's Merkle tree; the signature is over the rest, canonical.
   */
  export interface TreeHead {
    key: PublicKey;
    log: string;
    root: string;
    signature: string;
    size: number;
    time: string;
  }
  /**
   * What several runs bring to light, its time as text.
   */
  export interface TroubleTold {
    answered: Answer | null;
    code: TroubleCode;
    event: string;
    interlock: string | null;
    person: string;
    readings?: DoubtedReading[];
    run: string;
    step: string | null;
    text: string;
    time: string;
    vessel: string | null;
  }
  /**
   * A vessel and the state it is in, times as text; with a fault where not all of its runs could be worked out.
   */
  export interface VesselStanding {
    brews?: string;
    capacity_l?: string;
    charge_l?: string;
    check_due: string | null;
    chemical: string | null;
    diameter_m?: string;
    doubt: string[];
    fault?: RunsFault;
    gyle: string | null;
    id: string;
    in_use?: boolean;
    kind: VesselKind;
    name: string;
    place: string;
    proved_until: string | null;
    run: string | null;
    sanitised_until: string | null;
    since: string | null;
    state: VesselState;
    trouble: TroubleTold[];
  }
}

export type Acted = DeepReadonly<made.Acted>;
export type Actual = DeepReadonly<made.Actual>;
export type Addition = DeepReadonly<made.Addition>;
export type Administered = DeepReadonly<made.Administered>;
export type After = DeepReadonly<made.After>;
export type Aim = DeepReadonly<made.Aim>;
export type Answer = DeepReadonly<made.Answer>;
export type Answered = DeepReadonly<made.Answered>;
export type Ask = DeepReadonly<made.Ask>;
export type Asked = DeepReadonly<made.Asked>;
export type AskedGroup = DeepReadonly<made.AskedGroup>;
export type AskedTable = DeepReadonly<made.AskedTable>;
export type AxisMark = DeepReadonly<made.AxisMark>;
export type Bands = DeepReadonly<made.Bands>;
export type BoundFrom = DeepReadonly<made.BoundFrom>;
export type CalculationChoice = DeepReadonly<made.CalculationChoice>;
export type CalculationInput = DeepReadonly<made.CalculationInput>;
export type Caution = DeepReadonly<made.Caution>;
export type CautionChoice = DeepReadonly<made.CautionChoice>;
export type CautionMet = DeepReadonly<made.CautionMet>;
export type CautionShow = DeepReadonly<made.CautionShow>;
export type CautionView = DeepReadonly<made.CautionView>;
export type Change = DeepReadonly<made.Change>;
export type Chart = DeepReadonly<made.Chart>;
export type Cited = DeepReadonly<made.Cited>;
export type CleanFigure = DeepReadonly<made.CleanFigure>;
export type CleanFigures = DeepReadonly<made.CleanFigures>;
export type CleanRinse = DeepReadonly<made.CleanRinse>;
export type CleaningLine = DeepReadonly<made.CleaningLine>;
export type Correction = DeepReadonly<made.Correction>;
export type Curve = DeepReadonly<made.Curve>;
export type Deviation = DeepReadonly<made.Deviation>;
export type DeviationLine = DeepReadonly<made.DeviationLine>;
export type DeviceHeard = DeepReadonly<made.DeviceHeard>;
export type DeviceKey = DeepReadonly<made.DeviceKey>;
export type DoubtAnswer = DeepReadonly<made.DoubtAnswer>;
export type DoubtTold = DeepReadonly<made.DoubtTold>;
export type DoubtedReading = DeepReadonly<made.DoubtedReading>;
export type Draft = DeepReadonly<made.Draft>;
export type Drawn = DeepReadonly<made.Drawn>;
export type Draws = DeepReadonly<made.Draws>;
export type Entry = DeepReadonly<made.Entry>;
export type EntryRecord = DeepReadonly<made.EntryRecord>;
export type Event = DeepReadonly<made.Event>;
export type EventSent = DeepReadonly<made.EventSent>;
export type Fault = DeepReadonly<made.Fault>;
export type FieldFault = DeepReadonly<made.FieldFault>;
export type FieldView = DeepReadonly<made.FieldView>;
export type Figure = DeepReadonly<made.Figure>;
export type FigureOfSite = DeepReadonly<made.FigureOfSite>;
export type FigureSigned = DeepReadonly<made.FigureSigned>;
export type FillStanding = DeepReadonly<made.FillStanding>;
export type Filled = DeepReadonly<made.Filled>;
export type Finding = DeepReadonly<made.Finding>;
export type ForecastBand = DeepReadonly<made.ForecastBand>;
export type FormField = DeepReadonly<made.FormField>;
export type Found = DeepReadonly<made.Found>;
export type GivenFigure = DeepReadonly<made.GivenFigure>;
export type GivenFrom = DeepReadonly<made.GivenFrom>;
export type GristRow = DeepReadonly<made.GristRow>;
export type GyleBefore = DeepReadonly<made.GyleBefore>;
export type GyleLine = DeepReadonly<made.GyleLine>;
export type GylePlace = DeepReadonly<made.GylePlace>;
export type GyleReading = DeepReadonly<made.GyleReading>;
export type GyleResult = DeepReadonly<made.GyleResult>;
export type GyleView = DeepReadonly<made.GyleView>;
export type Happening = DeepReadonly<made.Happening>;
export type Held = DeepReadonly<made.Held>;
export type HoldFor = DeepReadonly<made.HoldFor>;
export type HoldView = DeepReadonly<made.HoldView>;
export type HopRow = DeepReadonly<made.HopRow>;
export type Input = DeepReadonly<made.Input>;
export type InstrumentCard = DeepReadonly<made.InstrumentCard>;
export type InstrumentCheck = DeepReadonly<made.InstrumentCheck>;
export type InstrumentChoices = DeepReadonly<made.InstrumentChoices>;
export type InstrumentDoubt = DeepReadonly<made.InstrumentDoubt>;
export type InstrumentReading = DeepReadonly<made.InstrumentReading>;
export type InstrumentStanding = DeepReadonly<made.InstrumentStanding>;
export type InstrumentView = DeepReadonly<made.InstrumentView>;
export type InstrumentsHeld = DeepReadonly<made.InstrumentsHeld>;
export type InstrumentsUsed = DeepReadonly<made.InstrumentsUsed>;
export type InterlockView = DeepReadonly<made.InterlockView>;
export type Judgement = DeepReadonly<made.Judgement>;
export type KnownToPhone = DeepReadonly<made.KnownToPhone>;
export type Lapsed = DeepReadonly<made.Lapsed>;
export type Lasting = DeepReadonly<made.Lasting>;
export type Limits = DeepReadonly<made.Limits>;
export type Line = DeepReadonly<made.Line>;
export type LineReady = DeepReadonly<made.LineReady>;
export type LogDoubted = DeepReadonly<made.LogDoubted>;
export type LogRestored = DeepReadonly<made.LogRestored>;
export type Look = DeepReadonly<made.Look>;
export type Mark = DeepReadonly<made.Mark>;
export type MetBefore = DeepReadonly<made.MetBefore>;
export type Move = DeepReadonly<made.Move>;
export type Moves = DeepReadonly<made.Moves>;
export type Named = DeepReadonly<made.Named>;
export type NamedRecipe = DeepReadonly<made.NamedRecipe>;
export type NeedsRuns = DeepReadonly<made.NeedsRuns>;
export type Note = DeepReadonly<made.Note>;
export type Offer = DeepReadonly<made.Offer>;
export type OfferedProcedure = DeepReadonly<made.OfferedProcedure>;
export type OfferedStep = DeepReadonly<made.OfferedStep>;
export type OpenedRun = DeepReadonly<made.OpenedRun>;
export type Option = DeepReadonly<made.Option>;
export type OverrideShare = DeepReadonly<made.OverrideShare>;
export type OwnFigure = DeepReadonly<made.OwnFigure>;
export type PersonCard = DeepReadonly<made.PersonCard>;
export type PersonNamed = DeepReadonly<made.PersonNamed>;
export type PersonPresent = DeepReadonly<made.PersonPresent>;
export type PersonStanding = DeepReadonly<made.PersonStanding>;
export type Photo = DeepReadonly<made.Photo>;
export type Planned = DeepReadonly<made.Planned>;
export type Point = DeepReadonly<made.Point>;
export type Procedure = DeepReadonly<made.Procedure>;
export type ProcedureFile = DeepReadonly<made.ProcedureFile>;
export type ProcedureVersions = DeepReadonly<made.ProcedureVersions>;
export type Proposal = DeepReadonly<made.Proposal>;
export type PublicKey = DeepReadonly<made.PublicKey>;
export type PublishedVersion = DeepReadonly<made.PublishedVersion>;
export type Quarantined = DeepReadonly<made.Quarantined>;
export type Raise = DeepReadonly<made.Raise>;
export type Recipe = DeepReadonly<made.Recipe>;
export type RecipeForm = DeepReadonly<made.RecipeForm>;
export type RecipeVersion = DeepReadonly<made.RecipeVersion>;
export type Review = DeepReadonly<made.Review>;
export type RunChanges = DeepReadonly<made.RunChanges>;
export type RunFault = DeepReadonly<made.RunFault>;
export type RunHead = DeepReadonly<made.RunHead>;
export type RunHeld = DeepReadonly<made.RunHeld>;
export type RunLine = DeepReadonly<made.RunLine>;
export type RunView = DeepReadonly<made.RunView>;
export type RunningHold = DeepReadonly<made.RunningHold>;
export type RunsFault = DeepReadonly<made.RunsFault>;
export type Sheet = DeepReadonly<made.Sheet>;
export type SheetLine = DeepReadonly<made.SheetLine>;
export type SiteFigure = DeepReadonly<made.SiteFigure>;
export type SiteSetting = DeepReadonly<made.SiteSetting>;
export type Skipped = DeepReadonly<made.Skipped>;
export type Source = DeepReadonly<made.Source>;
export type Stand = DeepReadonly<made.Stand>;
export type StandingRun = DeepReadonly<made.StandingRun>;
export type Step = DeepReadonly<made.Step>;
export type StepView = DeepReadonly<made.StepView>;
export type Strike = DeepReadonly<made.Strike>;
export type SumFault = DeepReadonly<made.SumFault>;
export type Summary = DeepReadonly<made.Summary>;
export type Taker = DeepReadonly<made.Taker>;
export type Tally = DeepReadonly<made.Tally>;
export type TreeHead = DeepReadonly<made.TreeHead>;
export type Trouble = DeepReadonly<made.Trouble>;
export type TroubleTold = DeepReadonly<made.TroubleTold>;
export type TunFit = DeepReadonly<made.TunFit>;
export type VesselCard = DeepReadonly<made.VesselCard>;
export type VesselStanding = DeepReadonly<made.VesselStanding>;
export type VesselView = DeepReadonly<made.VesselView>;
export type VolumeOut = DeepReadonly<made.VolumeOut>;
export type Wait = DeepReadonly<made.Wait>;
export type WorkedFrom = DeepReadonly<made.WorkedFrom>;
export type Working = DeepReadonly<made.Working>;
export type Works = DeepReadonly<made.Works>;

export const ACTION = [
  "open",
  "caution",
  "enter",
  "settle",
  "done",
  "skip",
  "hold-start",
  "hold-end",
  "sign",
  "note",
  "deviate",
  "override",
  "answer",
  "strike",
  "finish",
  "abandon",
  "review",
] as const;
export type Action = (typeof ACTION)[number];
export type AdministrationKind =
  | "person.changed"
  | "person.secret-set"
  | "person.retired"
  | "person.signed-in"
  | "person.signed-out"
  | "sign-ins.kept"
  | "sign-in.refused"
  | "code.made"
  | "device.enrolled"
  | "device.revoked"
  | "procedure.published"
  | "setting.changed"
  | "recipe.changed"
  | "instrument.changed"
  | "vessel.changed"
  | "event.redacted"
  | "announcement.put-away"
  | "record.judged-again"
  | "log.restored"
  | "log.doubted";
export const CAUTION_GROUP = ["chemical", "heat", "gas", "pressure", "entry", "machine", "body"] as const;
export type CautionGroup = (typeof CAUTION_GROUP)[number];
export const CAUTION_WAY = ["full", "state", "still", "met"] as const;
export type CautionWay = (typeof CAUTION_WAY)[number];
export const CHANGE_KIND = ["added", "removed", "moved", "changed"] as const;
export type ChangeKind = (typeof CHANGE_KIND)[number];
export type Deed =
  | "safe"
  | "clean"
  | "sanitise"
  | "fill"
  | "add"
  | "brew"
  | "dig"
  | "check"
  | "look"
  | "beer"
  | "other"
  | "trouble";
export const ENTRY_KIND = ["reading", "choice", "text", "lot", "photo", "count"] as const;
export type EntryKind = (typeof ENTRY_KIND)[number];
export const ENTRY_STATE = ["live", "void", "superseded", "struck", "contested"] as const;
export type EntryState = (typeof ENTRY_STATE)[number];
export type EventKind =
  | "run.opened"
  | "caution.met"
  | "entry.made"
  | "entry.settled"
  | "step.done"
  | "step.skipped"
  | "hold.started"
  | "hold.ended"
  | "sign.given"
  | "note.added"
  | "photo.added"
  | "deviation.raised"
  | "deviation.answered"
  | "struck"
  | "run.finished"
  | "run.abandoned"
  | "run.reviewed";
export const FACT = ["stable", "limit", "diacetyl", "creep", "ph", "carbonation", "released"] as const;
export type Fact = (typeof FACT)[number];
export const FIELD_STATUS = ["empty", "live", "contested"] as const;
export type FieldStatus = (typeof FIELD_STATUS)[number];
export const FINDING_CODE = [
  "unknown-procedure",
  "procedure-differs",
  "not-opened",
  "opened-twice",
  "bad-data",
  "bad-time",
  "clock-ahead",
  "seen-ahead",
  "taken-out",
  "too-many",
  "unauthorised",
  "person-not-proved",
  "desk-closed",
  "own-work",
  "own-work-alone",
  "unknown-step",
  "unknown-field",
  "bad-value",
  "typed-differs",
  "unit-differs",
  "verdict-differs",
  "unjudged",
  "sum-differs",
  "sum-for-reading",
  "instrument-out",
  "instrument-other",
  "from-paper",
  "early",
  "again",
  "skipped",
  "done-unready",
  "caution-unmet",
  "hold-short",
  "second-same",
  "target-unknown",
  "strike-refused",
  "void",
  "contested",
  "earlier-reopened",
  "finished-early",
  "finished-twice",
  "override-refused",
  "overridden",
  "never-skipped",
  "left-chemical",
  "late",
  "review-lapsed",
  "filled-unproved",
  "dosed-filled",
  "released-unfit",
  "packaged-unfit",
  "let-go-unknown",
  "held-since",
  "check-missed",
  "instrument-doubt",
  "review-rejected",
  "stale-authority",
  "clock-offset",
  "received-late",
  "gap",
  "device-revoked",
] as const;
export type FindingCode = (typeof FINDING_CODE)[number];
export const FOLD_FINDING = [
  "unknown-procedure",
  "procedure-differs",
  "not-opened",
  "opened-twice",
  "bad-data",
  "bad-time",
  "clock-ahead",
  "seen-ahead",
  "taken-out",
  "too-many",
  "unauthorised",
  "person-not-proved",
  "desk-closed",
  "own-work",
  "own-work-alone",
  "unknown-step",
  "unknown-field",
  "bad-value",
  "typed-differs",
  "unit-differs",
  "verdict-differs",
  "unjudged",
  "sum-differs",
  "sum-for-reading",
  "instrument-out",
  "instrument-other",
  "from-paper",
  "early",
  "again",
  "skipped",
  "done-unready",
  "caution-unmet",
  "hold-short",
  "second-same",
  "target-unknown",
  "strike-refused",
  "void",
  "contested",
  "earlier-reopened",
  "finished-early",
  "finished-twice",
  "override-refused",
  "overridden",
  "never-skipped",
  "left-chemical",
  "late",
  "review-lapsed",
] as const;
export type FoldFinding = (typeof FOLD_FINDING)[number];
export const FORM_KIND = [
  "line",
  "text",
  "name",
  "choice",
  "whole",
  "flag",
  "many",
  "cautions",
  "caution",
  "needs",
  "bound",
  "band",
  "group",
  "rows",
  "block",
] as const;
export type FormKind = (typeof FORM_KIND)[number];
export const HOLD_STATE = ["idle", "running", "over"] as const;
export type HoldState = (typeof HOLD_STATE)[number];
export const HOP_USE = ["boil", "whirlpool", "dry"] as const;
export type HopUse = (typeof HOP_USE)[number];
export const INSTRUMENT_KIND = [
  "burette",
  "co2-meter",
  "conductivity-meter",
  "dissolved-co2-meter",
  "flow-meter",
  "gas-monitor",
  "hydrometer",
  "level-gauge",
  "microscope",
  "oxygen-meter",
  "oxygen-monitor",
  "ph-meter",
  "pressure-gauge",
  "scales",
  "seam-gauge",
  "test-strip",
  "thermometer",
  "timer",
] as const;
export type InstrumentKind = (typeof INSTRUMENT_KIND)[number];
export const INSTRUMENT_STATE = ["good", "due", "failed", "out"] as const;
export type InstrumentState = (typeof INSTRUMENT_STATE)[number];
export const INTERLOCK = [
  "fill",
  "add",
  "empty",
  "contact",
  "release",
  "release-cask",
  "package",
  "canning-run",
  "lots",
  "figures",
  "pressure",
  "gas",
  "entry",
  "vent",
] as const;
export type Interlock = (typeof INTERLOCK)[number];
export const LEFT = [
  "soiled",
  "rinsed",
  "chemical",
  "co2",
  "pressure",
  "hot",
  "locked",
  "filled",
  "out",
] as const;
export type Left = (typeof LEFT)[number];
export const MOVE_KIND = ["cast", "transfer", "rack", "pack", "blend", "dump"] as const;
export type MoveKind = (typeof MOVE_KIND)[number];
export const PER = ["brew", "gyle"] as const;
export type Per = (typeof PER)[number];
export const PRESENCE = ["pin", "password", "offline", "before", ""] as const;
export type Presence = (typeof PRESENCE)[number];
export const PROCEDURE_KIND = ["cleaning", "brew", "cellar", "packaging", "brewery", "trouble"] as const;
export type ProcedureKind = (typeof PROCEDURE_KIND)[number];
export const PROOF = ["process", "look", "residue", "micro", "sanitised"] as const;
export type Proof = (typeof PROOF)[number];
export type ProposalPlace = "next" | "beside" | "rest";
export const RECEIPT_FINDING = [
  "stale-authority",
  "clock-offset",
  "received-late",
  "gap",
  "device-revoked",
] as const;
export type ReceiptFinding = (typeof RECEIPT_FINDING)[number];
export const REVIEW_VERDICT = ["accepted", "rejected"] as const;
export type ReviewVerdict = (typeof REVIEW_VERDICT)[number];
export const ROLE = ["starter", "brewer", "duty", "manager"] as const;
export type Role = (typeof ROLE)[number];
export const RUN_STATUS = ["finished", "open", "abandoned"] as const;
export type RunStatus = (typeof RUN_STATUS)[number];
export const SIGNER = ["anyone", "brewer", "second"] as const;
export type Signer = (typeof SIGNER)[number];
export const SOURCE_KIND = [
  "published",
  "standard",
  "law",
  "maker",
  "common-practice",
  "from-memory",
] as const;
export type SourceKind = (typeof SOURCE_KIND)[number];
export const STEP_STATUS = ["shut", "open", "done", "skipped", "reopened"] as const;
export type StepStatus = (typeof STEP_STATUS)[number];
export const TROUBLE_CODE = [
  "filled-unproved",
  "dosed-filled",
  "released-unfit",
  "packaged-unfit",
  "let-go-unknown",
  "held-since",
  "check-missed",
  "instrument-doubt",
  "review-rejected",
] as const;
export type TroubleCode = (typeof TROUBLE_CODE)[number];
export const VERDICT = ["target", "advise", "stop"] as const;
export type Verdict = (typeof VERDICT)[number];
export const VESSEL_KIND = [
  "liquor-tank",
  "mash-tun",
  "copper",
  "whirlpool",
  "heat-exchanger",
  "fermenter",
  "yeast-vessel",
  "bright",
  "cask-line",
  "keg-line",
  "canning-line",
] as const;
export type VesselKind = (typeof VESSEL_KIND)[number];
export const VESSEL_STATE = [
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
] as const;
export type VesselState = (typeof VESSEL_STATE)[number];
export const WAIT_CODE = [
  "step",
  "caution",
  "entry",
  "contested",
  "stop",
  "hold",
  "interlock",
  "second",
  "again",
  "no-signature",
  "settled",
  "open",
  "role",
  "closed",
] as const;
export type WaitCode = (typeof WAIT_CODE)[number];
export const WAY = ["keyed", "worked", "scanned", "paper"] as const;
export type Way = (typeof WAY)[number];
export const WAY_IN = ["pin", "password", "offline", "idle"] as const;
export type WayIn = (typeof WAY_IN)[number];
export const WHAT = [
  "begun",
  "chemical-in",
  "chemical-out",
  "opened",
  "filled",
  "emptied",
  "drawn",
  "showed",
  "ended",
  "passed",
  "ready",
  "lapsed",
  "checked",
  "finished",
  "abandoned",
  "rejected",
] as const;
export type What = (typeof WHAT)[number];
