import { expect, it } from "vitest";
import { figuresOf } from "../../../src/shared/figures/figures-of.ts";
import { invented, inventedWithoutPrediction } from "./fixture.ts";

const result = invented();
const kinds = (units: "SI" | "field") => figuresOf(result, units, "Shot 3").map((f) => [f.kind, f.main.unit]);

it("gives five figures in order, in the units of the person", () => {
  expect(kinds("SI")).toEqual([
    ["position", "m"],
    ["speed", "m/s"],
    ["acceleration", "m/s²"],
    ["pitch", "°"],
    ["pitch-rate", "°/s"],
  ]);
  expect(kinds("field").slice(0, 3)).toEqual([
    ["position", "ft"],
    ["speed", "ft/s"],
    ["acceleration", "g"],
  ]);
});

it("gives none when nothing was measured", () => {
  expect(figuresOf({ ...result, measurement: null }, "SI", "Shot 3")).toEqual([]);
});

it("names each figure by its shot, as a file name", () => {
  expect(figuresOf(result, "SI", "Shot 3").map((f) => f.id)).toEqual([
    "shot-3-position",
    "shot-3-speed",
    "shot-3-acceleration",
    "shot-3-pitch",
    "shot-3-pitch-rate",
  ]);
});

it("shows s as ms, 9.80665 m/s² as 1 g, and a band of value ± 2 u", () => {
  const m = result.measurement!;
  const i = 90;
  const [t, value, u] = [m.curves.timeS[i]!, m.curves.acceleration.value[i]!, m.curves.acceleration.u[i]!];
  const { lines, bands } = figuresOf(result, "field", "Shot 3")[2]!.main;
  expect(lines[0]!.points[i]).toEqual([expect.closeTo(t * 1000, 9), expect.closeTo(value / 9.80665, 9)]);
  expect(bands[0]!.points[i]).toEqual([
    expect.closeTo(t * 1000, 9),
    expect.closeTo((value - 2 * u) / 9.80665, 9),
    expect.closeTo((value + 2 * u) / 9.80665, 9),
  ]);
});

it("puts the prediction and its residuals only where there is one", () => {
  const roles = figuresOf(result, "SI", "Shot 3").map((f) => [
    f.main.lines.map((l) => l.role).join(),
    f.residual !== null,
  ]);
  expect(roles).toEqual([
    ["measured,predicted", true],
    ["measured,predicted", true],
    ["measured,predicted", true],
    ["measured", false],
    ["measured", false],
  ]);
  for (const figure of figuresOf(inventedWithoutPrediction(), "SI", "Shot 3")) {
    expect(figure.residual).toBeNull();
    expect(figure.main.lines.map((line) => line.role)).toEqual(["measured"]);
    expect(figure.caption).not.toContain("redicted");
  }
});

it("takes residuals as they are given, without the offset or sign of a unit", () => {
  const { residuals } = result.comparison!;
  const shown = figuresOf(result, "SI", "Shot 3")[1]!.residual!;
  expect(shown.quantity).toBe("predicted − measured");
  expect(shown.lines[0]!.points.map(([, y]) => y)).toEqual(residuals.speed);
  expect(shown.bands[0]!.points.every(([, low, high]) => low === -high)).toBe(true);
});

it("draws the poses of single frames where the fit has them", () => {
  const dots = figuresOf(result, "SI", "Shot 3").map((f) => f.main.dots.length);
  const { poses } = result.measurement!;
  expect(dots).toEqual([poses.length, 0, 0, poses.length, 0]);
});

it("washes the push from first motion to release and free flight after it", () => {
  const { washes, time } = figuresOf(result, "SI", "Shot 3")[0]!;
  expect(washes).toEqual([
    { kind: "push", label: "push", from: expect.closeTo(-91.7, 6), to: 0 },
    { kind: "free-flight", label: "free flight", from: 0, to: time.to },
  ]);
});

it("leaves out a prediction that lies outside the measured time", () => {
  const { prediction } = result;
  const late = { ...prediction!.curves, timeS: prediction!.curves.timeS.map((t) => t + 5) };
  const figure = figuresOf({ ...result, prediction: { ...prediction!, curves: late } }, "SI", "Shot 3")[1]!;
  expect(figure.main.lines.map((line) => line.role)).toEqual(["measured"]);
  expect(figure.time.to).toBeCloseTo(result.measurement!.curves.timeS.at(-1)! * 1000, 9);
});

it("says in the caption how wide the band is and how well release is known", () => {
  const { caption } = figuresOf(result, "SI", "Shot 3")[1]!;
  expect(caption).toContain("k\u00a0=\u00a02");
  expect(caption).toContain("Release is known to ±\u00a00.4\u00a0ms.");
});

it("shows a headline on its curve with its standard uncertainty", () => {
  const callouts = figuresOf(result, "SI", "Shot 3").map((f) => f.main.callouts[0]!.text);
  expect(callouts[1]).toBe("14.96 ± 0.06 m/s");
  expect(callouts[2]).toBe("243 ± 9 m/s²");
});

it("puts the headline where it belongs: at release, or at the instant of the curve's peak, in ms", () => {
  const m = result.measurement!;
  const at = figuresOf(result, "SI", "Shot 3").map((f) => f.main.callouts[0]!.at);
  expect(at[1]).toEqual([0, m.quantities.releaseSpeed!.value]);
  const peak = m.quantities.peakAcceleration!.value;
  const off = m.curves.acceleration.value.map((a, i) => (m.curves.timeS[i]! <= 0 ? Math.abs(a - peak) : 1e9));
  const timeS = m.curves.timeS[off.indexOf(Math.min(...off))]!;
  expect(timeS).toBeLessThan(-0.001);
  expect(at[2]![0]).toBeCloseTo(timeS * 1000, 9);
});
