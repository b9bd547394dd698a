import { area } from "d3-shape";
import type { Chart, ForbiddenEnd, Level, MeasuredPoint } from "./chart.ts";
import {
  type ChartPlace,
  chartFoot,
  chartGrid,
  chartHeading,
  chartPlace,
  END_ROW,
  HEADING,
} from "./chart-axes.ts";
import type { XY } from "./figure.ts";
import { labelSize, namesAtRight, PAD, pathOf, textElement, valueIn } from "./labels-svg.ts";
import { type Look, PREDICTED_DASHES } from "./look.ts";
import { type Box, bestPlace } from "./place-labels.ts";
import { textWidthPx } from "./text-width.ts";
import { element } from "./xml.ts";

const STALL_DASHES = "1 4";

/** Draws a chart's heading, axes, curves and labels into a width and height, px. */
export function drawChart(chart: Chart, width: number, height: number, look: Look): string {
  const place = chartPlace(chart, width, height);
  const { x, y } = place;
  const at = ([a, b]: XY): [number, number] => [x.px(a), y.px(b)];
  const wanted = chart.levels.find(({ kind }) => kind === "wanted");
  return [
    chartHeading(chart, place, look),
    chartGrid(place, look),
    ...chart.ends.map((end, i) => forbidden(end, i, place, look)),
    wanted === undefined || wanted.half === 0 ? "" : tolerance(wanted, place, look),
    ...chart.model.map(({ points }) => band(points, place, look)),
    ...chart.levels.map((level) => levelLine(level, at, look)),
    ...chart.model.map(({ points }) => modelLine(points, at, look)),
    ...chart.shots.map((shot) => measured(shot, place, look)),
    answer(chart, place, at, look),
    namesOf(chart, place, at, look),
    chartFoot(chart, place, look, width),
  ].join("");
}

/** A shaded end, its border, and its name in a row of its own above the curves. */
function forbidden(end: ForbiddenEnd, row: number, place: ChartPlace, look: Look): string {
  const { left, right, top, bottom, x } = place;
  const [from, to] = [x.px(end.from), x.px(end.to)];
  if (to - from < 0.5) return "";
  const rowTop = PAD + HEADING - 6 + END_ROW * row;
  const labelPx = textWidthPx(end.label, 11) + 12;
  const inner = from > left + 1 ? from : to; // the border towards what is allowed
  const borders = [from, to].filter((px) => px > left + 1 && px < right - 1);
  const inside = to - from >= labelPx;
  // Where it does not fit inside, the name stands on the allowed side of the border.
  const text = inside
    ? inner === from
      ? { x: from + 5, "text-anchor": "start" }
      : { x: to - 5, "text-anchor": "end" }
    : inner === from
      ? { x: from - 5, "text-anchor": "end" }
      : { x: to + 5, "text-anchor": "start" };
  return [
    element("rect", {
      x: from,
      y: rowTop,
      width: to - from,
      height: bottom - rowTop,
      fill: look.danger,
      "fill-opacity": 0.09,
    }),
    ...borders.map((px) =>
      element("line", { x1: px, x2: px, y1: rowTop, y2: bottom, stroke: look.danger, "stroke-width": 1 }),
    ),
    textElement({ ...text, y: Math.min(rowTop + 11, top), fill: look.danger }, end.label),
  ].join("");
}

function tolerance({ points, half }: Level, { left, right, y }: ChartPlace, look: Look): string {
  const value = points[0][1];
  const [upper, lower] = [y.px(value + half), y.px(value - half)];
  return element("rect", {
    x: left,
    y: upper,
    width: right - left,
    height: lower - upper,
    fill: look.ink,
    "fill-opacity": 0.07,
  });
}

function band(
  points: readonly (readonly [number, number, number, number])[],
  { x, y }: ChartPlace,
  look: Look,
): string {
  const d = area<readonly [number, number, number, number]>()
    .x(([a]) => x.px(a))
    .y0(([, , low]) => y.px(low))
    .y1(([, , , high]) => y.px(high))
    .digits(1)(points);
  return d === null ? "" : element("path", { d, fill: look.predicted, "fill-opacity": 0.16 });
}

function modelLine(
  points: readonly (readonly [number, number, number, number])[],
  at: (xy: XY) => [number, number],
  look: Look,
): string {
  const d = pathOf(
    points.map(([a, b]) => [a, b]),
    at,
  );
  return element("path", {
    d,
    fill: "none",
    "stroke-linejoin": "round",
    stroke: look.predicted,
    "stroke-width": 1.8,
    "stroke-dasharray": PREDICTED_DASHES,
  });
}

function levelLine({ kind, points }: Level, at: (xy: XY) => [number, number], look: Look): string {
  const style =
    kind === "wanted"
      ? { stroke: look.ink, "stroke-width": 1 }
      : {
          stroke: look.soft,
          "stroke-width": 1.6,
          "stroke-dasharray": STALL_DASHES,
          "stroke-linecap": "round",
        };
  return element("path", { d: pathOf(points, at), fill: "none", ...style });
}

/** A ring with bars; a bar shorter than the ring is not drawn. */
function measured({ at: [a, b], halfX, halfY }: MeasuredPoint, { x, y }: ChartPlace, look: Look): string {
  const [cx, cy] = [x.px(a), y.px(b)];
  const stroke = { stroke: look.measured, "stroke-width": 1.3 };
  const [x1, x2, y1, y2] = [x.px(a - halfX), x.px(a + halfX), y.px(b + halfY), y.px(b - halfY)];
  return [
    x2 - x1 > 2 * RING ? element("line", { x1, x2, y1: cy, y2: cy, ...stroke }) : "",
    y2 - y1 > 2 * RING ? element("line", { x1: cx, x2: cx, y1, y2, ...stroke }) : "",
    element("circle", { cx, cy, r: RING, fill: look.paper, stroke: look.measured, "stroke-width": 1.6 }),
  ].join("");
}

const RING = 3.2;

/** A line from the curve down to the setting, and the setting beside it. */
function answer(chart: Chart, place: ChartPlace, at: (xy: XY) => [number, number], look: Look): string {
  if (chart.answer === null) return "";
  const { left, right, top, bottom } = place;
  const [cx, cy] = at(chart.answer.at);
  const { text } = chart.answer;
  const size = labelSize(text);
  const bounds: Box = { x: left + 2, y: top, width: right - left - 4, height: bottom - top };
  const rows = [18, 34, 50, 66].map((up) => bottom - up - 2);
  const beside = rows.flatMap((y) => [
    { x: cx + 5, y, ...size },
    { x: cx - 5 - size.width, y, ...size },
  ]);
  // On a narrow chart neither side may have room: across its own line, then, but inside.
  const across = rows.map((y) => ({
    x: Math.max(bounds.x, Math.min(cx - size.width / 2, bounds.x + bounds.width - size.width)),
    y,
    ...size,
  }));
  const candidates = [...beside, ...across];
  const ink: [number, number][] = chart.shots.map((shot) => at(shot.at));
  for (const { points } of chart.model) for (const [a, b] of points) ink.push(at([a, b]));
  const box = bestPlace(candidates, bounds, [], ink);
  return [
    element("line", { x1: cx, x2: cx, y1: cy, y2: bottom + 5, stroke: look.ink, "stroke-width": 1.2 }),
    element("circle", { cx, cy, r: 3.8, fill: look.paper, stroke: look.ink, "stroke-width": 1.5 }),
    valueIn(box, text, look),
  ].join("");
}

/** Names at the right of the lines, set apart from each other. */
function namesOf(chart: Chart, place: ChartPlace, at: (xy: XY) => [number, number], look: Look): string {
  const last = chart.model.at(-1)?.points.at(-1);
  const named = (text: string, end: readonly [number, number], fill: string) => ({
    text,
    end,
    fill,
    stroke: fill,
  });
  const names = [
    ...(last === undefined ? [] : [named("predicted", at([last[0], last[1]]), look.predictedText)]),
    ...chart.levels.flatMap(({ kind, label, points }) => {
      const end = points.at(-1);
      return end === undefined ? [] : [named(label, at(end), kind === "wanted" ? look.ink : look.soft)];
    }),
  ];
  return namesAtRight(names, place).join("");
}
