import type { RocketPrediction } from "../../launch/rocket/rocket-inputs.ts";
import type { MeasuredRocket } from "../../launch/rocket/rocket-measured.ts";
import { showMeasured, type UnitSet } from "../../quantity/display.ts";
import type { Measured, Unit } from "../../quantity/measured.ts";
import { LEFT_OUT_NOTICES } from "../../results/notices/model-notices.ts";
import { BOOST_NOTICES } from "../../results/notices/push-notices.ts";
import type { ShotNotice } from "../../results/notices/shot-notices.ts";
import type { LaunchedShot } from "../../session/launch-inputs.ts";
import type { Airframe } from "../../session/schema.ts";
import { marginNotices } from "../margin-notices.ts";
import type { MeasuredTurning, RocketQuantities } from "./rocket-quantities.ts";

// 20°/s: slower than this a pilot's hand on the sticks hardly notices. Judgements, no source, as are 10°,
// which the attitude on a cradle is hardly set to better than, and 45°, from where on the wing no longer
// points the way.
const TURNS_RAD_PER_S = 0.35;
const TURNED_RAD = 0.17;
const TURNED_OVER_RAD = 0.79;

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
    ...turningNotices(found.turning, units),
    ...burningNotices(boost),
    ...unlitNotices(rocket),
    ...leftOutNotices(rocket, airframe),
  ];
}

const LESS_LOAD = "Take motors of less thrust, or strengthen the airframe.";

/** The greatest rate and angle until burnout: a turn may have been stopped by then, and turned back. */
function turningNotices(
  { pitchRad, pitchRateRadPerS, yawRad, yawRateRadPerS }: MeasuredTurning,
  units: UnitSet,
): readonly ShotNotice[] {
  const axes = [
    { axis: "pitch", way: "nose up positive", angle: pitchRad, rate: pitchRateRadPerS },
    { axis: "yaw", way: "nose right positive", angle: yawRad, rate: yawRateRadPerS },
  ];
  const turning = axes.filter(
    ({ angle, rate }) => reaches(rate, TURNS_RAD_PER_S) || reaches(angle, TURNED_RAD),
  );
  if (turning.length === 0) return [];
  const says = turning.map(({ axis, way, angle, rate }) => {
    const shown = (of: Measured | null, unit: Unit) => showMeasured(of!, unit, units, true).text;
    return `${axis} by up to ${shown(angle, "rad")}, at up to ${shown(rate, "rad/s")} (${way})`;
  });
  const over = turnsOver({ pitchRad, yawRad });
  return [BOOST_NOTICES["rocket-turns"](says, over)];
}

/** Whether the thrust, with nothing to oppose it, turns the airframe so far that it may go anywhere. */
export function turnsOver({ pitchRad, yawRad }: Pick<MeasuredTurning, "pitchRad" | "yawRad">): boolean {
  return [pitchRad, yawRad].some((angle) => angle !== null && Math.abs(angle.value) > TURNED_OVER_RAD);
}

function reaches(measured: Measured | null, most: number): boolean {
  return measured !== null && Math.abs(measured.value) + 2 * measured.u > most;
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
