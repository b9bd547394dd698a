import { type Axis, axisOf, spanOf, unitText } from "./axis.ts";
import type { Figure, Panel } from "./figure.ts";
import { LABEL_PX, PAD } from "./labels-svg.ts";
import { textWidthPx } from "./text-width.ts";

/** Where everything of a figure stands, px. */
export interface Layout {
  readonly left: number;
  readonly right: number;
  readonly headingPx: number;
  readonly stripTop: number;
  readonly main: PanelLayout;
  readonly residual: PanelLayout | null;
  readonly time: Axis;
  readonly timeUnit: string;
  /** x of release, or null when it lies outside the figure. */
  readonly releasePx: number | null;
  readonly timeTicks: readonly { readonly px: number; readonly text: string; readonly isRelease: boolean }[];
}

/** What a panel has to know of the level axis. */
export type LevelLayout = Pick<Layout, "left" | "right" | "time" | "releasePx">;

export interface PanelLayout {
  readonly top: number;
  readonly bottom: number;
  readonly axis: Axis;
  readonly unit: string;
}

const HEADING = 28; // baseline of the heading and the air below it
const STRIP = 17; // holds the names push and free flight
const FOOT = 40; // tick labels and the name of the time axis
const BETWEEN = 30; // holds the name of the residual panel
const RESIDUAL_SHARE = 0.24;
/**
 * A band may widen the axis by this part of the curves' own span on either side; past
 * that it is cut at the edge.
 */
const BAND_SHARE = 0.4;
/** Air above and below what is drawn, as a part of half the span. */
const AIR = 0.1;
const CALLOUT = 20; // px left free above the curves for a value that stands on one of them

/** Lays a figure out in a width and height, px. */
export function layoutOf(figure: Figure, width: number, height: number): Layout {
  const stripTop = PAD + HEADING - 6;
  const mainTop = stripTop + STRIP;
  const foot = Math.max(height - FOOT, mainTop + 60);
  const room = foot - mainTop;
  const residualPx = figure.residual === null ? 0 : Math.max(36, RESIDUAL_SHARE * (room - BETWEEN));
  const mainBottom = figure.residual === null ? foot : Math.max(foot - residualPx - BETWEEN, mainTop + 40);
  const main = panelLayout(figure.main, mainTop, mainBottom);
  const residual =
    figure.residual && panelLayout(figure.residual, Math.min(foot - residualPx, foot - 20), foot);
  const tickPx = Math.max(...[main, residual].flatMap((panel) => (panel ? tickWidths(panel.axis) : [])), 0);
  const left = Math.min(PAD + tickPx + 8, 0.4 * width);
  const right = width - PAD - endLabelPx(figure.main);
  const { from, to } = figure.time;
  const [low, high] = spanOf([from, to]);
  const time = axisOf(low, high, [left, right], Math.max(2, Math.round((right - left) / 80)));
  const releasePx = time.low <= 0 && time.high >= 0 ? time.px(0) : null;
  return {
    left,
    right,
    headingPx: PAD + 9,
    stripTop,
    main,
    residual,
    time,
    timeUnit: unitText(figure.time.unit, time.exponent),
    releasePx,
    timeTicks: timeTicks(time, releasePx, width),
  };
}

/** The upright axis of a panel between two heights, px; a band widens it so far and no farther. */
export function panelLayout(panel: Panel, top: number, bottom: number): PanelLayout {
  const isResidual = panel.lines.every((line) => line.role === "difference");
  const [low, high] = spanOf(valuesOf(panel, isResidual));
  const [bandLow, bandHigh] = spanOf(
    panel.bands.flatMap((band) => band.points.flatMap(([, a, b]) => [a, b])),
  );
  const hasBand = panel.bands.some((band) => band.points.length > 0);
  // Halves first: the difference of two huge values of opposite sign may overflow.
  const room = Math.min(2 * BAND_SHARE * (high / 2 - low / 2), Number.MAX_VALUE / 4);
  const from = hasBand ? Math.max(Math.min(low, bandLow), low - room) : low;
  const to = hasBand ? Math.min(Math.max(high, bandHigh), high + room) : high;
  const count = Math.max(2, Math.round((bottom - top) / (isResidual ? 24 : 42)));
  const half = to / 2 - from / 2;
  const label = panel.callouts.length === 0 ? 0 : Math.min(0.7, (2 * CALLOUT) / (bottom - top));
  const floor = Math.max(from - AIR * half, -Number.MAX_VALUE);
  const axis = axisOf(
    floor,
    Math.min(to + Math.max(AIR, label) * half, Number.MAX_VALUE),
    [bottom, top],
    count,
  );
  return { top, bottom, axis, unit: unitText(panel.unit, axis.exponent) };
}

function valuesOf(panel: Panel, withZero: boolean): readonly number[] {
  const values = panel.lines.flatMap((line) => line.points.map(([, y]) => y));
  return [
    ...values,
    ...panel.dots.map(([, y]) => y),
    ...panel.callouts.map(({ at }) => at[1]),
    ...(withZero ? [0] : []),
  ];
}

function tickWidths(axis: Axis): readonly number[] {
  return axis.ticks.map((tick) => textWidthPx(tick.text, 11));
}

function endLabelPx(panel: Panel): number {
  return (
    10 +
    Math.max(
      0,
      ...panel.lines.map((line) => (line.label === "" ? 0 : textWidthPx(line.label, LABEL_PX, true))),
    )
  );
}

/**
 * The tick at zero is called release; ticks it would touch, or that leave the paper,
 * lose their label's place.
 */
function timeTicks(time: Axis, releasePx: number | null, width: number): Layout["timeTicks"] {
  const half = (text: string) => textWidthPx(text, 11, true) / 2;
  const others = time.ticks
    .filter((tick) => tick.value !== 0)
    .map((tick) => {
      const signed = tick.value > 0 ? `+${tick.text}` : tick.text;
      return { px: time.px(tick.value), text: signed, isRelease: false };
    });
  const release = releasePx === null ? [] : [{ px: releasePx, text: "release", isRelease: true }];
  const clear = others.filter(
    (tick) =>
      tick.px - half(tick.text) > 2 &&
      tick.px + half(tick.text) < width - 2 &&
      release.every((one) => Math.abs(one.px - tick.px) > half(one.text) + half(tick.text) + 4),
  );
  return [...clear, ...release].sort((a, b) => a.px - b.px);
}
