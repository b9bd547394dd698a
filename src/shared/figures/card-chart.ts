import { area } from "d3-shape";
import type { CardColumn, SpeedCard } from "../next-shot/card-content.ts";
import { type DisplayUnit, displayUnit, type UnitSet } from "../quantity/display.ts";
import { type Axis, axisOf, spanOf } from "./axis.ts";
import { massName } from "./card-words.ts";
import { chartFoot, chartGrid } from "./chart-axes.ts";
import { END_WORDS } from "./chart-of-next-shot.ts";
import type { XY } from "./figure.ts";
import { LABEL_PX, nameOf, pathOf, textElement } from "./labels-svg.ts";
import { type Look, PREDICTED_DASHES } from "./look.ts";
import { spread } from "./place-labels.ts";
import { textWidthPx } from "./text-width.ts";
import { element } from "./xml.ts";

/** Where the chart lies on the card, px. */
export interface ChartBox {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/**
 * Speed over the setting, a line with its interval for each mass; broken off where a limit is not kept; the
 * rating and the relief valve as lines across the setting.
 */
export function cardChart(card: SpeedCard, box: ChartBox, look: Look): string {
  const { setting, rows, columns, marks, units } = card;
  if (setting === null) return "";
  const [dx, dy] = [displayUnit(setting.unit, units), displayUnit("m/s", units)];
  const xs = rows.flatMap(({ x }) => (x === null ? [] : [shown(x, dx)]));
  const lines = columns.map((column) => lineOf(column, xs, dy));
  const all = lines.flat().flatMap(({ low, high }) => [low, high]);
  const [lowX, lastX] = spanOf(xs);
  const near = marks.filter(({ x }) => shown(x, dx) - lastX < NEAR * (lastX - lowX));
  const [, highX] = spanOf([lastX, ...near.map(({ x }) => shown(x, dx))]);
  const [, highY] = spanOf(all);
  const place = placeOf(card, box, [lowX, highX], highY);
  const { x, y, right, left, top, bottom } = place;
  const rim = { stroke: look.paper, "stroke-width": 3, "paint-order": "stroke" };
  return [
    chartGrid(place, look),
    textElement(
      { x: box.left, y: box.top + 8, "font-size": 10, "font-weight": 600 },
      `Release speed, ${dy.symbol}`,
    ),
    ...near.map(({ name, x: at }, i) => {
      const px = x.px(shown(at, dx));
      const label = {
        x: px - 4,
        y: top + 9 + 12 * i,
        "text-anchor": "end",
        "font-size": 9,
        fill: look.danger,
        ...rim,
      };
      return (
        element("line", { x1: px, x2: px, y1: top, y2: bottom, stroke: look.danger, "stroke-width": 1.2 }) +
        textElement(label, END_WORDS[name])
      );
    }),
    ...lines.map((points) => bandOf(points, x, y, look)),
    ...lines.map((points) => curveOf(points, x, y, look)),
    ...namesOf(columns, lines, place, units, look),
    chartFoot(
      { x: { quantity: setting.field, symbol: "", unit: dx.symbol } },
      { left, right, bottom, x },
      look,
    ),
  ].join("");
}

const NEAR = 0.5; // of the rows' span: a rating far beyond stands in the limits alone

interface Point {
  readonly x: number;
  readonly value: number;
  readonly low: number;
  readonly high: number;
  readonly inside: boolean;
}

function lineOf({ cells }: CardColumn, xs: readonly number[], dy: DisplayUnit): readonly Point[] {
  return cells.flatMap(({ speed, interval, broken }, i): Point[] => {
    if (speed === null || interval === null) return [];
    const [low, high] = [shown(interval.low, dy), shown(interval.high, dy)];
    return [{ x: xs[i], value: shown(speed.value, dy), low, high, inside: broken.length === 0 }];
  });
}

function shown(si: number, { factor, offset }: DisplayUnit): number {
  return si * factor + offset;
}

function placeOf(
  { columns, units }: SpeedCard,
  box: ChartBox,
  [lowX, highX]: readonly [number, number],
  highY: number,
) {
  const [top, bottom] = [box.top + 14, box.bottom - 34];
  const y = axisOf(0, 1.05 * highY, [bottom, top], 4);
  const ticks = Math.max(0, ...y.ticks.map(({ text }) => textWidthPx(text, 11)));
  const names = Math.max(0, ...columns.map((column) => textWidthPx(massName(column, units), LABEL_PX, true)));
  const [left, right] = [box.left + ticks + 8, box.right - names - 10];
  const x = axisOf(lowX, highX, [left, right], 6);
  return { left, right, top, bottom, x, y };
}

/** Each mass where its line ends, set apart from each other. */
function namesOf(
  columns: readonly CardColumn[],
  lines: readonly (readonly Point[])[],
  { x, y, top, bottom }: ReturnType<typeof placeOf>,
  units: UnitSet,
  look: Look,
): readonly string[] {
  const ends = columns.flatMap((column, i) => {
    const last = lines[i].findLast(({ inside }) => inside);
    return last === undefined
      ? []
      : [{ name: massName(column, units), x: x.px(last.x), y: y.px(last.value) }];
  });
  const middles = spread(
    ends.map((end) => end.y),
    NAME_GAP,
    top,
    bottom,
  );
  return ends.map((end, i) => nameOf(end.name, end.x + 6, middles[i] + 4, look.predictedText));
}

const NAME_GAP = 12; // px

function bandOf(points: readonly Point[], x: Axis, y: Axis, look: Look): string {
  return runsInside(points)
    .map((run) => {
      const d = area<Point>()
        .x((one) => x.px(one.x))
        .y0((one) => y.px(one.low))
        .y1((one) => y.px(one.high))
        .digits(1)(run);
      return d === null ? "" : element("path", { d, fill: look.predicted, "fill-opacity": 0.16 });
    })
    .join("");
}

function curveOf(points: readonly Point[], x: Axis, y: Axis, look: Look): string {
  const at = ([a, b]: XY): [number, number] => [x.px(a), y.px(b)];
  return runsInside(points)
    .map((run) =>
      element("path", {
        d: pathOf(
          run.map((one) => [one.x, one.value]),
          at,
        ),
        fill: "none",
        stroke: look.predicted,
        "stroke-width": 1.6,
        "stroke-dasharray": PREDICTED_DASHES,
      }),
    )
    .join("");
}

function runsInside(points: readonly Point[]): readonly (readonly Point[])[] {
  const runs: Point[][] = [[]];
  for (const point of points) {
    if (point.inside) runs.at(-1)?.push(point);
    else runs.push([]);
  }
  return runs.filter((run) => run.length > 1);
}
