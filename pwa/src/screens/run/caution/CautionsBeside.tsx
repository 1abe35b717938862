/**
 * Cautions beside a step, not before it: those that are still so from a step before, and all those of a step that is
 * never locked (venting, isolating, draining to safe).
 */
import { t } from "../../../messages";
import { cautionsAt, meet, nextScreen } from "../../../state/cautions";
import type { Step } from "../../../state/view";
import { HoldButton } from "../../../ui/HoldButton";
import { Full, States } from "./Cautions";

export function CautionsBeside({ step }: { readonly step: Step }) {
  const shown = cautionsAt(step.id)?.shown ?? [];
  const screen = nextScreen(shown);
  if (shown.length === 0 || (screen.length > 0 && !step.never_locked)) return null;
  if (screen.length === 0)
    return (
      <section class="cautions-beside" aria-label={t("cautions")}>
        <p class="before">{t("caution-still")}</p>
        <States screen={shown} />
      </section>
    );
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
        onHeld={() => void meet(step.id, screen).catch(reportError)}
      />
    </section>
  );
}
