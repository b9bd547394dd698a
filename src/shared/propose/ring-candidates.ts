import type { GreyImage } from "../follow/grey-image.ts";

/** A place that may be the middle of a target, samples. */
export interface Candidate {
  readonly x: number;
  readonly y: number;
  /** Grey levels by which its ring speaks for it. */
  readonly strength: number;
}

const SAMPLES = 16;
const RING = 5; // samples: inside the smallest target looked for, outside the blur of a sharp picture
const MOST = 300; // candidates, the strongest: a meadow has no more corners worth a look

/**
 * Places whose ring of 16 samples has two dark and two light quarters: the sum of both diameters across,
 * less that of the quarter turn, less what the two ends of each diameter differ by, which edges have and
 * corners of four do not. Source: Bennett & Lasenby, Comput. Vis. Image Underst. 118:197 (2014), sum and
 * difference response.
 * @param least grey levels of contrast between the quarters
 */
export function quarterCandidates(image: GreyImage, least: number): readonly Candidate[] {
  return strongest(
    image,
    (ring) => {
      let [sums, differences] = [0, 0];
      for (let k = 0; k < SAMPLES / 4; k++)
        sums += Math.abs(ring[k] + ring[k + 8] - ring[k + 4] - ring[k + 12]);
      for (let k = 0; k < SAMPLES / 2; k++) differences += Math.abs(ring[k] - ring[k + 8]);
      return (sums - differences) / 8;
    },
    least,
  );
}

/**
 * Places whose ring is crossed by four bars a quarter turn apart, all darker or all lighter than what lies
 * between them: by how much the least of the bars stands out of the nearest of what lies midway.
 */
export function crossCandidates(image: GreyImage, least: number): readonly Candidate[] {
  return strongest(
    image,
    (ring) => {
      let best = 0;
      for (let k = 0; k < SAMPLES / 4; k++) {
        const bars = [ring[k], ring[k + 4], ring[k + 8], ring[k + 12]];
        const between = [2, 6, 10, 14].map((by) => ring[(k + by) % SAMPLES]);
        const darker = Math.min(...between) - Math.max(...bars);
        const lighter = Math.min(...bars) - Math.max(...between);
        best = Math.max(best, darker, lighter);
      }
      return best;
    },
    least,
  );
}

function strongest(
  image: GreyImage,
  strengthOf: (ring: Float64Array) => number,
  least: number,
): readonly Candidate[] {
  const { width, height, data } = image;
  const jumps = Array.from({ length: SAMPLES }, (_, k) => {
    const angle = (2 * Math.PI * k) / SAMPLES;
    return Math.round(RING * Math.sin(angle)) * width + Math.round(RING * Math.cos(angle));
  });
  const map = new Float32Array(width * height);
  const ring = new Float64Array(SAMPLES);
  for (let y = RING; y < height - RING; y++) {
    for (let x = RING; x < width - RING; x++) {
      const at = y * width + x;
      let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
      for (let k = 0; k < SAMPLES; k++) {
        const grey = data[at + jumps[k]];
        ring[k] = grey;
        if (grey < low) low = grey;
        if (grey > high) high = grey;
      }
      if (high - low >= least) map[at] = strengthOf(ring);
    }
  }
  const found: Candidate[] = [];
  for (let y = RING; y < height - RING; y++) {
    for (let x = RING; x < width - RING; x++) {
      const strength = map[y * width + x];
      if (strength >= least && isPeak(map, width, x, y, strength)) found.push({ x, y, strength });
    }
  }
  return found.sort((a, b) => b.strength - a.strength).slice(0, MOST);
}

function isPeak(map: Float32Array, width: number, x: number, y: number, strength: number): boolean {
  for (let b = -3; b <= 3; b++) {
    for (let a = -3; a <= 3; a++) {
      const other = map[(y + b) * width + x + a];
      if (other > strength || (other === strength && (b < 0 || (b === 0 && a < 0)))) return false;
    }
  }
  return true;
}
