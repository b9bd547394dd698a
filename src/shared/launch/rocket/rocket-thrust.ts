import { lastOf } from "../../quantity/known-element.ts";
import type { RocketInputs, RocketMotor } from "./rocket-inputs.ts";
import { cumulativeImpulse } from "./thrust-curve.ts";

/** Value and slope at the start of a stretch of time; straight within it. */
interface Line {
  readonly start: number;
  readonly slope: number;
}

/**
 * A stretch of time in which every motor's thrust is one straight line: nothing jumps or bends inside
 * it. Forces and moments with τ = t − t0; moments about the centre of gravity, pitch positive nose up,
 * yaw positive nose right.
 */
export interface ThrustStretch {
  readonly t0: number;
  readonly t1: number;
  /** N along the path. */
  readonly along: Line;
  /** N·m. */
  readonly pitch: Line;
  readonly yaw: Line;
  /** kg at t0, and the burning of propellant: m = massKg − burn.start τ − burn.slope τ²/2. */
  readonly massKg: number;
  readonly burn: Line;
}

const SAME_INSTANT = 1e-12; // s; a thrust curve moved by this changes nothing that a double could show

/**
 * s, when the booster falls away: at the first ejection charge of a lit motor; Infinity when nothing does.
 */
export function separationTime({ boosterKg, motors }: RocketInputs): number {
  if (!(boosterKg > 0)) return Infinity;
  return Math.min(...motors.map((m) => (m.lit && m.ejectionS !== null ? endOf(m) + m.ejectionS : Infinity)));
}

/** s, when the last lit motor burns out; −Infinity when none is lit. */
export function lastBurnout(motors: readonly RocketMotor[]): number {
  return Math.max(...motors.map((m) => (m.lit ? endOf(m) : -Infinity)));
}

/**
 * Sum of thrusts, their moments and the mass from t = 0 to `untilS`.
 * Mass m = m_0 − Σ m_p I(t)/I of the lit motors. Moment about the centre of gravity of a thrust (F_f, F_u,
 * F_r) that acts ahead x, above z, right y of it: pitch x F_u − z F_f, yaw x F_r − y F_f. The motors sit on
 * the booster: when it falls away, they and all propellant go with it, burning or not.
 * @param untilS s, > 0
 */
export function thrustStretches(inputs: RocketInputs, untilS: number): readonly ThrustStretch[] {
  const separationS = separationTime(inputs);
  const lit = inputs.motors.filter((motor) => motor.lit);
  const bends = [
    0,
    untilS,
    ...(separationS < untilS ? [separationS] : []),
    ...lit.flatMap(({ delayS, curve }) => [delayS, ...curve.map(([t]) => delayS + t)]),
  ]
    .filter((t) => t >= 0 && t <= untilS)
    .sort((a, b) => a - b);
  const ends = bends.filter((t, i) => i === 0 || t - bends[i - 1] > SAME_INSTANT);
  const motors = lit.map(burningOf);
  const emptyKg =
    inputs.massKg - inputs.boosterKg - inputs.motors.reduce((sum, motor) => sum + motor.propellantKg, 0);
  return ends.slice(1).map((t1, i): ThrustStretch => {
    const t0 = ends[i];
    const now = t0 >= separationS - SAME_INSTANT ? [] : motors.map((burning) => burning(t0, t1));
    const sum = (part: (one: Burning) => Line): Line => ({
      start: now.reduce((total, one) => total + part(one).start, 0),
      slope: now.reduce((total, one) => total + part(one).slope, 0),
    });
    const burntKg = now.reduce((total, one) => total + one.burntKg, 0);
    return {
      t0,
      t1,
      along: sum((one) => one.along),
      pitch: sum((one) => one.pitch),
      yaw: sum((one) => one.yaw),
      massKg: t0 >= separationS - SAME_INSTANT ? emptyKg : inputs.massKg - burntKg,
      burn: sum((one) => one.burn),
    };
  });
}

/** kg at an instant of a stretch. */
export function massAt({ massKg, burn }: ThrustStretch, tau: number): number {
  return massKg - tau * (burn.start + (burn.slope * tau) / 2);
}

/** Value of a line at an instant of its stretch. */
export function lineAt({ start, slope }: Line, tau: number): number {
  return start + slope * tau;
}

interface Burning {
  readonly along: Line;
  readonly pitch: Line;
  readonly yaw: Line;
  readonly burn: Line;
  readonly burntKg: number;
}

/** What one lit motor does in a stretch [t0, t1] that has none of its bends inside. */
function burningOf(motor: RocketMotor): (t0: number, t1: number) => Burning {
  const { curve, delayS, thrustScale: scale, tiltUpRad: up, tiltRightRad: right } = motor;
  const impulses = cumulativeImpulse(curve);
  const total = lastOf(impulses);
  const [forward, upward, sideways] = [
    Math.cos(up) * Math.cos(right),
    Math.sin(up),
    Math.cos(up) * Math.sin(right),
  ];
  const pitchArm = motor.aheadM * upward - motor.aboveM * forward;
  const yawArm = motor.aheadM * sideways - motor.rightM * forward;
  return (t0, t1) => {
    const middle = (t0 + t1) / 2 - delayS;
    const after = pointsUpTo(middle);
    const thrust: Line & { impulse: number } =
      after === 0 || after === curve.length
        ? { start: 0, slope: 0, impulse: after === 0 ? 0 : total }
        : segmentFrom(after, t0 - delayS);
    const times = (factor: number): Line => ({
      start: thrust.start * factor,
      slope: thrust.slope * factor,
    });
    return {
      along: times(scale * forward),
      pitch: times(scale * pitchArm),
      yaw: times(scale * yawArm),
      burn: times(motor.propellantKg / total),
      burntKg: (motor.propellantKg * thrust.impulse) / total,
    };
  };

  /** How many points of the curve lie at or before a time. */
  function pointsUpTo(t: number): number {
    let [low, high] = [0, curve.length];
    while (low < high) {
      const half = (low + high) >> 1;
      if (curve[half][0] <= t) low = half + 1;
      else high = half;
    }
    return low;
  }

  /** The line before the point `after`, seen from a time on it. */
  function segmentFrom(after: number, t: number): Line & { impulse: number } {
    const [ta, fa] = curve[after - 1];
    const [tb, fb] = curve[after];
    const slope = (fb - fa) / (tb - ta);
    const tau = t - ta;
    return { start: fa + slope * tau, slope, impulse: impulses[after - 1] + tau * (fa + (slope * tau) / 2) };
  }
}

function endOf({ delayS, curve }: RocketMotor): number {
  return delayS + lastOf(curve)[0];
}
