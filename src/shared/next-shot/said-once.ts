import { GRAVITY, gravestFirst } from "../quantity/notice.ts";
import type { ShotNotice, ShotNoticeCode } from "../results/notices/shot-notices.ts";
import type { LimitCheck } from "./limits.ts";
import type { LimitName } from "./next-notices.ts";

/** What the prediction says of each limit. */
const SPEAKS_OF: Readonly<Record<LimitName, readonly ShotNoticeCode[]>> = {
  rating: ["over-rating", "near-rating", "tank-rating-unknown"],
  relief: ["over-relief", "near-relief"],
  load: ["load-limit", "near-load-limit"],
  "end-stop": ["end-stop-over", "end-stop-near", "end-stop-rating-unknown"],
  base: ["base-push-over", "base-push-near", "base-pull-over", "base-pull-near"],
  stretch: ["line-stretch-over", "line-stretch-near", "line-length-unknown"],
  anchor: ["anchor-over", "anchor-near"],
  "carriage-stop": ["carriage-stop-over", "carriage-stop-near", "carriage-stop-rating-unknown"],
  stall: ["below-stall", "near-stall"],
};

/**
 * Whatever the prediction says at a setting, each thing once and in the prediction's own words: beside the
 * limit that it speaks of where that says no worse by itself, else among the cautions, the gravest first.
 * Only what scatter and a margin that was asked for add is said in the limit's words.
 * @param limits at the setting  @param notices of the prediction there
 */
export function saidOnce(
  limits: readonly LimitCheck[],
  notices: readonly ShotNotice[],
): { readonly limits: readonly LimitCheck[]; readonly cautions: readonly ShotNotice[] } {
  const used = new Set<ShotNotice>();
  const checked = limits.map((check) => {
    const said = notices
      .filter(({ code }) => SPEAKS_OF[check.name].some((one) => one === code))
      .reduce<ShotNotice | null>(
        (a, b) => (a !== null && GRAVITY[a.level] >= GRAVITY[b.level] ? a : b),
        null,
      );
    if (said === null || check.notice === null || GRAVITY[said.level] < GRAVITY[check.notice.level])
      return check;
    used.add(said);
    return { ...check, notice: said };
  });
  const cautions = notices.filter((one) => !used.has(one));
  return { limits: checked, cautions: gravestFirst(cautions) };
}
