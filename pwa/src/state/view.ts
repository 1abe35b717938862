/** What the core hands out, by the names the screens know it by. */
import type { InstrumentStanding, RunFault, InstrumentView as Standing, Summary } from "../shapes";

export type { Json, JsonObject, StoredEvent } from "../log";
export type {
  Caution,
  CautionShow,
  Deviation,
  Entry,
  EntryRecord,
  FieldView,
  Figure,
  Finding,
  HoldView,
  Input,
  Judgement,
  Mark,
  Note,
  Option,
  Photo,
  Procedure,
  RecipeVersion,
  Review,
  RunStatus,
  RunView,
  Step,
  StepStatus,
  StepView,
  Strike,
  Trouble,
  Verdict,
  VesselView,
  Wait,
  Working,
} from "../shapes";

/** A line of a register, the office's or the phone's own; with why the office could not work the run out. */
export type RunLine = Summary & { readonly fault?: RunFault };

/** An instrument of the site and how it stands; the office gives its times as text. */
export type InstrumentView<Time = number> = Time extends string ? InstrumentStanding : Standing;
