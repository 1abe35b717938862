/** What is left of a hold, large, from the moment it was started: it reads the same after a reload. */
import { t } from "../messages";
import { useSeconds } from "../state/clock";
import { type Hold, left, stageOf } from "../state/ring";
import { length } from "./time";

export function Countdown({ hold }: { readonly hold: Hold }) {
  const rest = left(hold, useSeconds());
  const stage = stageOf(rest);
  return (
    <div class="countdown" data-stage={stage} role="timer">
      <p class="countdown-number">{length(Math.abs(rest))}</p>
      <p class="countdown-word">{t(`hold-stage-${stage}`)}</p>
      <progress
        max={hold.seconds}
        value={Math.min(hold.seconds, hold.seconds - rest)}
        aria-label={t("hold-progress")}
      />
    </div>
  );
}
