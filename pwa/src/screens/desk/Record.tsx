/** A run's record, read from top to bottom as what happened, with what speaks against it and the manager's word on it. */

import { current } from "../../identity";
import { t } from "../../messages";
import { personName, vesselName } from "../../state/known";
import type { Held } from "../../state/record";
import { to } from "../../state/route";
import type { Mark, RunView } from "../../state/view";
import { Qr } from "../../ui/Qr";
import { fullDay, moment, timeWithSeconds } from "../../ui/time";
import { VerdictWord } from "../../ui/Verdict";
import { useAsked } from "./asked";
import { DeskPage } from "./DeskPage";
import { madeOn } from "./madeon";
import { Photo } from "./Photo";
import { type Proved, printedText, provedRecord } from "./proof";
import { Review } from "./Review";
import { reviewWords } from "./reviewed";
import { type Line, storyOf } from "./story";

export function Record({ id }: { readonly id: string }) {
  const { answer, wrong, again } = useAsked(() => provedRecord(id), id);
  if (!answer) return <DeskPage title={t("record-run")} wrong={wrong} again={again} />;
  const { run } = answer;
  return (
    <DeskPage
      title={run.title || t("record-run")}
      over={run.vessel ? vesselName(run.vessel) : t("record-no-vessel")}
      wrong={wrong}
      again={again}
    >
      {!answer.office && <p class="banner">{t("record-here-only")}</p>}
      <Facts held={answer} />
      <Against run={run} />
      <Story lines={storyOf(run, answer.events)} />
      {run.status !== "open" && current.value?.role === "manager" && (
        <Review held={answer} reviewed={again} />
      )}
      <OnPaper held={answer} />
      <p class="record-foot">
        <button type="button" class="press small" onClick={() => print()}>
          {t("sheet-print")}
        </button>
      </p>
    </DeskPage>
  );
}

/** On paper alone: the head of the log that this record lies under, for the eye and for a camera. */
function OnPaper({ held }: { readonly held: Proved }) {
  const { run, digest, head } = held;
  if (!head) return <p class="on-paper">{t("paper-no-head")}</p>;
  const text = printedText(run.id, digest, head);
  return (
    <section class="on-paper">
      <Qr text={text} label={t("paper-qr")} />
      <div>
        <p>{t("paper-head", { size: String(head.size), time: moment(head.time) })}</p>
        <p class="hash">{text}</p>
        <p>{t("paper-how")}</p>
      </div>
    </section>
  );
}

function Facts({ held }: { readonly held: Held }) {
  const { run } = held;
  const when = (mark: Mark | null) =>
    mark
      ? t("record-by", {
          person: personName(mark.person),
          time: `${fullDay(mark.time)} ${timeWithSeconds(mark.time)}`,
        })
      : "–";
  return (
    <dl class="record-facts">
      <Fact name={t("fact-status")}>
        {t(`run-status-${run.status}`)}
        {run.left && ` · ${t("closed-left", { state: t(`vessel-state-${run.left}`) })}`}
      </Fact>
      <Fact name={t("fact-opened")}>{when(run.opened)}</Fact>
      {run.finished && <Fact name={t("fact-closed")}>{when(run.finished)}</Fact>}
      {run.reason && <Fact name={t("fact-reason")}>{run.reason}</Fact>}
      {run.gyle && (
        <Fact name={t("start-gyle")}>
          <a href={to("record", "gyle", run.gyle)}>{run.gyle}</a>
        </Fact>
      )}
      <Fact name={t("fact-proofs")}>
        {run.proofs.length > 0 ? run.proofs.map((proof) => t(`proof-${proof}`)).join(", ") : "–"}
      </Fact>
      <Fact name={t("fact-review")}>
        {run.review
          ? `${reviewWords(run.review)} · ${when(run.review)}${run.review.text ? ` · ${run.review.text}` : ""}`
          : t("review-waiting")}
      </Fact>
      <Fact name={t("fact-procedure")}>
        {run.procedure} {t("fact-version", { version: run.version ?? 0 })}
      </Fact>
      <Fact name={t("fact-present")}>
        {run.present.map((row) => (
          <p key={`${row.person} ${row.device} ${row.how}`}>
            {t("present-row", {
              person: personName(row.person),
              device: madeOn(`/devices/${row.device}`),
              records: row.records,
              how: t(`way-in-${row.how || "none"}`),
            })}
          </p>
        ))}
      </Fact>
      <Fact name={t("fact-digest")}>
        <span class="hash">{held.digest}</span>
      </Fact>
    </dl>
  );
}

function Fact({ name, children }: { readonly name: string; readonly children: preact.ComponentChildren }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>{children}</dd>
    </div>
  );
}

/** Everything found against the run, each once, before the story that explains it. */
function Against({ run }: { readonly run: RunView }) {
  const texts = [...new Set(run.findings.map((finding) => finding.text))];
  return (
    <section>
      <h2>{t("closed-findings")}</h2>
      {texts.length === 0 ? (
        <p>{t("closed-none")}</p>
      ) : (
        <ul class="findings">
          {texts.map((found) => (
            <li key={found}>{found}</li>
          ))}
        </ul>
      )}
    </section>
  );
}

function Story({ lines }: { readonly lines: readonly Line[] }) {
  let day = "";
  return (
    <section>
      <h2>{t("story")}</h2>
      <ol class="story">
        {lines.map((line) => {
          const today = fullDay(line.event.time);
          const fresh = today !== day;
          day = today;
          return (
            <li key={line.event.id} data-struck={line.struck} data-found={line.findings.length > 0}>
              {fresh && <h3 class="story-day">{today}</h3>}
              {line.heading && <p class="story-step">{line.heading}</p>}
              <StoryLine line={line} />
            </li>
          );
        })}
      </ol>
    </section>
  );
}

function StoryLine({ line }: { readonly line: Line }) {
  const { event } = line;
  const said = (
    <>
      {line.what} {line.value !== null && <strong>{line.value}</strong>}
    </>
  );
  return (
    <div class="story-line">
      <p class="story-when">
        <time dateTime={event.time}>{timeWithSeconds(event.time)}</time>
        <span class="story-received">
          {event.recordedtime
            ? t("story-received", { time: moment(event.recordedtime, Date.parse(event.time)) })
            : t("story-not-received")}
        </span>
      </p>
      <div class="story-what">
        <p>
          {line.struck ? <s>{said}</s> : said}
          {line.struck && <span class="tag"> {t("field-struck")}</span>}
        </p>
        {line.photo && <Photo {...line.photo} />}
        {line.advice && !line.struck && <p class="whose">{line.advice}</p>}
        {line.notes.length > 0 && <p class="whose">{line.notes.join(" · ")}</p>}
        {line.findings.map((found) => (
          <p class="story-finding" key={found}>
            {found}
          </p>
        ))}
      </div>
      <p class="story-verdict">{line.verdict && <VerdictWord verdict={line.verdict} />}</p>
      <p class="story-who">
        {personName(event.person)}
        <span class="story-phone">{madeOn(event.source)}</span>
      </p>
    </div>
  );
}
