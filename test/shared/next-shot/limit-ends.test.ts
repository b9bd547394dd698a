import { expect, it } from "vitest";
import { insideSpeeds, type LimitEnd } from "../../../src/shared/next-shot/limit-ends.ts";

const RUN = Array.from({ length: 33 }, (_, i) => ({ x: i / 32, speed: 10 + i / 32 }));
const END: LimitEnd = { name: "load", from: 0.8, to: 1 };
const STEP = 5e-4; // of the range, 1

it.each([
  [0, 0],
  [1, 1],
  [7, 7],
  [30, 30],
])(
  "insideSpeeds moves a border that lies %i steps too far to the nearest that keeps, in a few tries",
  (off, steps) => {
    let tries = 0;
    const keeps = (x: number) => {
      tries++;
      return x <= END.from - (off - 0.5) * STEP;
    };
    const inside = insideSpeeds([RUN], [END], (x) => 10 + x, keeps)!;
    expect(inside.fastest.x).toBeCloseTo(END.from - steps * STEP, 12);
    expect(inside.fastest.bound).toEqual(["load"]);
    expect(tries).toBeLessThanOrEqual(16);
  },
);

it("insideSpeeds leaves a border out that nowhere near it keeps", () => {
  const inside = insideSpeeds(
    [RUN],
    [END],
    (x) => 10 + x,
    () => false,
  )!;
  expect(inside.fastest.bound).toEqual([]);
  expect(inside.fastest.x).toBeLessThan(END.from);
});
