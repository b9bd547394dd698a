import type { PlaneMark } from "../kinematics/body-shape.ts";
import { inputNotices, isImpossible } from "../results/input-notices.ts";
import { MARKS_NOTICES } from "../results/notices/marks-notices.ts";
import { SCALE_NOTICES } from "../results/notices/scale-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { MetresByPixels } from "../scale/picture-map.ts";
import { UnseenPlaceError } from "../scale/unseen-place.ts";
import type { ClipFacts } from "../session/clip-facts.ts";
import type { FilmedShot } from "../session/filmed-shot.ts";
import { isPredictionFault, measurementFaults } from "../session/input-faults.ts";
import type { Airframe, Mark, Shot } from "../session/schema.ts";
import { borderNotices, type FoundBorder, foundBorders } from "./found-parts.ts";
import { missingFrameNotices } from "./missing-frames.ts";
import { lensOutOf, pictureOnPlane } from "./picture-map-of.ts";
import { planeMarks } from "./plane-marks.ts";
import type { SeenShot } from "./seen-shot.ts";
import { shotClock } from "./shot-clock.ts";
import type { ShotClock } from "./shot-timing.ts";
import { steadiedPicks } from "./steadied-picks.ts";
import { steadying } from "./steadying.ts";

/** Everything the motion fit needs of one shot. */
export interface MeasuringSetUp extends SeenShot {
  readonly clock: ShotClock;
  /** m, standard uncertainty of the centre of gravity along and above the pitch reference line. */
  readonly axisU: { readonly alongM: number; readonly aboveM: number };
  /** Those of `sources`, same order; points are the airframe's. */
  readonly marks: readonly PlaneMark[];
  /** Of the map at each mark. */
  readonly derivatives: readonly MetresByPixels[];
}

/**
 * Gathers clock, plane, shake, axis and marks of a shot; null when one of them is missing or a number it
 * rests on cannot be, and `notices` say which and what to do. Numbers that are odd are noticed; those that
 * predictions rest on too, by the prediction.
 */
export function measuringSetUp(filmed: FilmedShot, facts: ClipFacts | null): Gathered {
  const faults = measurementFaults(filmed);
  const told = inputNotices(faults.filter((fault) => !isPredictionFault(fault)));
  if (faults.some(isImpossible)) return { setUp: null, notices: told };
  try {
    const found = gathered(filmed, facts);
    return { ...found, notices: [...told, ...found.notices] };
  } catch (error) {
    if (!(error instanceof UnseenPlaceError)) throw error;
    return { setUp: null, notices: [...told, SCALE_NOTICES["unseen-place"](error.at)] };
  }
}

interface Gathered {
  readonly setUp: MeasuringSetUp | null;
  readonly notices: readonly ShotNotice[];
  /**
   * Where the motion shows capture rates that the clock does not state; left out where that was not looked
   * at.
   */
  readonly borders?: readonly FoundBorder[];
}

function gathered(filmed: FilmedShot, facts: ClipFacts | null): Gathered {
  const { camera, points, airframe } = filmed;
  const timed = shotClock(filmed, facts);
  const lens = lensOutOf(camera?.lens);
  const still = steadying(filmed, lens, facts);
  if (still.refused) return { setUp: null, notices: still.notices };
  const { shot, notices: ofPicks } = steadiedPicks(filmed.shot, lens, still.shake);
  const picturePx = facts === null ? null : ([facts.width, facts.height] as const);
  const placed = pictureOnPlane(shot, camera?.lens, picturePx);
  const notices: ShotNotice[] = [
    ...timed.notices,
    ...missingFrameNotices(filmed.shot, points, facts),
    ...placed.notices,
  ];
  const pointIds = points.filter((point) => point.on === "airframe").map((point) => point.id);
  const usable = usableMarks(shot, pointIds, facts, notices);
  const { clock } = timed;
  const { plane } = placed;
  if (clock === null || plane === null) return { setUp: null, notices };
  notices.push(...still.notices, ...ofPicks);
  const { marks, sources, derivatives } = planeMarks(pointIds, usable, plane, clock, still.shake);
  const borders = foundBorders(marks);
  const ofBorders = borderNotices(borders, filmed.shot.clock);
  notices.push(...ofBorders);
  // What crosses a border unallowed for is wrong by the ratio of the rates: no u that is stated would tell.
  if (ofBorders.some(({ level }) => level === "refusal")) return { setUp: null, notices, borders };
  const axis = axisOf(airframe, pointIds, marks, notices);
  if (axis === null) return { setUp: null, notices, borders };
  const found = { filmed, shot, picturePx, clock, plane, steadying: still, ...axis };
  return { setUp: { ...found, pointIds, marks, sources, derivatives }, notices, borders };
}

/** Marks of airframe points inside the clip; those beyond its end are named, not used. */
function usableMarks(
  shot: Shot,
  pointIds: readonly string[],
  facts: ClipFacts | null,
  notices: ShotNotice[],
): readonly Mark[] {
  const frames = facts?.pts.length ?? Number.POSITIVE_INFINITY;
  const airframe = shot.marks.filter((mark) => pointIds.includes(mark.pointId));
  const beyond = airframe.filter((mark) => mark.frame >= frames);
  if (beyond.length > 0) {
    notices.push(MARKS_NOTICES["marks-beyond-clip"](beyond.length, frames - 1));
  }
  return airframe.filter((mark) => mark.frame < frames);
}

function axisOf(
  { centreOfGravity: cg }: Airframe,
  pointIds: readonly string[],
  marks: readonly PlaneMark[],
  notices: ShotNotice[],
): Pick<MeasuringSetUp, "axis" | "axisU"> | null {
  if (cg !== null) {
    return {
      axis: {
        forward: pointIds.indexOf(cg.fromPointId),
        aft: pointIds.indexOf(cg.towardPointId),
        alongM: cg.alongM.value,
        aboveM: cg.aboveM.value,
      },
      axisU: { alongM: cg.alongM.u, aboveM: cg.aboveM.u },
    };
  }
  const [forward, aft] = mostMarked(pointIds.length, marks);
  const separation =
    forward === undefined || aft === undefined ? null : typicalSeparation(forward, aft, marks);
  if (forward === undefined || aft === undefined || separation === null) {
    notices.push(MARKS_NOTICES["too-few-points"]());
    return null;
  }
  notices.push(MARKS_NOTICES["no-centre-of-gravity"]());
  // Anywhere along the line is equally likely: a rectangular distribution (JCGM 100:2008, 4.3.7).
  return {
    axis: { forward, aft, alongM: separation / 2, aboveM: 0 },
    axisU: { alongM: separation / Math.sqrt(12), aboveM: separation / 20 },
  };
}

/** The two points with most marks, in the session's order: the first is taken as the forward one. */
function mostMarked(points: number, marks: readonly PlaneMark[]): readonly number[] {
  const counts = Array.from({ length: points }, (_, point) => ({
    point,
    count: marks.filter((mark) => mark.point === point).length,
  }));
  return counts
    .filter(({ count }) => count > 0)
    .sort((a, b) => b.count - a.count || a.point - b.point)
    .slice(0, 2)
    .map(({ point }) => point)
    .sort((a, b) => a - b);
}

function typicalSeparation(forward: number, aft: number, marks: readonly PlaneMark[]): number | null {
  const aftAt = new Map(marks.filter((mark) => mark.point === aft).map((mark) => [mark.frame, mark]));
  const all = marks.flatMap((mark) => {
    const other = mark.point === forward ? aftAt.get(mark.frame) : undefined;
    return other === undefined ? [] : [Math.hypot(mark.x - other.x, mark.y - other.y)];
  });
  return all.length === 0 ? null : (all.sort((a, b) => a - b)[Math.floor(all.length / 2)] as number);
}
