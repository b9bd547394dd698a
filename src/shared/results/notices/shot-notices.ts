import type { Notice } from "../../quantity/notice.ts";
import type { CodeOf } from "../../quantity/notice-catalogue.ts";
import { CLIP_NOTICES, type ClipRefusal } from "./clip-notices.ts";
import { CLOCK_NOTICES, DROP_NOTICES, LAMP_NOTICES } from "./clock-notices.ts";
import { UNFLOWN_NOTICES } from "./flight-notices.ts";
import { LAUNCH_NOTICES } from "./launch-notices.ts";
import { MARKS_NOTICES } from "./marks-notices.ts";
import {
  GUESS_NOTICES,
  INPUT_NOTICES,
  LEFT_OUT_NOTICES,
  MODEL_NOTICES,
  TUNED_NOTICES,
} from "./model-notices.ts";
import { MOTION_NOTICES } from "./motion-notices.ts";
import { BOOST_NOTICES, CURVE_NOTICES, FILL_NOTICES, PUSH_NOTICES, TABLE_NOTICES } from "./push-notices.ts";
import { PLANE_NOTICES, SCALE_NOTICES } from "./scale-notices.ts";
import { ALTIMETER_NOTICES, FLIGHT_NOTICES, MARGIN_NOTICES } from "./verdict-notices.ts";

/** All that can be said of a shot. */
export const SHOT_NOTICES = {
  ...CLIP_NOTICES,
  ...CLOCK_NOTICES,
  ...DROP_NOTICES,
  ...LAMP_NOTICES,
  ...SCALE_NOTICES,
  ...PLANE_NOTICES,
  ...MARKS_NOTICES,
  ...MOTION_NOTICES,
  ...INPUT_NOTICES,
  ...MODEL_NOTICES,
  ...GUESS_NOTICES,
  ...TUNED_NOTICES,
  ...PUSH_NOTICES,
  ...FILL_NOTICES,
  ...TABLE_NOTICES,
  ...CURVE_NOTICES,
  ...BOOST_NOTICES,
  ...LEFT_OUT_NOTICES,
  ...MARGIN_NOTICES,
  ...FLIGHT_NOTICES,
  ...UNFLOWN_NOTICES,
  ...ALTIMETER_NOTICES,
  ...LAUNCH_NOTICES,
};
export type ShotNoticeCode = CodeOf<typeof SHOT_NOTICES>;

/** A notice of a shot. */
export type ShotNotice = Notice<ShotNoticeCode> | ClipRefusal;
