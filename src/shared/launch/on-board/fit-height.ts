import { levenbergMarquardt } from "../../numeric/levenberg-marquardt.ts";
import { STANDARD_GRAVITY as G } from "../../quantity/gravity.ts";
import { ok, type Result, refuse } from "../../quantity/result.ts";
import { type LogSample, lastingErrors, meanOf, robustMeanOf } from "./log-noise.ts";
import { flyThrown, type ThrownBody } from "./thrown-body.ts";

/** What the fit of heights takes beside them. */
export interface HeightInputs extends ThrownBody {
  /** m, height gained during the push. */
  readonly riseM: number;
  /** True height over reading: the day's temperature over the one the altimeter took. */
  readonly scale: number;
  /** m, added to the mean reading on the ground; 0 but to ask how much its error matters. */
  readonly groundShiftM: number;
}

/** Which samples are of the ground and which of the flight: the same for every fit of one log. */
export interface HeightStretch {
  readonly ground: readonly LogSample[];
  readonly flight: readonly LogSample[];
  readonly apogeeS: number;
}

export interface HeightFit {
  readonly speedMPerS: number;
  readonly dragAreaM2: number;
  /** s on the log's clock. */
  readonly releaseS: number;
  /** Standard uncertainties from the samples' scatter, widened where errors last. */
  readonly u: { readonly speedMPerS: number; readonly dragAreaM2: number; readonly releaseS: number };
  /** m, standard deviation of a reading about the fit, and on the ground; of the mean on the ground. */
  readonly scatterM: number;
  readonly groundScatterM: number;
  readonly groundU: number;
  /** m, the readings that the fit stands for, at the flight's samples. */
  readonly fitted: readonly LogSample[];
}

export type HeightRefusal = "no-ground" | "no-flight" | "few" | "not-settled";

const LEAST_GROUND = 4;
const LEAST_FLIGHT = 6;
const ABOVE = 6; // times the scatter on the ground: no reading on it is so far up
const LEAST_ABOVE_M = 0.5;
const GUARD_S = 0.4; // before flight is seen: the push, and the lag of a barometer's filter

/**
 * The stretches of a log of heights: the ground until shortly before three readings in a row are well above
 * it, and the flight from there until the highest reading, or until `untilS` after it is first seen.
 */
export function heightStretch(
  samples: readonly LogSample[],
  untilS: number | null,
): Result<HeightStretch, HeightRefusal> {
  if (samples.length < LEAST_GROUND + LEAST_FLIGHT) {
    return refuse("few", { samples: samples.length, needed: LEAST_GROUND + LEAST_FLIGHT });
  }
  const first = samples.slice(0, Math.max(LEAST_GROUND, Math.floor(samples.length / 20)));
  const rest = robustMeanOf(first.map(({ value }) => value));
  const above = rest.mean + Math.max(LEAST_ABOVE_M, ABOVE * rest.sd);
  const seen = samples.findIndex(
    (_, i) => i + 2 < samples.length && [0, 1, 2].every((k) => samples[i + k].value > above),
  );
  if (seen < 0) return refuse("no-flight", { aboveM: above - rest.mean });
  const seenS = samples[seen].timeS;
  const ground = samples.filter(({ timeS }) => timeS < seenS - GUARD_S);
  if (ground.length < LEAST_GROUND)
    return refuse("no-ground", { samples: ground.length, needed: LEAST_GROUND });
  const after = samples.slice(seen);
  const apogee = after.reduce((best, one) => (one.value > best.value ? one : best));
  const endS = untilS === null ? apogee.timeS : seenS + untilS;
  const flight = after.filter(({ timeS }) => timeS <= endS);
  if (flight.length < LEAST_FLIGHT) return refuse("few", { samples: flight.length, needed: LEAST_FLIGHT });
  return ok({ ground, flight, apogeeS: apogee.timeS });
}

/**
 * Release speed, drag area and time of release from heights, by least squares: the reading is that on the
 * ground and what a thrown body has risen by since, over the scale.
 */
export function fitHeight(
  { ground, flight, apogeeS }: HeightStretch,
  inputs: HeightInputs,
): Result<HeightFit, HeightRefusal> {
  const { mean, sd } = meanOf(ground.map(({ value }) => value));
  const { scale, riseM, angleRad, groundShiftM } = inputs;
  const from = mean + groundShiftM;
  const readingsOf = (p: ArrayLike<number>) =>
    flyThrown(
      inputs,
      p[0],
      p[1] * DRAG_UNIT,
      flight.map(({ timeS }) => timeS - p[2]),
    ).map(({ heightM }) => from + (riseM + heightM) / scale);
  const highest = Math.max(1, scale * (Math.max(...flight.map(({ value }) => value)) - from) - riseM);
  const upwards = Math.sqrt(2 * G * highest);
  const start = [upwards / Math.sin(angleRad), 0, Math.min(flight[0].timeS, apogeeS - upwards / G)];
  const noise = Math.max(sd, LEAST_NOISE_M);
  const fit = levenbergMarquardt({
    count: flight.length,
    start,
    typical: [Math.max(1, start[0]), 1, 0.1],
    residuals(p, out) {
      readingsOf(p).forEach((reading, i) => {
        out[i] = (flight[i].value - reading) / noise;
      });
    },
  });
  if (!fit.converged || fit.covariance === null) return refuse("not-settled");
  const { parameters: p, covariance } = fit;
  const residuals = Array.from(fit.residuals, (one) => one * noise);
  const scatter = Math.sqrt(fit.sumOfSquares / Math.max(1, fit.degreesOfFreedom));
  const widened = scatter * lastingErrors(residuals);
  const uOf = (i: number) => widened * Math.sqrt(covariance[4 * i]);
  const readings = readingsOf(p);
  return ok({
    speedMPerS: p[0],
    dragAreaM2: p[1] * DRAG_UNIT,
    releaseS: p[2],
    u: { speedMPerS: uOf(0), dragAreaM2: uOf(1) * DRAG_UNIT, releaseS: uOf(2) },
    scatterM: scatter * noise,
    groundScatterM: sd,
    groundU: (sd / Math.sqrt(ground.length)) * lastingErrors(ground.map(({ value }) => value - mean)),
    fitted: flight.map(({ timeS }, i) => ({ timeS, value: readings[i] })),
  });
}

const DRAG_UNIT = 0.01; // m²: about what a small airframe has, so that the parameters are of one size
const LEAST_NOISE_M = 1e-6;
