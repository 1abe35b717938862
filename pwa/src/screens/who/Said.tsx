/** Why a PIN or password was not taken, and what to do about it. */
import type { SignInAnswer } from "../../identity";
import { t } from "../../messages";
import { useSeconds } from "../../state/clock";
import { length, timeOf } from "../../ui/time";

export function Said({ answer }: { readonly answer: SignInAnswer | null }) {
  const at = useSeconds();
  if (!answer || answer.ok) return null;
  const rest = answer.until === undefined ? 0 : Math.ceil((answer.until - at) / 1000);
  if (answer.why === "wait" && rest > 0) return <p>{t("sign-in-wait", { time: length(rest) })}</p>;
  if (answer.why === "wait") return null;
  return <p>{t(`sign-in-${answer.why}`, { time: timeOf(at) })}</p>;
}
