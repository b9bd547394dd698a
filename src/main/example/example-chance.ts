import { type Chance, createChance } from "../../shared/quantity/chance.ts";

/**
 * A stream of chance for one use of a seed, independent of the other uses' streams.
 * @throws RangeError when the seed is no whole number from 0 to 2^53 - 1
 */
export function exampleChance(seed: number, use: "variant" | "session" | "noise" | "rows"): Chance {
  if (!Number.isSafeInteger(seed) || seed < 0) {
    throw new RangeError(`exampleChance: need a whole number from 0 as the seed; got ${seed}`);
  }
  return createChance(4 * seed + { variant: 0, session: 1, noise: 2, rows: 3 }[use]);
}
