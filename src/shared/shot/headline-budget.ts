import type { MotionEstimates } from "../kinematics/motion-estimates.ts";
import type { Measured, Quantity, Unit } from "../quantity/measured.ts";
import type { MeasuringSetUp } from "./measuring-set-up.ts";
import type { BudgetLine, QuantityName } from "./shot-result.ts";

/** How the airframe turns where results are taken: the centre of gravity's own uncertainty enters through it. */
export interface Turning {
  /** rad/s at release, and rad/s² at the instant of peak acceleration. */
  readonly pitchRate: number;
  readonly peakPitchAcceleration: number;
  /** rad, pitch less the direction of motion, at release. */
  readonly attitude: number;
}

interface Line {
  readonly name: QuantityName;
  readonly unit: Unit;
  readonly how: string;
  readonly estimate: Measured;
  /** Relative sensitivity to scale and to clock rate: value ~ scale^a * rate^b. */
  readonly powers: readonly [scale: number, rate: number];
  /** rad of result per rad of plumb. */
  readonly plumb?: number;
  /** Result per metre of centre of gravity moved along and above the reference line. */
  readonly centre?: readonly [along: number, above: number];
}

/**
 * Results with their budget: u² = sum of the squares of marks (scatter, smoothness and release together), scale, clock, plumb and
 * centre of gravity, each first order and independent. Source: JCGM 100:2008, 5.1.2, eq. 10.
 */
export function headlineBudget(
  estimates: MotionEstimates,
  setUp: MeasuringSetUp,
  turning: Turning,
): {
  quantities: Partial<Record<QuantityName, Quantity>>;
  budget: Partial<Record<QuantityName, readonly BudgetLine[]>>;
} {
  const quantities: Partial<Record<QuantityName, Quantity>> = {};
  const budget: Partial<Record<QuantityName, readonly BudgetLine[]>> = {};
  for (const line of lines(estimates, turning)) {
    const parts = budgetOf(line, setUp);
    const u = Math.hypot(...parts.map((part) => part.u));
    quantities[line.name] = { value: line.estimate.value, u, unit: line.unit, how: line.how };
    budget[line.name] = parts;
  }
  return { quantities, budget };
}

function budgetOf(line: Line, { scale, clock, plumb, axisU }: MeasuringSetUp): readonly BudgetLine[] {
  const { value, u } = line.estimate;
  const [byScale, byRate] = line.powers;
  const [along, above] = line.centre ?? [0, 0];
  const all: readonly BudgetLine[] = [
    { source: "marks", u },
    { source: "scale", u: Math.abs((byScale * value * scale.u) / scale.value) },
    { source: "clock", u: Math.abs(byRate * value * clock.relativeU) },
    { source: "plumb", u: Math.abs((line.plumb ?? 0) * plumb.u) },
    { source: "centre of gravity", u: Math.hypot(along * axisU.alongM, above * axisU.aboveM) },
  ];
  return all.filter((part) => part.source === "marks" || part.u > 0);
}

function lines(
  estimates: MotionEstimates,
  { pitchRate, peakPitchAcceleration, attitude }: Turning,
): readonly Line[] {
  const speed = estimates.speed.value;
  const [cos, sin] = [Math.cos(attitude), Math.sin(attitude)];
  const release = "fitted to all marks, not smoothed across release";
  return [
    {
      name: "releaseTime",
      unit: "s",
      estimate: estimates.release,
      powers: [0, -1],
      how: "where the push acceleration ends; clock zero at frame 0",
    },
    {
      name: "releaseSpeed",
      unit: "m/s",
      estimate: estimates.speed,
      powers: [1, 1],
      // A point r from the centre of gravity moves at omega x r more: only the part along the path changes the speed.
      centre: [pitchRate * sin, pitchRate * cos],
      how: `speed of the centre of gravity at release, ${release}`,
    },
    {
      name: "peakAcceleration",
      unit: "m/s²",
      estimate: estimates.peakAcceleration,
      powers: [1, 2],
      centre: [peakPitchAcceleration * sin, peakPitchAcceleration * cos],
      how: "largest acceleration of the centre of gravity along the launch direction during the push",
    },
    {
      name: "pitchRateAtRelease",
      unit: "rad/s",
      estimate: estimates.pitchRate,
      powers: [0, 1],
      how: `nose up positive, ${release}`,
    },
    {
      name: "launchAngle",
      unit: "rad",
      estimate: estimates.direction,
      powers: [0, 0],
      plumb: 1,
      centre: [(pitchRate * cos) / speed, (pitchRate * sin) / speed],
      how: "direction of the centre of gravity's velocity at release above the horizontal",
    },
    {
      name: "pitchAtRelease",
      unit: "rad",
      estimate: estimates.pitch,
      powers: [0, 0],
      plumb: 1,
      how: "pitch reference line above the horizontal at release",
    },
    {
      name: "meanPushAcceleration",
      unit: "m/s²",
      estimate: estimates.meanAcceleration,
      powers: [1, 2],
      how: "release speed over the time from first motion to release",
    },
    {
      name: "pushTime",
      unit: "s",
      estimate: estimates.pushTime,
      powers: [0, -1],
      how: "first motion to release",
    },
    {
      name: "stroke",
      unit: "m",
      estimate: estimates.stroke,
      powers: [1, 0],
      how: "travel of the centre of gravity from first motion to release",
    },
  ];
}
