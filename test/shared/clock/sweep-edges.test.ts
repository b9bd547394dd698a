import { describe, expect, it } from "vitest";
import { estimateReadout } from "../../../src/shared/clock/estimate-readout.ts";
import { edgesOfSweep, type SweptLine } from "../../../src/shared/clock/sweep-edges.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";

const ROW_S = 6e-3 / 1080;

/**
 * x of an edge at a time: 300 px + v t + a t²/2, leaning by 0.02, seen through a
 * shutter that reads downwards.
 */
function swept(
  speed: number,
  acceleration: number,
  timesS: readonly number[],
  uPx = 0,
  seed = 1,
): SweptLine[] {
  const chance = createChance(seed);
  return timesS.map((timeS) => ({
    timeS,
    points: [60, 330, 600, 990].map((y) => {
      const t = timeS + ROW_S * y;
      const x = 300 + 0.02 * y + speed * t + (acceleration * t * t) / 2 + uPx * chance.normal();
      return { x, y, u: uPx || 0.5 };
    }),
  }));
}

describe("edgesOfSweep", () => {
  it("gives the speed of a steady sweep from two frames, and u by hand", () => {
    const edges = unwrap(edgesOfSweep(swept(3000, 0, [0, 0.01])));
    // Between frames the edge moves by 30 px, whatever the shutter does.
    expect(edges.map(({ speedPxPerS }) => speedPxPerS.value)).toEqual([
      expect.closeTo(3000, 6),
      expect.closeTo(3000, 6),
    ]);
    // At the mean of the four rows each line is good to 0.5/√4 px: √2 · 0.25 px in 10 ms, and √2 again for
    // the two frames that share it.
    for (const { speedPxPerS } of edges) expect(speedPxPerS.u).toBeCloseTo((2 * 0.25) / 0.01, 6);
  });

  it("follows a sweep that gains speed, and needs no order of frames", () => {
    const times = [0.02, 0, 0.01, 0.03];
    const speeds = unwrap(edgesOfSweep(swept(3000, 20_000, times))).map((one) => one.speedPxPerS.value);
    // Within a frame the gain bends the edge by a (t_row y)²/2, 0.36 px at most; the middle
    // row is read 2.75 ms late.
    const late = ROW_S * ((60 + 330 + 600 + 990) / 4);
    times.forEach((t, i) => {
      expect(Math.abs(speeds[i]! - (3000 + 20_000 * (t + late)))).toBeLessThan(2);
    });
  });

  it("refuses one frame, and a frame with too few different rows", () => {
    expect(edgesOfSweep(swept(3000, 0, [0]))).toMatchObject({
      ok: false,
      code: "too-few-frames",
      numbers: { frames: 1, neededFrames: 2 },
    });
    const [one, two] = swept(3000, 0, [0, 0.01]);
    const thin = { ...two!, points: two!.points.map((point, i) => ({ ...point, y: i < 2 ? 60 : 330 })) };
    expect(edgesOfSweep([one!, thin])).toMatchObject({
      ok: false,
      code: "too-few-points",
      numbers: { points: 2 },
    });
    expect(() => edgesOfSweep([one!, { ...two!, timeS: 0 }])).toThrow(RangeError);
  });
});

it("both ways across the picture, 300 seeded sweeps give the readout with a u that holds", () => {
  const z = Array.from({ length: 300 }, (_, seed) => {
    const right = unwrap(edgesOfSweep(swept(2500, 0, [0, 0.008, 0.016], 0.5, seed)));
    const left = unwrap(edgesOfSweep(swept(-3500, 0, [0.5, 0.508, 0.516], 0.5, seed + 1000)));
    const { readoutS } = unwrap(estimateReadout([...right, ...left], { value: 0, u: 0.05 }, 1080));
    return (readoutS.value - 6e-3) / readoutS.u;
  });
  const sd = Math.sqrt(z.reduce((sum, one) => sum + one * one, 0) / z.length);
  // The sd of 300 is good to 4 %; u is never too small, and a little large by the widening of few points and
  // by the root of the frames.
  expect(sd).toBeLessThan(1.12);
  expect(sd).toBeGreaterThan(0.7);
});
