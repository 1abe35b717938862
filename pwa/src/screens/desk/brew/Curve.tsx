/** A fermentation: gravity and temperature by day, drawn where the core says, and the same readings as a table. */
import { t } from "../../../messages";
import type { AxisMark, Drawing, Gyle, Place } from "../../../state/brewing";
import { figure } from "../../../ui/figures";
import { moment } from "../../../ui/time";
import { Value } from "../../../ui/Working";
import { Heads } from "../Heads";
import { Worked } from "./SheetTable";

export function Curve({ page }: { readonly page: Gyle }) {
  if (page.curve.length === 0) return null;
  const end = page.forecast?.results ?? [];
  return (
    <section class="curve">
      <h2>{t("gyle-curve")}</h2>
      {page.chart && <Drawn chart={page.chart} last={page.last?.id ?? ""} />}
      {page.forecast && (
        <div class="forecast">
          <Worked label={page.forecast.title} working={page.forecast} />
          <dl class="figures">
            {end.map((line) => (
              <div key={line.id}>
                <dt>{line.label}</dt>
                <dd>
                  <Value value={line.value} unit={line.unit} />
                </dd>
              </div>
            ))}
          </dl>
        </div>
      )}
      {!page.forecast && <p class="whose">{t("curve-no-forecast")}</p>}
      <table class="figures-table">
        <caption>{t("curve-readings")}</caption>
        <Heads
          of={[t("column-when-read"), t("column-hours"), t("column-gravity"), t("column-temperature")]}
        />
        <tbody>
          {page.curve.map((point) => (
            <tr key={point.run}>
              <th scope="row">{moment(point.time)}</th>
              <td>{figure(point.hours)}</td>
              <td>{point.gravity === null ? "–" : figure(point.gravity)}</td>
              <td>{point.temperature === null ? "–" : figure(point.temperature)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

/** Thousandths of the drawing as a share of it. */
const share = (at: number): string => `${at / 10}%`;
const path = (places: readonly Place[]): string => places.map(([x, y]) => `${x},${y}`).join(" ");

type DrawnProps = { readonly chart: Drawing; readonly last: string };

function Drawn({ chart, last }: DrawnProps) {
  const said = t("curve-said", { count: chart.lines[0]?.gravity.length ?? 0 });
  return (
    <figure class="drawing">
      <svg class="drawing-plot" role="img" aria-label={said}>
        <Grid chart={chart} />
        {chart.forecast && <Forecast forecast={chart.forecast} />}
        {chart.planned !== null && (
          <line class="plan-line" x1="0" x2="100%" y1={share(chart.planned)} y2={share(chart.planned)} />
        )}
        <svg
          viewBox="0 0 1000 1000"
          preserveAspectRatio="none"
          width="100%"
          height="100%"
          overflow="visible"
          aria-hidden="true"
        >
          {chart.lines.map((line) => (
            <g key={line.id} data-line={line.id}>
              <polyline class="gravity-line" points={path(line.gravity)} />
              <polyline class="warmth-line" points={path(line.temperature)} />
            </g>
          ))}
        </svg>
        {chart.lines.map((line) => (
          <Dots key={line.id} id={line.id} gravity={line.gravity} warmth={line.temperature} />
        ))}
      </svg>
      <figcaption class="drawing-key">
        <span class="key-gravity">{t("curve-gravity")}</span>
        <span class="key-warmth">{t("curve-warmth")}</span>
        {last && <span class="key-before">{t("curve-before", { gyle: last })}</span>}
        {chart.planned !== null && <span class="key-plan">{t("curve-plan")}</span>}
        {chart.forecast && <span class="key-forecast">{t("curve-forecast")}</span>}
      </figcaption>
    </figure>
  );
}

function Grid({ chart }: { readonly chart: Drawing }) {
  const level = (mark: AxisMark) => (
    <line key={mark.text} class="grid-line" x1="0" x2="100%" y1={share(mark.at)} y2={share(mark.at)} />
  );
  return (
    <g>
      {chart.gravity.map(level)}
      {chart.gravity.map((mark) => (
        <text key={mark.text} class="mark-text" x="-8" y={share(mark.at)} dy="0.35em" text-anchor="end">
          {figure(mark.text)}
        </text>
      ))}
      {chart.temperature.map((mark) => (
        <text key={mark.text} class="mark-text" x="100%" dx="8" y={share(mark.at)} dy="0.35em">
          {t("curve-degrees", { degrees: figure(mark.text) })}
        </text>
      ))}
      {chart.days.map((mark) => (
        <text key={mark.text} class="mark-text" x={share(mark.at)} y="100%" dy="1.6em" text-anchor="middle">
          {t("curve-day", { day: mark.text })}
        </text>
      ))}
    </g>
  );
}

function Forecast({ forecast }: { readonly forecast: NonNullable<Drawing["forecast"]> }) {
  return (
    <g>
      <rect
        class="forecast-band"
        x="0"
        width="100%"
        y={share(forecast.high)}
        height={share(forecast.low - forecast.high)}
      />
      <line class="forecast-line" x1="0" x2="100%" y1={share(forecast.end)} y2={share(forecast.end)} />
    </g>
  );
}

type DotsProps = {
  readonly id: string;
  readonly gravity: readonly Place[];
  readonly warmth: readonly Place[];
};

function Dots({ id, gravity, warmth }: DotsProps) {
  return (
    <g data-line={id}>
      {gravity.map(([x, y]) => (
        <circle key={x} class="gravity-dot" cx={share(x)} cy={share(y)} r="6" />
      ))}
      {warmth.map(([x, y]) => (
        <circle key={x} class="warmth-dot" cx={share(x)} cy={share(y)} r="4" />
      ))}
    </g>
  );
}
