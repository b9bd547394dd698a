import { displayUnit, showMeasured, type UnitSet } from "../quantity/display.ts";
import { lastOf } from "../quantity/known-element.ts";
import type { Measured } from "../quantity/measured.ts";
import type { ShotResult } from "../results/shot-result.ts";
import type { XY } from "./figure.ts";
import type { Stack } from "./stack.ts";

const AIR = 0.04; // of the span, to both sides

/**
 * The predicted path of an airframe that nobody steers, from leaving its launcher to the ground, seen from
 * the side; null where the model follows none.
 */
export function stackOfPath(
  { shotId, prediction }: Pick<ShotResult, "shotId" | "prediction">,
  units: UnitSet,
): Stack | null {
  if (prediction?.path === undefined) return null;
  const { path, quantities } = prediction;
  const { factor, symbol } = displayUnit("m", units);
  const points = path.aheadM.map((x, i): XY => [x * factor, path.heightM[i] * factor]);
  const across = points.map(([x]) => x);
  const [least, most] = [Math.min(...across), Math.max(...across)];
  const room = AIR * Math.max(most - least, 1);
  const shown = (one: Measured | undefined) => one && showMeasured(one, "m", units).text;
  const [height, range] = [shown(quantities.apogee), shown(quantities.range)];
  const top: XY = [path.top.aheadM * factor, path.top.heightM * factor];
  return {
    id: `${shotId}-path`,
    kind: "stack",
    title: "Height along the path that nobody steers",
    description: [
      height === undefined ? "" : `It rises ${height} above the end of the cradle.`,
      range === undefined ? "" : `It comes down ${range} ahead of it.`,
    ]
      .filter((sentence) => sentence !== "")
      .join(" "),
    caption:
      "Dashed: predicted, from the end of the cradle to level ground, seen from the side; height from the end of the cradle. The two axes are not to one scale.",
    x: {
      quantity: "ahead of the cradle",
      symbol: "x",
      unit: symbol,
      from: least - room,
      to: most + room,
    },
    panels: [
      {
        quantity: "Height",
        symbol: "",
        unit: symbol,
        lines: [{ role: "predicted", label: "", points }],
        bands: [],
        dots: [],
        callouts: [
          ...(height === undefined ? [] : [{ at: top, text: height }]),
          ...(range === undefined ? [] : [{ at: lastOf(points), text: range }]),
        ],
      },
    ],
    instants: [],
  };
}
