import { describe, expect, it } from "vitest";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { type ReferenceLine, rollAtWeights, rollFromLines } from "../../../src/shared/scale/level.ts";
import { plumbAngle } from "../../../src/shared/scale/plumb-angle.ts";

/** A plumb or level line of 500 px in a picture rolled by rho: down is (-sin, cos), right is (cos, sin). */
function line(kind: "plumb" | "level", rho: number, trueRad = 0.002, backwards = false): ReferenceLine {
  const [dx, dy] = kind === "plumb" ? [-Math.sin(rho), Math.cos(rho)] : [Math.cos(rho), Math.sin(rho)];
  const ends = [
    [300, 200],
    [300 + 500 * dx, 200 + 500 * dy],
  ] as const;
  return { kind, a: ends[backwards ? 1 : 0], b: ends[backwards ? 0 : 1], uPx: 0.5, trueRad };
}

describe("rollFromLines", () => {
  it("is plumbAngle for one plumb", () => {
    const one = line("plumb", 0.05);
    const [roll, alone] = [
      unwrap(rollFromLines([one])).rollRad,
      unwrap(plumbAngle(one.a, one.b, 0.5, 0.002)),
    ];
    expect(roll.value).toBeCloseTo(alone.value, 15);
    expect(roll.u).toBeCloseTo(alone.u, 15);
  });

  it("reads the same roll from a level line, whichever end comes first", () => {
    for (const rho of [-0.2, 0.01, 0.3])
      for (const backwards of [false, true]) {
        const { value, u } = unwrap(rollFromLines([line("level", rho, 0.003, backwards)])).rollRad;
        expect(value).toBeCloseTo(rho, 12);
        expect(u).toBeCloseTo(Math.hypot(Math.SQRT2 / 1000, 0.003), 12);
      }
  });

  it("weighs by 1/u² and follows a picture that stands on its side", () => {
    const [a, b] = [line("plumb", 1.6, 0.001), line("level", 1.604, 0.004, true)];
    const roll = unwrap(rollFromLines([a, b]));
    const [wa, wb] = [0.001, 0.004].map((u) => 1 / (2e-6 + u ** 2)) as [number, number];
    expect(roll.rollRad.value).toBeCloseTo((1.6 * wa + 1.604 * wb) / (wa + wb), 12);
    expect(roll.rollRad.u).toBeCloseTo(1 / Math.sqrt(wa + wb), 12);
    expect(roll.agreement.agree).toBe(true);
  });

  it("enlarges u when plumb and level disagree, until k = 2 reaches both and two of their own u beyond", () => {
    const each = Math.hypot(Math.SQRT2 / 1000, 0.002);
    for (const apart of [0.012, 0.1, 1]) {
      const { rollRad, statedU, agreement } = unwrap(
        rollFromLines([line("plumb", 0.01), line("level", 0.01 + apart)]),
      );
      expect(agreement.agree).toBe(false);
      expect(statedU).toBeCloseTo(each / Math.SQRT2, 12);
      expect(rollRad.value).toBeCloseTo(0.01 + apart / 2, 12);
      expect(rollRad.u).toBeCloseTo(Math.max(agreement.birge * statedU, apart / 4 + each), 12);
    }
  });

  it("with the weights held goes with each line in proportion to its weight, and needs both of its ends", () => {
    const lines = [line("plumb", 0.1, 0.001), line("level", 0.103, 0.004, true)];
    const { rollRad, weights } = unwrap(rollFromLines(lines));
    expect(weights[0]! + weights[1]!).toBeCloseTo(1, 12);
    expect(rollAtWeights(lines, weights)).toBeCloseTo(rollRad.value, 12);
    const moved = [lines[0]!, line("level", 0.303, 0.004, true)];
    expect(rollAtWeights(moved, weights)! - rollRad.value).toBeCloseTo(0.2 * weights[1]!, 12);
    expect(rollAtWeights([lines[0]!, { ...lines[1]!, b: lines[1]!.a }], weights)).toBeNull();
  });

  it("refuses no lines and a line too short, naming it", () => {
    expect(rollFromLines([])).toMatchObject({ code: "no-lines" });
    expect(rollFromLines([line("plumb", 0), { ...line("level", 0), b: [303, 200] }])).toMatchObject({
      code: "too-close",
      numbers: { line: 1, separationPx: 3 },
    });
  });
});
