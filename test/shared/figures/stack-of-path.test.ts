import { describe, expect, it } from "vitest";
import { figureSvg } from "../../../src/shared/figures/figure-svg.ts";
import { stackOfPath } from "../../../src/shared/figures/stack-of-path.ts";
import type { Prediction } from "../../../src/shared/results/shot-result.ts";

const curves = { timeS: [], position: [], speed: [], acceleration: [] };
const path = { aheadM: [0, 10, 24], heightM: [0, 4.9, -1.2], top: { aheadM: 11, heightM: 5 } };
const m = (value: number, u: number) => ({ value, u, unit: "m" as const, how: "" });
const quantities = { apogee: m(5, 0.3), range: m(24, 2) };
const flown = (prediction: Partial<Prediction> | null) => ({
  shotId: "shot-4",
  prediction: prediction && { quantities: {}, curves, storedEnergyJ: null, ...prediction },
});

describe("the figure of a path that nobody steers", () => {
  it("has the height over the way ahead, and the highest place and the landing with their ±", () => {
    const stack = stackOfPath(flown({ path, quantities }), "SI")!;
    expect(stack.id).toBe("shot-4-path");
    expect(stack.panels[0]!.lines[0]!).toMatchObject({
      role: "predicted",
      points: [
        [0, 0],
        [10, 4.9],
        [24, -1.2],
      ],
    });
    expect(stack.panels[0]!.callouts).toEqual([
      { at: [11, 5], text: "5.0 ± 0.3 m" },
      { at: [24, -1.2], text: "24.0 ± 2.0 m" },
    ]);
    expect(stack.description).toBe(
      "It rises 5.0 ± 0.3 m above the end of the cradle. It comes down 24.0 ± 2.0 m ahead of it.",
    );
    expect([stack.x.from, stack.x.to]).toEqual([-0.96, 24.96]);
    const svg = figureSvg(stack, { theme: "print", width: 400, height: 230, fontFamily: "sans-serif" });
    expect(svg).toContain("ahead of the cradle");
  });

  it("is in feet where those are read, and is not there without a path", () => {
    const stack = stackOfPath(flown({ path }), "field")!;
    expect(stack.panels[0]!.callouts).toEqual([]);
    expect(stack.x.unit).toBe("ft");
    expect(stack.panels[0]!.lines[0]!.points[2]![0]).toBeCloseTo(24 / 0.3048, 9);
    expect([stackOfPath(flown({}), "SI"), stackOfPath(flown(null), "SI")]).toEqual([null, null]);
  });
});
