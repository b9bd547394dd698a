import { backSubstitute, choleskyInPlace, forwardSubstitute } from "../numeric/cholesky.ts";
import type { Template } from "./template.ts";

/** The polynomials in right and down up to each degree. */
const TERMS = { plane: 3, bowl: 6 } as const;

// Shares of the variance above which it is shading: light that falls off evenly over a body, and does not
// move with it. A target of four quarters has 0 and 0.61, a corner 0.48 and 0.6, an edge 0.72; a
// ball's face that a mark slid over by 7 px had 0.94 of a plane.
const MOST_PLANE = 0.8;
const MOST_BOWL = 0.93;

/** What share of a piece's variance the smooth surfaces through it explain, 0 to 1. */
export interface Smoothness {
  readonly plane: number;
  readonly bowl: number;
}

/**
 * Whether a piece of a picture is nothing but shading: a place on it is a place in the light, not on the
 * body.
 */
export function isShading({ plane, bowl }: Smoothness): boolean {
  return plane > MOST_PLANE || bowl > MOST_BOWL;
}

/**
 * The share of a piece's variance that a plane explains, and a surface of the second degree: 1 - Σ(v -
 * p)²/Σ(v - v̄)² by least squares. Gain and bias of a match take up a plane wholly: a shift of it is a
 * change of light.
 * @returns 1 and 1 where nothing varies
 */
export function smoothnessOf(template: Template): Smoothness {
  const { values } = template;
  const mean = values.reduce((sum, one) => sum + one, 0) / values.length;
  const all = values.reduce((sum, one) => sum + (one - mean) ** 2, 0);
  if (!(all > 0)) return { plane: 1, bowl: 1 };
  const share = (terms: number) => Math.max(0, 1 - leftOver(template, mean, terms) / all);
  return { plane: share(TERMS.plane), bowl: share(TERMS.bowl) };
}

function leftOver({ values, dx, dy }: Template, mean: number, terms: number): number {
  const reach = dx.reduce((most, x) => Math.max(most, x), 1);
  const columns = Array.from({ length: terms }, (_, term) =>
    Float64Array.from(values, (_, i) => termOf(term, dx[i] / reach, dy[i] / reach)),
  );
  const normal = new Float64Array(terms * terms);
  const right = new Float64Array(terms);
  for (let a = 0; a < terms; a++) {
    for (let b = 0; b <= a; b++) normal[a * terms + b] = product(columns[a], columns[b]);
    right[a] = values.reduce((sum, one, i) => sum + (one - mean) * columns[a][i], 0);
  }
  if (choleskyInPlace(normal, terms) === null) return 0;
  const by = backSubstitute(normal, terms, forwardSubstitute(normal, terms, right));
  return values.reduce((sum, one, i) => {
    const surface = by.reduce((all, factor, term) => all + factor * columns[term][i], 0);
    return sum + (one - mean - surface) ** 2;
  }, 0);
}

function termOf(term: number, x: number, y: number): number {
  return [1, x, y, x * x, x * y, y * y][term];
}

function product(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}
