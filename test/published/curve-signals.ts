import { logGamma } from "../../src/shared/numeric/log-gamma.ts";

/** Value, rate and acceleration of a curve at a time. */
export type Truth = readonly [value: number, rate: number, acceleration: number];

/** A curve given by its formula, as it is sampled: n times in the middle of n equal parts of its length. */
export interface Signal {
  readonly truth: (t: number) => Truth;
  readonly samples: number;
  readonly length: number;
  /** Standard deviation of the errors. */
  readonly size: number;
  /** Where something jumps. */
  readonly changes: readonly number[];
}

/** Mixture of Beta densities, each by its weight and two parameters. */
function mixture(...terms: readonly (readonly [number, number, number])[]): Signal["truth"] {
  return (x) => {
    const sum = [0, 0, 0];
    for (const [weight, p, q] of terms) {
      const norm = logGamma(p) + logGamma(q) - logGamma(p + q);
      const f = weight * Math.exp((p - 1) * Math.log(x) + (q - 1) * Math.log1p(-x) - norm);
      const slope = (p - 1) / x - (q - 1) / (1 - x);
      const bend = slope ** 2 - (p - 1) / x ** 2 - (q - 1) / (1 - x) ** 2;
      [f, f * slope, f * bend].forEach((one, k) => {
        sum[k]! += one;
      });
    }
    return sum as unknown as Truth;
  };
}

function heavisine(x: number): Truth {
  const w = 4 * Math.PI;
  const jump = -Math.sign(x - 0.3) - Math.sign(0.72 - x);
  return [4 * Math.sin(w * x) + jump, 4 * w * Math.cos(w * x), -4 * w * w * Math.sin(w * x)];
}

/** A damped swing, 1.1 Hz from 0.6 rad. */
function swing(t: number): Truth {
  const [d, w] = [0.5, 2 * Math.PI * 1.1];
  const [e, c, s] = [0.6 * Math.exp(-d * t), Math.cos(w * t), Math.sin(w * t)];
  return [e * c, e * (-d * c - w * s), e * ((d * d - w * w) * c + 2 * d * w * s)];
}

/** A fall, a contact of a tenth of a second that pushes like half a sine, and the flight after it. */
function hop(t: number): Truth {
  const [g, start, contact] = [9.81, 0.4, 0.1];
  const w = Math.PI / contact;
  const push = (w / 2) * (2 * g * start + g * contact);
  const u = Math.min(Math.max(t - start, 0), contact);
  const after = Math.max(t - start - contact, 0);
  return [
    (-g * t * t) / 2 + (push / w) * (u - Math.sin(w * u) / w) + (after * 2 * push) / w,
    -g * t + (push / w) * (1 - Math.cos(w * u)),
    -g + (t > start && t < start + contact ? push * Math.sin(w * u) : 0),
  ];
}

/** Rest, a push of 10 m/s² for 0.3 s, flight. */
function push(t: number): Truth {
  const u = Math.min(Math.max(t - 0.3, 0), 0.3);
  return [5 * u * u + 3 * Math.max(t - 0.6, 0), 10 * u, t > 0.3 && t < 0.6 ? 10 : 0];
}

/** A motor on a load cell: nothing, an exponential rise, a slow fall, burnout. */
function thrust(t: number): Truth {
  const [e, d] = [Math.exp(-(t - 0.12) / 0.015), 0.015];
  if (t < 0.12) return [0, 0, 0];
  if (t < 0.75) return [9.5 * (1 - e) - 2 * (t - 0.12), (9.5 / d) * e - 2, (-9.5 / d ** 2) * e];
  return t < 0.8 ? [8.24 * (1 - (t - 0.75) / 0.05), -8.24 / 0.05, 0] : [0, 0, 0];
}

const THIRD = 1 / 3;
const signal = (
  truth: Signal["truth"],
  samples: number,
  length: number,
  size: number,
  changes: readonly number[] = [],
): Signal => ({ truth, samples, length, size, changes });

/**
 * The first three: the test functions of Wahba, J. R. Stat. Soc. B 45:133 (1983); "heavisine" of Donoho &
 * Johnstone, Biometrika 81:425 (1994); both by their formulas, from memory. The others are of the kinds that
 * the literature of biomechanics differentiates: a swung limb against an accelerometer (Pezzack, Norman &
 * Winter, J. Biomech. 10:377, 1977), a landing or an impact (Dowling, in Biomechanics IX-B, 1985; Giakas,
 * Stergioulas & Vourdas, J. Biomech. 33:567, 2000), with formulas of ours.
 */
export const SIGNALS = {
  "wahba-1": signal(mixture([THIRD, 10, 5], [THIRD, 7, 7], [THIRD, 5, 10]), 128, 1, 0.05),
  "wahba-2": signal(mixture([0.6, 30, 17], [0.4, 3, 11]), 128, 1, 0.1),
  "wahba-3": signal(mixture([THIRD, 20, 5], [THIRD, 12, 12], [THIRD, 7, 30]), 128, 1, 0.1),
  swing: signal(swing, 142, 2.84, 0.01),
  heavisine: signal(heavisine, 256, 1, 0.2, [0.3, 0.72]),
  hop: signal(hop, 200, 1, 0.002, [0.4, 0.5]),
  push: signal(push, 200, 1, 0.002, [0.3, 0.6]),
  thrust: signal(thrust, 480, 1, 0.12, [0.12, 0.75, 0.8]),
} as const;

export function timesOf({ samples, length }: Signal): readonly number[] {
  return Array.from({ length: samples }, (_, i) => (length * (i + 0.5)) / samples);
}

/**
 * Seeded normals that a few lines of any language give too: the generator of Park & Miller, Commun. ACM
 * 31:1192 (1988), and the normals of Box & Muller (1958).
 */
export function portableNormals(seed: number, count: number): readonly number[] {
  let state = 7919 * seed + 12345;
  const uniform = () => {
    state = (state * 16807) % 2147483647;
    return state / 2147483647;
  };
  return Array.from({ length: count }, () => {
    const [u1, u2] = [uniform(), uniform()];
    return Math.sqrt(-2 * Math.log(u1)) * Math.cos(2 * Math.PI * u2);
  });
}
