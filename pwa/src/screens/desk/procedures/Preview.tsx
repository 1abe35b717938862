/** A draft as the phone shows it, screen by screen, in the vessel's own components. Nothing is recorded. */
import { useEffect, useMemo, useState } from "preact/hooks";
import { t } from "../../../messages";
import { type Screen, screensOf, showCautions, useRehearsal } from "../../../state/rehearsal";
import { to } from "../../../state/route";
import type { Session } from "../../../state/run";
import { Page } from "../../../ui/Page";
import { CautionScreen } from "../../run/caution/Cautions";
import { Rail } from "../../run/Head";
import { runName } from "../../run/read/name";
import { StepBody } from "../../run/step/StepBody";
import { StepDock } from "../../run/step/StepDock";
import { DeskPage } from "../DeskPage";
import { Picker } from "./Controls";
import { textOf } from "./draft";
import { PhoneFrame } from "./PhoneFrame";
import type { DraftState } from "./useDraft";

type Props = { readonly id: string; readonly state: DraftState };

export function Preview({ id, state }: Props) {
  const procedure = state.current ? (state.checked?.procedure ?? null) : null;
  const run = useRehearsal(procedure);
  const screens = useMemo(() => (procedure ? screensOf(procedure) : []), [procedure]);
  const [place, setPlace] = useState(0);
  const screen = screens[place];
  useEffect(() => {
    if (run && screen) showCautions(screen.step);
  }, [run, screen]);
  const faults = state.current ? (state.checked?.faults.length ?? 0) : 0;
  return (
    <DeskPage title={t("procedure-preview-title")} over={textOf(state.draft.title)} wrong={state.wrong}>
      <div class="preview">
        <div class="preview-presses">
          <p>{faults > 0 ? t("procedure-faults", { count: faults }) : t("procedure-preview-lead")}</p>
          <a class="press small" href={to("record", "procedure-edit", id)}>
            {t("procedure-go-on")}
          </a>
          {run && screen && (
            <>
              <Picker
                label={t("procedure-preview-step")}
                value={screen.step.id}
                onValue={(chosen) => setPlace(screens.findIndex((other) => other.step.id === chosen))}
              >
                {run.procedure?.steps.map((other, at) => (
                  <option key={other.id} value={other.id}>
                    {t("step-numbered", { number: at + 1, title: other.title })}
                  </option>
                ))}
              </Picker>
              <div class="row-presses">
                <Turn way="before" able={place > 0} press={() => setPlace(place - 1)} />
                <Turn way="after" able={place < screens.length - 1} press={() => setPlace(place + 1)} />
              </div>
              <p aria-live="polite">
                {t("procedure-preview-place", { number: place + 1, count: screens.length })}
              </p>
            </>
          )}
        </div>
        {run && screen && (
          <PhoneFrame title={t("procedure-preview-title")} screen={<OneScreen run={run} screen={screen} />} />
        )}
      </div>
    </DeskPage>
  );
}

type TurnProps = { readonly way: "before" | "after"; readonly able: boolean; readonly press: () => void };

function Turn({ way, able, press }: TurnProps) {
  return (
    <button type="button" class="press small" aria-disabled={!able} onClick={() => able && press()}>
      {t(`procedure-preview-${way}`)}
    </button>
  );
}

/** As the run's own walk shows it. */
function OneScreen({ run, screen }: { readonly run: Session; readonly screen: Screen }) {
  const { step, cautions } = screen;
  const view = run.view.steps[step.id];
  if (!view) return null;
  if (cautions.length > 0)
    return (
      <CautionScreen
        over={runName(run)}
        step={step.title}
        screen={cautions}
        back={["plant"]}
        met={async () => undefined}
      />
    );
  return (
    <Page
      title={step.title}
      over={runName(run)}
      back={["plant"]}
      dock={<StepDock run={run} step={step} view={view} then={() => undefined} />}
    >
      <Rail run={run} at={step.id} />
      <StepBody run={run} step={step} view={view} />
    </Page>
  );
}
