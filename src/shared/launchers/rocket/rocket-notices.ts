import type { RocketPrediction } from "../../launch/rocket/rocket-inputs.ts";
import type { MeasuredRocket } from "../../launch/rocket/rocket-measured.ts";
import { showMeasured, type UnitSet } from "../../quantity/display.ts";
import type { Measured } from "../../quantity/measured.ts";
import { BOOST_NOTICES, LEFT_OUT_NOTICES } from "../../results/notices/model-notices.ts";
import type { ShotNotice } from "../../results/notices/shot-notices.ts";
import type { LaunchedShot } from "../../session/launch-inputs.ts";
import type { Airframe } from "../../session/schema.ts";
import { marginNotices } from "../margin-notices.ts";
import type { RocketQuantities } from "./rocket-quantities.ts";

// 20°/s: slower than this a pilot's hand on the sticks hardly notices. A judgement, no source.
const TURNS_RAD_PER_S = 0.35;

/**
 * What a person should know about a predicted boost: its loads and stall, what turns it, what was
 * left out, what is not lit.
 */
export function rocketNotices(
  rocket: MeasuredRocket,
  { airframe, units }: LaunchedShot,
  boost: RocketPrediction,
  found: RocketQuantities,
): readonly ShotNotice[] {
  return [
    ...marginNotices("predicted", found.quantities, airframe.loadLimitG, LESS_LOAD),
    ...turningNotices(found, units),
    ...burningNotices(boost),
    ...unlitNotices(rocket),
    ...leftOutNotices(rocket, airframe),
  ];
}

const LESS_LOAD = "Take motors of less thrust, or strengthen the airframe.";

function turningNotices(
  { pitchRateAtBurnout, yawRateAtBurnout }: RocketQuantities,
  units: UnitSet,
): readonly ShotNotice[] {
  const turns = [
    ...(matters(pitchRateAtBurnout) ? [`pitch ${rate(pitchRateAtBurnout, units)} (nose up positive)`] : []),
    ...(matters(yawRateAtBurnout) ? [`yaw ${rate(yawRateAtBurnout, units)} (nose right positive)`] : []),
  ];
  if (turns.length === 0) return [];
  return [BOOST_NOTICES["rocket-turns"](turns)];
}

function matters(measured: Measured | null): measured is Measured {
  return measured !== null && Math.abs(measured.value) + 2 * measured.u > TURNS_RAD_PER_S;
}

function rate(measured: Measured, units: UnitSet): string {
  return showMeasured(measured, "rad/s", units, true).text;
}

function burningNotices({ burningAtSeparation, separation }: RocketPrediction): readonly ShotNotice[] {
  if (burningAtSeparation.length === 0 || separation === null) return [];
  const partsAfterS = Number(separation.timeS.toPrecision(3));
  return [BOOST_NOTICES["rocket-parts-burning"](partsAfterS, burningAtSeparation)];
}

function unlitNotices({ motors }: MeasuredRocket): readonly ShotNotice[] {
  const names = motors.filter(({ lit }) => !lit).map(({ name }) => name);
  return names.length === 0 ? [] : [BOOST_NOTICES["rocket-unlit"](names)];
}

function leftOutNotices(
  { motors, pitchInertiaKgM2, yawInertiaKgM2 }: MeasuredRocket,
  { dragAreaM2 }: Airframe,
): readonly ShotNotice[] {
  const off = (keys: readonly ("aboveM" | "tiltUpRad" | "rightM" | "tiltRightRad")[]) =>
    motors.some((motor) => keys.some((key) => motor[key].value !== 0 || motor[key].u !== 0));
  const missing = [
    ...(pitchInertiaKgM2 === null && off(["aboveM", "tiltUpRad"]) ? ["pitch inertia"] : []),
    ...(yawInertiaKgM2 === null && off(["rightM", "tiltRightRad"]) ? ["yaw inertia"] : []),
  ];
  return [
    ...(dragAreaM2 ? [] : [LEFT_OUT_NOTICES["rocket-no-drag"]()]),
    ...(missing.length > 0 ? [LEFT_OUT_NOTICES["rocket-no-inertia"](missing)] : []),
  ];
}
