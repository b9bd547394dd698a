import type { PlaneMark } from "../../../../src/shared/kinematics/body-shape.ts";
import { type FlightInputs, flyAfterRelease } from "../../../../src/shared/launch/flight.ts";
import type { Chance } from "../../../../src/shared/quantity/chance.ts";
import { STANDARD_GRAVITY } from "../../../../src/shared/quantity/gravity.ts";
import { type Push, reaching } from "../push.ts";
import { between, drawBody, type SimulatedShot } from "../simulate.ts";
import type { ErrorModel } from "./mark-errors.ts";

/** What happens after the push has ended. */
export type After =
  | { readonly kind: "flight" }
  /** The airframe slides on along the launcher, unpushed, before it leaves it. */
  | { readonly kind: "coast"; readonly coastS: number }
  /** A motor goes on pushing it along the launch direction. */
  | { readonly kind: "boost"; readonly thrustMPerS2: number };

export interface Filming {
  readonly rateHz: number;
  readonly noiseM: number;
  readonly points: number;
  readonly angleRad: number;
  /**
   * s of rest before first motion, negative where motion has begun at the first frame; and
   * of marks after the push.
   */
  readonly restS: number;
  readonly afterS: number;
  readonly after: After;
  readonly errors: ErrorModel;
}

const FRICTION = 0.1; // of the weight across the launcher, while it coasts
const CLOCK_FRACTION = 0.02; // of the release speed: where first motion is counted, and as far from its end

/** Films a push: marks of every point in every frame from rest into flight, with the errors of the model. */
export function filmed(chance: Chance, push: Push, filming: Filming): SimulatedShot {
  const { rateHz, noiseM, points, angleRad, restS, afterS } = filming;
  const startS = restS + chance.uniform() / rateHz;
  const frames = Math.floor((startS + push.pushS + afterS) * rateHz);
  const body = drawBody(chance, points);
  const motion = moved(chance, push, filming);
  const error = filming.errors({ chance, frames, points, noiseM, directionRad: angleRad });
  const marks: PlaneMark[] = [];
  const track: { timeS: number; s: number }[] = [];
  for (let frame = 0; frame < frames; frame++) {
    const timeS = frame / rateHz;
    const { x, y, pitch } = motion.at(timeS - startS);
    track.push({ timeS, s: x * Math.cos(angleRad) + y * Math.sin(angleRad) });
    const [cos, sin] = [Math.cos(pitch), Math.sin(pitch)];
    body.forEach(([forward, up], point) => {
      const seen = error([x + cos * forward - sin * up, y + sin * forward + cos * up], frame, point);
      if (seen !== null) marks.push({ point, frame, timeS, x: seen[0], y: seen[1], u: noiseM });
    });
  }
  const exit = push.at(push.pushS);
  // Where nothing but flight is marked, results are those of its first marked frame.
  const flying = startS + push.pushS < 0 ? atFirstFrame(motion, -startS) : null;
  const from = reaching(push, CLOCK_FRACTION * exit.v);
  const to = reaching(push, (1 - CLOCK_FRACTION) * exit.v);
  return {
    rateHz,
    noiseM,
    points,
    marks,
    track,
    startS,
    axis: { forward: 0, aft: 1, alongM: 0.17, aboveM: -0.004 },
    truth: {
      releaseS: startS + push.pushS,
      speed: flying?.speed ?? exit.v,
      direction: flying?.direction ?? angleRad,
      pitchRate: flying?.pitchRate ?? motion.pitchRate,
      peakAcceleration: push.peak,
      startS: startS + from,
      pushTime: to - from,
      meanAcceleration: ((1 - 2 * CLOCK_FRACTION) * exit.v) / (to - from),
      stroke: exit.s,
    },
  };
}

const STEP_S = 1e-4;

function atFirstFrame(motion: ReturnType<typeof moved>, timeS: number) {
  const [a, b] = [motion.at(timeS - STEP_S), motion.at(timeS + STEP_S)];
  const [vx, vy] = [(b.x - a.x) / (2 * STEP_S), (b.y - a.y) / (2 * STEP_S)];
  return {
    speed: Math.hypot(vx, vy),
    direction: Math.atan2(vy, vx),
    pitchRate: (b.pitch - a.pitch) / (2 * STEP_S),
  };
}

function moved(chance: Chance, push: Push, { angleRad, after }: Filming) {
  const airframeKg = between(chance, 0.7, 1.1);
  const arm = between(chance, -1.2e-3, 1.2e-3);
  const turn = (airframeKg * arm) / between(chance, 0.012, 0.03);
  const pitch0 = angleRad + between(chance, -0.03, 0.03);
  const [sin, cos] = [Math.sin(angleRad), Math.cos(angleRad)];
  const flight: Omit<FlightInputs, "speedMPerS"> = {
    massKg: airframeKg,
    angleRad,
    airDensity: 1.2,
    headwindMPerS: 0,
    dragAreaM2: between(chance, 0.003, 0.02),
    liftAreaM2: between(chance, 0, 0.12),
  };
  const damping = between(chance, 0.3, 1);
  const exit = push.at(push.pushS);
  // The moment is the push times its arm, and the push is what weight and acceleration need.
  const pitchAt = (t: number) => {
    const { s } = push.at(t);
    return pitch0 + turn * (s + (STANDARD_GRAVITY * sin * t * t) / 2);
  };
  const pitchRate = turn * (exit.v + STANDARD_GRAVITY * sin * push.pushS);
  const coastS = after.kind === "coast" ? after.coastS : 0;
  const slowing = STANDARD_GRAVITY * (sin + FRICTION * cos);
  const along = (t: number) => exit.s + exit.v * t - (slowing * t * t) / 2;
  const leaving = { s: along(coastS), v: exit.v - slowing * coastS };
  return {
    pitchRate,
    at(t: number): { x: number; y: number; pitch: number } {
      if (t <= push.pushS) {
        const { s } = push.at(Math.max(0, t));
        return { x: s * cos, y: s * sin, pitch: pitchAt(Math.max(0, t)) };
      }
      const since = t - push.pushS;
      const pitch = pitchAt(push.pushS) + pitchRate * damping * (1 - Math.exp(-since / damping));
      if (since <= coastS) return { x: along(since) * cos, y: along(since) * sin, pitch };
      const flown = since - coastS;
      const state = flyAfterRelease({ ...flight, speedMPerS: leaving.v }, [flown])[0] as {
        x: number;
        y: number;
      };
      const boosted = after.kind === "boost" ? (after.thrustMPerS2 * flown * flown) / 2 : 0;
      const s = leaving.s + boosted;
      return { x: s * cos + state.x, y: s * sin + state.y, pitch };
    },
  };
}
