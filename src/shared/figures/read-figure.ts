import { showMeasured } from "../quantity/display.ts";
import type { Chart, ModelCurve } from "./chart.ts";
import { chartPlace } from "./chart-axes.ts";
import type { Figure, Panel, XY } from "./figure.ts";
import { BAND_K } from "./figures-of.ts";
import { layoutOf } from "./layout.ts";
import type { Overlay } from "./overlay.ts";
import { overlayPlots } from "./overlay-svg.ts";
import type { Plot } from "./plot.ts";
import type { Points } from "./points.ts";
import { pointsPlace, predictedName } from "./points-place.ts";

/** Figures that a pointer can read. */
export type ReadableFigure = Figure | Chart | Overlay | Points;

/** What one curve says at a place of the level axis. */
export interface Reading {
  readonly label: string;
  /** value ± u with its unit; in words where the curve carries no u */
  readonly text: string;
}

/** The panels of a figure drawn into a width and height, px, as a pointer finds them. */
export function plotsOf(figure: ReadableFigure, width: number, height: number): readonly Plot[] {
  switch (figure.kind) {
    case "overlay":
      return overlayPlots(figure, width, height);
    case "points":
    case "chart": {
      const { left, right, top, bottom, x } =
        figure.kind === "chart" ? chartPlace(figure, width, height) : pointsPlace(figure, width, height);
      return [{ left, right, top, bottom, x, only: null }];
    }
    default: {
      const { left, right, stripTop, main, residual, time } = layoutOf(figure, width, height);
      return [{ left, right, top: stripTop, bottom: (residual ?? main).bottom, x: time, only: null }];
    }
  }
}

/** The place on the level axis in words: "12.5 ms from release". */
export function placeWords(figure: ReadableFigure, at: number): string {
  if (figure.kind === "overlay" || figure.kind === "chart" || figure.kind === "points") {
    const { quantity, unit, from, to } = figure.x;
    return `${quantity} ${shownPlace(at, to - from)} ${unit}`.trim();
  }
  const { from, to, unit } = figure.time;
  return `${shownPlace(at, to - from)} ${unit} from release`;
}

/**
 * What the curves of a figure say at a place, between two points along a straight line; u from the band
 * drawn. Curves that do not reach there are left out.
 * @param only label of the one curve to read; null for all
 */
export function readFigure(figure: ReadableFigure, at: number, only: string | null): readonly Reading[] {
  switch (figure.kind) {
    case "overlay":
      return figure.panels
        .slice(0, figure.arrangement === "over" ? undefined : 1)
        .flatMap(({ curves, unit, quantity }, i) =>
          curves
            .filter(({ label }) => only === null || label === only)
            .flatMap(({ label, points, band }) =>
              read(i === 0 ? label : `${label}, ${lowerFirst(quantity)}`, points, band, at, unit),
            ),
        );
    case "chart":
      return readModel("predicted", figure.model, at, figure.y.unit);
    case "points":
      return readPoints(figure, at);
    default:
      return [figure.main, ...(figure.residual === null ? [] : [figure.residual])].flatMap((panel) =>
        readPanel(panel, at),
      );
  }
}

const NEAR = 0.012; // of the level axis, to each side: a pointer is not put on a mark to the px

/** Measured shots that the pointer is at, then what the model says there. */
function readPoints({ kinds, x, y }: Points, at: number): readonly Reading[] {
  const near = kinds.flatMap(({ points }) =>
    points.filter((point) => Math.abs(point.at[0] - at) <= NEAR * (x.to - x.from)),
  );
  return [
    ...near.map(({ name, text }) => ({ label: name, text })),
    ...kinds.flatMap((kind) => readModel(predictedName(kind, kinds.length > 1), kind.model, at, y.unit)),
  ];
}

function readModel(
  label: string,
  model: readonly ModelCurve[],
  at: number,
  unit: string,
): readonly Reading[] {
  return model.flatMap(({ points }) =>
    read(
      label,
      points.map(([x, y]): XY => [x, y]),
      points.map(([x, , low, high]) => [x, low, high] as const),
      at,
      unit,
    ),
  );
}

/** The band of a panel is that of its first line: the measured one, or the difference. */
function readPanel({ lines, bands, unit, quantity }: Panel, at: number): readonly Reading[] {
  return lines.flatMap(({ label, points }, i) =>
    read(label === "" ? quantity : label, points, i === 0 ? (bands[0]?.points ?? []) : [], at, unit),
  );
}

function read(
  label: string,
  points: readonly XY[],
  band: readonly (readonly [number, number, number])[],
  at: number,
  unit: string,
): readonly Reading[] {
  const value = between(points, at, 1);
  if (value === null) return [];
  const [low, high] = [between(band, at, 1), between(band, at, 2)];
  const u = low === null || high === null ? null : (high - low) / (2 * BAND_K);
  const number =
    u === null || u <= 0
      ? String(Number(value.toPrecision(4))).replace("-", "−")
      : showMeasured({ value, u }, "1").text.trim();
  const text = `${number}${unit === "" || unit === "°" ? unit : ` ${unit}`}`;
  return [{ label, text: u === null ? `${text} (no u along the curve)` : text }];
}

/** The entry `k` of rows that increase in their first, at a place between two of them. */
function between(rows: readonly (readonly number[])[], at: number, k: number): number | null {
  let [low, high] = [0, rows.length - 1];
  if (high < 0 || !(at >= rows[low][0] && at <= rows[high][0])) return null;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (rows[middle][0] <= at) low = middle;
    else high = middle;
  }
  const [from, to] = [rows[low], rows[high]];
  const part = to[0] === from[0] ? 0 : (at - from[0]) / (to[0] - from[0]);
  const value = from[k] + part * (to[k] - from[k]);
  return Number.isFinite(value) ? value : null;
}

/** To a thousandth of the axis. */
function shownPlace(at: number, span: number): string {
  const places = Math.max(0, Math.min(6, 3 - Math.floor(Math.log10(span || 1))));
  const text = at.toFixed(places);
  return Number(text) === 0 ? text.replace("-", "") : text.replace("-", "−");
}

function lowerFirst(text: string): string {
  return text.slice(0, 1).toLowerCase() + text.slice(1);
}
