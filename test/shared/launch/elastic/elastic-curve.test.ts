import { describe, expect, it } from "vitest";
import {
  elasticCurve,
  type ForcePoint,
  tableProblem,
} from "../../../../src/shared/launch/elastic/elastic-curve.ts";
import fc from "../../../support/drawn-inputs.ts";

/** A made-up rubber line: steep at first, a plateau, stiff at the end; unequal steps. */
const TABLE: readonly ForcePoint[] = [
  [0, 0],
  [0.5, 14],
  [1, 22],
  [2, 31],
  [3, 37],
  [4.5, 47],
  [6, 66],
];

/** Tables of 2 to 12 points with rising extensions and any forces from 0 up. */
const tables = fc
  .array(
    fc.tuple(fc.double({ min: 0.05, max: 2, noNaN: true }), fc.double({ min: 0, max: 80, noNaN: true })),
    {
      minLength: 2,
      maxLength: 12,
    },
  )
  .map((steps) => {
    let at = 0;
    return steps.map(([step, force], i): ForcePoint => {
      at = i === 0 ? 0 : at + step;
      return [at, force];
    });
  });

describe("elasticCurve", () => {
  it("follows a spring on a straight line exactly, and stores ½ k x²", () => {
    const spring = elasticCurve([
      [0, 0],
      [0.3, 12],
      [1, 40],
      [1.7, 68],
    ]);
    for (const x of [0, 0.1, 0.3, 0.77, 1.2, 1.7]) {
      expect(spring.force(x)).toBeCloseTo(40 * x, 12);
      expect(spring.energy(x)).toBeCloseTo(20 * x ** 2, 12);
    }
  });

  // scipy 1.10.1, interpolate.PchipInterpolator(x, F) and its integrate(0, x): the same rule of
  // slopes, written by others.
  it.each([
    [0.2, 6.398545454545456, 0.6541090909090911],
    [0.75, 18.529608006672227, 7.8733493188768415],
    [1.5, 27.08623853211009, 25.29806957186544],
    [2.9, 36.38700979020979, 70.25788714484293],
    [5.3, 55.85112643678161, 177.37534125785632],
  ])("gives the reference's force and energy at %d m", (x, force, energy) => {
    const curve = elasticCurve(TABLE);
    expect(curve.force(x)).toBeCloseTo(force, 11);
    expect(curve.energy(x)).toBeCloseTo(energy, 11);
  });

  it("never leaves the two forces it lies between, whatever the table", () => {
    fc.assert(
      fc.property(tables, fc.double({ min: 0, max: 1, noNaN: true }), (table, share) => {
        const curve = elasticCurve(table);
        for (let i = 1; i < table.length; i++) {
          const [[x0, f0], [x1, f1]] = [table[i - 1]!, table[i]!];
          const force = curve.force(x0 + share * (x1 - x0));
          const rounding = 1e-12 * Math.max(f0, f1);
          expect(force).toBeGreaterThanOrEqual(Math.min(f0, f1) - rounding);
          expect(force).toBeLessThanOrEqual(Math.max(f0, f1) + rounding);
        }
      }),
      { seed: 11, numRuns: 300 },
    );
  });

  it("has an energy whose slope is the force, across knots too", () => {
    const curve = elasticCurve(TABLE);
    const h = 1e-5; // the central difference errs by F″ h²/6, below 1e-8 N here
    for (const x of [0.02, 0.4999999, 0.5, 1, 2.2, 3, 4.5, 5.8]) {
      expect((curve.energy(x + h) - curve.energy(x - h)) / (2 * h)).toBeCloseTo(curve.force(x), 6);
    }
  });

  it("keeps the ends' values outside the table", () => {
    const curve = elasticCurve(TABLE);
    expect([curve.force(-1), curve.force(9), curve.energy(-1), curve.energy(9)]).toEqual([
      0,
      66,
      0,
      curve.energy(6),
    ]);
  });

  it("throws RangeError on a faulty table, which tableProblem names by point and number", () => {
    const turned: ForcePoint[] = [
      [0, 0],
      [1, 20],
      [0.8, 25],
    ];
    expect(tableProblem(turned)).toMatchObject({ point: 2, of: "extension", value: 0.8 });
    expect(() => elasticCurve(turned)).toThrow(/extension of point 2 must be above 1 m/);
    expect(
      tableProblem([
        [0.1, 0],
        [1, 3],
      ]),
    ).toMatchObject({ point: 0, of: "extension", value: 0.1 });
    expect(
      tableProblem([
        [0, 0],
        [1, -3],
      ]),
    ).toMatchObject({ point: 1, of: "force", value: -3 });
    expect(
      tableProblem([
        [0, 0],
        [1, Number.NaN],
      ]),
    ).toMatchObject({ point: 1, of: "force" });
    expect(tableProblem([[0, 0]])).toMatchObject({ point: 1, need: "there: two points or more" });
    expect(tableProblem(TABLE)).toBeNull();
  });
});
