import { expect, it } from "vitest";
import { type PlaceMark, placeAt } from "../../../src/shared/beside/common-place.ts";
import { STANDARD_GRAVITY } from "../../../src/shared/quantity/gravity.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";

const mark = (timeS: number, x: number, y: number, u = 0.002): PlaceMark => ({ timeS, x, y, u });

it("finds release between the marks on both sides of it, with the u of both, of the instant and of the chord", () => {
  // 0.3 and 0.4 m in 10 ms: 50 m/s
  const marks = [mark(0.01, 1.3, 2.4, 0.004), mark(0, 1, 2, 0.003), mark(-0.01, 0, 0), mark(0.02, 9, 9)];
  const { at, u } = unwrap(placeAt(marks, "release", { value: 0.004, u: 1e-4 }, 240));
  expect(at[0]).toBeCloseTo(1.12, 12);
  expect(at[1]).toBeCloseTo(2.16, 12);
  const chord = (240 * 0.01 ** 2) / 8;
  expect(u).toBeCloseTo(Math.hypot(0.6 * 0.003, 0.4 * 0.004, 50 * 1e-4, chord / Math.sqrt(3)), 12);
});

it("finds first motion as the mean of the last ten marks at rest, no better known than one of them", () => {
  const rest = Array.from({ length: 12 }, (_, i) => mark(i / 100, i, 3 * i, i % 2 === 0 ? 0.003 : 0.004));
  const { at, u } = unwrap(
    placeAt([mark(0.2, 99, 99), ...rest], "first motion", { value: 0.115, u: 2e-3 }, 100),
  );
  expect(at[0]).toBeCloseTo(6.5, 12); // 2 to 11
  expect(at[1]).toBeCloseTo(19.5, 12);
  expect(u).toBeCloseTo(Math.hypot(Math.sqrt((0.003 ** 2 + 0.004 ** 2) / 2), (100 * 2e-3 ** 2) / 2), 12);
});

it("takes no path for straighter than a fall", () => {
  const marks = [mark(0, 0, 0, 0), mark(0.1, 0, 0, 0)];
  const { u } = unwrap(placeAt(marks, "release", { value: 0.05, u: 0 }, 0));
  expect(u).toBeCloseTo((STANDARD_GRAVITY * 0.1 ** 2) / 8 / Math.sqrt(3), 12);
});

it("refuses an instant before the first mark, and a release after the last one", () => {
  const marks = [mark(0, 1, 2), mark(0.01, 1, 2)];
  for (const instant of ["release", "first motion"] as const)
    expect(placeAt(marks, instant, { value: -0.01, u: 0 }, 100)).toMatchObject({ code: "no-marks" });
  expect(placeAt(marks, "release", { value: 0.02, u: 0 }, 100)).toMatchObject({ code: "no-marks" });
  expect(placeAt(marks, "first motion", { value: 0.02, u: 0 }, 100).ok).toBe(true);
});
