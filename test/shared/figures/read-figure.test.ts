import { expect, it } from "vitest";
import { figuresOf } from "../../../src/shared/figures/figures-of.ts";
import { layoutOf } from "../../../src/shared/figures/layout.ts";
import { valueAtPx } from "../../../src/shared/figures/plot.ts";
import { placeWords, plotsOf, readFigure } from "../../../src/shared/figures/read-figure.ts";
import { invented } from "./fixture.ts";

const result = invented();
const speed = figuresOf(result, "SI", "Shot 3").find(({ kind }) => kind === "speed")!;

it("reads the measured curve with its own u where a point stands, the predicted one, and their difference", () => {
  const { timeS, speed: curve } = result.measurement!.curves;
  const i = 60;
  const readings = readFigure(speed, timeS[i]! * 1000, null);
  expect(readings.map(({ label }) => label)).toEqual(["measured", "predicted", "predicted − measured"]);
  const [value, u] = readings[0]!.text.replace(" m/s", "").split(" ± ").map(Number);
  expect(Math.abs(value! - curve.value[i]!)).toBeLessThanOrEqual(u!); // to the place of its u
  expect(Math.abs(u! / curve.u[i]! - 1)).toBeLessThan(0.06); // two digits below 30, else one: half of one in 95
  expect(readings[1]!.text).toMatch(/^[\d.]+ m\/s \(no u along the curve\)$/);
  expect(speed.caption).toContain("its u is stated of the results, not along the curve");
});

it("says the place in ms from release, and finds it under the pointer", () => {
  expect(placeWords(speed, -12.34)).toBe("−12.3 ms from release");
  const [plot] = plotsOf(speed, 500, 300);
  const layout = layoutOf(speed, 500, 300);
  expect(plot!.x.px(0)).toBe(layout.releasePx);
  expect(valueAtPx(plot!, layout.releasePx!)).toBeCloseTo(0, 9);
  expect([plot!.top, plot!.bottom]).toEqual([layout.stripTop, layout.residual!.bottom]);
});
