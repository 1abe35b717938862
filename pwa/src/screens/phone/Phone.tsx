/** How this phone stands: what waits, what was refused and why, what it can lose, and what to trust it with. */
import { useEffect, useState } from "preact/hooks";
import { current, device, signOut } from "../../identity";
import { t } from "../../messages";
import { personName } from "../../state/known";
import { type Calling, calling, callOut, choose, ring, runningHolds } from "../../state/ring";
import { to } from "../../state/route";
import { journalState } from "../../state/saving";
import { recoverShell, update } from "../../sw";
import { type Refusal, refused, syncNow, syncState } from "../../sync";
import { Page } from "../../ui/Page";
import { moment } from "../../ui/time";
import { WasLost } from "../enrol/Recovered";
import { lastReached, notSent } from "../now/sending";
import { Notices } from "./Notices";

/** A day's photos and records need less. */
const LOW_MB = 50;
/** How long a clock that had leapt is told of. */
const TOLD_MS = 14 * 86_400_000;
const MINUTE_MS = 60_000;

/** How far this phone's clock is from the office's, in the unit that says it shortest. */
function clock(offset: number) {
  const off = Math.abs(offset);
  if (off < 2 * MINUTE_MS) return { unit: off < 500 ? "none" : "seconds", off: Math.round(off / 1000) };
  if (off < 120 * MINUTE_MS) return { unit: "minutes", off: Math.round(off / MINUTE_MS) };
  return { unit: "hours", off: Math.round(off / MINUTE_MS / 60) };
}

export function Phone() {
  const state = syncState.value;
  const astray = Math.abs(state.offset) > 2 * MINUTE_MS;
  return (
    <Page
      title={t("phone-title")}
      back={[]}
      dock={
        <button type="button" class="press main" onClick={() => void syncNow()}>
          {t(state.running ? "phone-sending" : "phone-send")}
        </button>
      }
    >
      <section class="facts">
        <p class="fact">{notSent(state)}</p>
        <p class="fact">{lastReached(state)}</p>
        {state.laidBy > 0 && <p class="fact">{t("phone-laid-by", { count: state.laidBy })}</p>}
        {state.undigested.length > 0 && (
          <p class="wrong">{t("phone-undigested", { count: state.undigested.length })}</p>
        )}
        {state.trouble && !(state.trouble === "turned-down" && state.undigested.length > 0) && (
          <p class="wrong">{t(`trouble-${state.trouble}`)}</p>
        )}
        {state.trouble === "enrol" && (
          <a class="press" href={to("enrol")}>
            {t("recovered-enrol")}
          </a>
        )}
        {state.doubt && <p class="wrong">{t("log-doubt")}</p>}
      </section>
      {device.value?.was && <WasLost />}
      <Update />
      <RefusedList count={state.refused} />
      <section>
        <h2>{t("phone-keeps")}</h2>
        <p>{t(`storage-${state.storage}`)}</p>
        <p>{t(`journal-${journalState.value}`)}</p>
        <Room />
      </section>
      <Calls />
      <Notices />
      <section>
        <h2>{t("phone-this")}</h2>
        {device.value && <p>{t("phone-name", { name: device.value.name, id: device.value.id })}</p>}
        <p class={astray ? "wrong" : ""}>{t("phone-clock", clock(state.offset))}</p>
        {state.leapt && !astray && state.leapt.at > Date.now() + state.offset - TOLD_MS && (
          <p class="wrong">
            {t("phone-leapt", {
              at: moment(state.leapt.at),
              hours: Math.ceil(state.leapt.ahead / 3_600_000),
            })}
          </p>
        )}
        {current.value && (
          <p class="who">
            <span>{t("home-who", { name: current.value.name, role: t(`role-${current.value.role}`) })}</span>
            <button type="button" class="press small" onClick={() => void signOut()}>
              {t("sign-out")}
            </button>
          </p>
        )}
      </section>
      <a class="press" href={to("carry")}>
        {t("carry-in-title")}
      </a>
      {state.waiting !== null && state.waiting > 0 && (
        <a class="press" href={to("carry", "unsent")}>
          {t("unsent-title")}
        </a>
      )}
      <a class="press" href={to("carry", "heads")}>
        {t("phone-heads")}
      </a>
      <Afresh />
      <a class="press" href={to("trust")}>
        {t("trust")}
      </a>
    </Page>
  );
}

const CALLING: readonly Calling[] = ["both", "vibration"];

/** How this phone calls when a hold nears its end, chosen once; tried here, where nothing hangs on it. */
function Calls() {
  return (
    <section>
      <h2>{t("calls-title")}</h2>
      <fieldset class="options" aria-label={t("calls-title")}>
        {CALLING.map((name) => (
          <button
            type="button"
            key={name}
            class="option"
            aria-pressed={calling.value === name}
            onClick={() => choose(name)}
          >
            <span class="option-mark" aria-hidden="true" />
            {t(`calls-${name}`)}
          </button>
        ))}
      </fieldset>
      <button type="button" class="press" onClick={() => callOut(true)}>
        {t("calls-try")}
      </button>
      <p>{t(calling.value === "both" ? `ring-${ring.value}` : "ring-quiet")}</p>
    </section>
  );
}

/** How much the browser lets this phone keep still; said loudly while there is time to do something. */
function Room() {
  const [free, setFree] = useState<number | null>(null);
  useEffect(() => {
    const told = ({ quota, usage }: StorageEstimate) =>
      setFree(quota === undefined ? null : (quota - (usage ?? 0)) / 1_000_000);
    navigator.storage?.estimate?.().then(told, reportError);
  }, []);
  if (free === null) return null;
  const low = free < LOW_MB;
  return <p class={low ? "wrong" : ""}>{t(low ? "room-low" : "room", { free: Math.floor(free) })}</p>;
}

/** For a phone whose screens misbehave: the app is loaded anew, the records stay. */
function Afresh() {
  const [sure, setSure] = useState(false);
  if (!sure)
    return (
      <button type="button" class="press" onClick={() => setSure(true)}>
        {t("afresh-title")}
      </button>
    );
  return (
    <div class="sure">
      <p>{t("afresh-what")}</p>
      <button type="button" class="press" onClick={() => void recoverShell()}>
        {t("afresh-do")}
      </button>
    </div>
  );
}

/** A new version waits for the person's word, for a running hold, and for a run that is on the screen of another tab. */
function Update() {
  const { waiting, apply } = update.value;
  const [held, setHeld] = useState(false);
  if (!waiting) return null;
  const holds = runningHolds().length > 0;
  return (
    <section class="panel">
      <h2>{t("update-title")}</h2>
      <p>{t(holds ? "update-hold" : held ? "update-run" : "update-lead")}</p>
      {!holds && (
        <button type="button" class="press" onClick={() => void apply().then((taken) => setHeld(!taken))}>
          {t("update-do")}
        </button>
      )}
    </section>
  );
}

function RefusedList({ count }: { readonly count: number }) {
  const [rows, setRows] = useState<readonly Refusal[]>([]);
  useEffect(() => {
    refused().then(setRows, reportError);
  }, [count]);
  if (rows.length === 0) return null;
  return (
    <section>
      <h2>{t("phone-refused")}</h2>
      <p>{t("phone-refused-what")}</p>
      <ul class="refusals">
        {rows.map((row) => (
          <li key={row.id}>
            <p>{row.problem}</p>
            <p class="whose">
              {row.event.type} ·{" "}
              {t("record-by", { person: personName(row.event.person), time: moment(row.event.time) })}
            </p>
          </li>
        ))}
      </ul>
    </section>
  );
}
