import { expect, it } from "vitest";
import { studentT } from "../../src/shared/numeric/student-t.ts";
import { effectiveFreedom } from "../../src/shared/uncertainty/effective-freedom.ts";

/*
 * JCGM 100:2008, G.4.1 and eq. G.2b, on v = b f/s with parts 0.02 (9 degrees of freedom), 0.0176 (known) and
 * 0.0353 (4); the coverage factor at the next lower whole number is that of its table G.2. Figures:
 * tools/reference/uncertainty.py.
 */
it("three parts of 9, no end and 4 degrees of freedom: u 0.04422499, 9.4229 together, k = 2.2622 at 9", () => {
  const parts = [
    { u: 0.02, dof: 9 },
    { u: 0.0176, dof: Infinity },
    { u: 0.0353, dof: 4 },
  ];
  expect(Math.hypot(...parts.map(({ u }) => u))).toBeCloseTo(0.04422499, 8);
  const dof = effectiveFreedom(parts);
  expect(dof).toBeCloseTo(9.4229, 4);
  expect(studentT(0.95, Math.floor(dof))).toBeCloseTo(2.2622, 4);
});

it("one part keeps its own, known parts have no end, equal parts add theirs", () => {
  expect(effectiveFreedom([{ u: 0.3, dof: 7 }])).toBeCloseTo(7, 12);
  expect(effectiveFreedom([{ u: 0.3, dof: Infinity }])).toBe(Infinity);
  expect(
    effectiveFreedom([
      { u: 0.2, dof: 5 },
      { u: 0.2, dof: 5 },
    ]),
  ).toBeCloseTo(10, 12);
  expect(() => effectiveFreedom([{ u: 1, dof: 0 }])).toThrow(/dof > 0.*1, 0/);
});
