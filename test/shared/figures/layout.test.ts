import { describe, expect, it } from "vitest";
import type { Figure, Line, Panel } from "../../../src/shared/figures/figure.ts";
import { layoutOf } from "../../../src/shared/figures/layout.ts";
import { textWidthPx } from "../../../src/shared/figures/text-width.ts";

/*
 * Where things stand in a figure of 600 by 340 px, worked by hand: 14 px of margin; a heading of 28
 * px less the 6 that its line leaves; a strip of 17 px for the names of the phases; 40 px at the foot
 * for the time axis; between the panels 30 px for the residuals' name; of what is left a quarter,
 * rounded, for the residuals.
 */
const STRIP_TOP = 14 + 28 - 6;
const MAIN_TOP = STRIP_TOP + 17;
const FOOT = 340 - 40;

const line = (role: Line["role"], ...points: [number, number][]): Line => ({ role, label: "", points });
const panel = (lines: readonly Line[], more: Partial<Panel> = {}): Panel => ({
  quantity: "Speed",
  symbol: "v",
  unit: "m/s",
  lines,
  bands: [],
  dots: [],
  callouts: [],
  ...more,
});
const RAMP = panel([line("measured", [-100, 0], [20, 10])]);
const REST = panel([line("difference", [-100, 1], [20, 3])]);
const figure = (main: Panel, residual: Panel | null = null, from = -100, to = 20): Figure => ({
  id: "shot-1-speed",
  kind: "speed",
  title: "",
  description: "",
  caption: "",
  time: { unit: "ms", from, to },
  main,
  residual,
  washes: [],
  release: { u: 0 },
});
const panels = (height: number, residual: Panel | null) => {
  const layout = layoutOf(figure(RAMP, residual), 600, height);
  return [layout.main, layout.residual].map((one) => one && [one.top, one.bottom]);
};
const ends = (main: Panel) => {
  const { axis } = layoutOf(figure(main), 600, 340).main;
  return [axis.low, axis.high];
};

describe("the panels of a figure", () => {
  it("fill the height between strip and foot, residuals a quarter of it less their name", () => {
    expect(layoutOf(figure(RAMP), 600, 340)).toMatchObject({ stripTop: 36, headingPx: 23, residual: null });
    expect(panels(340, null)).toEqual([[MAIN_TOP, FOOT], null]);
    const rest = 0.24 * (FOOT - MAIN_TOP - 30);
    expect(panels(340, REST)).toEqual([
      [MAIN_TOP, expect.closeTo(FOOT - rest - 30, 9)],
      [expect.closeTo(FOOT - rest, 9), FOOT],
    ]);
  });

  it("keep 36 px for the residuals and 40 for the curves in a low figure, and 60 in one too low for anything", () => {
    expect(panels(180, REST)).toEqual([
      [53, 93],
      [140 - 36, 140],
    ]);
    expect(panels(100, null)).toEqual([[53, 113], null]);
  });

  it("begin where the widest tick label ends and end where the longest name of a curve begins", () => {
    const named = panel([{ ...RAMP.lines[0]!, label: "predicted" }]);
    const { left, right } = layoutOf(figure(named), 600, 340);
    expect(left).toBeCloseTo(14 + textWidthPx("10", 11) + 8, 9);
    expect(right).toBeCloseTo(600 - 14 - 10 - textWidthPx("predicted", 11.5, true), 9);
    expect(layoutOf(figure(RAMP), 600, 340).right).toBe(600 - 14 - 10);
    // However long a tick label, two fifths of the width are the most it may take.
    const long = panel([line("measured", [-100, 0.0012345], [20, 0.0012346])]);
    expect(layoutOf(figure(long), 60, 340).left).toBeCloseTo(0.4 * 60, 9);
  });
});

describe("the upright axis", () => {
  it("leaves a tenth of half the span free on either side", () => {
    expect(ends(RAMP)).toEqual([-0.5, 10.5]);
  });

  it("holds dots and the values that are called out, with 20 px above them for the words", () => {
    expect(ends({ ...RAMP, dots: [[0, -10]] })).toEqual([-11, 11]);
    const called = ends({ ...RAMP, callouts: [{ at: [0, 10], text: "10 m/s" }] });
    expect(called).toEqual([-0.5, expect.closeTo(10 + (2 * 20 * 5) / (FOOT - MAIN_TOP), 9)]);
    // In a low panel the words would squeeze the curve: never more than 0.7 of half the span.
    const low = layoutOf(figure({ ...RAMP, callouts: [{ at: [0, 10], text: "10 m/s" }] }), 600, 100).main
      .axis;
    expect(low.high).toBeCloseTo(10 + (0.4 / 0.6) * 5, 9);
    const lower = layoutOf(figure({ ...RAMP, callouts: [{ at: [0, 10], text: "" }] }, REST), 600, 180).main
      .axis;
    expect(lower.high).toBeCloseTo(10 + 0.7 * 5, 9);
  });

  it("holds a band, but is widened by it by no more than two fifths of the curves' span on either side", () => {
    const banded = (low: number, high: number) => ends({ ...RAMP, bands: [{ points: [[0, low, high]] }] });
    expect(banded(-3, 13)).toEqual([expect.closeTo(-3 - 0.8, 9), expect.closeTo(13 + 0.8, 9)]);
    expect(banded(-30, 40)).toEqual([expect.closeTo(-4 - 0.9, 9), expect.closeTo(14 + 0.9, 9)]);
    expect(banded(2, 8)).toEqual([-0.5, 10.5]);
  });

  it("has a tick about every 42 px, every 24 px in the residuals, which hold zero", () => {
    const { main, residual } = layoutOf(figure(RAMP, REST), 600, 640);
    // 600 - 53 less 30 are 517 px: 124 px of residuals from 0 to 3, about 5 ticks; 393 px of curves, about 9.
    expect(residual!.axis.ticks.map(({ value }) => value)).toEqual([0, 0.5, 1, 1.5, 2, 2.5, 3]);
    expect(main.axis.ticks.map(({ value }) => value)).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10]);
    expect(residual!.axis.low).toBeCloseTo(-0.15, 9);
  });
});

describe("the time axis", () => {
  it("calls zero release and signs every other tick, about one in 80 px", () => {
    const { timeTicks, time, releasePx, left, right } = layoutOf(figure(RAMP), 600, 340);
    expect(timeTicks.map(({ text }) => text)).toEqual(["−100", "−80", "−60", "−40", "−20", "release", "+20"]);
    expect(releasePx).toBeCloseTo(left + (100 / 120) * (right - left), 9);
    expect(timeTicks.map(({ px }) => px)).toEqual([-100, -80, -60, -40, -20, 0, 20].map(time.px));
    expect(timeTicks.filter(({ isRelease }) => isRelease)).toHaveLength(1);
  });

  it("has no release where it lies outside, and has one at either end", () => {
    const release = (from: number, to: number) => layoutOf(figure(RAMP, null, from, to), 600, 340).releasePx;
    expect(release(-100, -5)).toBeNull();
    expect(release(5, 100)).toBeNull();
    expect(release(0, 100)).not.toBeNull();
    expect(release(-100, 0)).not.toBeNull();
  });

  it("leaves out ticks that would touch release or leave the paper", () => {
    const touching = layoutOf(figure(RAMP, null, -100, 1000), 300, 340).timeTicks;
    for (const one of touching) {
      const half = textWidthPx(one.text, 11, true) / 2;
      expect(one.px - half).toBeGreaterThan(2);
      expect(one.px + half).toBeLessThan(298);
    }
    const at = (text: string) => touching.find((one) => one.text === text);
    expect(at("release")).toBeDefined();
    const texts = touching.map(({ text }) => text);
    expect(new Set(texts).size).toBe(texts.length);
    const sorted = [...touching].sort((a, b) => a.px - b.px);
    expect(touching).toEqual(sorted);
    sorted.slice(1).forEach((one, i) => {
      if (!one.isRelease && !sorted[i]!.isRelease) return;
      const room = (textWidthPx(one.text, 11, true) + textWidthPx(sorted[i]!.text, 11, true)) / 2 + 4;
      expect(one.px - sorted[i]!.px).toBeGreaterThan(room);
    });
  });
});
