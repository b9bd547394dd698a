import { STANDARD_GRAVITY } from "../../quantity/gravity.ts";
import type { IntoStop } from "../end-stop.ts";
import { elasticCurve } from "./elastic-curve.ts";
import type { ElasticInputs } from "./elastic-inputs.ts";

/**
 * Greatest pull of all lines together on their anchor while they are drawn out, N: lines side by side, or one
 * laid double, add up. Between points of the table the force lies between theirs, so that its greatest value
 * stands at one of them or at the draw. A jerk, as where the carriage runs on past slack and draws the line
 * the other way, is left out.
 * @throws RangeError when the table is no curve (`tableProblem`)
 */
export function anchorPull({
  loading,
  drawM,
  lines,
  forceScale,
}: Pick<ElasticInputs, "loading" | "drawM" | "lines" | "forceScale">): number {
  const curve = elasticCurve(loading);
  const places = [...curve.knotsM.filter((knot) => knot < drawM), drawM];
  return lines * forceScale * Math.max(...places.map((place) => curve.force(place)));
}

/**
 * What the carriage and the lines at it bring into the stop, which meets them where the lines are slack: ½
 * (m_c + n m_l/3) v², and their weight along the pull where it drives them on, downhill. The third is
 * Rayleigh's, as in `predictElastic`. Friction, and weight that slows them, are left out: the load is a
 * little high.
 */
export function intoCarriageStop(
  {
    carriageKg,
    lineMassKg,
    lines,
    angleRad,
  }: Pick<ElasticInputs, "carriageKg" | "lineMassKg" | "lines" | "angleRad">,
  speedMPerS: number,
): IntoStop {
  const movingKg = carriageKg + (lines * lineMassKg) / 3;
  return {
    kineticJ: 0.5 * movingKg * speedMPerS ** 2,
    drivingN: Math.max(0, -movingKg * STANDARD_GRAVITY * Math.sin(angleRad)),
  };
}
