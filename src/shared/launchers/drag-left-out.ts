import { airDensity } from "../launch/air.ts";
import { LEFT_OUT_NOTICES } from "../results/notices/model-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { LaunchedShot } from "../session/launch-inputs.ts";

const AREA_M2 = 0.01; // of a model of 1 m of span, about

/**
 * What the air would take of the release speed, where the drag area of the airframe is not known. For a push
 * of even acceleration over L the drag takes ½ρ C_dA ∫v² dx = ¼ρ C_dA L v² of ½ m v², which is ρ C_dA L/(4 m)
 * of v.
 * @param pushedKg all that the push moves
 */
export function dragLeftOut(
  { airframe, conditions }: LaunchedShot,
  travelM: number,
  pushedKg: number,
): readonly ShotNotice[] {
  if (airframe.dragAreaM2) return [];
  const { airPressurePa, temperatureK } = conditions;
  const share = (airDensity(airPressurePa.value, temperatureK.value) * AREA_M2 * travelM) / (4 * pushedKg);
  return [LEFT_OUT_NOTICES["push-no-drag"]((100 * share).toPrecision(1))];
}
