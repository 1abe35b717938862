/** A review in a few words: one that lapsed never reads as if it stood. */
import { t } from "../../messages";
import type { Review } from "../../state/view";
import { fullDay } from "../../ui/time";

export function reviewWords(review: Review | null): string {
  if (!review) return t("review-waiting");
  const verdict = t(`review-${review.verdict}`);
  if (!review.lapsed) return verdict;
  const { time, added } = review.lapsed;
  return t("review-lapsed", { verdict, day: fullDay(review.time), since: fullDay(time), added });
}
