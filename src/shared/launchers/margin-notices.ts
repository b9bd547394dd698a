import { showMeasured } from "../quantity/display.ts";
import type { Measured, Quantity } from "../quantity/measured.ts";
import { isOf } from "../quantity/notice-catalogue.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import { CUSTOMARY_MARGIN, FLIGHT_NOTICES, MARGIN_NOTICES } from "../results/notices/verdict-notices.ts";
import type { QuantityName } from "../results/shot-result.ts";

/**
 * Whether a notice speaks of load, stall or the flight after them: said of the measured and of the predicted
 * shot alike.
 */
export function isOfMargins(notice: ShotNotice): boolean {
  return isOf(MARGIN_NOTICES, notice) || isOf(FLIGHT_NOTICES, notice);
}

/**
 * 1, greatest load factor along the push that is known of a shot: where it goes on pushing after release,
 * that of the whole boost. Limits are held against this one.
 */
export function greatestLoad({
  loadFactor,
  boostLoadFactor,
}: Readonly<Partial<Record<QuantityName, Quantity>>>): Quantity | null {
  return boostLoadFactor ?? loadFactor ?? null;
}

/**
 * Where a shot, measured or predicted, passes the load limit or the stall, or may pass them within twice its
 * uncertainty.
 * @param less what lessens the load on this kind of launcher, a sentence, where the general advice does not
 * fit
 */
export function marginNotices(
  side: "measured" | "predicted",
  quantities: Readonly<Partial<Record<QuantityName, Quantity>>>,
  loadLimit: Measured | null,
  less?: string,
): readonly ShotNotice[] {
  const { stallMargin } = quantities;
  const felt = greatestLoad(quantities);
  const load = felt && loadLimit ? loadNotice(side, felt, loadLimit, less) : null;
  const stall = stallMargin ? stallNotice(side, stallMargin) : null;
  return [load, stall].filter((notice) => notice !== null);
}

function loadNotice(
  side: "measured" | "predicted",
  load: Measured,
  limit: Measured,
  less?: string,
): ShotNotice | null {
  const over = load.value - limit.value;
  if (over + 2 * Math.hypot(load.u, limit.u) <= 0) return null;
  const code = over > 0 ? "load-limit" : "near-load-limit";
  return MARGIN_NOTICES[code](side, showMeasured(load, "1").text, showMeasured(limit, "1").text, less);
}

function stallNotice(side: "measured" | "predicted", margin: Measured): ShotNotice | null {
  const shown = showMeasured(margin, "1").text;
  if (margin.value < 1) return MARGIN_NOTICES["below-stall"](side, shown);
  return margin.value - 2 * margin.u >= CUSTOMARY_MARGIN ? null : MARGIN_NOTICES["near-stall"](side, shown);
}
