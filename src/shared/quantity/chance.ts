import { xoroshiro128plus } from "pure-rand/generator/xoroshiro128plus";

/** Seeded chance: the same seed gives the same numbers on every machine. */
export interface Chance {
  /** Uniform in [0, 1). */
  uniform(): number;
  /** Standard normal. */
  normal(): number;
}

/** Makes a stream of seeded random numbers (xoroshiro128+ of pure-rand; normals by Box and Muller, 1958). */
export function createChance(seed: number): Chance {
  const generator = xoroshiro128plus(seed);
  let spare: number | null = null;
  const uniform = () => (generator.next() >>> 0) / 2 ** 32;
  return {
    uniform,
    normal() {
      if (spare !== null) {
        const kept = spare;
        spare = null;
        return kept;
      }
      const radius = Math.sqrt(-2 * Math.log(1 - uniform()));
      const angle = 2 * Math.PI * uniform();
      spare = radius * Math.sin(angle);
      return radius * Math.cos(angle);
    },
  };
}
