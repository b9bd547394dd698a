import { type OdeEvent, ON_SURFACE } from "../../numeric/integrate.ts";
import type { RamFeed } from "./ram-feed.ts";
import type { RamInputs } from "./ram-inputs.ts";
import { DROP, ROD_GAUGE, TANK } from "./ram-state.ts";
import type { RamValve } from "./ram-valves.ts";
import { LAMINAR } from "./valve-flow.ts";

/**
 * Critical pressure ratio taken for the leak. A narrow gap between piston and bore chokes later than an ideal
 * nozzle (0.528), as valves with long narrow passages do (0.2 to 0.4). It hardly matters: with the drive
 * chamber above 1/b times the air outside the leak is choked and b does not enter.
 */
export const LEAK_CRITICAL_RATIO = 0.3;

/**
 * The events at which a flow of a ram changes the form of its law, so that an integration may stop there: it
 * chokes or unchokes either way, or reverses; the seals begin or cease to press; the feed meets its own
 * limits. Each value is of order 1.
 */
export function flowChanges(
  { airPressurePa: pa, leak = 0, sealShare = 0, rodChamber: rod }: RamInputs,
  valves: readonly RamValve[],
  feed: RamFeed | null,
): readonly OdeEvent[] {
  const overAir = (y: Float64Array) => 1 - pa / (y[TANK] - y[DROP]);
  return [
    ...valves.flatMap(({ criticalRatio }, i) =>
      // All valves reverse together: one event will do.
      lawChanges(`valve ${i}`, criticalRatio, (y) => y[DROP] / y[TANK]).slice(0, i === 0 ? 3 : 2),
    ),
    ...(leak > 0 ? lawChanges("leak", LEAK_CRITICAL_RATIO, overAir).slice(0, 1) : []),
    ...(sealShare > 0
      ? [{ name: "seals", direction: 0, value: (_t, y) => overAir(y) } satisfies OdeEvent]
      : []),
    ...(feed?.lawChanges ?? []).map(
      (value, i): OdeEvent => ({ name: `feed ${i}`, direction: 0, value: (_t, y) => value(y[TANK]) }),
    ),
    ...(rod ? lawChanges("vent", rod.vent.criticalRatio, (y) => y[ROD_GAUGE] / (pa + y[ROD_GAUGE])) : []),
  ];
}

/** Of one valve: r = b either way, and r = 1. */
function lawChanges(name: string, b: number, relativeDrop: (y: Float64Array) => number): readonly OdeEvent[] {
  return [
    { name: `${name}: forward choking`, direction: 0, value: (_t, y) => 1 - b - relativeDrop(y) },
    { name: `${name}: reverse choking`, direction: 0, value: (_t, y) => 1 - b + b * relativeDrop(y) },
    // Inside what is rounded off the law has one form: a drop that trembles about 0 there reverses nothing.
    {
      name: `${name}: reversal`,
      direction: 0,
      scale: LAMINAR / ON_SURFACE,
      value: (_t, y) => relativeDrop(y),
    },
  ];
}
