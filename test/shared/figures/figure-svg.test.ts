import { describe, expect, it } from "vitest";
import type { Figure } from "../../../src/shared/figures/figure.ts";
import { figureSvg } from "../../../src/shared/figures/figure-svg.ts";
import { figuresOf } from "../../../src/shared/figures/figures-of.ts";
import { LOOKS } from "../../../src/shared/figures/look.ts";
import { overlap } from "../../../src/shared/figures/place-labels.ts";
import { textWidthPx } from "../../../src/shared/figures/text-width.ts";
import type { ShotResult } from "../../../src/shared/results/shot-result.ts";
import fc from "../../support/drawn-inputs.ts";
import { invented, inventedWithoutPrediction } from "./fixture.ts";
import { all, type Node, parseXml, textOf } from "./well-formed.ts";

const options = { theme: "light", width: 600, height: 340, fontFamily: "Inter, sans-serif" } as const;
const figures = figuresOf(invented(), "SI", "Shot 3");
const speed = figures[1]!;
const drawn = (figure: Figure) => parseXml(figureSvg(figure, options));

it("draws one measured line, one dashed prediction, one difference and their bands", () => {
  const { measured, predicted } = LOOKS.light;
  const paths = all(drawn(speed), "path");
  const lines = (stroke: string, width: string) =>
    paths.filter((p) => p.attributes.stroke === stroke && p.attributes["stroke-width"] === width);
  expect(lines(measured, "2").map((p) => p.attributes["stroke-dasharray"])).toEqual([undefined]);
  expect(lines(predicted, "1.8").map((p) => p.attributes["stroke-dasharray"])).toEqual(["6 4"]);
  expect(lines(predicted, "1.3")).toHaveLength(1);
  expect(paths.filter((p) => p.attributes.fill === measured)).toHaveLength(2);
});

it("draws a line through every sample", () => {
  const path = all(drawn(speed), "path").find((p) => p.attributes["stroke-width"] === "2")!;
  expect(path.attributes.d!.split(/[ML]/).length - 1).toBe(speed.main.lines[0]!.points.length);
});

it("labels directly: quantity, symbol, unit, ends, grounds, release and the headline", () => {
  const texts = all(drawn(speed), "text").map(textOf);
  expect(texts).toEqual(
    expect.arrayContaining(["Speed v, m/s", "measured", "predicted", "push", "free flight"]),
  );
  expect(texts).toEqual(
    expect.arrayContaining(["release", "time from release t, ms", "predicted − measured, m/s"]),
  );
  expect(texts).toEqual(expect.arrayContaining(["14.96 ± 0.06 m/s", "−40", "+20", "0", "5", "10", "15"]));
});

it("has one accessible title and description", () => {
  const svg = drawn(speed);
  expect(svg.attributes.role).toBe("img");
  expect(all(svg, "title").map(textOf)).toEqual(["Speed of Shot 3 against time from release"]);
  expect(textOf(all(svg, "desc")[0]!)).toContain("measured and predicted");
  expect(svg.children.slice(0, 2).map((child) => (child as Node).name)).toEqual(["title", "desc"]);
});

it("stands alone and asks nothing of a content policy: no style, script, id or address but its own name", () => {
  for (const figure of figures) {
    const text = figureSvg(figure, options);
    expect(text).toMatch(/^<svg xmlns="http:\/\/www\.w3\.org\/2000\/svg" /);
    expect(text.match(/ style=|<style|<script|href|url\(| id=| on\w+="/g)).toBeNull();
    expect(text.match(/:\/\//g)).toHaveLength(1);
  }
});

it("escapes whatever a name holds", () => {
  const title = `</title><script>alert("1")</script> & 'two' \u0007 \ud800`;
  const svg = drawn({ ...speed, title });
  expect(textOf(all(svg, "title")[0]!)).toBe(`</title><script>alert("1")</script> & 'two' \ufffd \ufffd`);
  expect(all(svg, "script")).toEqual([]);
  const font = parseXml(figureSvg(speed, { ...options, fontFamily: `"Source Serif 4", serif` }));
  expect(font.attributes["font-family"]).toBe(`"Source Serif 4", serif`);
});

it("draws the caption only when asked, in full", () => {
  const tall = { ...options, height: 400 };
  const without = all(parseXml(figureSvg(speed, tall)), "text")
    .map(textOf)
    .join(" ");
  const withIt = all(parseXml(figureSvg(speed, { ...tall, caption: true })), "text")
    .map(textOf)
    .join(" ");
  expect(without).not.toContain("Solid: measured");
  expect(withIt).toContain(speed.caption);
});

it("gives the same string for the same figure", () => {
  expect(figureSvg(speed, options)).toBe(figureSvg(figuresOf(invented(), "SI", "Shot 3")[1]!, options));
});

it("throws RangeError for a size it cannot be read at, with the size", () => {
  expect(() => figureSvg(speed, { ...options, width: 100 })).toThrow(/240 by 180 px; got 100 by 340/);
  expect(() => figureSvg(speed, { ...options, height: Number.NaN })).toThrow(RangeError);
});

describe("labels", () => {
  const sizes = [
    [360, 240],
    [600, 340],
    [1000, 500],
  ] as const;
  it.each(sizes)("keep clear of each other and of the edge of the paper at %i by %i", (width, height) => {
    for (const theme of ["light", "dark", "print"] as const) {
      for (const figure of [...figures, ...figuresOf(inventedWithoutPrediction(), "field", "Shot 3")]) {
        const svg = parseXml(figureSvg(figure, { ...options, theme, width, height }));
        const boxes = all(svg, "text").map(boxOf);
        boxes.forEach((box, i) => {
          expect(box.x, box.text).toBeGreaterThanOrEqual(0);
          expect(box.x + box.width, box.text).toBeLessThanOrEqual(width);
          for (const other of boxes.slice(i + 1)) {
            expect(overlap(box, other), `${figure.id}: "${box.text}" on "${other.text}"`).toBe(false);
          }
        });
      }
    }
  });

  it("keep apart when both curves end at the same place", () => {
    const same = { ...speed.main.lines[0]!, role: "predicted", label: "predicted" } as const;
    const texts = all(
      drawn({ ...speed, main: { ...speed.main, lines: [speed.main.lines[0]!, same] } }),
      "text",
    );
    const [a, b] = ["measured", "predicted"].map((name) => boxOf(texts.find((t) => textOf(t) === name)!));
    expect(overlap(a!, b!)).toBe(false);
  });

  it("stand clear of every curve when a curve ends inside the figure", () => {
    const [one, two] = speed.main.lines;
    const short = { ...two!, points: two!.points.slice(0, 60) };
    const svg = drawn({ ...speed, main: { ...speed.main, lines: [one!, short] } });
    const box = boxOf(all(svg, "text").find((t) => textOf(t) === "predicted")!);
    const onCurves = all(svg, "path")
      .filter((p) => ["2", "1.8"].includes(p.attributes["stroke-width"]!))
      .flatMap((p) =>
        p.attributes
          .d!.slice(1)
          .split("L")
          .map((xy) => xy.split(",").map(Number)),
      );
    const hit = onCurves.filter(([x, y]) => overlap(box, { x: x!, y: y!, width: 0.01, height: 0.01 }));
    expect(hit).toEqual([]);
  });
});

/** Box of a text from its anchor: 0.75 of the size above the baseline, 0.2 below. */
function boxOf(node: Node) {
  const a = node.attributes;
  const size = Number(a["font-size"] ?? 11);
  const text = textOf(node);
  const width = textWidthPx(text, size, a["font-weight"] === "600");
  const start = { start: 0, middle: 0.5, end: 1 }[a["text-anchor"] ?? "start"]!;
  return { text, x: Number(a.x) - start * width, y: Number(a.y) - 0.75 * size, width, height: 0.95 * size };
}

describe("for any finite curves", () => {
  const number = fc.oneof(
    fc.double({ noNaN: true, noDefaultInfinity: true }),
    fc.constantFrom(0, -0, 1, -1, 1e-300, 5e-324, Number.MAX_VALUE, -Number.MAX_VALUE, 1e6 + 1e-9),
    fc.double({ min: -100, max: 100, noNaN: true }),
  );
  const curves = fc.integer({ min: 1, max: 12 }).chain((n) =>
    fc.record({
      startS: fc.oneof(fc.double({ min: -1, max: 1, noNaN: true }), fc.constantFrom(0, -1e9, 1e300)),
      stepS: fc.constantFrom(1e-9, 1e-3, 1, 1e12),
      value: fc.oneof(
        fc.array(number, { minLength: n, maxLength: n }),
        number.map((x) => Array<number>(n).fill(x)),
      ),
      u: fc.array(number.map(Math.abs), { minLength: n, maxLength: n }),
      predicted: fc.array(number, { minLength: n, maxLength: n }),
      headline: fc.record({ value: number, u: number.map(Math.abs) }),
      startClipS: fc.double({ min: -10, max: 10, noNaN: true }),
    }),
  );

  it("never throws, is well-formed and holds no NaN or infinity", () => {
    fc.assert(
      fc.property(curves, fc.constantFrom("SI", "field"), (given, units) => {
        for (const figure of figuresOf(resultOf(given), units, "Shot 3")) {
          const text = figureSvg(figure, options);
          expect(text.match(/.{0,40}(NaN|Infinity|undefined).{0,20}/g)).toBeNull();
          parseXml(text);
        }
      }),
      { numRuns: 80 },
    );
  });

  interface Given {
    readonly startS: number;
    readonly stepS: number;
    readonly value: readonly number[];
    readonly u: readonly number[];
    readonly predicted: readonly number[];
    readonly headline: { readonly value: number; readonly u: number };
    readonly startClipS: number;
  }

  const base = invented();

  function resultOf(given: Given): ShotResult {
    const timeS = given.value.map((_, i) => given.startS + i * given.stepS);
    const { value, u, predicted } = given;
    const curve = { value, u };
    const headline = (unit: "m/s" | "m/s²") => ({ ...given.headline, unit, how: "" });
    return {
      ...base,
      measurement: {
        ...base.measurement!,
        quantities: { releaseSpeed: headline("m/s"), peakAcceleration: headline("m/s²") },
        curves: { timeS, position: curve, speed: curve, acceleration: curve, pitch: curve, pitchRate: curve },
        startClipS: given.startClipS,
        poses: timeS.map((t, frame) => ({ frame, timeS: t, positionM: predicted[frame]!, pitchRad: null })),
      },
      prediction: {
        ...base.prediction!,
        curves: { timeS, position: predicted, speed: predicted, acceleration: predicted },
      },
      comparison: {
        ...base.comparison!,
        residuals: { timeS, position: predicted, speed: predicted, acceleration: predicted },
      },
    };
  }
});
