import { describe, expect, it } from "vitest";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { jointInputs } from "../../../src/shared/uncertainty/joint-inputs.ts";
import { propagate } from "../../../src/shared/uncertainty/propagate.ts";

const LIST = [
  { name: "a", value: 3, u: 0.2 },
  { name: "b", value: 5, u: 0.4 },
  { name: "c", value: 2, u: 0.1 },
];

describe("jointInputs", () => {
  it("gives directions whose squares add up to the covariance", () => {
    const correlation = [
      [1, 0.6, -0.3],
      [0.6, 1, 0.2],
      [-0.3, 0.2, 1],
    ];
    const u = [0.2, 0.4, 0.1];
    const { directions } = jointInputs(["a", "b", "c"], u, correlation);
    for (let i = 0; i < 3; i++) {
      for (let j = 0; j < 3; j++) {
        const sum = directions.reduce((total, one) => total + one[i]! * one[j]!, 0);
        expect(sum).toBeCloseTo(u[i]! * u[j]! * correlation[i]![j]!, 12);
      }
    }
  });

  it("leaves out a direction that those before use up, and inputs without uncertainty", () => {
    const { directions } = jointInputs(
      ["a", "b", "c"],
      [0.2, 0.4, 0],
      [
        [1, 1, 0],
        [1, 1, 0],
        [0, 0, 1],
      ],
    );
    expect(directions.length).toBe(1);
    [0.2, 0.4, 0].forEach((by, i) => {
      expect(directions[0]![i]).toBeCloseTo(by, 12);
    });
  });
});

describe("propagate with correlated inputs", () => {
  it("has the u of JCGM 100:2008, 5.2.2: a sum and a difference of correlated inputs", () => {
    const r = 0.8;
    const joint = jointInputs(
      ["a", "b"],
      [0.2, 0.4],
      [
        [1, r],
        [r, 1],
      ],
    );
    const result = unwrap(propagate(([a, b, c]) => [a! + b!, a! - b!, a! + c!], LIST, joint));
    expect(result.u[0]).toBeCloseTo(Math.sqrt(0.04 + 0.16 + 2 * r * 0.08), 12);
    expect(result.u[1]).toBeCloseTo(Math.sqrt(0.04 + 0.16 - 2 * r * 0.08), 12);
    expect(result.u[2]).toBeCloseTo(Math.hypot(0.2, 0.1), 12); // c stays on its own
  });

  it("is what it is without them where they are independent", () => {
    const model = ([a, b, c]: readonly number[]) => [a! * b! ** 2, Math.log(c!)];
    const joint = jointInputs(
      ["b", "a"],
      [0.4, 0.2],
      [
        [1, 0],
        [0, 1],
      ],
    );
    const [apart, together] = [unwrap(propagate(model, LIST)).u, unwrap(propagate(model, LIST, joint)).u];
    apart.forEach((u, i) => {
      expect(together[i]).toBeCloseTo(u, 10);
    });
  });

  it("shortens a step that leaves a limit, and names an input of a direction the model has no value about", () => {
    const joint = jointInputs(
      ["a", "b"],
      [0.2, 0.4],
      [
        [1, 0.5],
        [0.5, 1],
      ],
    );
    const near = [{ name: "a", value: 3, u: 0.2, high: 3.05 }, LIST[1]!, LIST[2]!];
    const wide = unwrap(propagate(([a, b]) => [a! + b!], LIST, joint)).u[0]!;
    expect(unwrap(propagate(([a, b]) => [a! + b!], near, joint)).u[0]).toBeCloseTo(wide, 10);
    const edge = propagate(([a, b]) => (a === 3 && b === 5 ? [1] : null), LIST, joint);
    expect(edge).toMatchObject({ ok: false, code: "no-neighbour", numbers: { input: 0 } });
  });
});
