import { bodyShape, byFrame, type FrameMarks, type PlaneMark } from "../kinematics/body-shape.ts";
import type { MotionFit } from "../kinematics/fitted-motion.ts";
import { meanAt, meanPose } from "../kinematics/mean-motion.ts";
import { fitMotion } from "../kinematics/motion-fit.ts";
import { poseInformation } from "../kinematics/pose-information.ts";
import { heading } from "../kinematics/refit.ts";
import { atFrameTime } from "../kinematics/row-lag.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { Measurement } from "../results/shot-result.ts";
import type { ClipFacts } from "../session/clip-facts.ts";
import type { FilmedShot } from "../session/filmed-shot.ts";
import { type CommonError, errorKey } from "./common-error.ts";
import { marksAt, statedInputs } from "./input-state.ts";
import { measureMotion } from "./measure-motion.ts";
import { measuringSetUp } from "./measuring-set-up.ts";
import { STEPS_IN_U } from "./moved-results.ts";
import { statedRelease } from "./stated-release.ts";
import { systematicInputs } from "./systematic-inputs.ts";

/** Where the airframe was along the launch direction in one frame, seen in that frame alone. */
export interface TrackPoint {
  /** s, clip time. */
  readonly timeS: number;
  /** m, from the place at rest. */
  readonly travelM: number;
  /** m, of this frame's marks alone: independent from frame to frame. */
  readonly u: number;
  /** m/s, speed of the fitted motion then. */
  readonly speedMPerS: number;
}

/**
 * What a launch model can be held against: travel along the push frame by frame, with its independent noise,
 * and apart from that every error that all frames share. Nothing is smoothed: the points are the frames' own.
 */
export interface PushTrack {
  readonly shotId: string;
  /** In order of time: rest, push, and the flight after it. */
  readonly points: readonly TrackPoint[];
  readonly common: readonly CommonError[];
  /** rad, launch direction above the horizontal. */
  readonly directionRad: number;
  /** s, clip times of first motion and of release as measured. */
  readonly startS: number;
  readonly releaseS: number;
  readonly measurement: Measurement;
}

/**
 * The track of one measured shot.
 * @returns track null when the shot cannot be measured; the notices then say why
 */
export function pushTrack(
  filmed: FilmedShot,
  facts: ClipFacts | null,
): { readonly track: PushTrack | null; readonly notices: readonly ShotNotice[] } {
  const { setUp, notices } = measuringSetUp(filmed, facts);
  if (setUp === null) return { track: null, notices };
  const measured = measureMotion(setUp);
  const all = [...notices, ...measured.notices];
  if (measured.measurement === null || measured.quickStart === null) return { track: null, notices: all };
  const input = { marks: setUp.marks, axis: setUp.axis, ...statedRelease(setUp) };
  const fitted = fitMotion(input, measured.quickStart.settled);
  if (!fitted.ok) return { track: null, notices: all };
  const fit = fitted.value;
  const { angles, directionRad } = fit.initial;
  const places = placesAlong(fit.frames, fit.shape, angles, directionRad);
  const home = meanAt(fit.best, directionRad, 0, 0, fit.best.basis.startS);
  const noise = Math.sqrt(fit.best.noiseVariance);
  const points = places.map(({ timeS, alongM, u }) => ({
    timeS,
    travelM: alongM - home,
    u: noise * u,
    speedMPerS: meanAt(fit.best, directionRad, 0, 1, timeS),
  }));
  const stated = statedInputs(setUp.shot, setUp);
  // Shots that use the same pick hold the same numbers as the document has them; steadied, each has its own.
  const held = statedInputs(filmed.shot, setUp);
  const common = systematicInputs(setUp).flatMap((input): readonly CommonError[] => {
    const moved = movedFarthest((z) => {
      const placed = marksAt(input.move(stated, z), setUp);
      return placed === null ? null : movedPlaces(fit, placed.marks, placed.axis);
    });
    if (moved === null) return []; // the measurement says so of the same input
    const { z, places: aside } = moved;
    return [
      {
        key: errorKey(held, input.move(held, 1)),
        source: input.source,
        travelM: aside.map(({ alongM }, i) => (alongM - (places[i] as Place).alongM) / z),
        timeS: aside.map(({ timeS }, i) => (timeS - (places[i] as Place).timeS) / z),
      },
    ];
  });
  const { measurement } = measured;
  return {
    track: {
      shotId: filmed.shot.id,
      points,
      common,
      directionRad,
      startS: measurement.startClipS,
      releaseS: measurement.releaseClipS,
      measurement,
    },
    notices: all,
  };
}

/** The places with an input moved by its u or, where that ends the track, by as much of it as can be. */
function movedFarthest(
  at: (z: number) => readonly Place[] | null,
): { readonly z: number; readonly places: readonly Place[] } | null {
  for (const z of STEPS_IN_U) {
    const places = at(z);
    if (places !== null) return { z, places };
  }
  return null;
}

interface Place {
  readonly timeS: number;
  readonly alongM: number;
  readonly u: number;
}

/**
 * The centre of gravity along the launch direction in each frame, from that frame's marks with the pitch of
 * the fit. The pitch's own uncertainty enters only through how far the marks' middle is off the line through
 * the centre of gravity along the push: micrometres.
 */
function placesAlong(
  frames: readonly FrameMarks[],
  shape: MotionFit["shape"],
  angles: ArrayLike<number>,
  directionRad: number,
): readonly Place[] {
  return frames.map((marks, i) => {
    const angle = angles[i] as number;
    const { timeS, weight, alongArm, eta } = poseInformation(marks, shape, angle, directionRad);
    return { timeS, alongM: (eta[0] - alongArm * angle) / weight, u: 1 / Math.sqrt(weight) };
  });
}

/**
 * The places that marks moved by a common error give: the picture may turn, and the launch direction with it.
 */
function movedPlaces(
  fit: MotionFit,
  marks: readonly PlaneMark[],
  axis: Parameters<typeof bodyShape>[1],
): readonly Place[] | null {
  const used = new Set(fit.frames.flat().map((mark) => `${mark.point} ${mark.frame}`));
  const seen = byFrame(marks.filter((mark) => used.has(`${mark.point} ${mark.frame}`)));
  const frames = atFrameTime(seen, fit.shape, fit.directionRad, (timeS) =>
    meanPose(fit.best, fit.directionRad, timeS),
  );
  const shape = bodyShape(frames, axis, 1);
  if (shape === null || frames.length !== fit.frames.length) return null;
  const turn = heading(frames) - heading(fit.frames);
  const angles = fit.initial.angles.map((angle) => angle + turn);
  return placesAlong(frames, shape, angles, fit.initial.directionRad + turn);
}
