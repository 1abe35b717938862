/** One deviation: what, where, since when; its answer, or the place to give one. */
import { useState } from "preact/hooks";
import { t } from "../../../messages";
import type { Answer as Given } from "../../../shapes";
import { now } from "../../../state/clock";
import { personName, runTitle } from "../../../state/known";
import { to } from "../../../state/route";
import { figure } from "../../../ui/figures";
import { StepShape, VerdictShape } from "../../../ui/Shape";
import { fullDay, moment } from "../../../ui/time";
import { AnswerForm } from "./AnswerForm";
import type { Deviation } from "./listed";

const VERDICTS = { open: "stop", pending: "advise", closed: null } as const;

export function Card({ row, changed }: { readonly row: Deviation; readonly changed: () => void }) {
  const [answering, setAnswering] = useState(false);
  const verdict = VERDICTS[row.state];
  return (
    <article class="deviation" data-state={row.state}>
      <h2>
        <a href={to("record", "run", row.run)}>{runTitle(row.vessel, row.title || row.run)}</a>
      </h2>
      <p class="verdict-word" data-verdict={verdict}>
        {verdict ? <VerdictShape verdict={verdict} /> : <StepShape status="done" />}
        {t(`deviation-state-${row.state}`)}
      </p>
      <p>{row.text}</p>
      {row.value && (
        <p class="whose">{t("deviation-limit", { value: figure(row.value), limit: row.limit ?? "–" })}</p>
      )}
      {row.check && <p class="whose">{t("story-override-check", { check: row.check })}</p>}
      <p class="whose">{t("deviation-since", { person: personName(row.person), time: moment(row.time) })}</p>
      {row.answered && <Answered given={row.answered} />}
      {row.state !== "closed" && !answering && (
        <p>
          <button type="button" class="press small" onClick={() => setAnswering(true)}>
            {t(row.state === "pending" ? "deviation-do-again" : "deviation-do")}
          </button>
        </p>
      )}
      {answering && (
        <AnswerForm
          row={row}
          close={() => setAnswering(false)}
          done={() => {
            setAnswering(false);
            changed();
          }}
        />
      )}
    </article>
  );
}

function Answered({ given }: { readonly given: Given }) {
  const rows = [
    ["deviation-done", given.action],
    ["deviation-cause", given.cause],
    ["deviation-prevention", given.prevention],
    ["deviation-owner", owner(given)],
  ] as const;
  return (
    <>
      <dl class="deviation-answer">
        {rows.map(
          ([name, said]) =>
            said && (
              <div key={name}>
                <dt>{t(name)}</dt>
                <dd>{said}</dd>
              </div>
            ),
        )}
      </dl>
      <p class="whose">
        {t("deviation-answered", { person: personName(given.person), time: moment(given.time) })}
      </p>
    </>
  );
}

/** Who sees to it and by when; that the day is over, while it is not closed. */
function owner({ owner: id, due, pending }: Given): string {
  if (!id) return "";
  if (!due) return personName(id);
  const over = pending && now.value > new Date(`${due}T23:59:59`).getTime();
  return t(over ? "deviation-overdue" : "deviation-due-by", {
    person: personName(id),
    day: fullDay(`${due}T12:00:00`),
  });
}
