import { expect, it } from "vitest";
import { readoutSays } from "../../../../src/renderer/ledger/clock/readout-words.ts";
import { ok, refuse } from "../../../../src/shared/quantity/result.ts";

const estimate = {
  readoutS: { value: 6.1234e-3, u: 0.21e-3 },
  rowS: { value: 5.67e-6, u: 0.2e-6 },
  leanRad: { value: 0.01, u: 0.002 },
  straightness: 0.9,
};

it("says readout and lean with their uncertainty, and gives the value to keep", () => {
  expect(readoutSays(ok(estimate), false)).toEqual({
    text: "The rows take 6.12 ± 0.21 ms to read, from top to bottom. At rest the edge leans by 0.57 ± 0.11°.",
    readoutS: estimate.readoutS,
  });
});

it("says when rows are read upwards, when a turned clip's edge is level, and when the clicks are not straight", () => {
  const odd = { ...estimate, readoutS: { value: -6e-3, u: 1e-3 }, straightness: 3.14 };
  expect(readoutSays(ok(odd), true).text).toBe(
    "The rows take 6.0 ± 1.0 ms to read, from bottom to top. At rest the edge tilts by 0.57 ± 0.11°. The clicks lie 3.1 times as far from straight lines as clicks should: see whether the edge is straight, and each click on it.",
  );
});

it("says what each refusal needs", () => {
  const says = (code: "too-few-frames" | "too-few-points" | "too-slow", numbers: Record<string, number>) =>
    readoutSays(refuse(code, numbers), false);
  expect(says("too-few-frames", { sweep: 1, frames: 1 }).text).toMatch(/^Sweep 2 is clicked in one frame/);
  expect(says("too-few-points", { sweep: 0 }).text).toMatch(/every frame of sweep 1\.$/);
  const slow = says("too-slow", { speedPxPerS: 812.3, neededPxPerS: 9437 });
  expect(slow.text).toMatch(/moves at 810 px\/s.*9400 px\/s would do\.$/);
  expect(slow.readoutS).toBeNull();
});
