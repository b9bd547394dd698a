import {
  ball,
  bar,
  carriedBy,
  cloud,
  type Filmed,
  hole,
  type Layer,
  type Pose,
  post,
  quarters,
  SCENE_HEIGHT,
  SCENE_WIDTH,
  shadow,
} from "./hard-scene.ts";

/** A drawn clip that is hard to follow, with the true place of the points in every frame. */
export interface HardCase extends Filmed {
  readonly name: string;
  readonly kind: string;
  /** Mbit/s of 60 frames a second; null for a clip that is not compressed. */
  readonly mbit: number | null;
  /** Where the marked points are on the body; the first is the one that is judged. */
  readonly points: readonly (readonly [number, number])[];
  readonly pose: (time: number) => Pose;
  /** Whether the judged point can be seen at all. */
  readonly seen: (frame: number) => boolean;
  /** It gives nothing that could be followed: only a refusal is right. */
  readonly hopeless?: boolean;
  /** px, right and down, by which the hand misses the point. */
  readonly handOff?: readonly [number, number];
}

const FRAMES = 56;
const MIDDLE = SCENE_HEIGHT / 2;
const ORIGIN = [0, 0] as const;

/** At rest for twelve frames, then pushed for sixteen, then it coasts. */
function launch(time: number, push = 0.55): Pose {
  const t = Math.max(0, time - 12);
  const pushed = Math.min(t, 16);
  const x = 70.3 + 0.5 * push * pushed ** 2 + push * 16 * Math.max(0, t - 16);
  return { x, y: MIDDLE + 40.4 - 0.3 * (x - 70.3) + 0.0004 * (x - 70.3) ** 2, turn: -0.25 + 0.004 * t };
}

/** Starts at once at a constant speed, px a frame. */
const steady =
  (speed: number, from = 60.2, turning = 0) =>
  (time: number): Pose => ({
    x: from + speed * time,
    y: MIDDLE + 0.3 + 0.05 * speed * time,
    turn: turning * time,
  });

/** Runs and then stands against a stop. */
const stopping =
  (speed: number, at: number) =>
  (time: number): Pose => ({ x: 80.4 + speed * Math.min(time, at), y: MIDDLE + 10.2, turn: 0.1 });

interface Part {
  readonly name: string;
  readonly kind: string;
  readonly pose: (time: number) => Pose;
  readonly body?: (pose: Pose, time: number) => readonly Layer[];
  readonly front?: (time: number) => readonly Layer[];
  readonly rear?: (time: number) => readonly Layer[];
  readonly more?: Partial<HardCase>;
}

const target = (pose: Pose) => [bar(pose, 40, 17), quarters(pose, ORIGIN, 11)];

function caseOf({ name, kind, pose, body = target, front, rear, more }: Part, at: number): HardCase {
  return {
    name,
    kind,
    frames: FRAMES,
    exposure: 0.1,
    noiseSd: 2,
    seed: 40 + at,
    mbit: 4,
    points: [ORIGIN],
    pose,
    seen: () => true,
    scene: (time) => [...(rear?.(time) ?? []), ...body(pose(time), time), ...(front?.(time) ?? [])],
    ...more,
  };
}

const FOUR = [
  [0, 0],
  [-34, -2],
  [34, 3],
  [-17, 5],
] as const;
const fourTargets = (pose: Pose) => [
  bar(pose, 48, 19),
  ...FOUR.map((at, i) => (i % 2 === 0 ? quarters(pose, at, 10) : quarters(pose, at, 10, -70))),
];
const row = (pose: Pose) => [
  bar(pose, 120, 19),
  ...[-94, -47, 0, 47, 94].map((at) => hole(pose, [at, 0], 7)),
];
const xOf = (pose: (time: number) => Pose, frame: number) => carriedBy(pose(frame), ORIGIN)[0];
const clearOf = (pose: (time: number) => Pose, x: number, reach: number) => (frame: number) =>
  Math.abs(xOf(pose, frame) - x) > reach;

const PARTS: readonly Part[] = [
  { name: "at rest", kind: "stopping", pose: steady(0), more: { mbit: 8 } },
  { name: "slow, 0.1 px a frame", kind: "stopping", pose: steady(0.1) },
  { name: "against a stop", kind: "stopping", pose: stopping(6, 22) },
  { name: "against a stop, 0.5 Mbit/s", kind: "stopping", pose: stopping(5, 25), more: { mbit: 0.5 } },
  {
    name: "turns back",
    kind: "stopping",
    pose: (t) => ({ x: 240 + 130 * Math.sin(t / 9), y: MIDDLE, turn: 0.1 }),
  },
  ...[0.5, 1, 2, 4, 8].map((mbit) => ({
    name: `launch, ${mbit} Mbit/s`,
    kind: "compression",
    pose: (t: number) => launch(t),
    more: { mbit },
  })),
  { name: "launch, not compressed", kind: "sharp", pose: launch, more: { mbit: null } },
  {
    name: "6 px of blur, not compressed",
    kind: "blurred",
    pose: steady(6),
    more: { mbit: null, exposure: 1 },
  },
  { name: "6 px of blur, 4 Mbit/s", kind: "blurred", pose: steady(6), more: { exposure: 1 } },
  ...[17, 23, 29].map((radius) => ({
    name: `smooth ball, ${2 * radius} px`,
    kind: "shading",
    pose: (t: number) => launch(t, 0.35),
    body: (pose: Pose) => [ball(pose, radius)],
    more: { handOff: [1.2, -0.8] as const, noiseSd: 0.7, mbit: 8 },
  })),
  {
    name: "large target, 58 px",
    kind: "shading",
    pose: (t) => launch(t, 0.4),
    body: (pose) => [bar(pose, 60, 33), hole(pose, ORIGIN, 29, 215), hole(pose, ORIGIN, 20, 30)],
  },
  {
    name: "body that is only shaded",
    kind: "shading",
    pose: (t) => launch(t, 0.3),
    body: (pose) => [ball(pose, 75)],
    more: { hopeless: true, mbit: null, noiseSd: 1 },
  },
  {
    name: "behind a thin post",
    kind: "occlusion",
    pose: launch,
    front: () => [post(210, 3)],
    more: { seen: clearOf(launch, 210, 0) },
  },
  {
    name: "behind a wide post, four points",
    kind: "occlusion",
    pose: steady(5, 70, 0.003),
    body: fourTargets,
    front: () => [post(215, 16)],
    more: { points: FOUR, seen: clearOf(steady(5, 70), 215, 26) },
  },
  {
    name: "behind a wide post, alone",
    kind: "occlusion",
    pose: steady(6),
    front: () => [post(220, 16)],
    more: { seen: clearOf(steady(6), 220, 27) },
  },
  {
    name: "flame over the target",
    kind: "flame",
    pose: launch,
    front: (t) =>
      t > 14 && t < 26
        ? [cloud(launch(t).x - 14, launch(t).y + 4, 12 + 3 * Math.sin(2.7 * t), 0.95, 255)]
        : [],
    more: { seen: (k) => k <= 14 || k >= 26 },
  },
  {
    name: "smoke that thickens",
    kind: "flame",
    pose: launch,
    front: (t) => [cloud(150, 140, 45, Math.min(0.75, Math.max(0, (t - 12) / 25)), 200)],
  },
  {
    name: "exposure jumps up, white clips",
    kind: "exposure",
    pose: launch,
    more: { gain: (k) => (k < 24 ? 1 : 1.5) },
  },
  {
    name: "exposure falls to half",
    kind: "exposure",
    pose: launch,
    more: { gain: (k) => (k < 24 ? 1 : 0.5) },
  },
  { name: "shadow's edge crosses", kind: "exposure", pose: launch, front: () => [shadow(200, 0.45)] },
  {
    name: "glint that flashes on the target",
    kind: "glint",
    pose: launch,
    front: (t) => {
      const [x, y] = carriedBy(launch(t), [5, -4]);
      return Math.floor(t + 0.5) % 7 < 3 && t > 8 ? [cloud(x, y, 3.2, 1, 400)] : [];
    },
  },
  {
    name: "glint that wanders over the body",
    kind: "glint",
    pose: launch,
    front: (t) => {
      const [x, y] = carriedBy(launch(t), [0.9 * (t - 28), -3]);
      return [cloud(x, y, 4, 1, 330)];
    },
  },
  { name: "row of holes, 3 px a frame", kind: "twins", pose: steady(3, 130), body: row },
  {
    name: "row of holes, 40 px a frame",
    kind: "twins",
    pose: steady(40, -60),
    body: row,
    more: { frames: 11 },
  },
  {
    name: "twin in the scene, first hidden",
    kind: "twins",
    pose: steady(6),
    rear: () => [bar({ x: 262, y: 100, turn: 0 }, 40, 17), quarters({ x: 262, y: 100, turn: 0 }, ORIGIN, 11)],
    front: () => [post(210, 14)],
    more: { seen: clearOf(steady(6), 210, 25) },
  },
];

/** Thirty hard cases; those that leave the picture end there. */
export const HARD_CASES: readonly HardCase[] = PARTS.map(caseOf).map((one) => ({
  ...one,
  seen: (frame: number) => one.seen(frame) && inside(carriedBy(one.pose(frame), ORIGIN)),
}));

function inside([x, y]: readonly [number, number]): boolean {
  return x > 30 && y > 30 && x < SCENE_WIDTH - 30 && y < SCENE_HEIGHT - 30;
}
