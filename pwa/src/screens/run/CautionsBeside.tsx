/** The cautions of a step that is never locked (venting, isolating, draining to safe): beside it, not before it. */
import { t } from "../../messages";
import { cautionsAt, meet, nextScreen } from "../../state/cautions";
import type { Step } from "../../state/view";
import { HoldButton } from "../../ui/HoldButton";
import { Full, States } from "./Cautions";

export function CautionsBeside({ step }: { readonly step: Step }) {
  const screen = step.never_locked ? nextScreen(cautionsAt(step.id)?.shown ?? []) : [];
  if (screen.length === 0) return null;
  const full = screen.some((row) => row.show === "full");
  return (
    <section class="cautions-beside" aria-label={t("cautions")}>
      {full ? (
        screen.map((row) => <Full key={row.caution.id} caution={row.caution} />)
      ) : (
        <States screen={screen} />
      )}
      <HoldButton
        label={t(full ? "caution-met" : "caution-seen", { count: screen.length })}
        tone="caution"
        onHeld={() => void meet(step.id, screen).catch(console.error)}
      />
    </section>
  );
}
