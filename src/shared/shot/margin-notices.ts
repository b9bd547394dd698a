import { showMeasured } from "../quantity/display.ts";
import type { Measured } from "../quantity/measured.ts";
import type { Notice } from "../quantity/notice.ts";
import type { PredictedQuantities } from "./predicted-quantities.ts";

/** Where the prediction passes, or within twice its uncertainty may pass, the load limit or the stall. */
export function marginNotices(
  quantities: PredictedQuantities,
  loadLimit: Measured | null,
): readonly Notice[] {
  const notices: Notice[] = [];
  const { loadFactor, stallMargin } = quantities;
  if (loadFactor && loadLimit) {
    const words = `The predicted load along the push is ${showMeasured(loadFactor, "1").text} g, the limit entered ${showMeasured(loadLimit, "1").text} g`;
    const over = loadFactor.value - loadLimit.value;
    if (over > 0) {
      notices.push({
        level: "danger",
        code: "load-limit",
        cause: `${words}: the push can break the airframe.`,
        remedy: "Lower the pressure, lengthen the stroke or strengthen the airframe.",
      });
    } else if (over + 2 * Math.hypot(loadFactor.u, loadLimit.u) > 0) {
      notices.push({
        level: "warning",
        code: "near-load-limit",
        cause: `${words}: within twice the uncertainty it may be passed.`,
        remedy: "Lower the pressure, or know pressure, mass and limit better.",
      });
    }
  }
  if (stallMargin && stallMargin.value < 1) {
    notices.push({
      level: "warning",
      code: "below-stall",
      cause: `The predicted airspeed at release is ${showMeasured(stallMargin, "1").text} times the stall speed: the wing cannot carry the airframe yet.`,
      remedy: "Raise the release speed, lighten the airframe, or launch into more wind.",
    });
  }
  return notices;
}
