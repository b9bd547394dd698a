import { xoroshiro128plus } from "pure-rand/generator/xoroshiro128plus";

/** Seeded chance: the same seed gives the same numbers on every machine. */
export interface Chance {
  /** Uniform in [0, 1). */
  uniform(): number;
  /** Standard normal. */
  normal(): number;
}

const WARM_UP = 64; // xoroshiro leaves a state of mostly zero bits slowly; this many draws are ample

/**
 * Makes a stream of seeded random numbers (xoroshiro128+ of pure-rand; normals by Box and Muller, 1958).
 * The seed is scrambled and the first draws thrown away: neighbouring small seeds would otherwise start
 * with almost the same draws.
 */
export function createChance(seed: number): Chance {
  const generator = xoroshiro128plus(scrambled(seed));
  for (let i = 0; i < WARM_UP; i++) generator.next();
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

/**
 * Spreads a 32-bit integer over all its bits. Source: the finaliser of MurmurHash3 (A.
 * Appleby, public domain).
 */
function scrambled(seed: number): number {
  let h = (seed ^ 0x9e3779b9) >>> 0;
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return (h ^ (h >>> 16)) >>> 0;
}
