import type { Beside, Heading } from "../../../shared/quantity/notice.ts";
import type { ShotNotice } from "../../../shared/results/notices/shot-notices.ts";

/** The notices to read under a heading, but for those that stand beside something there. */
export function noticesUnder(heading: Heading, notices: readonly ShotNotice[]): readonly ShotNotice[] {
  return notices.filter(({ about, beside }) => about === heading && beside === undefined);
}

/** The notices to read beside a group of fields or of results. */
export function noticesBeside(
  place: Exclude<Beside, "sentence">,
  notices: readonly ShotNotice[],
): readonly ShotNotice[] {
  return notices.filter(({ beside }) => beside === place);
}

const OF_THE_LAUNCHER: ReadonlySet<string> = new Set<Heading>(["model", "tuning", "next-shot"]);

/**
 * What keeps the four headline results from being there: the first refusal that is not of the launcher and
 * its model.
 */
export function firstObstacle(notices: readonly ShotNotice[]): ShotNotice | null {
  return notices.find(({ level, about }) => level === "refusal" && !OF_THE_LAUNCHER.has(about)) ?? null;
}
