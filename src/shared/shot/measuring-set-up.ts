import { type FrameClock, frameClock } from "../clock/frame-clock.ts";
import type { BodyAxis, PlaneMark } from "../kinematics/body-shape.ts";
import type { Measured } from "../quantity/measured.ts";
import type { Notice } from "../quantity/notice.ts";
import { type FlightPlane, flightPlane } from "../scale/flight-plane.ts";
import { plumbAngle } from "../scale/plumb-angle.ts";
import { twoPointScale } from "../scale/two-point-scale.ts";
import { type ClipFacts, timestampsS } from "../session/clip-facts.ts";
import type { Mark, Session, Shot } from "../session/schema.ts";

/** Everything the motion fit needs, with the systematic uncertainties that are common to all frames of the shot. */
export interface MeasuringSetUp {
  readonly clock: FrameClock;
  /** m/px. */
  readonly scale: Measured;
  /** rad, how the picture was rolled. */
  readonly plumb: Measured;
  readonly plane: FlightPlane;
  readonly axis: BodyAxis;
  /** m, standard uncertainty of the centre of gravity along and above the pitch reference line. */
  readonly axisU: { readonly alongM: number; readonly aboveM: number };
  /** Ids of the airframe's points; a PlaneMark's `point` is an index into this. */
  readonly pointIds: readonly string[];
  readonly marks: readonly PlaneMark[];
  /** The session's mark each plane mark came from, same order as `marks`. */
  readonly sources: readonly Mark[];
}

const UNPLUMBED_U = 0.0175; // rad: a camera levelled by eye is within about a degree. Common practice, no source.

/** Gathers clock, scale, plumb, axis and marks of a shot; null when one of them is missing, and `notices` say which and what to do. */
export function measuringSetUp(
  session: Session,
  shot: Shot,
  facts: ClipFacts | null,
): { setUp: MeasuringSetUp | null; notices: readonly Notice[] } {
  const notices: Notice[] = [];
  const clock = clockOf(shot, facts, notices);
  const scale = scaleOf(shot, notices);
  const plumb = plumbOf(shot, notices);
  const pointIds = session.points.filter((point) => point.on === "airframe").map((point) => point.id);
  const sources = usableMarks(shot, pointIds, facts, notices);
  if (clock === null || scale === null) return { setUp: null, notices };
  const plane = flightPlane(scale.value, plumb.value, shot.direction);
  const marks = sources.map((mark): PlaneMark => {
    const [x, y] = plane.toMetres([mark.x, mark.y]);
    const timeS = clock.timeOf(mark.frame);
    return { point: pointIds.indexOf(mark.pointId), frame: mark.frame, timeS, x, y, u: mark.u * scale.value };
  });
  const axis = axisOf(session, pointIds, marks, notices);
  if (axis === null) return { setUp: null, notices };
  return { setUp: { clock, scale, plumb, plane, ...axis, pointIds, marks, sources }, notices };
}

function clockOf(shot: Shot, facts: ClipFacts | null, notices: Notice[]): FrameClock | null {
  if (shot.clock === null) {
    notices.push({
      level: "refusal",
      code: "no-clock",
      cause: "The shot has no clock: nothing says how much time lies between two frames.",
      remedy: "Under Clock, give the capture rate the camera was set to, with its uncertainty.",
    });
    return null;
  }
  const clock = frameClock(shot.clock, facts === null ? null : timestampsS(facts));
  if (clock.ok) return clock.value;
  notices.push({
    level: "refusal",
    code: "no-timestamps",
    cause: "The clock is set to the frames' own timestamps, but the clip could not be read.",
    remedy: "Put the clip back into the field folder, or give the capture rate instead.",
  });
  return null;
}

function scaleOf(shot: Shot, notices: Notice[]): Measured | null {
  if (shot.scale === null) {
    notices.push({
      level: "refusal",
      code: "no-scale",
      cause: "The shot has no scale: nothing says how long a pixel is.",
      remedy:
        "Under Scale, click both ends of something of known length in the flight plane and type its length.",
    });
    return null;
  }
  const { a, b, rodM, uPx } = shot.scale;
  const scale = twoPointScale(a, b, rodM, uPx);
  if (scale.ok) return scale.value;
  notices.push({
    level: "refusal",
    code: "scale-too-close",
    cause: `The two ends of the scale are ${px(scale.numbers.separationPx)} apart, too close to tell a length from the picks' own uncertainty.`,
    remedy: `Pick ends at least ${px(scale.numbers.neededPx)} apart; a rod across half the picture is best.`,
  });
  return null;
}

function plumbOf(shot: Shot, notices: Notice[]): Measured {
  const fallback = { value: 0, u: UNPLUMBED_U };
  if (shot.plumb === null) {
    notices.push({
      level: "warning",
      code: "no-plumb",
      cause: "No plumb is marked, so the picture's own edge is taken as vertical, good to about 1°.",
      remedy:
        "Under Scale, mark a hanging line or another true vertical: launch angle and pitch depend on it.",
    });
    return fallback;
  }
  const { top, bottom, uPx, hangRad } = shot.plumb;
  const plumb = plumbAngle(top, bottom, uPx, hangRad);
  if (plumb.ok) return plumb.value;
  notices.push({
    level: "warning",
    code: "plumb-too-close",
    cause: `The plumb is marked over ${px(plumb.numbers.separationPx)} only; the picture's own edge is used, good to about 1°.`,
    remedy: `Mark its top and bottom at least ${px(plumb.numbers.neededPx)} apart.`,
  });
  return fallback;
}

function px(value: number | undefined): string {
  return `${(value ?? 0).toFixed(1)} px`;
}

/** Marks of airframe points inside the clip; those beyond its end are named, not used. */
function usableMarks(
  shot: Shot,
  pointIds: readonly string[],
  facts: ClipFacts | null,
  notices: Notice[],
): readonly Mark[] {
  const frames = facts?.pts.length ?? Number.POSITIVE_INFINITY;
  const airframe = shot.marks.filter((mark) => pointIds.includes(mark.pointId));
  const beyond = airframe.filter((mark) => mark.frame >= frames);
  if (beyond.length > 0) {
    notices.push({
      level: "warning",
      code: "marks-beyond-clip",
      cause: `${beyond.length} marks lie after the clip's last frame (${frames - 1}) and are not used.`,
      remedy: "Check that the shot names the clip the marks were placed in.",
    });
  }
  return airframe.filter((mark) => mark.frame < frames);
}

function axisOf(
  session: Session,
  pointIds: readonly string[],
  marks: readonly PlaneMark[],
  notices: Notice[],
): Pick<MeasuringSetUp, "axis" | "axisU"> | null {
  const cg = session.airframe.centreOfGravity;
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
    notices.push({
      level: "refusal",
      code: "too-few-points",
      cause: "Fewer than two points of the airframe are marked together, so its pitch cannot be seen.",
      remedy: "Mark two points far apart on the airframe, such as nose and tail, in the same frames.",
    });
    return null;
  }
  notices.push({
    level: "warning",
    code: "no-centre-of-gravity",
    cause:
      "The centre of gravity is not given; the middle between the two points most marked stands in for it.",
    remedy: "Under Marks, give the distance from the forward point to the balance point.",
  });
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
