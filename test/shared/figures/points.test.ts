import { describe, expect, it } from "vitest";
import { figureSvg } from "../../../src/shared/figures/figure-svg.ts";
import { overlap } from "../../../src/shared/figures/place-labels.ts";
import { SHAPES } from "../../../src/shared/figures/points.ts";
import { inkOfCurve, inkOfPoint, namesOfPoints } from "../../../src/shared/figures/points-names.ts";
import {
  type PointedKind,
  type PointsAsk,
  pointsOfShots,
} from "../../../src/shared/figures/points-of-shots.ts";
import { pointsPlace } from "../../../src/shared/figures/points-place.ts";
import { placeWords, plotsOf, readFigure } from "../../../src/shared/figures/read-figure.ts";
import type { OverSetting } from "../../../src/shared/next-shot/over-setting.ts";
import { SETTING_FIELDS } from "../../../src/shared/next-shot/setting.ts";
import type { Quantity } from "../../../src/shared/quantity/measured.ts";
import type { Measurement } from "../../../src/shared/results/shot-result.ts";
import { all, parseXml, textOf } from "./well-formed.ts";

const quantity = (value: number, u: number): Quantity => ({ value, u }) as Quantity;

function shot(name: string, bar: number, speed: number, rate: number | null = 0.5) {
  const quantities = {
    releaseSpeed: quantity(speed, 0.1),
    ...(rate !== null && { pitchRateAtRelease: quantity(rate, 0.05) }),
  };
  return { name, at: { value: bar * 1e5, u: 5000 }, measurement: { quantities } as unknown as Measurement };
}

/** Speed 2 m/s a bar, u 0.2 m/s. */
const model: OverSetting = {
  whyNot: null,
  runs: [[4, 6, 8].map((bar) => ({ x: bar * 1e5, quantities: { releaseSpeed: quantity(2 * bar, 0.2) } }))],
};
const darts: PointedKind = {
  label: "Dart",
  shots: [shot("One", 5, 10.4), shot("Two", 7, 14.1, -0.4)],
  model,
  like: "Two",
  unlike: "",
};
const kites: PointedKind = {
  label: "Kite & tail",
  shots: [shot("Three", 6, 9, null)],
  model: { runs: [], whyNot: "The mass of the airframe is not known." },
  like: "Three",
  unlike: "",
};
const ask: PointsAsk = {
  quantity: "releaseSpeed",
  setting: SETTING_FIELDS.pressure,
  range: [4e5, 8e5],
  left: [{ name: "Four", why: "not measured" }],
};
const options = { theme: "light", width: 640, height: 380, fontFamily: "Inter, sans-serif" } as const;

describe("pointsOfShots", () => {
  it("puts each shot at what was set and what was measured, with bars of two u both ways", () => {
    const { kinds, x, y, title } = pointsOfShots([darts, kites], ask, "SI");
    expect(title).toBe("Release speed of 3 shots against tank pressure, gauge");
    expect([x.unit, x.from, x.to, y.unit]).toEqual(["bar", 4, 8, "m/s"]);
    expect(kinds[0]!.points[0]).toEqual({
      name: "One",
      at: [expect.closeTo(5, 12), 10.4],
      halfX: expect.closeTo(0.1, 12),
      halfY: expect.closeTo(0.2, 12),
      text: "10.40 ± 0.10 m/s",
    });
  });

  it("gives the model its band of two u, in the person's units", () => {
    const [run] = pointsOfShots([darts], ask, "SI").kinds[0]!.model;
    expect(run!.points[1]!.map((one) => Math.round(one * 1e9) / 1e9)).toEqual([6, 12, 11.6, 12.4]);
    const field = pointsOfShots([darts], ask, "field");
    expect([field.x.unit, field.y.unit]).toEqual(["psi", "ft/s"]);
    expect(field.kinds[0]!.model[0]!.points[1]![1]).toBeCloseTo(12 / 0.3048, 9);
  });

  it("lets no band of a speed reach below nothing, and one of a rate do", () => {
    const wide = (name: "releaseSpeed" | "pitchRateAtRelease"): OverSetting => ({
      whyNot: null,
      runs: [[4e5, 8e5].map((x) => ({ x, quantities: { [name]: quantity(1, 2) } }))],
    });
    const low = (name: "releaseSpeed" | "pitchRateAtRelease") =>
      pointsOfShots([{ ...darts, model: wide(name) }], { ...ask, quantity: name }, "SI").kinds[0]!.model[0]!
        .points[0]![2];
    expect(low("releaseSpeed")).toBe(0);
    expect(low("pitchRateAtRelease")).toBeLessThan(0);
  });

  it("says why a kind has no prediction, what it was predicted as, and who is not drawn", () => {
    const { caption } = pointsOfShots([darts, kites], ask, "SI");
    expect(caption).toContain("Predicted for Dart as Two was set otherwise.");
    expect(caption).toContain("No prediction for Kite & tail: the mass of the airframe is not known.");
    expect(caption).toContain("Not drawn: Four (not measured).");
    const waiting = pointsOfShots([{ ...darts, model: null }], ask, "SI");
    expect(waiting.caption).toContain("The prediction is still being worked out.");
    const rate = pointsOfShots([darts, kites], { ...ask, quantity: "pitchRateAtRelease" }, "SI");
    expect(rate.caption).toContain(
      "No prediction for Dart: the model does not say the pitch rate at release of this launcher.",
    );
    expect(rate.caption).toContain("Three (no pitch rate at release)");
    expect(rate.kinds[0]!.points[0]!.text).toMatch(/^\+/);
  });

  it("gives every kind a shape of its own, and says when there are too many", () => {
    const many = Array.from({ length: SHAPES.length }, (_, i) => ({ ...darts, label: `Kind ${i}` }));
    const { kinds, caption } = pointsOfShots(many, ask, "SI");
    expect(new Set(kinds.map(({ shape }) => shape)).size).toBe(SHAPES.length);
    expect(caption).not.toContain("shapes of mark");
    expect(pointsOfShots([...many, kites], ask, "SI").caption).toContain("8 shapes of mark for 9 kinds");
  });
});

describe("the drawing", () => {
  const crowd: PointedKind = {
    ...darts,
    shots: Array.from({ length: 24 }, (_, i) => shot(`Shot ${i + 1}`, 4.4 + 0.13 * i, 8.8 + 0.27 * i)),
  };

  it("is well formed, names kinds and curves, and differs by theme", () => {
    const figure = pointsOfShots([darts, kites], ask, "SI");
    const texts = all(parseXml(figureSvg(figure, options)), "text").map(textOf);
    expect(texts).toEqual(
      expect.arrayContaining(["Dart", "Kite & tail", "predicted, Dart", "One", "Two", "Three"]),
    );
    expect(texts).not.toContain("predicted, Kite & tail");
    expect(figureSvg(figure, options)).not.toBe(figureSvg(figure, { ...options, theme: "dark" }));
    const alone = figureSvg(pointsOfShots([darts], ask, "SI"), options);
    expect(all(parseXml(alone), "text").map(textOf)).toContain("predicted");
  });

  it.each([
    [240, 180],
    [640, 380],
    [1200, 700],
  ])("lets no name touch a mark, a bar, a curve or another name at %i by %i", (width, height) => {
    const figure = pointsOfShots([crowd, kites], ask, "SI");
    const place = pointsPlace(figure, width, height);
    const names = namesOfPoints(figure, place);
    const ink = figure.kinds.flatMap((kind) => [
      ...kind.points.flatMap((point) => inkOfPoint(point, place)),
      ...kind.model.flatMap((run) => inkOfCurve(run.points, place)),
    ]);
    expect(names.length).toBeLessThanOrEqual(25);
    if (width > 1000) expect(names.length).toBeGreaterThan(12);
    names.forEach(({ box, text }, i) => {
      expect([text, ink.filter((one) => overlap(one, box))]).toEqual([text, []]);
      expect([text, names.slice(i + 1).filter((one) => overlap(one.box, box))]).toEqual([text, []]);
      expect(box.x + box.width).toBeLessThanOrEqual(place.right);
    });
  });

  it("is read under the pointer: the shots there and the model, each with its u", () => {
    const figure = pointsOfShots([darts, kites], ask, "SI");
    expect(plotsOf(figure, 640, 380)).toHaveLength(1);
    expect(placeWords(figure, 5)).toBe("Tank pressure, gauge 5.000 bar");
    expect(readFigure(figure, 5.01, null)).toEqual([
      { label: "One", text: "10.40 ± 0.10 m/s" },
      { label: "predicted, Dart", text: "10.02 ± 0.20 m/s" },
    ]);
    expect(readFigure(figure, 5.5, null).map(({ label }) => label)).toEqual(["predicted, Dart"]);
  });
});
