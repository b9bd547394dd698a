import { area } from "d3-shape";
import type { Line, Panel, XY } from "./figure.ts";
import { labelSize, nameOf, namesAtRight, pathOf, uprightTick, valueIn } from "./labels-svg.ts";
import type { LevelLayout, PanelLayout } from "./layout.ts";
import { type Look, PREDICTED_DASHES } from "./look.ts";
import { type Box, bestPlace } from "./place-labels.ts";
import { thinned } from "./thin.ts";
import { element } from "./xml.ts";

const LEAST_PX = 0.7; // a third of the width of a line

/** Draws one panel: grid, band, curves, dots, and the labels set apart from them and from each other. */
export function drawPanel(panel: Panel, place: PanelLayout, layout: LevelLayout, look: Look): string {
  const x = layout.time.px;
  const y = place.axis.px;
  const at = ([t, value]: XY): [number, number] => [x(t), y(value)];
  const isResidual = panel.lines.every((line) => line.role === "difference");
  return element(
    "g",
    {},
    grid(place, layout, look),
    ...panel.bands.map((band) => {
      const drawn = area<readonly [number, number, number]>()
        .defined(([t, low, high]) => Number.isFinite(t) && !Number.isNaN(low) && !Number.isNaN(high))
        .x(([t]) => x(t))
        .y0(([, low]) => y(low))
        .y1(([, , high]) => y(high))
        .digits(1)(thinned(band.points, ([t, low, high]) => [x(t), y(low), y(high)], LEAST_PX));
      return drawn
        ? element("path", { d: drawn, fill: look.measured, "fill-opacity": look.bandOpacity })
        : "";
    }),
    ...panel.lines.map((line) => curve(line, at, y(0), look)),
    ...panel.dots.map((dot) => {
      const [cx, cy] = at(dot);
      return element("circle", {
        cx,
        cy,
        r: 2.1,
        fill: look.paper,
        stroke: look.measured,
        "stroke-width": 1,
      });
    }),
    isResidual ? "" : labels(panel, place, layout, at, look),
  );
}

function grid(place: PanelLayout, layout: LevelLayout, look: Look): string {
  return place.axis.ticks
    .map(({ value, text }) => {
      const y = place.axis.px(value);
      return (
        element("line", {
          x1: layout.left,
          x2: layout.right,
          y1: y,
          y2: y,
          stroke: value === 0 ? look.soft : look.hairline,
          "stroke-width": value === 0 ? 0.9 : 0.8,
        }) + uprightTick(layout.left, y, text, look)
      );
    })
    .join("");
}

function curve(line: Line, at: (xy: XY) => [number, number], zeroPx: number, look: Look): string {
  const drawable = (point: XY) => point.every(Number.isFinite);
  const points = thinned(line.points, at, LEAST_PX);
  const d = pathOf(points, at);
  if (d === "") return "";
  const stroke = { d, fill: "none", "stroke-linejoin": "round" };
  if (line.role === "measured") {
    return element("path", {
      ...stroke,
      stroke: look.measured,
      "stroke-width": 2,
      "stroke-linecap": "round",
    });
  }
  if (line.role === "predicted") {
    const dashes = { "stroke-width": 1.8, "stroke-dasharray": PREDICTED_DASHES };
    return element("path", { ...stroke, stroke: look.predicted, ...dashes });
  }
  const below = area<XY>()
    .defined(drawable)
    .x((point) => at(point)[0])
    .y0(zeroPx)
    .y1((point) => at(point)[1])
    .digits(1)(points);
  return (
    element("path", { d: below ?? "", fill: look.predicted, "fill-opacity": 0.16 }) +
    element("path", { ...stroke, stroke: look.predicted, "stroke-width": 1.3 })
  );
}

/** Names at the ends of the curves, and the headline values where they stand on them. */
function labels(
  panel: Panel,
  place: PanelLayout,
  layout: LevelLayout,
  at: (xy: XY) => [number, number],
  look: Look,
): string {
  const points = inkOf(panel, at);
  if (layout.releasePx !== null) {
    for (let y = place.top; y <= place.bottom; y += 3) points.push([layout.releasePx, y]);
  }
  const taken: Box[] = [];
  const bounds: Box = {
    x: layout.left + 2,
    y: place.top,
    width: layout.right - layout.left - 4,
    height: place.bottom - place.top,
  };
  const ends = panel.lines.flatMap((line) => {
    const last =
      line.label === "" ? undefined : line.points.findLast((point) => point.every(Number.isFinite));
    return last === undefined ? [] : [{ line, end: at(last) }];
  });
  const atEdge = ends.filter(({ end }) => end[0] >= layout.right - 24);
  const inside = ends.filter(({ end }) => end[0] < layout.right - 24);
  const drawn = [
    ...namesAtRight(
      atEdge.map(({ line, end }) => ({
        text: line.label,
        end,
        fill: nameColour(line, look),
        stroke: lineColour(line, look),
      })),
      { ...place, right: layout.right },
    ),
  ];
  for (const { at: where, text } of panel.callouts) {
    const [cx, cy] = at(where);
    const size = labelSize(text);
    const box = bestPlace(around(cx, cy, size, bounds), bounds, taken, points);
    taken.push(box);
    drawn.push(
      leader([cx, cy], box, look),
      element("circle", { cx, cy, r: 3.6, fill: look.paper, stroke: look.ink, "stroke-width": 1.4 }),
      valueIn(box, text, look),
    );
  }
  for (const { line, end } of inside) {
    const size = labelSize(line.label);
    const along = line.points.filter((point) => point.every(Number.isFinite)).map(at);
    const back = along
      .filter((_, i) => (along.length - 1 - i) % Math.ceil(along.length / 24) === 0)
      .reverse();
    const candidates = [end, ...back].flatMap(([px, py]) => around(px, py, size, bounds).slice(0, 12));
    const box = bestPlace(candidates, bounds, taken, points);
    taken.push(box);
    drawn.push(nameOf(line.label, box.x + 4, box.y + 12, nameColour(line, look)));
  }
  return drawn.join("");
}

function nameColour(line: Line, look: Look): string {
  return line.role === "predicted" ? look.predictedText : look.measuredText;
}

function lineColour(line: Line, look: Look): string {
  return line.role === "predicted" ? look.predicted : look.measured;
}

/** A hairline from a point to its label, where the label had to move away from it. */
function leader([cx, cy]: readonly [number, number], box: Box, look: Look): string {
  const x = Math.min(Math.max(cx, box.x + 4), box.x + box.width - 4);
  const y = cy < box.y ? box.y + 1 : cy > box.y + box.height ? box.y + box.height - 1 : cy;
  const away = Math.hypot(x - cx, y - cy);
  return away > 16
    ? element("line", { x1: cx, y1: cy, x2: x, y2: y, stroke: look.ink, "stroke-width": 0.8 })
    : "";
}

/**
 * Places about a point, nearest first: right, left, below and above it, then rings
 * further out, kept in bounds.
 */
function around(
  cx: number,
  cy: number,
  size: { width: number; height: number },
  bounds: Box,
): readonly Box[] {
  const { width, height } = size;
  const boxes: Box[] = [];
  for (const reach of [8, 14, 24, 38, 56, 80]) {
    for (const [dx, dy] of DIRECTIONS) {
      const x = dx > 0 ? cx + reach * dx : dx < 0 ? cx + reach * dx - width : cx - width / 2;
      const y = dy > 0 ? cy + reach * dy : dy < 0 ? cy + reach * dy - height : cy - height / 2;
      boxes.push({ x, y, width, height });
    }
  }
  const inside = { right: bounds.x + bounds.width - width, bottom: bounds.y + bounds.height - height };
  return boxes.map((box) => ({
    ...box,
    x: Math.max(bounds.x, Math.min(box.x, inside.right)),
    y: Math.max(bounds.y, Math.min(box.y, inside.bottom)),
  }));
}

const DIRECTIONS = [
  [1, 0.6],
  [1, -0.6],
  [-1, -0.6],
  [-1, 0.6],
  [0.4, 1],
  [0.4, -1],
  [-0.4, -1],
  [-0.4, 1],
  [0, 1],
  [0, -1],
  [1, 0],
  [-1, 0],
] as const;

/** Points on everything drawn, close enough together that no label fits between two of them. */
function inkOf(panel: Panel, at: (xy: XY) => [number, number]): [number, number][] {
  const ink: [number, number][] = panel.dots.map(at);
  for (const line of panel.lines) {
    let before: [number, number] | null = null;
    for (const point of line.points) {
      if (!point.every(Number.isFinite)) {
        before = null;
        continue;
      }
      const here = at(point);
      if (before !== null) {
        const steps = Math.ceil(Math.hypot(here[0] - before[0], here[1] - before[1]) / 5);
        for (let k = 1; k < steps; k++) {
          const part = k / steps;
          ink.push([before[0] + part * (here[0] - before[0]), before[1] + part * (here[1] - before[1])]);
        }
      }
      ink.push(here);
      before = here;
    }
  }
  return ink;
}
