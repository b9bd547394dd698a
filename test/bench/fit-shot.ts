import { createChance } from "../../src/shared/quantity/chance.ts";
import { freshSession, freshShot } from "../../src/shared/session/fresh.ts";
import type { Mark, Session } from "../../src/shared/session/schema.ts";
import { truePose } from "../shared/kinematics/simulated-shot.ts";
import { firstOf, oneOfEach } from "../support/one-of-each.ts";

const FRAMES = 500;
const WHOLE_S = FRAMES / 2400; // what the frames span, however many they are
const METRES_PER_PIXEL = 1.3e-3;
const MARK_U_PX = 0.4;
const POINTS = [
  { id: "nose", at: [0.17, 0.004] },
  { id: "tail", at: [-0.21, 0.004] },
  { id: "cabin", at: [0.05, 0.06] },
  { id: "skid", at: [-0.1, -0.03] },
] as const;

/**
 * A made-up shot of 500 frames or more with four points marked in each, and every kind of uncertain input
 * that a shot with a rod may have: rod and its picks, plumb, distance and turn of the flight, lens, capture
 * rate, shutter, centre of gravity. The camera is square to the flight and its lens straight, so that the
 * marks fit; the uncertainties are those of a careful afternoon. No launcher is given: what is measured is
 * the motion and its budget, nothing of a model.
 */
export function fitShot(frames = FRAMES): Session {
  const rateHz = frames / WHOLE_S;
  const covariance = Array.from({ length: 64 }, () => 0);
  [0, 3, 3, 0.002, 0.004, 0, 0, 0].forEach((u, i) => {
    covariance[9 * i] = u * u;
  });
  return oneOfEach({
    ...freshSession("bench"),
    points: POINTS.map(({ id }) => ({
      id,
      name: id,
      on: "airframe" as const,
      airframeId: "airframe-1",
      body: null,
    })),
    airframe: {
      ...firstOf(freshSession("bench")).airframe,
      massKg: { value: 0.66, u: 0.002 },
      pitchInertiaKgM2: { value: 0.012, u: 0.0004 },
      centreOfGravity: {
        fromPointId: "nose",
        towardPointId: "tail",
        alongM: { value: 0.17, u: 0.001 },
        aboveM: { value: -0.004, u: 0.001 },
      },
    },
    cameras: [
      {
        id: "side",
        name: "side",
        captureRateHz: { value: rateHz, u: rateHz / 2400 },
        exposureS: 1e-4,
        readoutS: { value: 0, u: 1e-5 },
        lens: {
          focalPx: 1800,
          centrePx: [960, 540],
          picturePx: [1920, 1080],
          k1: 0,
          k2: 0,
          k3: 0,
          p1: 0,
          p2: 0,
          covariance,
          madeFrom: { by: "lines", leftPx: 0.2, points: 140 },
        },
      },
    ],
    shots: [
      {
        ...freshShot("shot-1", "Shot 1", null),
        cameraId: "side",
        clock: { kind: "capture-rate", captureRateHz: { value: rateHz, u: rateHz / 2400 } },
        scale: {
          a: [200, 900],
          b: [200 + 2 / METRES_PER_PIXEL, 900],
          uPx: 0.5,
          rodM: { value: 2, u: 0.001 },
        },
        setting: {
          distanceM: { value: 5, u: 0.05 },
          nearerM: { value: 0, u: 0.01 },
          turnRad: { value: 0, u: 0.009 },
        },
        plumb: { top: [1700, 200], bottom: [1700, 900], uPx: 0.5, hangRad: 0.0005 },
        marks: marks(frames, rateHz),
      },
    ],
  });
}

/** The same session with the first shot's mark of this index moved by 0.5 px along x. */
export function withMarkMoved(session: Session, index: number): Session {
  return {
    ...session,
    shots: session.shots.map((shot, at) =>
      at > 0
        ? shot
        : {
            ...shot,
            marks: shot.marks.map((mark, i) => (i === index ? { ...mark, x: mark.x + 0.5 } : mark)),
          },
    ),
  };
}

function marks(frames: number, rateHz: number): Mark[] {
  const chance = createChance(5);
  const near = (px: number) => px + MARK_U_PX * chance.normal();
  return Array.from({ length: frames }, (_, frame) => {
    const [x, y, pitch] = truePose(frame / rateHz);
    const [cos, sin] = [Math.cos(pitch), Math.sin(pitch)];
    return POINTS.map(({ id, at: [forward, up] }): Mark => {
      const place = [x + cos * forward - sin * up, y + sin * forward + cos * up] as const;
      return {
        pointId: id,
        frame,
        x: near(200 + place[0] / METRES_PER_PIXEL),
        y: near(900 - place[1] / METRES_PER_PIXEL),
        u: MARK_U_PX,
        by: "hand",
      };
    });
  }).flat();
}
