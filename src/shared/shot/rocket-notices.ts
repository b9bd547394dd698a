import type { RocketPrediction } from "../launch/rocket-inputs.ts";
import type { MeasuredRocket } from "../launch/rocket-measured.ts";
import { showMeasured } from "../quantity/display.ts";
import type { Measured } from "../quantity/measured.ts";
import type { Notice } from "../quantity/notice.ts";
import type { Session } from "../session/schema.ts";
import { marginNotices } from "./margin-notices.ts";
import type { RocketQuantities } from "./rocket-quantities.ts";

const TURNS_RAD_PER_S = 0.35; // 20°/s: slower than this a pilot's hand on the sticks hardly notices. A judgement, no source.

/** What a person should know about a predicted boost: its loads and stall, what turns it, what was left out, what is not lit. */
export function rocketNotices(
  session: Session,
  rocket: MeasuredRocket,
  boost: RocketPrediction,
  found: RocketQuantities,
): readonly Notice[] {
  const { quantities, boostLoad } = found;
  const whole = { ...quantities, loadFactor: { ...quantities.loadFactor!, ...boostLoad } };
  const margins = marginNotices("predicted", whole, session.airframe.loadLimitG);
  return [
    ...margins.map((notice) =>
      notice.code.endsWith("load-limit")
        ? { ...notice, remedy: "Take motors of less thrust, or strengthen the airframe." }
        : notice,
    ),
    ...turningNotices(found, session),
    ...burningNotices(boost),
    ...unlitNotices(rocket),
    ...leftOutNotices(session, rocket),
  ];
}

function turningNotices(
  { pitchRateAtBurnout, yawRateAtBurnout }: RocketQuantities,
  { units }: Session,
): Notice[] {
  const turns = [
    ...(matters(pitchRateAtBurnout) ? [`pitch ${rate(pitchRateAtBurnout, units)} (nose up positive)`] : []),
    ...(matters(yawRateAtBurnout) ? [`yaw ${rate(yawRateAtBurnout, units)} (nose right positive)`] : []),
  ];
  if (turns.length === 0) return [];
  return [
    {
      level: "warning",
      code: "rocket-turns",
      cause: `Thrust beside the centre of gravity turns the airframe: by burnout, if nothing opposes it, at ${turns.join(" and ")}.`,
      remedy:
        "Bring the thrust line to the centre of gravity, pair motors from one batch, and trust position and speed after the cradle only while the turn is small.",
    },
  ];
}

function matters(measured: Measured | null): measured is Measured {
  return measured !== null && Math.abs(measured.value) + 2 * measured.u > TURNS_RAD_PER_S;
}

function rate(measured: Measured, units: Session["units"]): string {
  return showMeasured(measured, "rad/s", units, true).text;
}

function burningNotices({ burningAtSeparation: names, separation }: RocketPrediction): Notice[] {
  if (names.length === 0 || separation === null) return [];
  return [
    {
      level: "warning",
      code: "rocket-parts-burning",
      cause: `The booster parts ${Number(separation.timeS.toPrecision(3))} s after ignition, while ${listOf(names)} still ${names.length === 1 ? "burns" : "burn"} or ${names.length === 1 ? "has" : "have"} yet to light.`,
      remedy:
        "A booster under thrust can strike the airframe: take motors with the same burn, or a longer time to the charge.",
    },
  ];
}

function unlitNotices({ motors }: MeasuredRocket): Notice[] {
  const names = motors.filter(({ lit }) => !lit).map(({ name }) => name);
  if (names.length === 0) return [];
  return [
    {
      level: "note",
      code: "rocket-unlit",
      cause: `Predicted with ${listOf(names)} not lit.`,
      remedy: "Mark it as lit again for the shot as planned.",
    },
  ];
}

function leftOutNotices(
  { airframe }: Session,
  { motors, pitchInertiaKgM2, yawInertiaKgM2 }: MeasuredRocket,
): Notice[] {
  const notices: Notice[] = [];
  if (!airframe.dragAreaM2) {
    notices.push({
      level: "note",
      code: "rocket-no-drag",
      cause:
        "The drag area of the airframe is not known, so drag is left out and the predicted speeds are upper bounds.",
      remedy: "Enter the drag area; a guess with a wide uncertainty will do.",
    });
  }
  const off = (keys: readonly ("aboveM" | "tiltUpRad" | "rightM" | "tiltRightRad")[]) =>
    motors.some((motor) => keys.some((key) => motor[key].value !== 0 || motor[key].u !== 0));
  const missing = [
    ...(pitchInertiaKgM2 === null && off(["aboveM", "tiltUpRad"]) ? ["pitch inertia"] : []),
    ...(yawInertiaKgM2 === null && off(["rightM", "tiltRightRad"]) ? ["yaw inertia"] : []),
  ];
  if (missing.length > 0) {
    notices.push({
      level: "note",
      code: "rocket-no-inertia",
      cause: `The ${missing.join(" and the ")} of the airframe ${missing.length === 1 ? "is" : "are"} not known, so how fast the thrust turns it is not predicted.`,
      remedy: "Enter the moment of inertia about that axis; a swing on two cords gives it.",
    });
  }
  return notices;
}

function listOf(names: readonly string[]): string {
  return names.map((name) => `“${name}”`).join(", ");
}
