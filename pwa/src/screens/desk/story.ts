/** Each record of a run as a sentence. What the data does not say in words is looked up in the procedure. */

import { known, t } from "../../messages";
import { EVENT_KIND } from "../../shapes/later";
import { caution, instrumentName, personName, procedure, stepOf } from "../../state/known";
import type {
  Entry,
  EntryRecord,
  Json,
  JsonObject,
  RunView,
  Step,
  StoredEvent,
  Verdict,
} from "../../state/view";
import { figure } from "../../ui/figures";
import { fullDay, length } from "../../ui/time";
import { valueText } from "../../ui/values";

export type Line = {
  readonly event: StoredEvent;
  /** The step's title, where the story comes to another step than the line before. */
  readonly heading: string | null;
  readonly what: string;
  /** What was recorded, large. */
  readonly value: string | null;
  /** A photo that was recorded, and what it is of. */
  readonly photo: { readonly sha256: string; readonly of: string } | null;
  readonly verdict: Verdict | null;
  readonly advice: string;
  readonly notes: readonly string[];
  readonly struck: boolean;
  readonly findings: readonly string[];
};

export function storyOf(run: RunView, events: readonly StoredEvent[]): readonly Line[] {
  let before = "";
  return gathered(events).map((group) => {
    const [event] = group;
    const step = text(event.data.step) || stepOfTarget(run, event.data);
    const heading = step === before ? null : (stepHere(run, step)?.title ?? step);
    before = step;
    return lineOf(run, group, heading);
  });
}

type Group = readonly [StoredEvent, ...StoredEvent[]];

/** Cautions met one after another at one step are one line; everything else stands alone. */
function gathered(events: readonly StoredEvent[]): Group[] {
  const groups: Group[] = [];
  for (const event of events) {
    const last = groups.at(-1);
    if (last && event.type === "caution.met" && sameMeeting(last[0], event))
      groups[groups.length - 1] = [...last, event];
    else groups.push([event]);
  }
  return groups;
}

const sameMeeting = (a: StoredEvent, b: StoredEvent): boolean =>
  a.type === b.type && a.person === b.person && a.data.step === b.data.step;

function lineOf(run: RunView, group: Group, heading: string | null): Line {
  const [event] = group;
  const record = entryRecord(run, event);
  const ids = group.map((each) => each.id);
  return {
    event,
    heading,
    what: sentence(run, group),
    value: record && record.entry?.kind !== "photo" ? shownValue(record) : null,
    // what was taken out is told as a finding
    photo: run.findings.some(({ code, event: of }) => code === "taken-out" && of === event.id)
      ? null
      : photoOf(run, event, record),
    verdict: record && wasJudged(record) ? record.row.verdict : null,
    advice: record?.row.advice ?? "",
    notes: notesOf(run, event, record?.row),
    struck: run.strikes.some((strike) => ids.includes(strike.target)),
    findings: run.findings.filter((finding) => ids.includes(finding.event)).map((finding) => finding.text),
  };
}

/** An entry without limits was never judged, so nothing is said of it. */
const wasJudged = ({ entry, row }: Found): boolean =>
  row.verdict !== "target" || row.limit !== "" || entry?.kind === "choice";

type Found = { readonly entry: Entry | undefined; readonly row: EntryRecord };

function entryRecord(run: RunView, event: StoredEvent): Found | null {
  if (event.type !== "entry.made") return null;
  const { step, field } = event.data;
  const row = run.steps[text(step)]?.entries[text(field)]?.all.find((made) => made.event === event.id);
  return row ? { entry: entryOf(run, step, field), row } : null;
}

function shownValue({ entry, row }: Found): string {
  const value = figure(entry ? valueText(entry, row.value) : row.value);
  return row.unit ? `${value} ${row.unit}` : value;
}

/** A photo stands beside the entry it was taken for; one taken for none, beside the line that says it was added. */
function photoOf(run: RunView, { type, data }: StoredEvent, record: Found | null): Line["photo"] {
  const title = stepHere(run, data.step)?.title ?? text(data.step);
  if (record?.entry?.kind === "photo")
    return { sha256: record.row.value, of: `${title}: ${record.entry.label}` };
  const sha256 = text(data.sha256);
  if (type !== "photo.added" || entered(run, sha256)) return null;
  return { sha256, of: title };
}

const entered = (run: RunView, value: string): boolean =>
  Object.values(run.steps).some((step) =>
    Object.values(step.entries).some((field) => field.all.some((row) => row.value === value)),
  );

const text = (value: Json | undefined): string => (typeof value === "string" ? value : "");

function stepHere(run: RunView, id: Json | undefined): Step | undefined {
  return stepOf(procedure(run.procedure, run.version), text(id));
}

function entryOf(run: RunView, step: Json | undefined, field: Json | undefined): Entry | undefined {
  return stepHere(run, step)?.entries?.find((entry) => entry.id === field);
}

function sentence(run: RunView, group: Group): string {
  const [event] = group;
  const { data, type } = event;
  const cautions = group.map((each) => caution(text(each.data.caution))?.title ?? text(each.data.caution));
  const title = stepHere(run, data.step)?.title ?? text(data.step);
  const words = {
    title,
    label: entryOf(run, data.step, data.field)?.label ?? text(data.field),
    count: group.length,
    cautions: cautions.join(" · "),
    text: text(data.text),
    reason: text(data.reason),
    action: text(data.action),
    time: length(Number(data.seconds ?? 0)),
    left: data.left ? known(`vessel-state-${text(data.left)}`, text(data.left)) : "",
    target: targetWords(run, data),
    person: personName(event.person),
  };
  return STORIES.has(type) ? t(storyKey(run, type, data), words) : t("story-unknown", { type });
}

/** Of a kind that this version does not know, only its name is told. */
const STORIES = new Set<string>(EVENT_KIND);

function storyKey(run: RunView, type: string, data: JsonObject): string {
  const key = `story-${type.replace(".", "-")}`;
  if (type === "run.abandoned" && !run.vessel) return `${key}-nowhere`;
  if (type === "deviation.raised" && data.interlock) return "story-overridden";
  if (type === "run.abandoned" && data.untouched) return "story-put-away";
  return type === "run.reviewed" ? `${key}-${text(data.verdict)}` : key;
}

/** A strike or a settlement belongs to the step of what it is about. */
function stepOfTarget(run: RunView, data: JsonObject): string {
  const target = text(data.target);
  const held = Object.entries(run.steps).find(
    ([, view]) =>
      view.done?.event === target ||
      Object.values(view.entries).some((field) => field.all.some((row) => row.event === target)),
  );
  return held?.[0] ?? "";
}

/** What a strike was drawn through, or a signature was put under. */
function targetWords(run: RunView, data: JsonObject): string {
  const target = text(data.target ?? data.chosen);
  for (const [step, view] of Object.entries(run.steps)) {
    const title = stepHere(run, step)?.title ?? step;
    if (view.done?.event === target) return title;
    for (const [field, held] of Object.entries(view.entries)) {
      const row = held.all.find((made) => made.event === target);
      if (row)
        return `${entryOf(run, step, field)?.label ?? field} ${shownValue({ entry: entryOf(run, step, field), row })}`;
    }
  }
  return "";
}

/** What else an answer to a deviation says. */
function answerNotes({ cause, prevention, owner, due, pending }: JsonObject): string[] {
  const notes: string[] = [];
  if (cause) notes.push(t("story-answer-cause", { text: text(cause) }));
  if (prevention) notes.push(t("story-answer-prevention", { text: text(prevention) }));
  const person = personName(text(owner));
  if (owner && due)
    notes.push(t("story-answer-owner-due", { person, day: fullDay(`${text(due)}T12:00:00`) }));
  else if (owner) notes.push(t("story-answer-owner", { person }));
  if (pending === true) notes.push(t("story-answer-pending"));
  return notes;
}

function notesOf(run: RunView, event: StoredEvent, row: EntryRecord | undefined): string[] {
  const { type } = event;
  const notes: string[] = [];
  if (row?.limit) notes.push(t("limit", { limit: row.limit }));
  if (row?.instrument)
    notes.push(
      t("story-with", { instrument: known(`instrument-${row.instrument}`, instrumentName(row.instrument)) }),
    );
  if (row && row.how !== "keyed") notes.push(t(`how-${row.how}`));
  if (row?.state === "superseded") notes.push(t("story-superseded"));
  if (row?.state === "void") notes.push(t("story-void"));
  if (row?.state === "contested") notes.push(t("story-contested"));
  if (row && row.typed !== row.value && row.how === "keyed")
    notes.push(t("story-typed", { typed: row.typed }));
  const raised = run.deviations.find((deviation) => deviation.event === event.id);
  if (raised?.value)
    notes.push(t("story-deviation-value", { value: figure(raised.value), limit: raised.limit ?? "" }));
  if (raised?.check) notes.push(t("story-override-check", { check: raised.check }));
  if (type === "deviation.answered") notes.push(...answerNotes(event.data));
  if (raised && !raised.answered) notes.push(t("story-unanswered"));
  return notes;
}
