import { expect, it } from "vitest";
import { figuresOf } from "../../../src/shared/figures/figures-of.ts";
import { invented } from "./fixture.ts";

const plain = invented();
const { timeS } = plain.comparison!.residuals;
const rising = { combined: timeS.map((_, i) => 0.001 * (i + 1)), systematic: timeS.map(() => 0.0005) };
const known = {
  ...plain,
  comparison: {
    ...plain.comparison!,
    residuals: {
      ...plain.comparison!.residuals,
      u: { position: rising, speed: rising, acceleration: rising },
    },
  },
};

it("figuresOf draws the residuals over ± 2 u of the difference where that is known, and says whose it is", () => {
  const speed = figuresOf(known, "SI", "Shot 3").find(({ kind }) => kind === "speed")!;
  const { points } = speed.residual!.bands[0]!;
  expect(points).toHaveLength(timeS.length);
  points.forEach(([t, low, high], i) => {
    expect(t).toBeCloseTo(1000 * timeS[i]!, 9);
    expect(high).toBeCloseTo(0.002 * (i + 1), 12);
    expect(low).toBeCloseTo(-0.002 * (i + 1), 12);
  });
  expect(speed.caption).toContain("standard uncertainties of the difference, of the model's inputs too.");
});

it("figuresOf draws them over the measurement's own band where the model's u is not known", () => {
  const speed = figuresOf(plain, "SI", "Shot 3").find(({ kind }) => kind === "speed")!;
  const { timeS: measuredS, speed: curve } = plain.measurement!.curves;
  const at = measuredS.indexOf(timeS[3]!);
  expect(speed.residual!.bands[0]!.points[3]![2]).toBeCloseTo(2 * curve.u[at]!, 12);
  expect(speed.caption).toContain("over the same band about zero");
});
