import { denseAt } from "../../numeric/dormand-prince.ts";
import { integrate, type OdeEvent, type OdeRun } from "../../numeric/integrate.ts";
import { STANDARD_GRAVITY } from "../../quantity/gravity.ts";
import { ok, type Result, refuse } from "../../quantity/result.ts";
import { airDensity, dragAlong } from "../air.ts";
import { type ElasticCurve, elasticCurve } from "./elastic-curve.ts";
import { type ElasticInputs, elasticInputProblem } from "./elastic-inputs.ts";

export type ElasticRefusal = "never-moves" | "stops" | "gives-back-more";

/** t in s from letting go; travel from rest along the pull; force of all lines together. */
export interface ElasticState {
  readonly timeS: number;
  readonly positionM: number;
  readonly speedMPerS: number;
  readonly accelerationMPerS2: number;
  readonly forceN: number;
}

export interface ElasticPrediction {
  /** s from letting go until the line is slack: motion starts at once. */
  readonly pushS: number;
  readonly releaseSpeedMPerS: number;
  /** m, draw less the extension at which the line is slack. */
  readonly travelM: number;
  readonly peakAccelerationMPerS2: number;
  readonly peakAccelerationS: number;
  readonly releaseAccelerationMPerS2: number;
  /**
   * J of all lines: under the loading curve from 0 to the draw; under the unloading curve; and the
   * difference, left in the line.
   */
  readonly drawnInJ: number;
  readonly givenBackJ: number;
  readonly lostJ: number;
  /** kg: airframe, carriage, and a third of the lines. */
  readonly movingMassKg: number;
  /** Dense output for 0 <= t <= pushS (clamped outside). */
  at(timeS: number): ElasticState;
}

const DEFAULT_REL_TOL = 1e-10; // the force is smooth between knots: dearer than 1e-8 by a few steps only
const LONGEST_S = 10; // a pull slower than this is no launch
const EXTRA_BACK = 1e-9; // relative; what comes back may pass what went in by rounding only

/** Places in the state vector: m drawn in by the line, m/s. */
const TRAVEL = 0;
const SPEED = 1;

/**
 * The pull of elastic lines from letting go at the draw d (t = 0, at rest) until their force falls to 0, at
 * the latest at extension 0: (m + m_c + n m_l/3) ẍ = n s F(d − x) − (m + m_c + n m_l/2) g sin θ − F_c − D, D
 * the drag of the airframe in the air that passes, ½ρ C_dA w|w| with w = ẋ + headwind cos θ; with F the
 * unloading curve, or the loading curve where no unloading curve is known: what rubber loses is then left out
 * and every speed is an upper bound. The third of each line's mass m_l is Rayleigh's: material of a uniform
 * line that moves in proportion to its distance from the anchor has the kinetic energy ½ (m_l/3) v² (Lord
 * Rayleigh, The Theory of Sound, 1877, energy method; ∫₀¹ s² ds = 1/3); its centre of mass moves half as far,
 * hence the half in its weight. Waves along the line are left out, and so is the loss that comes with speed:
 * a table is measured slowly. Integrated from knot to knot of the table.
 * @returns the prediction; or a refusal: "never-moves" when the pull at the draw does not exceed weight and
 *   friction ({ forceN, neededN }); "stops" when it comes to rest before the line is slack, or is not through
 *   after 10 s ({ positionM, travelM }); "gives-back-more" when the unloading curve holds more energy than
 *   the loading curve ({ drawnInJ, givenBackJ })
 * @throws RangeError naming the field, on an impossible input or relTol outside (0, 1e-3]
 */
export function predictElastic(
  inputs: ElasticInputs,
  options: { readonly relTol?: number } = {},
): Result<ElasticPrediction, ElasticRefusal> {
  const problem = elasticInputProblem(inputs);
  if (problem)
    throw new RangeError(`predictElastic: ${problem.field} must be ${problem.need}; got ${problem.value}`);
  const relTol = options.relTol ?? DEFAULT_REL_TOL;
  if (!(relTol > 0 && relTol <= 1e-3))
    throw new RangeError(`predictElastic: relTol ${relTol} is not in (0, 1e-3]`);
  const { drawM, lines } = inputs;
  const all = lines * inputs.forceScale;
  const out = elasticCurve(inputs.loading);
  const back = inputs.unloading === null ? out : elasticCurve(inputs.unloading);
  const slackM = slackAt(back, drawM);
  const drawnInJ = all * out.energy(drawM);
  const givenBackJ = all * (back.energy(drawM) - back.energy(slackM));
  if (givenBackJ > drawnInJ * (1 + EXTRA_BACK)) return refuse("gives-back-more", { drawnInJ, givenBackJ });

  const carried = inputs.airframeMassKg + inputs.carriageKg;
  const mass = carried + (lines * inputs.lineMassKg) / 3;
  const weight = (carried + (lines * inputs.lineMassKg) / 2) * STANDARD_GRAVITY * Math.sin(inputs.angleRad);
  const against = weight + inputs.slidingN;
  const forceAt = (travel: number) => all * back.force(drawM - travel);
  const dragAt = dragOf(inputs);
  const accelerationAt = (travel: number, speed: number) =>
    (forceAt(travel) - against - dragAt(speed)) / mass;
  const needed = against + dragAt(0);
  if (!(forceAt(0) > needed && back.force(drawM) > 0)) {
    return refuse("never-moves", { forceN: forceAt(0), neededN: needed });
  }

  const travelM = drawM - slackM;
  const stops = stopsOf(back, drawM, slackM);
  const speedScale = Math.sqrt((2 * all * back.energy(drawM)) / mass);
  const runs: { readonly t0: number; readonly run: OdeRun }[] = [];
  let t = 0;
  let y: Float64Array = new Float64Array(2);
  for (const stop of stops) {
    const run = integrate(
      {
        rhs: (_t, now, slope) => {
          slope[TRAVEL] = now[SPEED];
          slope[SPEED] = accelerationAt(now[TRAVEL], now[SPEED]);
        },
        relTol,
        absTol: [1e-4 * relTol * travelM, 1e-4 * relTol * speedScale],
        events: [reached(stop, travelM), atRest(speedScale)],
        explicitSteps: Infinity, // nothing here is stiff
      },
      t,
      y,
      LONGEST_S,
      runs.at(-1)?.run.nextH,
    );
    runs.push({ t0: t, run });
    ({ t, y } = run);
    if (run.event !== "reached") return refuse("stops", { positionM: y[TRAVEL], travelM });
    y = Float64Array.from([stop, y[SPEED]]); // on the knot itself, not beside it by rounding
  }

  // Between knots the force lies between theirs, so that its greatest value stands at
  // one of them or at the draw; the drag hardly moves that.
  const peak = runs
    .map(({ t0, run }, i) => {
      const speed = run.steps[0].terms[SPEED];
      return { value: accelerationAt(i === 0 ? 0 : stops[i - 1], speed), timeS: t0 };
    })
    .reduce((best, one) => (one.value > best.value ? one : best));
  return ok({
    pushS: t,
    releaseSpeedMPerS: y[SPEED],
    travelM,
    peakAccelerationMPerS2: peak.value,
    peakAccelerationS: peak.timeS,
    releaseAccelerationMPerS2: accelerationAt(travelM, y[SPEED]),
    drawnInJ,
    givenBackJ,
    lostJ: drawnInJ - givenBackJ,
    movingMassKg: mass,
    at(timeS) {
      if (Number.isNaN(timeS)) throw new RangeError("ElasticPrediction.at: time is not a number");
      const at = Math.min(t, Math.max(0, timeS));
      const { run } = runs.findLast(({ t0 }) => t0 <= at)!;
      const state = at === t ? y : denseAt(run.steps.findLast(({ t0 }) => t0 <= at)!, at);
      const positionM = Math.min(travelM, Math.max(0, state[TRAVEL]));
      return {
        timeS: at,
        positionM,
        speedMPerS: state[SPEED],
        accelerationMPerS2: accelerationAt(positionM, state[SPEED]),
        forceN: forceAt(positionM),
      };
    },
  });
}

/** N, drag of the airframe at a speed along the pull; nothing where no drag area is known. */
function dragOf({ air, angleRad }: ElasticInputs): (speedMPerS: number) => number {
  if (!air) return () => 0;
  const density = airDensity(air.airPressurePa, air.temperatureK);
  const along = air.headwindMPerS * Math.cos(angleRad);
  return (speed) => dragAlong(air.dragAreaM2, density, speed + along);
}

/**
 * m, the extension at which a line let in from the draw first pulls no more: forces are not
 * below 0, so a 0 is at a knot.
 */
function slackAt(curve: ElasticCurve, drawM: number): number {
  return curve.knotsM.findLast((knot) => knot < drawM && curve.force(knot) === 0) ?? 0;
}

// of the draw: a point of the table nearer to the draw, or to slack, is there but for its unit's rounding
const SAME_PLACE = 1e-9;

/**
 * m of travel, increasing, where the curve changes from one cubic to the next; the last is where the line is
 * slack.
 */
function stopsOf({ knotsM }: ElasticCurve, drawM: number, slackM: number): readonly number[] {
  const apart = SAME_PLACE * drawM;
  const between = knotsM.filter((knot) => knot > slackM + apart && knot < drawM - apart);
  const places = [...between.map((knot) => drawM - knot), drawM - slackM].sort((a, b) => a - b);
  return places.filter((place, i) => i === places.length - 1 || places[i + 1] - place > apart);
}

function reached(stop: number, travelM: number): OdeEvent {
  return { name: "reached", direction: 1, value: (_t, y) => y[TRAVEL] - stop, scale: travelM };
}

function atRest(speedScale: number): OdeEvent {
  return { name: "at rest", direction: -1, value: (_t, y) => y[SPEED], scale: speedScale };
}
