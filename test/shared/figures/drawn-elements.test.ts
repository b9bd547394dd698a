import { describe, expect, it } from "vitest";
import type { Chart } from "../../../src/shared/figures/chart.ts";
import type { Figure } from "../../../src/shared/figures/figure.ts";
import { figureSvg } from "../../../src/shared/figures/figure-svg.ts";
import { LOOKS } from "../../../src/shared/figures/look.ts";
import { all, type Node, parseXml, textOf } from "./well-formed.ts";

/*
 * One small figure and one small chart, element by element, at places worked by hand from the data: where
 * each value, band, name and phase must stand. Both are 600 by 340 px, with margins as in layout.test.ts.
 */
const look = LOOKS.light;
const [WIDTH, HEIGHT, FOOT, STRIP_TOP] = [600, 340, 300, 36];
const SMALL = 11; // px, ticks and names of axes
const NAME = 11.5; // px, names of curves and values, bold: 6 % wider
// Widths of letters as parts of the size: narrow 0.34, wide 0.9, digits 0.65, others 0.59.
const TICK = 2 * 0.65 * SMALL; // "10"
const MEASURED = (0.9 + 6 * 0.59 + 0.34) * NAME * 1.06; // m, easued, r
const PREDICTED = (6 * 0.59 + 3 * 0.34) * NAME * 1.06; // pedced, rit
const LEFT = 14 + TICK + 8;

type Told = Readonly<Record<string, string | number | undefined>>;

/** What a drawn element is, lengths to a hundredth of a pixel, as the file has them. */
function said(name: string, attributes: Told, text = ""): string {
  const shown = (value: string | number) =>
    typeof value === "number" ? String(Math.round(value * 100) / 100) : value;
  const written = Object.entries(attributes).flatMap(([key, value]) =>
    value === undefined ? [] : [`${key}=${shown(value)}`],
  );
  return [name, ...written.sort(), text].join(" ").trim();
}
function drawnAs(svg: Node, name: string): string[] {
  return all(svg, name).map((node) => said(name, node.attributes, name === "text" ? textOf(node) : ""));
}
/** A path through points, to a tenth of a pixel. */
const through = (points: readonly (readonly [number, number])[]) =>
  `M${points.map((xy) => xy.map((px) => String(Math.round(px * 10) / 10)).join(",")).join("L")}`;
const line = (x1: number, x2: number, y1: number, y2: number, stroke: string, width?: number) =>
  said("line", { x1, x2, y1, y2, stroke, "stroke-width": width });
const rect = (x: number, to: number, y: number, bottom: number, fill: string, opacity?: number) =>
  said("rect", { x, y, width: to - x, height: bottom - y, fill, "fill-opacity": opacity });
const soft = (text: string, x: number, y: number, anchor?: string) =>
  said("text", { x, y, "text-anchor": anchor, fill: look.soft }, text);
const named = (text: string, x: number, y: number, fill: string) =>
  said("text", { x, y, fill, "font-size": NAME, "font-weight": 600 }, text);
const onPaper = (text: string, x: number, y: number) =>
  said(
    "text",
    {
      ...{ x, y, "font-size": NAME, "font-weight": 600, stroke: look.paper, "stroke-width": 3 },
      ...{ "stroke-opacity": 0.75, "stroke-linejoin": "round", "paint-order": "stroke" },
    },
    text,
  );
const heading = (text: string) => said("text", { x: 14, y: 23, "font-size": 13.5, "font-weight": 600 }, text);
const ring = (cx: number, cy: number, r: number, stroke: string, width: number) =>
  said("circle", { cx, cy, r, fill: look.paper, stroke, "stroke-width": width });
const curve = (d: string, stroke: string, width: number, more: Told = {}) =>
  said("path", { d, fill: "none", "stroke-linejoin": "round", stroke, "stroke-width": width, ...more });
const drawn = (figure: Figure | Chart) =>
  parseXml(figureSvg(figure, { theme: "light", width: WIDTH, height: HEIGHT, fontFamily: "Inter" }));

describe("a figure over time", () => {
  const RIGHT = WIDTH - 14 - 10 - MEASURED;
  const REST = 0.24 * (FOOT - 53 - 30); // height of the residuals
  const [MAIN_BOTTOM, REST_TOP] = [FOOT - REST - 30, FOOT - REST];
  const x = (ms: number) => LEFT + ((ms + 100) / 120) * (RIGHT - LEFT);
  // Curves 0 to 10 and a band −1 to 11: a tenth of half of 12 below, above it 20 px for the value called out.
  const [low, high] = [-1 - 0.6, 11 + (40 / (MAIN_BOTTOM - 53)) * 6];
  const y = (v: number) => MAIN_BOTTOM - ((v - low) / (high - low)) * (MAIN_BOTTOM - 53);
  const rest = (v: number) => FOOT - ((v + 0.2) / 4.4) * REST; // 0 to 4, a tenth of 2 on either side
  const svg = drawn({
    id: "shot-1-speed",
    kind: "speed",
    title: "T",
    description: "D",
    caption: "C",
    time: { unit: "ms", from: -100, to: 20 },
    main: {
      quantity: "Speed",
      symbol: "v",
      unit: "m/s",
      lines: [
        {
          role: "measured",
          label: "measured",
          points: [
            [-100, 0],
            [20, 10],
          ],
        },
        {
          role: "predicted",
          label: "predicted",
          points: [
            [-100, 0],
            [-60, 8],
          ],
        },
      ],
      bands: [
        {
          points: [
            [-100, -1, 1],
            [20, 9, 11],
          ],
        },
      ],
      dots: [[-40, 5]],
      callouts: [{ at: [0, 8.5], text: "8.5 m/s" }],
    },
    residual: {
      quantity: "predicted − measured",
      symbol: "",
      unit: "m/s",
      lines: [
        {
          role: "difference",
          label: "",
          points: [
            [-100, 0],
            [-60, 4],
          ],
        },
      ],
      bands: [],
      dots: [],
      callouts: [],
    },
    washes: [
      { kind: "push", label: "push", from: -80, to: 0 },
      { kind: "free-flight", label: "free flight", from: 0, to: 20 },
    ],
    release: { u: 2 },
  });
  const phases = [STRIP_TOP, MAIN_BOTTOM, REST_TOP, FOOT] as const;
  const upright = (from: number, to: number, fill: string, opacity?: number) => [
    rect(x(from), x(to), phases[0], phases[1], fill, opacity),
    rect(x(from), x(to), phases[2], phases[3], fill, opacity),
  ];

  it("has the ground of each phase behind both panels, and the doubt about release as wide as two u", () => {
    expect(drawnAs(svg, "rect").slice(1)).toEqual([
      ...upright(-80, 0, look.pushWash),
      ...upright(0, 20, look.freeFlightWash),
      ...upright(-2, 2, look.soft, 0.18),
    ]);
  });

  it("has its lines at release, at the ticks of both panels and below at the times", () => {
    const across = (at: number, isZero: boolean) =>
      line(LEFT, RIGHT, at, at, isZero ? look.soft : look.hairline, isZero ? 0.9 : 0.8);
    expect(drawnAs(svg, "line")).toEqual([
      line(x(0), x(0), STRIP_TOP, FOOT + 5, look.ink, 1),
      ...[0, 5, 10].map((v) => across(y(v), v === 0)),
      ...[0, 2, 4].map((v) => across(rest(v), v === 0)),
      line(LEFT, RIGHT, FOOT, FOOT, look.soft, 1),
      ...[-100, -80, -60, -40, -20, 0, 20].map((t) => line(x(t), x(t), FOOT, FOOT + 4, look.soft)),
    ]);
  });

  it("has every word at the place of what it names", () => {
    const tick = (text: string, at: number) => soft(text, LEFT - 7, at + 4, "end");
    const below = (text: string, t: number) => soft(text, x(t), FOOT + 16, "middle");
    expect(drawnAs(svg, "text")).toEqual([
      heading("Speed v, m/s"),
      soft("push", x(-80) + 6, STRIP_TOP + 12, "start"),
      soft("free flight", x(20) - 6, STRIP_TOP + 12, "end"),
      ...[0, 5, 10].map((v) => tick(String(v), y(v))),
      named("measured", RIGHT + 7, y(10) + 4, look.measuredText),
      onPaper("8.5 m/s", x(0) + 8 + 4, y(8.5) + 0.6 * 8 + 12), // right of and a little below its point
      named("predicted", x(-60) + 8 + 4, y(8) + 0.6 * 8 + 12, look.predictedText),
      soft("predicted − measured, m/s", 14, REST_TOP - 9),
      ...[0, 2, 4].map((v) => tick(String(v), rest(v))),
      ...[-100, -80, -60, -40, -20].map((t) => below(`−${-t}`, t)),
      said(
        "text",
        { x: x(0), y: FOOT + 16, "text-anchor": "middle", fill: look.ink, "font-weight": 600 },
        "release",
      ),
      below("+20", 20),
      soft("time from release t, ms", RIGHT, FOOT + 31, "end"),
    ]);
  });

  it("has the band, the curves through their points, the residuals shaded to zero, the dot and the ring", () => {
    const filled = (points: readonly (readonly [number, number])[], fill: string, opacity: number) =>
      said("path", { d: `${through(points)}Z`, fill, "fill-opacity": opacity });
    const [from, to, middle] = [x(-100), x(20), x(-60)];
    expect(drawnAs(svg, "path")).toEqual([
      filled(
        [
          [from, y(1)],
          [to, y(11)],
          [to, y(9)],
          [from, y(-1)],
        ],
        look.measured,
        look.bandOpacity,
      ),
      curve(
        through([
          [from, y(0)],
          [to, y(10)],
        ]),
        look.measured,
        2,
        { "stroke-linecap": "round" },
      ),
      curve(
        through([
          [from, y(0)],
          [middle, y(8)],
        ]),
        look.predicted,
        1.8,
        { "stroke-dasharray": "6 4" },
      ),
      filled(
        [
          [from, rest(0)],
          [middle, rest(4)],
          [middle, rest(0)],
          [from, rest(0)],
        ],
        look.predicted,
        0.16,
      ),
      curve(
        through([
          [from, rest(0)],
          [middle, rest(4)],
        ]),
        look.predicted,
        1.3,
      ),
    ]);
    expect(drawnAs(svg, "circle")).toEqual([
      ring(x(-40), y(5), 2.1, look.measured, 1),
      ring(x(0), y(8.5), 3.6, look.ink, 1.4),
    ]);
  });
});

describe("a chart of the next shot", () => {
  const RIGHT = WIDTH - 14 - 10 - PREDICTED;
  const TOP = STRIP_TOP + 2 * 15; // a row for each forbidden end
  const x = (bar: number) => LEFT + ((bar - 2) / 8) * (RIGHT - LEFT);
  // Curves 5 to 21 and their band 4 to 22: 0.06 of 18 free on either side.
  const y = (v: number) => FOOT - ((v - (4 - 1.08)) / (18 + 2.16)) * (FOOT - TOP);
  const svg = drawn({
    id: "next-shot",
    kind: "chart",
    title: "T",
    description: "D",
    caption: "C",
    x: { quantity: "Pressure", symbol: "p", unit: "bar", from: 2, to: 10 },
    y: { quantity: "Speed", symbol: "v", unit: "m/s" },
    model: [
      {
        points: [
          [2, 5, 4, 6],
          [10, 21, 19.9, 22],
        ],
      },
    ],
    shots: [
      { at: [4, 10], halfX: 1, halfY: 0.1 },
      { at: [5, 12], halfX: 0.01, halfY: 1 },
    ],
    levels: [
      {
        kind: "wanted",
        label: "wanted",
        points: [
          [2, 13],
          [10, 13],
        ],
        half: 1,
      },
      {
        kind: "stall",
        label: "stall",
        points: [
          [2, 7],
          [10, 7],
        ],
        half: 0,
      },
    ],
    ends: [
      { label: "over the rating", from: 8, to: 10 },
      { label: "below stall speed", from: 2, to: 3 },
    ],
    answer: { at: [6, 13], text: "6 bar" },
  });

  it("shades what limits forbid from a row of its own down, and what is near enough to the wanted speed", () => {
    expect(drawnAs(svg, "rect").slice(1)).toEqual([
      rect(x(8), x(10), STRIP_TOP, FOOT, look.danger, 0.09),
      rect(x(2), x(3), STRIP_TOP + 15, FOOT, look.danger, 0.09),
      rect(LEFT, RIGHT, y(14), y(12), look.ink, 0.07),
    ]);
  });

  it("has its lines at the ticks, at the border to what is allowed, as bars of shots and down from the answer", () => {
    const bar = (x1: number, x2: number, y1: number, y2: number) => line(x1, x2, y1, y2, look.measured, 1.3);
    expect(drawnAs(svg, "line")).toEqual([
      ...[5, 10, 15, 20].map((v) => line(LEFT, RIGHT, y(v), y(v), look.hairline, 0.8)),
      line(x(8), x(8), STRIP_TOP, FOOT, look.danger, 1),
      line(x(3), x(3), STRIP_TOP + 15, FOOT, look.danger, 1),
      bar(x(3), x(5), y(10), y(10)), // half a tenth of 1 m/s is hidden by the ring
      bar(x(5), x(5), y(13), y(11)),
      line(x(6), x(6), y(13), FOOT + 5, look.ink, 1.2),
      line(LEFT, RIGHT, FOOT, FOOT, look.soft, 1),
      ...[2, 3, 4, 5, 6, 7, 8, 9, 10].map((p) => line(x(p), x(p), FOOT, FOOT + 4, look.soft)),
    ]);
  });

  it("has every word at the place of what it names", () => {
    const forbidden = (text: string, at: number, row: number) =>
      said("text", { x: at, y: STRIP_TOP + 15 * row + 11, "text-anchor": "start", fill: look.danger }, text);
    expect(drawnAs(svg, "text")).toEqual([
      heading("Speed v, m/s"),
      ...[5, 10, 15, 20].map((v) => soft(String(v), LEFT - 7, y(v) + 4, "end")),
      forbidden("over the rating", x(8) + 5, 0), // it fits into its own stretch
      forbidden("below stall speed", x(3) + 5, 1), // it does not: on the allowed side of the border
      onPaper("6 bar", x(6) + 5 + 4, FOOT - 18 - 2 + 12), // the lowest row, right of its line
      named("predicted", RIGHT + 7, y(21) + 4, look.predictedText),
      named("wanted", RIGHT + 7, y(13) + 4, look.ink),
      named("stall", RIGHT + 7, y(7) + 4, look.soft),
      ...[2, 3, 4, 5, 6, 7, 8, 9, 10].map((p) => soft(String(p), x(p), FOOT + 16, "middle")),
      soft("Pressure p, bar", RIGHT, FOOT + 31, "end"),
    ]);
  });

  it("has the model's band and dashes, the wanted speed solid and the stall's dotted, rings for shots and answer", () => {
    const level = (v: number, more: Told) =>
      said("path", {
        d: through([
          [LEFT, y(v)],
          [RIGHT, y(v)],
        ]),
        fill: "none",
        ...more,
      });
    expect(drawnAs(svg, "path")).toEqual([
      said("path", {
        d: `${through([
          [LEFT, y(6)],
          [RIGHT, y(22)],
          [RIGHT, y(19.9)],
          [LEFT, y(4)],
        ])}Z`,
        fill: look.predicted,
        "fill-opacity": 0.16,
      }),
      level(13, { stroke: look.ink, "stroke-width": 1 }),
      level(7, {
        ...{ stroke: look.soft, "stroke-width": 1.6, "stroke-dasharray": "1 4", "stroke-linecap": "round" },
      }),
      curve(
        through([
          [LEFT, y(5)],
          [RIGHT, y(21)],
        ]),
        look.predicted,
        1.8,
        { "stroke-dasharray": "6 4" },
      ),
    ]);
    expect(drawnAs(svg, "circle")).toEqual([
      ring(x(4), y(10), 3.2, look.measured, 1.6),
      ring(x(5), y(12), 3.2, look.measured, 1.6),
      ring(x(6), y(13), 3.8, look.ink, 1.5),
    ]);
  });
});
