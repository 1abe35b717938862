/** What the office's check says of the draft: every fault with the way to its field, or that nothing is wrong. */
import { t } from "../../../messages";
import { to } from "../../../state/route";
import type { Form } from "./answers";
import { type Path, textOf } from "./draft";
import { placeOf } from "./editing";
import type { DraftState } from "./useDraft";

type Props = { readonly state: DraftState; readonly form: Form; readonly show: (path: Path) => void };

export function Mend({ state, form, show }: Props) {
  const { checked, wrong, draft } = state;
  return (
    <section class="mend" aria-label={t("procedure-check")}>
      {wrong && <p class="wrong">{t("procedure-unchecked", { why: wrong })}</p>}
      <p aria-live="polite">{checked && t("procedure-faults", { count: checked.faults.length })}</p>
      <OutOfTurn state={state} />
      {checked && checked.faults.length > 0 && (
        <ul>
          {checked.faults.map((fault) => {
            const place = placeOf(form, draft, fault.field);
            return (
              <li key={`${fault.field} ${fault.text}`}>
                <button type="button" class="mend-link" onClick={() => show(place.path)}>
                  {place.words.length > 0 ? place.words.join(" · ") : t("procedure-itself")}
                </button>
                <span>{fault.text}</span>
              </li>
            );
          })}
        </ul>
      )}
      <p class="help">{t("procedure-kept-here")}</p>
    </section>
  );
}

/** Somebody has published the version this draft was to become. */
export function OutOfTurn({ state }: { readonly state: DraftState }) {
  const { checked, draft, change } = state;
  const next = (checked?.newest ?? 0) + 1;
  if (!checked || textOf(draft.version) === String(next)) return null;
  const id = textOf(draft.id);
  return (
    <div class="refused" role="alert">
      <p>{t("procedure-out-of-turn", { version: textOf(draft.version), newest: checked.newest ?? 0 })}</p>
      <div class="row-presses">
        {checked.newest !== null && (
          <a class="press small" href={to("record", "procedure", id)}>
            {t("procedure-look", { version: checked.newest })}
          </a>
        )}
        <button type="button" class="press small" onClick={() => change(["version"], next)}>
          {t("procedure-count-on", { version: next })}
        </button>
      </div>
    </div>
  );
}
