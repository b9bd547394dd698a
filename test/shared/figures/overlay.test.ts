import { describe, expect, it } from "vitest";
import { figureSvg } from "../../../src/shared/figures/figure-svg.ts";
import { LOOKS } from "../../../src/shared/figures/look.ts";
import {
  type OverlaidShot,
  type OverlayAsk,
  overlayOfShots,
} from "../../../src/shared/figures/overlay-of-shots.ts";
import { overlayPlots } from "../../../src/shared/figures/overlay-svg.ts";
import { valueAtPx } from "../../../src/shared/figures/plot.ts";
import { placeWords, readFigure } from "../../../src/shared/figures/read-figure.ts";
import type { Measurement } from "../../../src/shared/results/shot-result.ts";
import { all, parseXml, textOf } from "./well-formed.ts";

/**
 * Speed rises evenly from 0 to `top` over `pushS`, then stays; travel is its integral. u of the speed is 0.1.
 */
function shot(name: string, top: number, pushS: number): OverlaidShot {
  const timeS = Array.from({ length: 31 }, (_, i) => -0.1 + i * 0.005);
  const speed = timeS.map((t) => Math.max(0, Math.min(top, (top * (t + pushS)) / pushS)));
  let at = 0;
  const position = timeS.map((_, i) => (at += i === 0 ? 0 : ((speed[i]! + speed[i - 1]!) / 2) * 0.005));
  const curve = (value: readonly number[], u: number) => ({ value, u: value.map(() => u) });
  const curves = { timeS, speed: curve(speed, 0.1), position: curve(position, 0.001) };
  return { name, measurement: { curves, releaseClipS: 1, startClipS: 1 - pushS } as unknown as Measurement };
}

const shots = [shot("Slow", 10, 0.08), shot("Fast & long-named, beyond all reason", 15, 0.06)];
const ask: OverlayAsk = {
  quantity: "speed",
  alignment: "release",
  reference: 0,
  differences: true,
  arrangement: "over",
};
const overlay = (part: Partial<OverlayAsk> = {}, units: "SI" | "field" = "SI") =>
  overlayOfShots(shots, { ...ask, ...part }, units)!;
const options = { theme: "light", width: 640, height: 400, fontFamily: "Inter, sans-serif" } as const;

describe("overlayOfShots", () => {
  it("lays curves over time from release, with the reference marked and bands of two u", () => {
    const { x, panels } = overlay();
    expect([x.quantity, x.unit]).toEqual(["time from release", "ms"]);
    expect([x.from, x.to]).toEqual([expect.closeTo(-100, 9), expect.closeTo(50, 9)]);
    const [slow, fast] = panels[0]!.curves;
    expect([slow!.isReference, fast!.isReference]).toEqual([true, false]);
    const at = slow!.points.findIndex(([t]) => Math.abs(t + 40) < 1e-6); // half of the push: half the speed
    expect(slow!.points[at]![1]).toBeCloseTo(5, 9);
    expect(slow!.band[at]!.slice(1)).toEqual([expect.closeTo(4.8, 9), expect.closeTo(5.2, 9)]);
  });

  it("counts time from each shot's own first motion", () => {
    const { panels } = overlay({ alignment: "first motion" });
    const tops = [10, 15];
    const released = panels[0]!.curves.map(
      ({ points }, i) => points.find(([, v]) => v > tops[i]! - 1e-9)![0],
    );
    expect(released).toEqual([expect.closeTo(80, 6), expect.closeTo(60, 6)]);
  });

  it("lays curves over travel, until release and only onwards", () => {
    const { x, panels } = overlay({ alignment: "travel" });
    const ends = panels[0]!.curves.map(({ points }) => points.at(-1)![0]);
    // half of top speed times push time: 0.4 and 0.45 m
    expect(ends).toEqual([expect.closeTo(0.4, 2), expect.closeTo(0.45, 2)]);
    expect(x.unit).toBe("m");
    for (const { points } of panels[0]!.curves)
      expect(points.every(([s], i) => i === 0 || s > points[i - 1]![0])).toBe(true);
    expect(overlay({ alignment: "travel" }, "field").x.unit).toBe("ft");
  });

  it("gives differences to the reference with both u, and says what that leaves out", () => {
    const { panels, caption } = overlay();
    const [only] = panels[1]!.curves;
    expect(panels[1]!.curves).toHaveLength(1);
    const at = only!.points.findIndex(([t]) => Math.abs(t - 20) < 1e-6);
    expect(only!.points[at]![1]).toBeCloseTo(5, 9);
    // half of the band is two u of 0.1 √2
    expect(only!.band[at]![2] - only!.points[at]![1]).toBeCloseTo(2 * 0.1 * Math.SQRT2, 9);
    expect(caption).toContain("as if the two were independent");
    expect(overlay({ differences: false }).panels).toHaveLength(1);
  });

  it("reads a difference between the reference's points, and none where the reference does not reach", () => {
    const late = shot("Late", 12, 0.05);
    const cut = {
      ...late,
      measurement: {
        ...late.measurement,
        curves: { ...late.measurement.curves, timeS: late.measurement.curves.timeS.map((t) => t + 0.0525) },
      },
    };
    const [only] = overlayOfShots([shots[0]!, cut], ask, "SI")!.panels[1]!.curves;
    const [t, value] = only!.points[0]!;
    expect(t).toBeCloseTo(-47.5, 6);
    expect(value).toBeCloseTo(-(10 * (80 - 47.5)) / 80, 9); // the reference is linear there, the other at rest
    expect(only!.points.at(-1)![1]).toBeNaN(); // 102.5 ms: the reference ends at 50
  });

  it("shortens a name that would leave the curves no room", () => {
    expect(overlay().panels[0]!.curves[1]!.label).toBe("Fast & long-named, be…");
  });

  it("is null without shots", () => expect(overlayOfShots([], ask, "SI")).toBeNull());
});

describe("drawn", () => {
  it.each(["over", "beside"] as const)(
    "%s each other is well-formed, with all names and both axes",
    (arrangement) => {
      const svg = parseXml(figureSvg(overlay({ arrangement }), options));
      const texts = all(svg, "text").map(textOf);
      expect(texts).toContain("Slow");
      expect(texts).toContain("Fast & long-named, be…");
      expect(texts).toContain("Speed v, m/s");
      expect(texts).toContain("time from release t, ms");
    },
  );

  it("gives the reference the ink and the greatest weight", () => {
    const svg = parseXml(figureSvg(overlay(), options));
    const lines = all(svg, "path").filter(({ attributes }) => attributes["stroke-linejoin"] === "round");
    const widths = lines.map(
      ({ attributes }) => [attributes.stroke, Number(attributes["stroke-width"])] as const,
    );
    expect(widths[0]).toEqual([LOOKS.light.ink, 2.4]);
    for (const [stroke, width] of widths.slice(1)) {
      expect(stroke).toBe(LOOKS.light.measured);
      expect(width).toBeLessThan(2.4);
    }
  });

  it("keeps names of the right beside the curves, apart from each other", () => {
    const twelve = Array.from({ length: 12 }, (_, i) => shot(`Shot ${i + 1}`, 12 + i / 50, 0.07));
    const figure = overlayOfShots(twelve, { ...ask, differences: false }, "SI")!;
    const [plot] = overlayPlots(figure, 640, 400);
    const svg = parseXml(figureSvg(figure, options));
    const names = all(svg, "text").filter((node) => textOf(node).startsWith("Shot "));
    const ys = names.map(({ attributes }) => Number(attributes.y)).sort((a, b) => a - b);
    expect(names).toHaveLength(12);
    for (const { attributes } of names) expect(Number(attributes.x)).toBeGreaterThan(plot!.right);
    expect(ys.every((y, i) => i === 0 || y - ys[i - 1]! >= 14)).toBe(true);
  });
});

describe("read", () => {
  it("gives value ± u and unit of every curve at a place, and the differences", () => {
    expect(placeWords(overlay(), -40)).toBe("time from release −40.0 ms");
    // the fast one is a third on its way at −40 ms: 5 m/s, as fast as the slow one
    expect(readFigure(overlay(), -40, null)).toEqual([
      { label: "Slow", text: "5.00 ± 0.10 m/s" },
      { label: "Fast & long-named, be…", text: "5.00 ± 0.10 m/s" },
      { label: "Fast & long-named, be…, less Slow", text: "0.00 ± 0.14 m/s" },
    ]);
  });

  it("reads between two points along a line, and nothing beyond the last", () => {
    const [slow] = readFigure(overlay({ differences: false }), -37.5, "Slow");
    expect(slow).toEqual({ label: "Slow", text: "5.31 ± 0.10 m/s" }); // 10 · 42.5 / 80 = 5.3125
    expect(readFigure(overlay(), 51, null)).toEqual([]);
  });

  it("finds the place under a pointer, held inside the axis", () => {
    const [plot] = overlayPlots(overlay(), 640, 400);
    expect(valueAtPx(plot!, plot!.x.px(-20))).toBeCloseTo(-20, 9);
    expect([valueAtPx(plot!, -500), valueAtPx(plot!, 5000)]).toEqual([-100, expect.closeTo(50, 9)]);
  });

  it("knows which shot a small panel is of", () => {
    const plots = overlayPlots(overlay({ arrangement: "beside" }), 640, 400);
    expect(plots.map(({ only }) => only)).toEqual(["Slow", "Fast & long-named, be…"]);
    expect(readFigure(overlay({ arrangement: "beside" }), 20, "Slow")).toEqual([
      { label: "Slow", text: "10.00 ± 0.10 m/s" },
    ]);
  });
});
