import { perSecond } from "../curve/curve-units.ts";
import type { CurveEstimate, CurvePoint, CurveSample } from "../curve/estimate-curve.ts";
import type { Measured } from "../quantity/measured.ts";
import type { Panel, XY } from "./figure.ts";
import { BAND_K } from "./figures-of.ts";
import type { Stack } from "./stack.ts";

/** What the curve is of, in the person's words and unit. */
export interface CurveNames {
  readonly id: string;
  readonly name: string;
  readonly unit: string;
}

const MOST_DOTS = 400;

/**
 * Value, rate and acceleration of one coordinate against time, each with its band; change points stand
 * through all three. Nothing is computed here but the edges of k = 2.
 */
export function stackOfCurve(
  { id, name, unit }: CurveNames,
  samples: readonly CurveSample[],
  estimate: CurveEstimate,
): Stack {
  const { points, changes } = estimate;
  const every = Math.ceil(samples.length / MOST_DOTS);
  const dots = samples.filter((_, i) => i % every === 0).map(({ time, value }): XY => [time, value]);
  const [first, last] = [points[0].time, points[points.length - 1].time];
  const shown = every === 1 ? "Rings: the samples." : `Rings: one sample in ${every}.`;
  const instants =
    changes.length === 0 ? "" : " Dashed: change points, shaded by their standard uncertainty.";
  return {
    id,
    kind: "stack",
    title: `${name}, its rate and its acceleration against time`,
    description: `${points.length} points from ${first} to ${last} s with ${changes.length} change points.`,
    caption: `${shown} Bands: k = ${BAND_K}.${instants}`,
    x: { quantity: "time", symbol: "t", unit: "s", from: first, to: last },
    panels: [
      panelOf(name, unit, estimate, ({ value }) => value, 0, dots),
      panelOf("Rate", perSecond(unit, 1), estimate, ({ rate }) => rate, 1, []),
      panelOf("Acceleration", perSecond(unit, 2), estimate, ({ acceleration }) => acceleration, 2, []),
    ],
    instants: changes.map(({ time }) => ({ at: time.value, half: time.u })),
  };
}

/** The curve is broken where it jumps, and where it is not determined. */
function panelOf(
  quantity: string,
  unit: string,
  { points, changes }: CurveEstimate,
  of: (point: CurvePoint) => Measured | null,
  order: 0 | 1 | 2,
  dots: readonly XY[],
): Panel {
  const breaks = changes.filter(({ jumps }) => jumps[order] !== null).map(({ time }) => time.value);
  const line: XY[] = [];
  const band: (readonly [number, number, number])[] = [];
  let next = 0;
  for (const point of points) {
    if (next < breaks.length && point.time > breaks[next]) {
      while (next < breaks.length && point.time > breaks[next]) next++;
      line.push([point.time, Number.NaN]);
      band.push([point.time, Number.NaN, Number.NaN]);
    }
    const told = of(point);
    line.push([point.time, told?.value ?? Number.NaN]);
    const half = BAND_K * (told?.u ?? Number.NaN);
    band.push([point.time, (told?.value ?? Number.NaN) - half, (told?.value ?? Number.NaN) + half]);
  }
  return {
    quantity,
    symbol: "",
    unit,
    lines: [{ role: "measured", label: "", points: line }],
    bands: [{ points: band }],
    dots,
    callouts: [],
  };
}
