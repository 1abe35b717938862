/** What the core hands out, as core/README.md gives it. Records are looked up by id; their order is in `order` and the procedure. */

export type { Json, JsonObject, StoredEvent } from "../log";

export type Verdict = "target" | "advise" | "stop";
export type StepStatus = "shut" | "open" | "done" | "skipped" | "reopened";
export type RunStatus = "open" | "finished" | "abandoned";

export type Mark = { readonly event: string; readonly person: string; readonly time: string };
export type Wait = {
  readonly code: string;
  readonly text: string;
  readonly step?: string;
  readonly field?: string;
  readonly caution?: string;
  readonly seconds?: number;
  readonly interlock?: string;
  readonly do?: readonly string[];
};

export type EntryRecord = Mark & {
  readonly value: string;
  readonly typed: string;
  readonly unit: string;
  readonly verdict: Verdict;
  readonly advice: string;
  readonly limit: string;
  readonly source: string;
  readonly how: "keyed" | "worked" | "scanned" | "paper";
  readonly state: "live" | "void" | "superseded" | "struck" | "contested";
  readonly instrument?: string;
  readonly from?: { readonly calculation: string; readonly inputs: Readonly<Record<string, string>> };
};

export type FieldView = {
  readonly status: "empty" | "live" | "contested";
  readonly value: string | null;
  readonly typed: string | null;
  readonly unit: string;
  readonly verdict: Verdict | null;
  readonly advice: string;
  readonly source: string;
  readonly limit: string;
  /** Why what stands here does not count, or empty. */
  readonly void: string;
  readonly events: readonly string[];
  readonly all: readonly EntryRecord[];
  readonly settles: readonly string[];
};

export type HoldView = {
  readonly seconds: number;
  readonly state: "idle" | "running" | "over";
  readonly event?: string;
  readonly started?: number;
};

export type StepView = {
  readonly status: StepStatus;
  readonly waits: readonly Wait[];
  readonly done: Mark | null;
  readonly skipped: (Mark & { readonly reason: string }) | null;
  readonly signed: Mark | null;
  readonly cautions: readonly {
    readonly caution: string;
    readonly met: readonly (Mark & { readonly version: number })[];
  }[];
  readonly hold: HoldView | null;
  readonly raised: readonly string[];
  readonly entries: Readonly<Record<string, FieldView>>;
};

export type Deviation = Mark & {
  readonly step: string | null;
  readonly text: string;
  readonly value?: string;
  readonly limit?: string;
  readonly interlock?: string;
  readonly check?: string;
  readonly answered: (Mark & { readonly action: string }) | null;
};
export type Note = Mark & { readonly step: string | null; readonly text: string };
export type Photo = Mark & { readonly step: string | null; readonly sha256: string };
export type Strike = Mark & { readonly target: string; readonly reason: string };
export type Finding = { readonly code: string; readonly event: string; readonly text: string };
export type Review = Mark & {
  readonly verdict: "accepted" | "rejected";
  readonly text: string;
  readonly digest: string;
};

export type RunView = {
  readonly id: string;
  readonly procedure: string | null;
  readonly version: number | null;
  readonly title: string;
  readonly kind: string;
  readonly vessel: string | null;
  readonly gyle: string | null;
  readonly inputs: Readonly<Record<string, string>>;
  readonly status: RunStatus;
  readonly left: string | null;
  readonly reason: string | null;
  readonly opened: Mark | null;
  readonly finished: Mark | null;
  readonly order: readonly string[];
  readonly next: string | null;
  readonly steps: Readonly<Record<string, StepView>>;
  readonly deviations: readonly Deviation[];
  readonly notes: readonly Note[];
  readonly photos: readonly Photo[];
  readonly strikes: readonly Strike[];
  readonly proofs: readonly string[];
  readonly findings: readonly Finding[];
  readonly review: Review | null;
  readonly events: number;
  readonly last: readonly [string, string] | null;
};

/** The recipe a gyle is brewed by, in the version it was begun with. */
export type RecipeVersion = { readonly id: string; readonly version: number };

/** One line of a register: enough for the board, the home screen and the desk's lists. */
export type RunLine = {
  readonly id: string;
  readonly procedure: string;
  readonly version: number;
  readonly title: string;
  readonly kind: string;
  readonly vessel: string | null;
  readonly gyle: string | null;
  readonly recipe?: RecipeVersion | null;
  readonly status: RunStatus;
  readonly left: string | null;
  readonly opened: Mark | null;
  readonly finished: Mark | null;
  readonly proofs: readonly string[];
  readonly next: string | null;
  readonly done: number;
  readonly steps: number;
  readonly contested: number;
  readonly hold: { readonly step: string; readonly started: number; readonly seconds: number } | null;
  readonly deviations: number;
  readonly deviations_open: number;
  readonly findings: readonly string[];
  readonly strikes: number;
  readonly review: Review | null;
  /** What the run did to its vessel; lines kept by an older version lack it. */
  readonly life: readonly object[];
  readonly instruments: object;
  /** Why the office could not work the run out; the line is then the last that it could. */
  readonly fault?: { readonly code: string; readonly text: string };
};

/** What several runs on a vessel, or with one instrument, bring to light: a finding, and a deviation until it is answered. */
export type Trouble = {
  readonly run: string;
  readonly vessel: string | null;
  readonly event: string;
  readonly step: string | null;
  readonly person: string;
  readonly time: number;
  readonly code: string;
  readonly text: string;
  readonly answered: (Mark & { readonly action: string }) | null;
};

export type VesselView = {
  readonly id: string;
  readonly name: string;
  readonly kind: string;
  readonly place: string;
  readonly state: string;
  readonly proved_until: number | null;
  readonly sanitised_until: number | null;
  readonly run: string | null;
  readonly gyle: string | null;
  readonly since: number | null;
  readonly check_due: number | null;
  readonly trouble: readonly Trouble[];
  /** What of the proofs it stands on was read with an instrument found out. */
  readonly doubt: readonly string[];
};

/** An instrument of the site and how it stands; the office gives its times as text. */
export type InstrumentView<Time = number> = {
  readonly id: string;
  readonly name: string;
  readonly kind: string;
  readonly place: string;
  readonly check_days: number;
  readonly in_use: boolean;
  readonly state: "good" | "due" | "failed" | "out";
  readonly last_good: Time | null;
  readonly failed: Time | null;
  readonly due: Time | null;
};

export type Judgement = {
  readonly value: string;
  readonly verdict: Verdict;
  readonly advice: string;
  readonly limit: string;
  readonly source: string;
  readonly raises: readonly string[];
};

export type Figure = {
  readonly id: string;
  readonly label: string;
  readonly value: string;
  readonly unit: string;
};
export type Working = {
  readonly calculation: string;
  readonly title: string;
  readonly inputs: readonly Figure[];
  readonly formula: string;
  readonly steps: readonly Figure[];
  readonly results: readonly Figure[];
  readonly rounding: string;
  readonly sources: readonly { readonly id: string; readonly title: string; readonly kind: string }[];
  readonly assumptions: readonly string[];
  readonly marks: readonly string[];
  readonly proposed?: string;
};

export type CautionShow = { readonly caution: string; readonly show: "full" | "state" | "still" | "met" };

/** A procedure as the reference carries it. */
export type Option = {
  readonly id: string;
  readonly label: string;
  readonly verdict: Verdict;
  readonly advice?: string;
};
export type Entry = {
  readonly id: string;
  readonly label: string;
  readonly kind: "reading" | "choice" | "text" | "lot" | "photo" | "count";
  readonly unit?: string;
  readonly places?: number;
  readonly series?: boolean;
  readonly optional?: boolean;
  readonly instrument?: string;
  /** Each reading checks the very instrument it names. */
  readonly verifies?: boolean;
  readonly options?: readonly Option[];
  readonly works?: { readonly calculation: string; readonly proposes?: boolean };
};
export type Step = {
  readonly id: string;
  readonly title: string;
  readonly why: string;
  readonly how: string;
  readonly who?: "anyone" | "brewer" | "second";
  readonly critical?: boolean;
  readonly optional?: boolean;
  readonly cautions?: readonly string[];
  /** The interlocks the core asks here. */
  readonly asks?: readonly object[];
  /** Its cautions are shown beside it and do not shut it. */
  readonly never_locked?: boolean;
  readonly hold?: object;
  readonly entries?: readonly Entry[];
};
export type Input = {
  readonly id: string;
  readonly label: string;
  readonly unit?: string;
  readonly kind: "reading" | "text";
  readonly default?: string;
  readonly from?: string;
};
export type Procedure = {
  readonly id: string;
  readonly version: number;
  readonly sha256: string;
  readonly title: string;
  readonly kind: string;
  readonly summary?: string;
  readonly vessel_kinds?: readonly string[];
  readonly inputs?: readonly Input[];
  readonly steps: readonly Step[];
};
export type Caution = {
  readonly id: string;
  readonly version: number;
  readonly title: string;
  readonly group: string;
  readonly hazard: string;
  readonly effect: string;
  readonly wear: readonly string[];
  readonly first: readonly string[];
  readonly minute: readonly string[];
  readonly seen: readonly string[];
  readonly pictograms: readonly string[];
  readonly codes: readonly string[];
  readonly sources: readonly string[];
  readonly defer: string;
  readonly alarm: boolean;
};
