import { type Axis, axisOf, spanOf, unitText } from "./axis.ts";
import type { Chart, ChartAxis } from "./chart.ts";
import { axisHeading, LABEL_PX, PAD, textElement, uprightTick } from "./labels-svg.ts";
import type { Look } from "./look.ts";
import { textWidthPx } from "./text-width.ts";
import { element, escapeXml } from "./xml.ts";

export const HEADING = 28;
const FOOT = 40;
export const END_ROW = 15; // px, one row for each forbidden end's name
const AIR = 0.06; // of the span, above and below what is drawn
const BAND_SHARE = 0.3; // a band may widen the axis by this part of the curves' own span

/** Where a chart's curves lie, px, with its axes. */
export interface ChartPlace {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  readonly x: Axis;
  readonly y: Axis;
}

/**
 * Room for heading, axes, names at the right and a row above for each forbidden end; the speed axis holds
 * curves, shots and levels.
 */
export function chartPlace(chart: Chart, width: number, height: number): ChartPlace {
  const top = PAD + HEADING - 6 + END_ROW * chart.ends.length;
  const bottom = Math.max(height - FOOT, top + 60);
  const lines = [
    ...chart.model.flatMap(({ points }) => points.map((point) => point[1])),
    ...chart.shots.flatMap(({ at, halfY }) => [at[1] - halfY, at[1] + halfY]),
    ...chart.levels.flatMap(({ points, half }) => points.flatMap((p) => [p[1] - half, p[1] + half])),
  ];
  const [low, high] = spanOf(lines);
  const [bandLow, bandHigh] = spanOf(
    chart.model.flatMap(({ points }) => points.flatMap(([, , a, b]) => [a, b])),
  );
  const room = BAND_SHARE * (high - low);
  // A speed below 0 means nothing, whatever a band of straight uncertainties says.
  const least = low >= 0 ? 0 : Number.NEGATIVE_INFINITY;
  const from = Math.max(Math.min(low, bandLow), low - room, least);
  const to = Math.min(Math.max(high, bandHigh), high + room);
  const air = AIR * (to - from);
  const y = axisOf(
    Math.max(from - air, least),
    to + air,
    [bottom, top],
    Math.max(2, Math.round((bottom - top) / 42)),
  );
  const tickPx = Math.max(0, ...y.ticks.map((tick) => textWidthPx(tick.text, 11)));
  const names = ["predicted", ...chart.levels.map(({ label }) => label)];
  const left = Math.min(PAD + tickPx + 8, 0.4 * width);
  const right = width - PAD - 10 - Math.max(...names.map((name) => textWidthPx(name, LABEL_PX, true)));
  const x = axisOf(chart.x.from, chart.x.to, [left, right], Math.max(2, Math.round((right - left) / 80)));
  return { left, right, top, bottom, x, y };
}

/** The quantity on the upright axis, with its unit. */
export function chartHeading({ y }: Chart, place: ChartPlace, look: Look): string {
  return axisHeading({ ...y, unit: unitText(y.unit, place.y.exponent) }, PAD + 9, look);
}

/** Lines across at the ticks of the upright axis. */
export function chartGrid({ left, right, y }: ChartPlace, look: Look): string {
  return y.ticks
    .map(({ value, text }) => {
      const py = y.px(value);
      return (
        element("line", { x1: left, x2: right, y1: py, y2: py, stroke: look.hairline, "stroke-width": 0.8 }) +
        uprightTick(left, py, text, look)
      );
    })
    .join("");
}

/** The level axis below, with its quantity and unit. */
export function chartFoot(
  { x: axis }: { readonly x: Pick<ChartAxis, "quantity" | "symbol" | "unit"> },
  { left, right, bottom, x }: Pick<ChartPlace, "left" | "right" | "bottom" | "x">,
  look: Look,
  width = right + PAD,
): string {
  const base = element("line", {
    x1: left,
    x2: right,
    y1: bottom,
    y2: bottom,
    stroke: look.soft,
    "stroke-width": 1,
  });
  const ticks = x.ticks.map(({ value, text }) => {
    const px = x.px(value);
    const half = textWidthPx(text, 11) / 2;
    const label = { x: px, y: bottom + 16, "text-anchor": "middle", fill: look.soft };
    return [
      element("line", { x1: px, x2: px, y1: bottom, y2: bottom + 4, stroke: look.soft }),
      px + half < width - 2 ? textElement(label, text) : "",
    ].join("");
  });
  const unit = unitText(axis.unit, x.exponent);
  const label = element(
    "text",
    { x: right, y: bottom + 31, "text-anchor": "end", fill: look.soft },
    escapeXml(axis.quantity),
    axis.symbol === "" ? "" : ` ${element("tspan", { "font-style": "italic" }, escapeXml(axis.symbol))}`,
    unit === "" ? "" : escapeXml(`, ${unit}`),
  );
  return element("g", {}, base, ...ticks, label);
}
