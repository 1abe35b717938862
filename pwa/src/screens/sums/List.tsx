/** Every sum, by the place in the brewery where it is needed; what is typed narrows the list. */
import { signal } from "@preact/signals";
import { known, t } from "../../messages";
import { to } from "../../state/route";
import type { Calculation } from "../../state/sums";
import { Page } from "../../ui/Page";
import { TextField } from "../../ui/TextField";
import { meant } from "./meant";

/** The order in which beer comes through a brewery. */
const PLACES = ["brewhouse", "cellar", "packaging", "office"];

/** Stays while a sum is looked at and left again. */
const words = signal("");

const placeName = (place: string): string => known(`sums-place-${place}`, place);

export function List({ rows }: { readonly rows: readonly Calculation[] }) {
  const found = rows.filter((row) => meant(row, words.value));
  return (
    <Page title={t("sums")} back={[]} wide>
      <TextField
        label={t("sums-filter")}
        value={words.value}
        onValue={(typed) => {
          words.value = typed;
        }}
      />
      <p class={found.length > 0 ? "unseen" : ""} aria-live="polite">
        {rows.length > 0 && t("sums-found", { count: found.length })}
      </p>
      {byPlace(found).map(([place, sums]) => (
        <section key={place} class="place">
          <h2>{placeName(place)}</h2>
          <ul class="presses">
            {sums.map((row) => (
              <li key={row.name}>
                <a class="press" href={to("sums", row.name)}>
                  {row.title}
                </a>
              </li>
            ))}
          </ul>
        </section>
      ))}
    </Page>
  );
}

function byPlace(rows: readonly Calculation[]): [string, Calculation[]][] {
  const others = new Set(rows.map((row) => row.place).filter((place) => !PLACES.includes(place)));
  return [...PLACES, ...others]
    .map((place): [string, Calculation[]] => [place, rows.filter((row) => row.place === place)])
    .filter(([, held]) => held.length > 0)
    .map(([place, held]) => [place, held.toSorted((a, b) => a.title.localeCompare(b.title))]);
}
