import type { Notice } from "../quantity/notice.ts";
import { type LaunchNoticeCode, SHOT_CAUTIONS } from "../results/notices/launch-notices.ts";

export type LaunchNotice = Notice<LaunchNoticeCode>;

/** Caution for an airframe that carries an electric motor. */
export const PROPELLER_CAUTION: LaunchNotice = SHOT_CAUTIONS.propeller();
