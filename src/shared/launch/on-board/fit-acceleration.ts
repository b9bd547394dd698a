import { levenbergMarquardt } from "../../numeric/levenberg-marquardt.ts";
import { STANDARD_GRAVITY as G } from "../../quantity/gravity.ts";
import { ok, type Result, refuse } from "../../quantity/result.ts";
import { type LogSample, lastingErrors, meanOf, robustMeanOf } from "./log-noise.ts";
import { flyThrown, type ThrownBody } from "./thrown-body.ts";

/** What the fit of accelerations takes beside them. */
export interface AccelerationInputs extends ThrownBody {
  /** True acceleration over reading; 1 but to ask how much its error matters. */
  readonly gain: number;
}

/** Which samples are of rest, push and flight. */
export interface AccelerationStretch {
  readonly rest: readonly LogSample[];
  /** From the last sample at rest to the first one after the peak at which the push is over. */
  readonly push: readonly LogSample[];
  readonly flight: readonly LogSample[];
}

export interface AccelerationFit {
  readonly speedMPerS: number;
  readonly dragAreaM2: number;
  readonly releaseS: number;
  readonly peakMPerS2: number;
  readonly u: { readonly speedMPerS: number; readonly dragAreaM2: number; readonly releaseS: number };
  /** m/s², of a reading at rest and about the fit. */
  readonly restScatterMPerS2: number;
  readonly scatterMPerS2: number;
  readonly fitted: readonly LogSample[];
}

export type AccelerationRefusal = "no-rest" | "no-push" | "no-release" | "few" | "not-settled";

const LEAST_REST = 8;
const LEAST_PUSH = 4;
const LEAST_FLIGHT = 8;
const FLIGHT_S = 1; // after that an airframe is flown
const ABOVE = 8; // times the scatter at rest
const OF_PEAK = 0.05;

/**
 * Rest, push and flight in a log of acceleration along the airframe: the push is what leads to the greatest
 * reading, from where it rises out of the scatter at rest until the force on the airframe is gone. A reading
 * at rest stands for g sin θ, whether the logger shows it or takes it off.
 */
export function accelerationStretch(
  samples: readonly LogSample[],
  angleRad: number,
  untilS: number | null,
): Result<AccelerationStretch, AccelerationRefusal> {
  const least = LEAST_REST + LEAST_PUSH + LEAST_FLIGHT;
  if (samples.length < least) return refuse("few", { samples: samples.length, needed: least });
  const peak = samples.reduce((best, one, i) => (one.value > samples[best].value ? i : best), 0);
  const before = samples.slice(0, peak);
  if (before.length < LEAST_REST) return refuse("no-rest", { samples: before.length, needed: LEAST_REST });
  const early = robustMeanOf(
    before.slice(0, Math.max(LEAST_REST, before.length >> 1)).map(({ value }) => value),
  );
  const above = early.mean + Math.max(ABOVE * early.sd, OF_PEAK * (samples[peak].value - early.mean));
  let start = peak;
  while (start > 0 && samples[start].value > above) start--;
  while (start > 0 && samples[start].value > early.mean + 2 * early.sd) start--;
  const rest = samples.slice(0, Math.max(0, start));
  if (rest.length < LEAST_REST) return refuse("no-rest", { samples: rest.length, needed: LEAST_REST });
  const { mean } = meanOf(rest.map(({ value }) => value));
  const isOver = ({ value }: LogSample) => value - mean + G * Math.sin(angleRad) <= 0;
  const over = samples.findIndex((one, i) => i > peak && isOver(one));
  if (over < 0) return refuse("no-release");
  const push = samples.slice(start, over + 1);
  if (push.length < LEAST_PUSH) return refuse("no-push", { samples: push.length, needed: LEAST_PUSH });
  const endS = samples[over].timeS + (untilS ?? FLIGHT_S);
  const flight = samples.slice(over).filter(({ timeS }) => timeS <= endS);
  if (flight.length < LEAST_FLIGHT) return refuse("few", { samples: flight.length, needed: LEAST_FLIGHT });
  return ok({ rest, push, flight });
}

/**
 * Release speed as the integral of the reading above rest over the push, and the drag area from what slows
 * the airframe afterwards, reading = rest − g sin θ − ½ρ C_dA w²/m, pointing into the air that meets it.
 */
export function fitAcceleration(
  { rest, push, flight }: AccelerationStretch,
  inputs: AccelerationInputs,
): Result<AccelerationFit, AccelerationRefusal> {
  const { gain, massKg, airDensity, angleRad } = inputs;
  const { mean, sd } = meanOf(rest.map(({ value }) => value));
  const gravity = G * Math.sin(angleRad);
  const force = ({ value }: LogSample) => gain * (value - mean) + gravity;
  const [last, after] = [push[push.length - 2], push[push.length - 1]];
  const [f0, f1] = [force(last), force(after)];
  const gap = after.timeS - last.timeS;
  // A push that stops dead does so anywhere between two samples; one that fades out crosses 0 where they say.
  const releaseS = last.timeS + (gap * f0) / (f0 - f1);
  const whole = trapezium(push.slice(0, -1), mean);
  const rest0 = gain * (last.value - mean);
  const speed = gain * whole.area + ((releaseS - last.timeS) * (rest0 - gravity)) / 2;
  const k = airDensity / (2 * massKg);
  const times = flight.map(({ timeS }) => timeS - releaseS);
  const readingsOf = (c: number) =>
    flyThrown(inputs, speed, c, times).map(
      ({ airspeedMPerS }) => mean - (gravity + k * c * airspeedMPerS ** 2) / gain,
    );
  const noise = Math.max(sd, 1e-9);
  const fit = levenbergMarquardt({
    count: flight.length,
    start: [0],
    typical: [1],
    residuals(p, out) {
      readingsOf(p[0] * DRAG_UNIT).forEach((reading, i) => {
        out[i] = (flight[i].value - reading) / noise;
      });
    },
  });
  if (!fit.converged || fit.covariance === null) return refuse("not-settled");
  const scatter = Math.sqrt(fit.sumOfSquares / Math.max(1, fit.degreesOfFreedom));
  const lasting = lastingErrors(Array.from(fit.residuals));
  const c = fit.parameters[0] * DRAG_UNIT;
  const readings = readingsOf(c);
  const lastsAtRest = lastingErrors(rest.map(({ value }) => value - mean));
  const parts = [
    sd * Math.sqrt(whole.squares) * lastsAtRest,
    (sd / Math.sqrt(rest.length)) * lastsAtRest * (releaseS - push[0].timeS),
    whole.bend,
    ((f0 - f1) * gap) / Math.sqrt(12),
  ];
  const pushes = flyThrown(inputs, speed, c, times).map(({ airspeedMPerS }) => k * airspeedMPerS ** 2);
  // The zero of the sensor is that of the rest: its error is common to all of the flight.
  const ofZero = (sd / Math.sqrt(rest.length)) * lastsAtRest * zeroShare(pushes);
  const ofSpeed = (2 * c * Math.hypot(...parts)) / speed;
  const ofScatter = scatter * lasting * Math.sqrt(fit.covariance[0]) * DRAG_UNIT;
  const uDrag = Math.hypot(ofScatter, ofZero, ofSpeed);
  return ok({
    speedMPerS: speed,
    dragAreaM2: c,
    releaseS,
    peakMPerS2: gain * (Math.max(...push.map(({ value }) => value)) - mean),
    u: { speedMPerS: Math.hypot(...parts), dragAreaM2: uDrag, releaseS: gap / Math.sqrt(12) },
    restScatterMPerS2: sd,
    scatterMPerS2: scatter * noise,
    fitted: flight.map(({ timeS }, i) => ({ timeS, value: readings[i] })),
  });
}

const DRAG_UNIT = 0.01; // m²

/** m² of drag area for each m/s² that the zero is off: Σ k w² / Σ (k w²)². */
function zeroShare(kW2: readonly number[]): number {
  const squares = kW2.reduce((sum, one) => sum + one ** 2, 0);
  return squares === 0 ? 0 : kW2.reduce((sum, one) => sum + one, 0) / squares;
}

/**
 * The trapezium sum over samples above a level, the sum of its squared weights, and a third of how far it is
 * from that over every other sample: what the bends between samples are worth (Richardson).
 */
function trapezium(
  samples: readonly LogSample[],
  level: number,
): { readonly area: number; readonly squares: number; readonly bend: number } {
  const weights = weightsOf(samples);
  const area = weights.reduce((sum, w, i) => sum + w * (samples[i].value - level), 0);
  const squares = weights.reduce((sum, w) => sum + w * w, 0);
  const every = samples.filter((_, i) => i % 2 === 0 || i === samples.length - 1);
  const coarse = weightsOf(every).reduce((sum, w, i) => sum + w * (every[i].value - level), 0);
  return { area, squares, bend: Math.abs(area - coarse) / 3 };
}

function weightsOf(samples: readonly LogSample[]): readonly number[] {
  return samples.map((_, i) => {
    const before = i === 0 ? 0 : samples[i].timeS - samples[i - 1].timeS;
    const after = i === samples.length - 1 ? 0 : samples[i + 1].timeS - samples[i].timeS;
    return (before + after) / 2;
  });
}
