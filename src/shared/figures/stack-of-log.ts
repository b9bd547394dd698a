import type { LogReport } from "../on-board/judge-log.ts";
import { displayUnit, type UnitSet } from "../quantity/display.ts";
import type { XY } from "./figure.ts";
import type { Stack } from "./stack.ts";

const MOST_DOTS = 500;
const BEFORE_S = 0.6;
const AFTER = 1.15; // of the stretch that was fitted

/** A log carried on board about release: its readings, and what was fitted to them. */
export function stackOfLog(id: string, report: LogReport, units: UnitSet): Stack | null {
  const { samples, fitted, releaseS } = report;
  if (releaseS === null || fitted.length === 0) return null;
  const { factor, symbol } = displayUnit(report.of === "height" ? "m" : "m/s²", units);
  const endS = AFTER * (fitted[fitted.length - 1].timeS - releaseS.value);
  const shown = samples.filter(
    ({ timeS }) => timeS - releaseS.value >= -BEFORE_S && timeS - releaseS.value <= endS,
  );
  const every = Math.ceil(shown.length / MOST_DOTS);
  const xy = ({ timeS, value }: LogReport["samples"][number]): XY => [timeS - releaseS.value, value * factor];
  const quantity = report.of === "height" ? "Height, as read" : "Acceleration, as read";
  return {
    id,
    kind: "stack",
    title: `${quantity} against time from release`,
    description: `${shown.length} readings, ${fitted.length} of them fitted.`,
    caption: `${every === 1 ? "Rings: the readings." : `Rings: one reading in ${every}.`} Line: the flight of a thrown body fitted to them. 0 is the release found in the log, where the footage has its release.`,
    x: { quantity: "time from release", symbol: "t", unit: "s", from: -BEFORE_S, to: endS },
    panels: [
      {
        quantity,
        symbol: "",
        unit: symbol,
        lines: [{ role: "measured", label: "", points: fitted.map(xy) }],
        bands: [],
        dots: shown.filter((_, i) => i % every === 0).map(xy),
        callouts: [],
      },
    ],
    instants: [{ at: 0, half: releaseS.u }],
  };
}
