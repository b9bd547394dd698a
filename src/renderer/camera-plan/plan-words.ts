import type { CameraPlanInput, PlanFieldFault } from "../../shared/camera-plan/plan-input.ts";
import type { SeenOfShot } from "../../shared/camera-plan/plan-notices.ts";
import { displayUnit, type UnitSet } from "../../shared/quantity/display.ts";

/** What the camera sees of the shot, in two sentences. Planned, so without u. */
export function seenSays(seen: SeenOfShot, { exposureS }: CameraPlanInput, units: UnitSet): string {
  const { symbol, factor } = displayUnit("m", units);
  const [width, height] = seen.fieldM.map((m) => (m * factor).toPrecision(3));
  const flight =
    seen.flightFramesMarked === 1
      ? "one frame after release"
      : `${seen.flightFramesMarked} frames after release`;
  return `The push lasts ${(1000 * seen.pushS).toFixed(0)} ms and shows in ${seen.framesInPush} frames, with ${flight} to mark. The picture holds ${width} × ${height} ${symbol}, ${(1000 * seen.scaleMPerPx).toPrecision(3)} mm a pixel; at release the airframe smears over ${seen.blurPx.toFixed(1)} px in 1/${Math.round(1 / exposureS)} s.`;
}

/** "−38 %": by how much an uncertainty would change; "·" when by less than half a per cent. */
export function changeText(reduction: number): string {
  const percent = Math.round(-100 * reduction);
  if (percent === 0) return "·";
  return `${percent > 0 ? "+" : "−"}${Math.abs(percent)}\u00a0%`;
}

/** What must be typed otherwise before a plan can be made. */
export function faultSays(
  fault: PlanFieldFault,
  labels: Readonly<Partial<Record<PlanFieldFault["field"], string>>>,
): string {
  return `“${labels[fault.field] ?? fault.field}” must be ${fault.needed}.`;
}
