import { estimateReadout, type ReadoutEstimate } from "../clock/estimate-readout.ts";
import type { FrameClock } from "../clock/frame-clock.ts";
import { edgesOfSweep } from "../clock/sweep-edges.ts";
import type { Measured } from "../quantity/measured.ts";
import type { PxPoint } from "../quantity/point.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import type { ClipFacts } from "../session/clip-facts.ts";
import type { LensOut } from "./picture-map-of.ts";

/** Clicks along an edge that sweeps across the picture, in one of the frames that show it. */
export interface SweepFrame {
  readonly frame: number;
  readonly points: readonly PxPoint[];
}

export interface SweepInputs {
  /** Each sweep: the same edge in two or more frames. */
  readonly sweeps: readonly (readonly SweepFrame[])[];
  /** px, standard uncertainty of each coordinate of a click. */
  readonly uPx: number;
  /** rad, how far the edge leans when it is at rest; positive when its lower end is to the right. */
  readonly leanRad: Measured;
  readonly clock: FrameClock;
  readonly facts: Pick<ClipFacts, "width" | "height" | "rotationDeg">;
  readonly lens: LensOut;
}

type Refused = "too-few-frames" | "too-few-points" | "too-slow";

/**
 * Readout time from edges clicked in a clip: upright ones, or level ones where the clip is turned by a
 * quarter, since they must lie across the rows. The lens is taken out of where an edge is, not of its row:
 * that is where it was read. Frames without clicks are left out.
 * @returns the estimate; "too-few-frames" and "too-few-points" name the `sweep`;
 *   "too-slow" as estimateReadout
 * @throws RangeError on a u that is not > 0
 */
export function readoutFromSweeps(of: SweepInputs): Result<ReadoutEstimate, Refused> {
  const { uPx, leanRad, clock, facts, lens } = of;
  const sweeps = of.sweeps
    .map((frames) => frames.filter(({ points }) => points.length > 0))
    .filter((frames) => frames.length > 0);
  if (sweeps.length === 0) return refuse("too-few-frames", { sweep: 0, frames: 0, neededFrames: 2 });
  const across = acrossRows(facts);
  const edges = [];
  for (const [sweep, frames] of sweeps.entries()) {
    const found = edgesOfSweep(
      frames.map(({ frame, points }) => ({
        timeS: clock.timeOf(frame),
        points: points.map((at) => ({ x: across(lens.straighten(at)).x, y: across(at).row, u: uPx })),
      })),
    );
    if (!found.ok) return refuse(found.code, { ...found.numbers, sweep });
    edges.push(...found.value);
  }
  const turned = facts.rotationDeg === 90 || facts.rotationDeg === 270;
  const estimate = estimateReadout(edges, leanRad, turned ? facts.width : facts.height);
  return estimate.ok ? ok(estimate.value) : estimate;
}

/**
 * A place of the upright picture as the sensor read it: along the row, and the row; the picture is
 * turned back, not mirrored.
 */
function acrossRows({
  width,
  height,
  rotationDeg,
}: SweepInputs["facts"]): (at: PxPoint) => { readonly x: number; readonly row: number } {
  switch (rotationDeg) {
    case 90:
      return ([x, y]) => ({ x: y, row: width - x });
    case 180:
      return ([x, y]) => ({ x: width - x, row: height - y });
    case 270:
      return ([x, y]) => ({ x: height - y, row: x });
    default:
      return ([x, y]) => ({ x, row: y });
  }
}
