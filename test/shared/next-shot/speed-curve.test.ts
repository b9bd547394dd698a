import { describe, expect, it } from "vitest";
import { extremesOf, settingsGiving, speedCurve } from "../../../src/shared/next-shot/speed-curve.ts";

describe("speedCurve and settingsGiving", () => {
  const hill = (x: number) => 10 - (x - 3.17) ** 2; // greatest 10 at 3.17

  it("finds both settings of a speed that rises and falls, and the top between two steps", () => {
    const curve = speedCurve(hill, 0, 7);
    const top = extremesOf(curve.flat())!.fastest;
    expect(top.speed).toBeCloseTo(10, 9);
    const [first, second] = settingsGiving(9.9999, curve, hill); // both within one step of the top
    expect(first).toBeCloseTo(3.16, 6);
    expect(second).toBeCloseTo(3.18, 6);
    expect(settingsGiving(10.001, curve, hill)).toEqual([]);
  });

  it("closes in on where it begins and ceases to launch, and keeps apart what lies between", () => {
    const gapped = (x: number) => (x < 1.03 || (x > 4 && x < 5.5) ? null : x);
    const curve = speedCurve(gapped, 0, 8);
    expect(curve).toHaveLength(2);
    const edges = [curve[0]![0]!.x - 1.03, 4 - curve[0]!.at(-1)!.x, curve[1]![0]!.x - 5.5];
    // inside the edge by at most 2^-10 of a step of 8/32
    for (const away of edges) expect(away >= 0 && away <= 0.25 / 1024).toBe(true);
    expect(settingsGiving(1.1, curve, gapped)[0]).toBeCloseTo(1.1, 8);
    expect(settingsGiving(4.7, curve, gapped)).toEqual([]); // in the gap: no setting gives it
  });

  it("asks the launcher at 33 places, at 10 more for each border, and at 27 for a turn: each is a run of the model", () => {
    const asked = (f: (x: number) => number | null) => {
      let count = 0;
      speedCurve(
        (x) => {
          count++;
          return f(x);
        },
        0,
        8,
      );
      return count;
    };
    expect(asked((x) => x)).toBe(33);
    expect(asked((x) => (x < 1.03 ? null : x))).toBe(33 + 10);
    expect(asked((x) => -((x - 3.17) ** 2))).toBe(33 + 2 + 24 + 1);
  });

  it("finds a valley as it finds a hill, far from 0 too, and is not misled by where it does not launch", () => {
    const valley = (x: number) => 5 + (x - 1003.17) ** 2;
    const curve = speedCurve(valley, 1000, 1007);
    expect(extremesOf(curve.flat())!.slowest.x).toBeCloseTo(1003.17, 3);
    const [first, second] = settingsGiving(5.0001, curve, valley);
    expect([first, second]).toEqual([expect.closeTo(1003.16, 6), expect.closeTo(1003.18, 6)]);
  });

  it("takes no jump for a setting", () => {
    const jump = (x: number) => (x < 2.5 ? 1 : 3);
    expect(settingsGiving(2, speedCurve(jump, 0, 4), jump)).toEqual([]);
  });

  it("counts a setting that lies on a step once", () => {
    const line = (x: number) => x;
    expect(settingsGiving(4, speedCurve(line, 0, 8), line)).toEqual([4]);
    expect(settingsGiving(0, speedCurve(line, 0, 8), line)).toEqual([0]);
  });

  it("is empty where nothing launches", () => {
    expect(speedCurve(() => null, 0, 1)).toEqual([]);
    expect(extremesOf([])).toBeNull();
  });
});
