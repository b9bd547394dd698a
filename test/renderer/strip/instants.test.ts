import { expect, it } from "vitest";
import { launchInstants } from "../../../src/renderer/strip/instants.ts";
import type { Measurement } from "../../../src/shared/results/shot-result.ts";

/** A hundred frames a second, frame 0 at 0 s. */
const time = { timeOf: (frame: number) => frame / 100, zeroS: 0, zeroIs: "release", clockSet: true } as const;
const measurement = (quantities: object) =>
  ({ startClipS: 0.104, releaseClipS: 0.247, quantities }) as unknown as Measurement;

it("gives the frames nearest to first motion, peak and release", () => {
  const peakBeforeRelease = { value: 0.09, u: 0.001, unit: "s", how: "" };
  expect(launchInstants(measurement({ peakBeforeRelease }), time, 50)).toEqual([
    { name: "first motion", frame: 10 },
    { name: "peak", frame: 16 }, // 0.157 s
    { name: "release", frame: 25 },
  ]);
});

it("leaves out a peak that is not known, and gives none before anything is measured", () => {
  expect(launchInstants(measurement({}), time, 50).map(({ name }) => name)).toEqual([
    "first motion",
    "release",
  ]);
  expect(launchInstants(null, time, 50)).toEqual([]);
});
