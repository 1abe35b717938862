/** What this phone is told while the app is shut: asked for once, by kind, with quiet hours. */
import { useEffect, useState } from "preact/hooks";
import { current } from "../../identity";
import { t } from "../../messages";
import {
  able,
  KINDS,
  type Kind,
  lookUp,
  type Outcome,
  usual,
  type Wanted,
  want,
  wanted,
  wantNone,
} from "../../state/notices";

const NIGHT = { from: 22 * 60, to: 6 * 60 };

export function Notices() {
  const [outcome, setOutcome] = useState<Outcome | "asking">("done");
  useEffect(() => {
    lookUp().catch(reportError);
  }, []);
  const held = wanted.value;
  const stands = able();
  const ask = (next: Wanted): void => {
    setOutcome("asking");
    want(next).then(setOutcome, reportError);
  };
  if (held === undefined) return null;
  return (
    <section>
      <h2>{t("notices-title")}</h2>
      {held === null && <p>{t("notices-what")}</p>}
      {stands !== "yes" && <p class={held ? "wrong" : ""}>{t(`notices-${stands}`)}</p>}
      {outcome !== "done" && outcome !== "asking" && <p class="wrong">{t(`notices-${outcome}`)}</p>}
      {held === null && stands === "yes" && (
        <button
          type="button"
          class="press"
          disabled={outcome === "asking"}
          onClick={() => ask({ kinds: usual(current.peek()?.role ?? "starter"), quiet: null })}
        >
          {t("notices-do")}
        </button>
      )}
      {held && <Choice held={held} ask={ask} />}
    </section>
  );
}

type ChoiceProps = { readonly held: Wanted; readonly ask: (next: Wanted) => void };

function Choice({ held, ask }: ChoiceProps) {
  const turn = (kind: Kind): void => {
    const others = held.kinds.filter((name) => name !== kind);
    ask({ ...held, kinds: others.length < held.kinds.length ? others : [...held.kinds, kind] });
  };
  return (
    <>
      <fieldset class="options" aria-label={t("notices-title")}>
        {KINDS.map((kind) => (
          <Turn
            key={kind}
            on={held.kinds.includes(kind)}
            words={t(`notices-kind-${kind}`)}
            press={() => turn(kind)}
          />
        ))}
        <Turn
          on={held.quiet !== null}
          words={t("notices-quiet")}
          press={() => ask({ ...held, quiet: held.quiet ? null : NIGHT })}
        />
      </fieldset>
      {held.quiet && <Hours quiet={held.quiet} ask={(quiet) => ask({ ...held, quiet })} />}
      <button type="button" class="press" onClick={() => void wantNone().catch(reportError)}>
        {t("notices-none")}
      </button>
    </>
  );
}

type TurnProps = { readonly on: boolean; readonly words: string; readonly press: () => void };

function Turn({ on, words, press }: TurnProps) {
  return (
    <button type="button" class="option" aria-pressed={on} onClick={press}>
      <span class="option-mark each" aria-hidden="true" />
      {words}
    </button>
  );
}

type Quiet = NonNullable<Wanted["quiet"]>;
type HoursProps = { readonly quiet: Quiet; readonly ask: (quiet: Quiet) => void };

function Hours({ quiet, ask }: HoursProps) {
  return (
    <div class="hours">
      {(["from", "to"] as const).map((end) => (
        <div class="text-field" key={end}>
          <label for={`quiet-${end}`}>{t(`notices-${end}`)}</label>
          <input
            id={`quiet-${end}`}
            class="text"
            type="time"
            value={clock(quiet[end])}
            onChange={({ currentTarget: { valueAsNumber: ms } }) => {
              if (ms >= 0) ask({ ...quiet, [end]: Math.floor(ms / 60_000) });
            }}
          />
        </div>
      ))}
    </div>
  );
}

const clock = (of: number): string =>
  [Math.floor(of / 60), of % 60].map((part) => String(part).padStart(2, "0")).join(":");
