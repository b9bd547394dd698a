import type { Instant } from "../../shared/beside/frames-in-time.ts";
import type { Origin } from "../../shared/beside/origins.ts";
import { HIDDEN_AT_FIRST } from "../../shared/day/day-columns.ts";
import type { Against } from "../../shared/day/day-kinds.ts";
import type { DayOrder } from "../../shared/day/day-table.ts";
import type { OverlayAsk } from "../../shared/figures/overlay-of-shots.ts";
import type { Pointed } from "../../shared/figures/points-of-shots.ts";

/** The faces that the middle of the window shows: one shot's picture, or all shots of the day. */
export type Face = "frame" | "day";

/** How the day is looked at; nothing of it is in the document. */
export interface DayView {
  readonly filter: string;
  /** null: as the session has them */
  readonly order: DayOrder | null;
  /** ids of columns that are not shown */
  readonly hidden: readonly string[];
  /** ids of the shots whose curves are drawn, in the order they were chosen */
  readonly chosen: readonly string[];
  /** whether shots of other outings are shown with the session's own */
  readonly elsewhere: boolean;
  readonly curves: CurvesView;
  readonly points: PointsView;
  readonly pictures: PicturesView;
}

/** The pictures of two of the chosen shots at the same time. */
export interface PicturesView {
  readonly shown: boolean;
  /** ids of the two shots; null: the first and the second chosen one */
  readonly shots: readonly [string | null, string | null];
  readonly arrangement: "side by side" | "blended";
  /** what falls together where they are blended */
  readonly together: Origin;
  /** 0 to 1, how much of the second is seen where they are blended */
  readonly share: number;
  /** what time is counted from */
  readonly from: Instant;
  /** s, the time that is looked at */
  readonly atS: number;
  readonly playing: boolean;
}

/** Which result is set against which input; the first input there is where the shots lack that one. */
export interface PointsView {
  readonly quantity: Pointed;
  readonly against: Against;
}

/** How the curves of the chosen shots are laid over each other. */
export interface CurvesView extends Omit<OverlayAsk, "reference"> {
  /** id of the shot that the others are held against; the first chosen one where that is not drawn */
  readonly reference: string | null;
}

export const FRESH_DAY: DayView = {
  filter: "",
  order: null,
  hidden: HIDDEN_AT_FIRST,
  chosen: [],
  elsewhere: true,
  curves: {
    quantity: "speed",
    alignment: "release",
    arrangement: "over",
    differences: false,
    reference: null,
  },
  points: { quantity: "releaseSpeed", against: "pressure" },
  pictures: {
    shown: false,
    shots: [null, null],
    arrangement: "side by side",
    together: "airframe at first motion",
    share: 0.5,
    from: "release",
    atS: 0,
    playing: false,
  },
};

/** The next order when the head of a column is pressed: up, down, as the session has them. */
export function nextOrder(order: DayOrder | null, by: string): DayOrder | null {
  if (order?.by !== by) return { by, down: false };
  return order.down ? null : { by, down: true };
}

/** A list with an entry, or without it when it has it already. */
export function toggled(all: readonly string[], one: string): readonly string[] {
  return all.includes(one) ? all.filter((other) => other !== one) : [...all, one];
}
