import { axisOf, spanOf } from "./axis.ts";
import type { ChartPlace } from "./chart-axes.ts";
import { LABEL_PX, PAD } from "./labels-svg.ts";
import type { PointKind, Points } from "./points.ts";
import { textWidthPx } from "./text-width.ts";

const HEADING = 26;
const FOOT = 40;
const AIR = 0.07; // of the span, above and below what is drawn
/** One row of the kinds' names above the plot, px. */
export const KEY_ROW = 17;
const MOST_NAME = 26; // characters: longer names would leave the plot no room

/** Where the names of the kinds stand above the plot, px; none where there is only one. */
export function keyPlaces(
  kinds: readonly PointKind[],
  width: number,
): readonly { readonly kind: PointKind; readonly text: string; readonly x: number; readonly row: number }[] {
  if (kinds.length < 2) return [];
  let [x, row] = [PAD, 0];
  return kinds.map((kind) => {
    const text = shortened(kind.label);
    const needs = 16 + textWidthPx(text, LABEL_PX, true) + 18;
    if (x > PAD && x + needs > width - PAD) [x, row] = [PAD, row + 1];
    const place = { kind, text, x, row };
    x += needs;
    return place;
  });
}

/** What the curve of a kind is called at its end. */
export function predictedName({ label }: PointKind, several: boolean): string {
  return several ? `predicted, ${shortened(label)}` : "predicted";
}

/** Room for the heading, the kinds' names, axes, and the names of curves at the right. */
export function pointsPlace({ kinds, x: level }: Points, width: number, height: number): ChartPlace {
  const rows = Math.max(0, ...keyPlaces(kinds, width).map(({ row }) => row + 1));
  const top = PAD + HEADING + rows * KEY_ROW;
  const bottom = Math.max(height - FOOT, top + 60);
  const [low, high] = spanOf([
    ...kinds.flatMap(({ points }) => points.flatMap(({ at, halfY }) => [at[1] - halfY, at[1] + halfY])),
    ...kinds.flatMap(({ model }) => model.flatMap((run) => run.points.flatMap(([, , a, b]) => [a, b]))),
  ]);
  const air = AIR * (high - low);
  const least = low >= 0 ? 0 : Number.NEGATIVE_INFINITY;
  const count = Math.max(2, Math.round((bottom - top) / 42));
  const y = axisOf(Math.max(low - air, least), high + air, [bottom, top], count);
  const tickPx = Math.max(0, ...y.ticks.map((tick) => textWidthPx(tick.text, 11)));
  const names = kinds.flatMap((kind) =>
    kind.model.length === 0 ? [] : [textWidthPx(predictedName(kind, kinds.length > 1), LABEL_PX, true)],
  );
  const left = Math.min(PAD + tickPx + 8, 0.4 * width);
  const right = Math.max(left + 60, width - PAD - 10 - Math.max(0, ...names));
  const x = axisOf(level.from, level.to, [left, right], Math.max(2, Math.round((right - left) / 80)));
  return { left, right, top, bottom, x, y };
}

function shortened(label: string): string {
  return label.length > MOST_NAME ? `${label.slice(0, MOST_NAME - 1)}…` : label;
}
