import { area } from "d3-shape";
import { unitText } from "./axis.ts";
import { type ChartPlace, chartFoot, chartGrid } from "./chart-axes.ts";
import { axisHeading, nameOf, namesAtRight, PAD, pathOf, valueIn } from "./labels-svg.ts";
import { type Look, PREDICTED_DASHES } from "./look.ts";
import type { NamedPoint, PointKind, Points, Shape } from "./points.ts";
import { MARK_PX, markSvg } from "./points-marks.ts";
import { namesOfPoints } from "./points-names.ts";
import { KEY_ROW, keyPlaces, pointsPlace, predictedName } from "./points-place.ts";
import { element } from "./xml.ts";

/** Dashes of the kinds' predicted curves in turn, px. */
const DASHES = [PREDICTED_DASHES, "11 4", "3 3", "9 3 2 3"];

/** Draws results of many shots over an input into a width and height, px. */
export function drawPoints(figure: Points, width: number, height: number, look: Look): string {
  const place = pointsPlace(figure, width, height);
  const { kinds, y } = figure;
  return [
    axisHeading({ ...y, unit: unitText(y.unit, place.y.exponent) }, PAD + 9, look),
    key(kinds, width, look),
    chartGrid(place, look),
    zero(place, look),
    ...kinds.flatMap(({ model }) => model.map(({ points }) => band(points, place, look))),
    ...kinds.flatMap(({ model }, i) => model.map(({ points }) => curve(points, i, place, look))),
    ...kinds.flatMap(({ points, shape }) => points.map((point) => bars(point, shape, place, look))),
    ...namesOfPoints(figure, place).map(({ box, text }) => valueIn(box, text, look)),
    namesAtRight(
      kinds.flatMap((kind) => {
        const last = kind.model.at(-1)?.points.at(-1);
        if (last === undefined) return [];
        const end = [place.x.px(last[0]), place.y.px(last[1])] as const;
        const text = predictedName(kind, kinds.length > 1);
        return [{ text, end, fill: look.predictedText, stroke: look.predicted }];
      }),
      place,
    ).join(""),
    chartFoot(figure, place, look, width),
  ].join("");
}

/** Each kind's mark with its name. */
function key(kinds: readonly PointKind[], width: number, look: Look): string {
  return keyPlaces(kinds, width)
    .map(({ kind, text, x, row }) => {
      const y = PAD + 27 + row * KEY_ROW;
      return markSvg(kind.shape, x + 5, y - 4, look) + nameOf(text, x + 16, y, look.measuredText);
    })
    .join("");
}

/** A line at zero where the values lie on both sides of it. */
function zero({ left, right, y }: ChartPlace, look: Look): string {
  if (y.low >= 0 || y.high <= 0) return "";
  const at = y.px(0);
  return element("line", { x1: left, x2: right, y1: at, y2: at, stroke: look.soft, "stroke-width": 0.9 });
}

type ModelPoints = readonly (readonly [number, number, number, number])[];

function band(points: ModelPoints, { x, y }: ChartPlace, look: Look): string {
  const d = area<ModelPoints[number]>()
    .x(([a]) => x.px(a))
    .y0(([, , low]) => y.px(low))
    .y1(([, , , high]) => y.px(high))
    .digits(1)(points);
  return d === null ? "" : element("path", { d, fill: look.predicted, "fill-opacity": 0.14 });
}

function curve(points: ModelPoints, i: number, { x, y }: ChartPlace, look: Look): string {
  const d = pathOf(
    points.map(([a, b]) => [a, b]),
    ([a, b]) => [x.px(a), y.px(b)],
  );
  return element("path", {
    d,
    fill: "none",
    "stroke-linejoin": "round",
    stroke: look.predicted,
    "stroke-width": 1.8,
    "stroke-dasharray": DASHES[i % DASHES.length],
  });
}

/** A mark with its bars; a bar shorter than the mark is not drawn. */
function bars(point: NamedPoint, shape: Shape, { x, y }: ChartPlace, look: Look): string {
  const { at, halfX, halfY } = point;
  const [cx, cy] = [x.px(at[0]), y.px(at[1])];
  const [x1, x2] = [x.px(at[0] - halfX), x.px(at[0] + halfX)];
  const [y1, y2] = [y.px(at[1] + halfY), y.px(at[1] - halfY)];
  const stroke = { stroke: look.measured, "stroke-width": 1.3 };
  return [
    x2 - x1 > 2 * MARK_PX ? element("line", { x1, x2, y1: cy, y2: cy, ...stroke }) : "",
    y2 - y1 > 2 * MARK_PX ? element("line", { x1: cx, x2: cx, y1, y2, ...stroke }) : "",
    markSvg(shape, cx, cy, look),
  ].join("");
}
