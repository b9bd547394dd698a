import { showMeasured } from "../quantity/display.ts";
import type { Measured, Quantity } from "../quantity/measured.ts";
import type { Notice } from "../quantity/notice.ts";
import type { QuantityName } from "./shot-result.ts";

/** The codes below: a host that shows both sides can tell that they speak of the same thing. */
export const MARGIN_CODES: readonly string[] = [
  "load-limit",
  "near-load-limit",
  "below-stall",
  "near-stall",
  "after-below-stall",
  "after-gust-stall",
];

export const CUSTOMARY_MARGIN = 1.2; // builders keep 1.2 to 1.3 times the stall speed at release. Common practice, no source.

/** Where a shot, measured or predicted, passes the load limit or the stall, or may pass them within twice its uncertainty. */
export function marginNotices(
  side: "measured" | "predicted",
  quantities: Readonly<Partial<Record<QuantityName, Quantity>>>,
  loadLimit: Measured | null,
): readonly Notice[] {
  const { loadFactor, stallMargin } = quantities;
  const load = loadFactor && loadLimit ? loadNotice(side, loadFactor, loadLimit) : null;
  const stall = stallMargin ? stallNotice(side, stallMargin) : null;
  return [load, stall].filter((notice) => notice !== null);
}

function loadNotice(side: string, load: Measured, limit: Measured): Notice | null {
  const over = load.value - limit.value;
  if (over + 2 * Math.hypot(load.u, limit.u) <= 0) return null;
  const words = `The ${side} load along the push is ${showMeasured(load, "1").text} g, the limit entered ${showMeasured(limit, "1").text} g`;
  const inspect = side === "measured" ? "Inspect airframe and joints before the next shot. " : "";
  return over > 0
    ? {
        level: "danger",
        code: "load-limit",
        cause: `${words}: the push can break the airframe.`,
        remedy: `${inspect}Push less hard or over a longer way, or strengthen the airframe.`,
      }
    : {
        level: "warning",
        code: "near-load-limit",
        cause: `${words}: within twice the uncertainty it may be passed.`,
        remedy: `${inspect}Push less hard, or know the inputs of the launcher, the mass and the limit better.`,
      };
}

function stallNotice(side: string, margin: Measured): Notice | null {
  const words = `The ${side} airspeed at release is ${showMeasured(margin, "1").text} times the stall speed`;
  const remedy = "Raise the release speed, lighten the airframe, or launch into more wind.";
  if (margin.value < 1) {
    return {
      level: side === "measured" ? "danger" : "warning",
      code: "below-stall",
      cause: `${words}: the wing cannot carry the airframe yet.`,
      remedy,
    };
  }
  if (margin.value - 2 * margin.u >= CUSTOMARY_MARGIN) return null;
  return {
    level: "warning",
    code: "near-stall",
    cause: `${words}; within twice the uncertainty it may be below the customary ${CUSTOMARY_MARGIN}, which is common practice and has no source.`,
    remedy,
  };
}
