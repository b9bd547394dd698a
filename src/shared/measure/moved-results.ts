/** Numbers by their names. */
type Named<Name extends string> = Readonly<Partial<Record<Name, number>>>;

/** What one input, moved by its standard uncertainty, does to each result. */
export interface MovedResults<Name extends string> {
  /** d₁: half the difference of the results above and below. */
  readonly first: Named<Name>;
  /** d₂: their sum less twice the result between them; 0 where only one side could be reached. */
  readonly second: Named<Name>;
  /** How many standard uncertainties it could be moved: 1, or less where the results end before that. */
  readonly reached: number;
}

const HALVINGS = 6; // down to a 64th of u; what ends nearer than that is at the very edge
const SIZES = Array.from({ length: HALVINGS + 1 }, (_, k) => 0.5 ** k);
/** How far an input is moved, farthest first: 1, -1, 1/2, ... standard uncertainties. */
export const STEPS_IN_U: readonly number[] = SIZES.flatMap((size) => [size, -size]);

/**
 * Moves one input to either side of where it is. Where that ends the measurement (a distance that would be
 * negative, a lens that would fold) it is moved less far and the change taken in proportion, on one side
 * alone if need be, so that an input never drops out because it is too uncertain.
 * @param at results with the input moved by z of its standard uncertainties; null where there are none
 * @returns null when not even a 64th of u either way gives results
 */
export function movedResults<Name extends string>(
  at: (z: number) => Named<Name> | null,
  nominal: Named<Name>,
): MovedResults<Name> | null {
  const names = Object.keys(nominal) as Name[];
  const each = (of: (name: Name) => number) =>
    Object.fromEntries(names.map((name) => [name, of(name)])) as Named<Name>;
  for (const z of SIZES) {
    const [above, below] = [at(z), at(-z)];
    if (above === null || below === null) continue;
    return {
      first: each((name) => ((above[name] ?? 0) - (below[name] ?? 0)) / (2 * z)),
      second: each((name) => ((above[name] ?? 0) + (below[name] ?? 0) - 2 * (nominal[name] ?? 0)) / z ** 2),
      reached: z,
    };
  }
  for (const z of STEPS_IN_U) {
    const aside = at(z);
    if (aside === null) continue;
    return {
      first: each((name) => ((aside[name] ?? 0) - (nominal[name] ?? 0)) / z),
      second: each(() => 0),
      reached: Math.abs(z),
    };
  }
  return null;
}
