import { exampleSession } from "../../../src/main/example/example-session.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import type { ClipFacts } from "../../../src/shared/session/clip-facts.ts";
import type { Camera, Clock, Mark, Session, Shot } from "../../../src/shared/session/schema.ts";
import { variantFacts } from "../../main/example/variant-facts.ts";

/** frames/s that the camera took, and m/px at the pivot of the plane. */
export const TRUE_RATE_HZ = 480;
export const M_PER_PX = 0.002;
const G = 9.80618; // at 45° and 0 m, to the accuracy of what is asked here
const DISTANCE_M = 5;
const NOISE_PX = 0.2;
const ROD_M = { value: 1, u: 0.002 };

export const FACTS: ClipFacts = variantFacts("plain");

/** How a fall is filmed, beside the plainest way. */
export interface Filmed {
  readonly seed?: number;
  /** rad, the plane turned about the picture's middle; the fall is 0.8 m along it. */
  readonly turnRad?: number;
  /** s, top row to bottom. */
  readonly readoutS?: number;
  /** px that the camera has moved by in a frame of the file. */
  readonly shake?: (frame: number) => readonly [number, number];
  /** Frames that pad the file, and frames it lacks after one. */
  readonly inserted?: readonly number[];
  readonly gap?: { readonly afterFrame: number; readonly missing: number };
  /** True length of the rod over what is typed. */
  readonly rodBy?: number;
}

/** Frame the camera took, for a frame of the file. */
function takenFrame(frame: number, { inserted = [], gap }: Filmed): number {
  const missing = gap !== undefined && frame > gap.afterFrame ? gap.missing : 0;
  return frame - inserted.filter((one) => one <= frame).length + missing;
}

/** Marks of a ball let go at the top of the picture, and of two posts where the camera shakes. */
export function fallMarks(filmed: Filmed): readonly Mark[] {
  const { seed = 1, turnRad = 0, readoutS = 0, shake } = filmed;
  const chance = createChance(seed);
  const marks: Mark[] = [];
  const metresPerPx = M_PER_PX * (filmed.rodBy ?? 1);
  // In the first frames a row that is read early may show the ball before it was let go.
  for (let frame = 4; ; frame++) {
    const instant = takenFrame(frame, filmed) / TRUE_RATE_HZ;
    const along = 0.8;
    const depth = 1 + (along / DISTANCE_M) * Math.sin(turnRad);
    const rowAt = (timeS: number) => 60 + (0.5 * G * timeS ** 2) / depth / metresPerPx;
    let y = rowAt(instant);
    for (let i = 0; i < 12; i++) y = rowAt(instant + readoutS * (y / FACTS.height - 0.5));
    const x = FACTS.width / 2 + (along * Math.cos(turnRad)) / depth / metresPerPx;
    if (y > FACTS.height - 40) return marks;
    const [dx, dy] = shake?.(frame) ?? [0, 0];
    const hand = (pointId: string, at: readonly [number, number], u: number): Mark => ({
      pointId,
      frame,
      x: at[0] + dx + u * chance.normal(),
      y: at[1] + dy + u * chance.normal(),
      u,
      by: "hand",
    });
    marks.push(hand("ball", [x, y], NOISE_PX));
    if (shake !== undefined) marks.push(hand("left", [200, 500], 0.05), hand("right", [1700, 700], 0.05));
  }
}

/** A shot that holds nothing but such a fall, or what else is given. */
export function fallShot(id: string, filmed: Filmed, patch: Partial<Shot> = {}): Shot {
  const [first] = exampleSession(1).shots as [Shot];
  const clock: Clock = {
    kind: "capture-rate",
    captureRateHz: { value: TRUE_RATE_HZ, u: 2 },
    useChecks: true,
    ...(filmed.inserted && { repeats: { frames: [...filmed.inserted], kind: "inserted" } }),
    ...(filmed.gap && { gaps: [filmed.gap] }),
  };
  return {
    ...first,
    id,
    cameraId: "side",
    clock,
    scale: { a: [710, 800], b: [1210, 800], uPx: 0.02, rodM: ROD_M },
    plumb: { top: [100, 100], bottom: [100, 1000], uPx: 0.1, hangRad: 1e-4 },
    setting: {
      distanceM: { value: DISTANCE_M, u: 0.01 },
      nearerM: { value: 0, u: 0 },
      turnRad: { value: filmed.turnRad ?? 0, u: filmed.turnRad === undefined ? 0 : 0.003 },
    },
    marks: [...fallMarks(filmed)],
    ball: {
      massKg: { value: 2, u: 0.01 }, // so heavy that the air takes nothing from it
      diameterM: { value: 0.01, u: 0.0001 },
      dragCoefficient: { value: 0.5, u: 0.05 },
    },
    ...patch,
  };
}

/** A session of such shots. */
export function fallSession(shots: readonly Shot[], camera: Partial<Camera> = {}): Session {
  const example = exampleSession(1);
  return {
    ...example,
    points: [
      ...example.points,
      { id: "ball", name: "ball", on: "dropped", airframeId: null, body: null },
      { id: "left", name: "left post", on: "post", airframeId: null, body: null },
      { id: "right", name: "right post", on: "post", airframeId: null, body: null },
    ],
    site: { latitudeRad: Math.PI / 4, heightM: 0 },
    cameras: [{ id: "side", name: "side", captureRateHz: { value: 480, u: 2 }, exposureS: null, ...camera }],
    shots: [...shots],
  };
}
