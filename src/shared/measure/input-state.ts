import type { PartMove } from "../clock/clock-parts.ts";
import type { BodyAxis, PlaneMark } from "../kinematics/body-shape.ts";
import type { PxPoint } from "../quantity/point.ts";
import type { BudgetLine } from "../results/shot-result.ts";
import { UnseenPlaceError } from "../scale/unseen-place.ts";
import type { LensData, Mark, Shot } from "../session/schema.ts";
import { pictureOnPlane } from "./picture-map-of.ts";
import { type BeyondInputs, NOTHING_BEYOND } from "./picture-plane.ts";
import { planeMarks } from "./plane-marks.ts";
import type { SeenShot } from "./seen-shot.ts";
import type { ShotTiming } from "./shot-timing.ts";

/** The inputs that all marks of a shot share, as they are or moved from where they are. */
export interface InputState {
  readonly shot: Shot;
  /** Of the camera that filmed it; undefined without a profile. */
  readonly lens: LensData | undefined;
  /** Times are multiplied by this. */
  readonly stretch: number;
  /** What is moved of a clock with parts. */
  readonly clockMoves: readonly PartMove[];
  /** s, added to the shutter's readout time. */
  readonly readoutS: number;
  readonly axis: BodyAxis;
  /** How far the plane is off beyond what its inputs do. */
  readonly beyond: BeyondInputs;
  /** m/s along x and y that the camera moved by beyond what was taken out. */
  readonly driftMPerS: readonly [number, number];
  /**
   * px, added to every mark the follower placed of a point, by the point's id: the common error of the
   * hand marks it depends on.
   */
  readonly followedPx: Readonly<Record<string, PxPoint>>;
}

/**
 * An input that all marks share: what it belongs to, and the inputs with it moved by z of
 * its standard uncertainties.
 */
export interface SystematicInput {
  readonly source: BudgetLine["source"];
  /** Nobody stated its uncertainty. */
  readonly assumed?: boolean;
  move(state: InputState, z: number): InputState;
}

/**
 * The inputs of a shot as they are stated.
 * @param shot the set-up's own, or as the document has it, its picks not steadied
 */
export function statedInputs(shot: Shot, { filmed, axis }: Pick<SeenShot, "filmed" | "axis">): InputState {
  return {
    shot,
    lens: filmed.camera?.lens,
    stretch: 1,
    clockMoves: [],
    readoutS: 0,
    axis,
    beyond: NOTHING_BEYOND,
    driftMPerS: [0, 0],
    followedPx: {},
  };
}

/**
 * The marks and axis that moved inputs would have given; null where they no longer make a plane, or a
 * lens that shows every mark.
 */
export function marksAt(
  state: InputState,
  setUp: SeenShot,
): { readonly marks: readonly PlaneMark[]; readonly axis: BodyAxis } | null {
  try {
    return marksOnPlane(state, setUp);
  } catch (error) {
    if (error instanceof UnseenPlaceError) return null;
    throw error;
  }
}

function marksOnPlane(
  state: InputState,
  setUp: SeenShot,
): { readonly marks: readonly PlaneMark[]; readonly axis: BodyAxis } | null {
  const { picturePx, pointIds, sources, steadying } = setUp;
  const clock = timingAt(state, setUp.clock);
  const moved = { found: setUp.plane.found, by: state.beyond };
  const { plane } = pictureOnPlane(state.shot, state.lens, picturePx, moved);
  if (plane === null) return null;
  const placed = planeMarks(pointIds, followedAt(sources, state), plane, clock, steadying.shake);
  const marks = placed.marks.map((mark, i) => {
    const from = placed.sources[i];
    const byRow = from === undefined ? 0 : clock.clock.rowFraction(clock.rowOf(from.x, from.y));
    const [x, y] = [mark.x + state.driftMPerS[0] * mark.timeS, mark.y + state.driftMPerS[1] * mark.timeS];
    return {
      ...mark,
      x,
      y,
      timeS: mark.timeS * state.stretch,
      lagS: (mark.lagS ?? 0) + state.readoutS * byRow,
    };
  });
  return { marks, axis: state.axis };
}

function timingAt({ clockMoves }: InputState, timing: ShotTiming): ShotTiming {
  if (clockMoves.length === 0 || timing.movedBy === undefined) return timing;
  return { ...timing, clock: timing.movedBy(clockMoves) };
}

function followedAt(sources: readonly Mark[], { followedPx }: InputState): readonly Mark[] {
  if (Object.keys(followedPx).length === 0) return sources;
  return sources.map((mark) => {
    const by = mark.by === "follower" ? followedPx[mark.pointId] : undefined;
    return by === undefined ? mark : { ...mark, x: mark.x + by[0], y: mark.y + by[1] };
  });
}
