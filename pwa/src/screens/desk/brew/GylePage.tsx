/** A gyle: what to do next, planned against actual with the last brew beside it, what that says, and its fermentation. */
import { useEffect, useState } from "preact/hooks";
import { current } from "../../../identity";
import { t } from "../../../messages";
import { lines } from "../../../state/board";
import type { Actual, Gyle, Planned, Result, Site } from "../../../state/brewing";
import { to } from "../../../state/route";
import { reference, syncNow } from "../../../sync";
import { figure } from "../../../ui/figures";
import { fullDay, moment } from "../../../ui/time";
import { Value } from "../../../ui/Working";
import { said, useAsked } from "../asked";
import { DeskPage } from "../DeskPage";
import { Heads } from "../Heads";
import { giveFigure, gyle } from "./answers";
import { Curve } from "./Curve";
import { Moves } from "./Moves";
import { SheetTable, Worked } from "./SheetTable";

export function GylePage({ id }: { readonly id: string }) {
  const { answer, wrong, again } = useAsked(() => gyle(id), id);
  // a phone reads its runs one after another: what is worked out here follows
  useEffect(() => {
    if (answer?.here) again();
  }, [answer?.here, lines.value]);
  const title = t("gyle-title", { gyle: id });
  if (!answer) return <DeskPage title={title} wrong={wrong} again={again} />;
  return (
    <DeskPage title={title} over={<Over page={answer} />} wrong={wrong} again={again}>
      {answer.here && <p class="banner">{t("gyle-here")}</p>}
      <Next page={answer} />
      <Beside page={answer} />
      <Says page={answer} />
      <Moves page={answer} />
      <Curve page={answer} />
      <Runs page={answer} />
      {answer.sheet && (
        <details class="whole-sheet">
          <summary>{t("gyle-sheet")}</summary>
          <SheetTable sheet={answer.sheet} />
        </details>
      )}
      <p class="record-foot">
        <button type="button" class="press small" onClick={() => print()}>
          {t("sheet-print")}
        </button>
      </p>
    </DeskPage>
  );
}

function Over({ page }: { readonly page: Gyle }) {
  const day = page.begun ? fullDay(page.begun) : "";
  if (!page.recipe) return <>{day}</>;
  return (
    <>
      <a href={to("record", "recipe", page.recipe.id)}>{page.recipe.name}</a>{" "}
      {t("fact-version", { version: page.recipe.version })} · {day}
    </>
  );
}

const several = (page: Gyle, brew: number): string =>
  page.brews > 1 ? ` · ${t("gyle-brew", { number: brew })}` : "";

function Next({ page }: { readonly page: Gyle }) {
  if (page.corrections.length === 0) return null;
  return (
    <section>
      <h2>{t("gyle-next")}</h2>
      <ul class="corrections">
        {page.corrections.map((row) => (
          <li key={`${row.id} ${row.brew}`}>
            <Worked label={row.label + several(page, row.brew)} working={row.working} />
            <dl class="figures">
              {row.working.results.map((line) => (
                <div key={line.id}>
                  <dt>{line.label}</dt>
                  <dd>
                    <Value value={line.value} unit={line.unit} />
                  </dd>
                </div>
              ))}
            </dl>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Beside({ page }: { readonly page: Gyle }) {
  const before = new Map(page.last?.rows.map((row) => [row.id, row]));
  const rows = page.rows.filter((row) => row.actual.length > 0);
  if (rows.length === 0) return <p>{t("gyle-unread")}</p>;
  return (
    <section>
      <h2>{t("gyle-beside")}</h2>
      {page.last && (
        <p class="whose">
          {t("gyle-last")} <a href={to("record", "gyle", page.last.id)}>{page.last.id}</a>
        </p>
      )}
      <table class="beside">
        <Heads
          of={[
            t("column-line"),
            t("column-planned"),
            t("column-actual"),
            t("column-difference"),
            page.last ? t("column-last") : null,
          ]}
        />
        <tbody>
          {rows.map((row) => (
            <Row key={row.id} row={row} page={page} before={before.get(row.id)} />
          ))}
        </tbody>
      </table>
    </section>
  );
}

type RowProps = {
  readonly row: Planned;
  readonly page: Gyle;
  readonly before: Planned | undefined;
};

function Row({ row, page, before }: RowProps) {
  const each = (tell: (made: Actual) => preact.ComponentChildren) =>
    row.actual.map((made) => (
      <span key={made.brew} class="each">
        {tell(made)}
      </span>
    ));
  return (
    <tr>
      <th scope="row">{row.label}</th>
      <td data-name={t("column-planned")}>
        {row.planned === null ? "–" : <Value value={row.planned} unit={row.unit} />}
      </td>
      <td data-name={t("column-actual")}>
        {each((made) => (
          <a href={to("record", "run", made.run)}>
            <Value value={made.value} unit={row.unit} />
            {several(page, made.brew)}
          </a>
        ))}
      </td>
      <td data-name={t("column-difference")}>
        {each((made) => (made.difference === null ? "–" : <Signed text={made.difference} />))}
      </td>
      {page.last && (
        <td data-name={t("column-last")}>
          {before?.actual.map((made) => figure(made.value)).join(" · ") || "–"}
        </td>
      )}
    </tr>
  );
}

/** A difference with its sign: "+0.0004". */
function Signed({ text }: { readonly text: string }) {
  const plain = /^-?0(\.0+)?$/.test(text) ? "=" : figure(text);
  return <>{text.startsWith("-") || plain === "=" ? plain : `+${plain}`}</>;
}

function Says({ page }: { readonly page: Gyle }) {
  if (page.results.length === 0 && !page.tun) return null;
  const before = (row: Result) =>
    page.last?.results.find((other) => other.id === row.id && other.brew === row.brew);
  return (
    <section>
      <h2>{t("gyle-says")}</h2>
      <table class="figures-table">
        <Heads of={[t("column-line"), t("column-actual"), t("column-site"), t("column-last")]} />
        <tbody>
          {page.results.map((row) => (
            <tr key={`${row.id} ${row.brew}`}>
              <th scope="row">
                <Worked label={row.label + several(page, row.brew)} working={row.working} />
              </th>
              <td>
                <Value value={row.value} unit={row.unit} />
              </td>
              <td>{row.site ? <FromNow site={row.site} value={row.value} /> : "–"}</td>
              <td>{figure(before(row)?.value ?? "–")}</td>
            </tr>
          ))}
          {page.tun?.working.results.map((line, at) => (
            <tr key={line.id}>
              <th scope="row">{page.tun && <Worked label={line.label} working={page.tun.working} />}</th>
              <td>
                <Value value={line.value} unit={line.unit} />
              </td>
              <td>{page.tun?.site[at] ? <FromNow site={page.tun.site[at]} value={line.value} /> : "–"}</td>
              <td>–</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

type FromNowProps = { readonly site: Site; readonly value: string };

/** The site's figure as this gyle was planned with, and for a manager the way to let this brew's take its place. */
function FromNow({ site, value }: FromNowProps) {
  const [wrong, setWrong] = useState<string | null>(null);
  const now = reference.value?.settings[site.setting] ?? site.value;
  const use = () =>
    giveFigure(site.setting, value)
      .then(syncNow)
      .catch((error) => setWrong(said(error)));
  return (
    <>
      {figure(site.value)}
      {current.value?.role === "manager" && now !== value && (
        <button type="button" class="press small" onClick={() => void use()}>
          {t("figure-use", { value: figure(value) })}
        </button>
      )}
      {wrong && <p class="wrong">{wrong}</p>}
    </>
  );
}

function Runs({ page }: { readonly page: Gyle }) {
  return (
    <section>
      <h2>{t("gyle-records")}</h2>
      <ul class="bullets">
        {page.runs.map((line) => (
          <li key={line.id}>
            <a href={to("record", "run", line.id)}>{line.title}</a> {line.opened && moment(line.opened.time)}
            {line.status !== "finished" && ` · ${t(`run-status-${line.status}`)}`}
          </li>
        ))}
      </ul>
    </section>
  );
}
