import type { ChartPlace } from "./chart-axes.ts";
import { labelSize } from "./labels-svg.ts";
import { type Box, overlap } from "./place-labels.ts";
import type { NamedPoint, Points } from "./points.ts";
import { MARK_PX } from "./points-marks.ts";

/** A point's name and the box it stands in, px. */
export interface PlacedName {
  readonly text: string;
  readonly box: Box;
}

const STEP = 3; // px between the places of a line that a name keeps clear of

/**
 * The names of the points, each beside its own where it touches neither a mark, a bar, a curve nor another
 * name; one that has no such place is left out.
 */
export function namesOfPoints({ kinds }: Points, place: ChartPlace): readonly PlacedName[] {
  const points = kinds.flatMap((kind) => kind.points);
  const ink = [
    ...points.flatMap((point) => inkOfPoint(point, place)),
    ...kinds.flatMap(({ model }) => model.flatMap((run) => inkOfCurve(run.points, place))),
  ];
  const placed: PlacedName[] = [];
  for (const point of points) {
    const size = labelSize(point.name);
    const box = candidates(place.x.px(point.at[0]), place.y.px(point.at[1]), size).find(
      (one) =>
        inside(one, place) &&
        !ink.some((drawn) => overlap(one, drawn)) &&
        !placed.some((other) => overlap(one, other.box)),
    );
    if (box !== undefined) placed.push({ text: point.name, box });
  }
  return placed;
}

/** What a mark with its bars covers, px. */
export function inkOfPoint({ at: [a, b], halfX, halfY }: NamedPoint, { x, y }: ChartPlace): readonly Box[] {
  const [cx, cy] = [x.px(a), y.px(b)];
  const [x1, x2, y1, y2] = [x.px(a - halfX), x.px(a + halfX), y.px(b + halfY), y.px(b - halfY)];
  return [
    { x: cx - MARK_PX, y: cy - MARK_PX, width: 2 * MARK_PX, height: 2 * MARK_PX },
    { x: x1, y: cy - 1, width: x2 - x1, height: 2 },
    { x: cx - 1, y: y1, width: 2, height: y2 - y1 },
  ];
}

/** What a curve covers, as small boxes along it. */
export function inkOfCurve(
  points: readonly (readonly [number, number, number, number])[],
  { x, y }: ChartPlace,
): readonly Box[] {
  return points.slice(1).flatMap(([a, b], i) => {
    const [from, to] = [
      [x.px(points[i][0]), y.px(points[i][1])],
      [x.px(a), y.px(b)],
    ];
    const count = Math.max(1, Math.ceil(Math.hypot(to[0] - from[0], to[1] - from[1]) / STEP));
    return Array.from({ length: count + 1 }, (_, k) => ({
      x: from[0] + ((to[0] - from[0]) * k) / count - 1.5,
      y: from[1] + ((to[1] - from[1]) * k) / count - 1.5,
      width: 3,
      height: 3,
    }));
  });
}

function candidates(cx: number, cy: number, { width, height }: { width: number; height: number }): Box[] {
  return [MARK_PX + 1, MARK_PX + 9].flatMap((gap) => {
    const [right, left] = [cx + gap, cx - gap - width];
    const [above, below] = [cy - gap - height, cy + gap];
    return [
      { x: right, y: cy - height / 2, width, height },
      { x: left, y: cy - height / 2, width, height },
      { x: right - MARK_PX, y: above, width, height },
      { x: right - MARK_PX, y: below, width, height },
      { x: left + MARK_PX, y: above, width, height },
      { x: left + MARK_PX, y: below, width, height },
      { x: cx - width / 2, y: above, width, height },
      { x: cx - width / 2, y: below, width, height },
    ];
  });
}

function inside(box: Box, { left, right, top, bottom }: ChartPlace): boolean {
  return (
    box.x >= left && box.y >= top - 4 && box.x + box.width <= right - 2 && box.y + box.height <= bottom - 2
  );
}
