import { describe, expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { fitMotion } from "../../../src/shared/kinematics/motion-fit.ts";
import { refit } from "../../../src/shared/kinematics/refit.ts";
import { measureShot } from "../../../src/shared/measure/measure-shot.ts";
import { type MeasuringSetUp, measuringSetUp } from "../../../src/shared/measure/measuring-set-up.ts";
import { bodyOf, resultNumbers } from "../../../src/shared/measure/result-numbers.ts";
import type { Measured } from "../../../src/shared/quantity/measured.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { type BudgetLine, HEADLINES, type QuantityName } from "../../../src/shared/results/shot-result.ts";
import { filmedShot } from "../../../src/shared/session/filmed-shot.ts";
import type {
  Airframe,
  Camera,
  Clock,
  LensData,
  Mark,
  Session,
  Shot,
} from "../../../src/shared/session/schema.ts";
import { variantFacts } from "../../main/example/variant-facts.ts";
import { firstOf, oneOfEach } from "../../support/one-of-each.ts";

/*
 * Each line of a measurement's budget against drawing the inputs it stands for. Each case states a document
 * in which only one kind of input is doubtful, and draws that document: every number moved as its statement
 * says, then set up and fitted as any document is. Nothing of the code that makes the lines is used. Every
 * input is drawn from ±1 u with equal chance, in the rows of a Hadamard matrix: sixteen documents then give
 * the variance of up to fifteen inputs exactly, but for what is not linear.
 */
const EXAMPLE = exampleSession(1);
const [FIRST] = EXAMPLE.shots as [Shot];
const SURE = 2e-4; // of everything a case does not speak of: no line comes of it
const LINEAR = 0.02; // the second order of the inputs below brings less than this

const SURE_SHOT: Shot = {
  ...FIRST,
  cameraId: "side",
  clock: { kind: "capture-rate", captureRateHz: { value: 960, u: 1e-5 } },
  scale: { ...FIRST.scale!, uPx: SURE, rodM: { value: 1, u: 1e-7 } },
  plumb: { ...FIRST.plumb!, uPx: SURE, hangRad: 0 },
  setting: {
    distanceM: { value: 9, u: 1e-3 },
    nearerM: { value: 0, u: 1e-6 },
    turnRad: { value: 0, u: 0 },
  },
};
const SURE_CAMERA: Camera = {
  id: "side",
  name: "side",
  captureRateHz: { value: 960, u: 2 }, // the shot states its own
  exposureS: null,
};
const SURE_SESSION: Session = oneOfEach({
  ...EXAMPLE,
  airframe: {
    ...firstOf(EXAMPLE).airframe,
    massKg: { value: 0.62, u: 0 },
    pitchInertiaKgM2: { value: 0.012, u: 0 },
    centreOfGravity: {
      ...firstOf(EXAMPLE).airframe.centreOfGravity!,
      alongM: { value: firstOf(EXAMPLE).airframe.centreOfGravity!.alongM.value, u: 1e-7 },
      aboveM: { value: firstOf(EXAMPLE).airframe.centreOfGravity!.aboveM.value, u: 1e-7 },
    },
  },
  cameras: [SURE_CAMERA],
  shots: [SURE_SHOT],
});

interface Case {
  readonly of: string;
  readonly session: Session;
  /** The document with each doubtful input moved by its z. */
  draw(z: readonly number[]): Session;
  readonly inputs: number;
  /** Other inputs are a little doubtful too: see BESIDE. */
  readonly beside?: true;
  /** Results that the input reaches, at least. */
  readonly reaches: readonly QuantityName[];
}

/**
 * A length, a rate and a lean that are a little doubtful. An input that moves a headline only in the second
 * order, and alone, has all inputs drawn at random, which is good to 5 %; beside these it is a small part,
 * and its own line stays exact.
 */
const BESIDE: Partial<Shot> = {
  clock: { kind: "capture-rate", captureRateHz: { value: 960, u: 0.5 } },
  scale: { ...SURE_SHOT.scale!, rodM: { value: 1, u: 0.001 } },
  plumb: { ...SURE_SHOT.plumb!, hangRad: 0.001 },
};
const FACTS = variantFacts("plain");

const ofShot = (patch: Partial<Shot>): Session => ({ ...SURE_SESSION, shots: [{ ...SURE_SHOT, ...patch }] });
const ofCamera = (patch: Partial<Camera>): Session => ({
  ...SURE_SESSION,
  cameras: [{ ...SURE_CAMERA, ...patch }],
});
const by = ({ value, u }: Measured, z: number): Measured => ({ value: value + z * u, u });
const picked = (at: readonly [number, number], u: number, zx: number, zy: number): [number, number] => [
  at[0] + u * zx,
  at[1] + u * zy,
];
/** Turned about another place by an angle, rad. */
function swung(
  at: readonly [number, number],
  about: readonly [number, number],
  rad: number,
): [number, number] {
  const [x, y] = [at[0] - about[0], at[1] - about[1]];
  return [about[0] + x * Math.cos(rad) - y * Math.sin(rad), about[1] + x * Math.sin(rad) + y * Math.cos(rad)];
}

const ROD = { ...SURE_SHOT.scale!, uPx: 0.8 };
const LONG_ROD = { ...SURE_SHOT.scale!, rodM: { value: 1, u: 0.004 } };
// as long as the other to a third of a pixel: what two that contradict each other add is no pick's
const SECOND = { ...ROD, a: [ROD.a[0] + 7, ROD.a[1] - 90], b: [ROD.b[0] + 7.3, ROD.b[1] - 80] } as typeof ROD;
const PLUMB = { ...SURE_SHOT.plumb!, uPx: 1.1 };
const LEANING = { ...SURE_SHOT.plumb!, hangRad: 0.006 };
const LEVEL = { left: [310, 905], right: [1500, 925], uPx: 0.9, tiltRad: 0 } as NonNullable<Shot["level"]>;
const SETTING: NonNullable<Shot["setting"]> = {
  distanceM: { value: 9, u: 0.2 },
  nearerM: { value: 0.35, u: 0.03 },
  turnRad: { value: 0.04, u: 0.008 },
};
const CONTROL: NonNullable<Shot["control"]> = {
  uPx: 0.7,
  uM: 0.0012,
  points: [
    { at: [300, 880], xM: 0, yM: 0 },
    { at: [1700, 900], xM: 2, yM: -0.02 },
    { at: [1680, 240], xM: 1.98, yM: 0.92 },
  ].concat([{ at: [310, 250], xM: 0.01, yM: 0.9 }]) as NonNullable<Shot["control"]>["points"],
};

// Two terms of a lens that are correlated, as the two columns of a root: focal length and k1 by one error, k1
// by another too.
const FOCAL_BY = 25;
const K1_BY = [0.004, 0.003] as const;
const LENS: LensData = {
  focalPx: 1800,
  centrePx: [950, 545],
  picturePx: [1920, 1080],
  k1: -0.06,
  k2: 0,
  k3: 0,
  p1: 0,
  p2: 0,
  covariance: Array.from({ length: 64 }, (_, at) => {
    if (at === 0) return FOCAL_BY ** 2;
    if (at === 3 || at === 24) return FOCAL_BY * K1_BY[0];
    return at === 27 ? K1_BY[0] ** 2 + K1_BY[1] ** 2 : 0;
  }),
  madeFrom: { by: "person", leftPx: 0, points: 0 },
};

/**
 * A camera that is said to have stood still, and may have drifted: 20 mm/s by being carried, and 3 px in all
 * by how it was followed, each of z of its standard uncertainties.
 */
function driftingBy(right: number, down: number): NonNullable<Shot["movement"]> {
  const [a, b] = [SURE_SHOT.scale!.a, SURE_SHOT.scale!.b];
  const pxPerM = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const lastS = (FACTS.pts.length - 1) / 960;
  const pxPerS = Math.hypot(0.02 * pxPerM, 3 / lastS);
  const frames = FACTS.pts.map((_, frame) => {
    const [dx, dy] = [(right * pxPerS * frame) / 960, (down * pxPerS * frame) / 960];
    const corners = [dx, dy, 1920 + dx, dy, 1920 + dx, 1080 + dy, dx, 1080 + dy];
    return { frame, corners, u: [0, 0] as [number, number] };
  });
  return { referenceFrame: 0, picturePx: [1920, 1080], lens: null, inheritedPx: 3, frames };
}

/** Known points through a lens that is known to bend nothing: without a profile that is doubtful too. */
const ofControl = (patch: Partial<typeof CONTROL>, control = CONTROL): Session => ({
  ...ofShot({ control: { ...control, ...patch } }),
  cameras: [{ ...SURE_CAMERA, lens: { ...LENS, k1: 0, covariance: LENS.covariance.map(() => 0) } }],
});
const SURE_CONTROL = { ...CONTROL, uPx: SURE, uM: 1e-9 };
/** The picture's bend that is usual without a profile, 1 % at the corner. */
const bentBy = (at: readonly [number, number], z: number): [number, number] => {
  const [dx, dy] = [at[0] - 960, at[1] - 540];
  const by = (0.01 * z * (dx ** 2 + dy ** 2)) / (960 ** 2 + 540 ** 2);
  return [at[0] + by * dx, at[1] + by * dy];
};

/** px, so much that their own scatter hardly counts; unequal, so that one cannot stand for the other. */
const HAND_U: Readonly<Record<string, number>> = { nose: 4, tail: 2.5 };
const FOLLOWED: readonly Mark[] = SURE_SHOT.marks.map((mark) => {
  const first = SURE_SHOT.marks.find(({ pointId }) => pointId === mark.pointId)!;
  return mark === first ? { ...mark, u: HAND_U[mark.pointId]! } : { ...mark, by: "follower" };
});

const AXIS = firstOf(SURE_SESSION).airframe.centreOfGravity!;
const ofAxis = (patch: Partial<typeof AXIS>): Session =>
  oneOfEach({
    ...ofShot(BESIDE),
    airframe: { ...firstOf(SURE_SESSION).airframe, centreOfGravity: { ...AXIS, ...patch } },
  });

/** The marks as a camera would have shown them that took only every other frame before 60 and after 118. */
const IN_PARTS: readonly Mark[] = SURE_SHOT.marks.flatMap((mark) => {
  if (mark.frame >= 60 && mark.frame <= 118) return [{ ...mark, frame: mark.frame - 30 }];
  if (mark.frame % 2 === 1) return [];
  return [{ ...mark, frame: mark.frame < 60 ? mark.frame / 2 : 88 + (mark.frame - 118) / 2 }];
});
const ofParts = (clock: Clock): Session => ofShot({ clock, marks: [...IN_PARTS] });
/** Its clock; u of the rates relative, of the borders in frames. */
function partsBy(z: readonly number[], uRate: number, uFrames: number): Clock {
  const rate = (value: number, by: number) => ({ value: value * (1 + uRate * by), u: value * uRate });
  const from = (value: number, by: number) => ({ value: value + uFrames * by, u: uFrames });
  const outside = rate(480, z[0]!);
  return {
    kind: "capture-rate",
    captureRateHz: outside,
    parts: [
      { from: from(30, z[2]!), captureRateHz: rate(960, z[1]!) },
      { from: from(88, z[3]!), captureRateHz: outside },
    ],
  };
}

/** A source without a case does not compile. */
const CASES: Readonly<Record<Exclude<BudgetLine["source"], "mass" | "pitch inertia" | "release">, Case[]>> = {
  scale: [
    {
      of: "the picks of a rod's ends",
      session: ofShot({ scale: ROD }),
      draw: ([ax, ay, bx, by] = []) =>
        ofShot({ scale: { ...ROD, a: picked(ROD.a, 0.8, ax!, ay!), b: picked(ROD.b, 0.8, bx!, by!) } }),
      inputs: 4,
      reaches: ["releaseSpeed", "peakAcceleration", "stroke"],
    },
    {
      of: "a rod's length",
      session: ofShot({ scale: LONG_ROD }),
      draw: ([z] = []) => ofShot({ scale: { ...LONG_ROD, rodM: by(LONG_ROD.rodM, z!) } }),
      inputs: 1,
      reaches: ["releaseSpeed", "peakAcceleration", "stroke"],
    },
    {
      of: "the picks of two rods",
      session: ofShot({ scale: ROD, rods: [SECOND] }),
      draw: (z) => {
        const at = (rod: typeof ROD, from: number) => ({
          ...rod,
          a: picked(rod.a, 0.8, z[from]!, z[from + 1]!),
          b: picked(rod.b, 0.8, z[from + 2]!, z[from + 3]!),
        });
        return ofShot({ scale: at(ROD, 0), rods: [at(SECOND, 4)] });
      },
      inputs: 8,
      reaches: ["releaseSpeed", "peakAcceleration"],
    },
  ],
  plumb: [
    {
      of: "the picks of a plumb's ends, both of them",
      session: ofShot({ plumb: PLUMB }),
      draw: ([tx, ty, bx, by] = []) =>
        ofShot({
          plumb: {
            ...PLUMB,
            top: picked(PLUMB.top, 1.1, tx!, ty!),
            bottom: picked(PLUMB.bottom, 1.1, bx!, by!),
          },
        }),
      inputs: 4,
      reaches: ["launchAngle", "pitchAtRelease"],
    },
    {
      of: "how true a plumb hangs",
      session: ofShot({ plumb: LEANING }),
      draw: ([z] = []) =>
        ofShot({ plumb: { ...LEANING, bottom: swung(LEANING.bottom, LEANING.top, 0.006 * z!) } }),
      inputs: 1,
      reaches: ["launchAngle", "pitchAtRelease"],
    },
    {
      of: "the picks of a level line's ends, both of them",
      session: ofShot({ plumb: null, level: LEVEL }),
      draw: ([lx, ly, rx, ry] = []) =>
        ofShot({
          plumb: null,
          level: {
            ...LEVEL,
            left: picked(LEVEL.left, 0.9, lx!, ly!),
            right: picked(LEVEL.right, 0.9, rx!, ry!),
          },
        }),
      inputs: 4,
      reaches: ["launchAngle", "pitchAtRelease"],
    },
    {
      of: "how level a level line is",
      session: ofShot({ plumb: null, level: { ...LEVEL, uPx: SURE, tiltRad: 0.005 } }),
      draw: ([z] = []) =>
        ofShot({
          plumb: null,
          level: { ...LEVEL, uPx: SURE, tiltRad: 0.005, right: swung(LEVEL.right, LEVEL.left, 0.005 * z!) },
        }),
      inputs: 1,
      reaches: ["launchAngle", "pitchAtRelease"],
    },
  ],
  plane: [
    {
      of: "distance, nearness and turn of the flight plane",
      session: ofShot({ setting: SETTING }),
      draw: ([d, n, t] = []) =>
        ofShot({
          setting: {
            distanceM: by(SETTING.distanceM, d!),
            nearerM: by(SETTING.nearerM, n!),
            turnRad: by(SETTING.turnRad, t!),
          },
        }),
      inputs: 3,
      reaches: ["releaseSpeed", "peakAcceleration"],
    },
    {
      of: "the picks of known points",
      session: ofControl({ uM: 1e-9 }),
      draw: (z) =>
        ofControl({
          uM: 1e-9,
          points: CONTROL.points.map((one, i) => ({
            ...one,
            at: picked(one.at, CONTROL.uPx, z[2 * i]!, z[2 * i + 1]!),
          })),
        }),
      inputs: 8,
      reaches: ["releaseSpeed", "launchAngle"],
    },
    {
      of: "the places of known points",
      session: ofControl({ uPx: SURE }),
      draw: (z) =>
        ofControl({
          uPx: SURE,
          points: CONTROL.points.map((one, i) => ({
            ...one,
            xM: one.xM + CONTROL.uM * z[2 * i]!,
            yM: one.yM + CONTROL.uM * z[2 * i + 1]!,
          })),
        }),
      inputs: 8,
      reaches: ["releaseSpeed", "launchAngle"],
    },
  ],
  lens: [
    {
      of: "two correlated terms of the lens",
      session: ofCamera({ lens: LENS }),
      draw: ([one, other] = []) =>
        ofCamera({
          lens: {
            ...LENS,
            focalPx: LENS.focalPx + FOCAL_BY * one!,
            k1: LENS.k1 + K1_BY[0] * one! + K1_BY[1] * other!,
          },
        }),
      inputs: 2,
      reaches: ["releaseSpeed", "launchAngle"],
    },
    {
      of: "a lens without a profile, before known points",
      session: ofShot({ control: SURE_CONTROL }),
      draw: ([z] = []) =>
        ofShot({
          control: {
            ...SURE_CONTROL,
            points: CONTROL.points.map((one) => ({ ...one, at: bentBy(one.at, z!) })),
          },
          marks: SURE_SHOT.marks.map((mark) => {
            const [x, y] = bentBy([mark.x, mark.y], z!);
            return { ...mark, x, y };
          }),
        }),
      inputs: 1,
      reaches: ["releaseSpeed", "launchAngle"],
    },
  ],
  clock: [
    {
      of: "the capture rate",
      session: ofShot({ clock: { kind: "capture-rate", captureRateHz: { value: 960, u: 4 } } }),
      draw: ([z] = []) =>
        ofShot({ clock: { kind: "capture-rate", captureRateHz: { value: 960 + 4 * z!, u: 4 } } }),
      inputs: 1,
      reaches: ["releaseSpeed", "peakAcceleration", "pitchRateAtRelease", "pushTime"],
    },
    {
      of: "the capture rates of three parts, of which two are one",
      session: ofParts(partsBy([0, 0, 0, 0], 0.004, 1e-5)),
      draw: ([one, other] = []) => ofParts(partsBy([one!, other!, 0, 0], 0.004, 1e-5)),
      inputs: 2,
      reaches: ["releaseSpeed", "peakAcceleration", "pushTime"],
    },
    {
      of: "the borders between parts",
      session: ofParts(partsBy([0, 0, 0, 0], 1e-8, 0.04)),
      draw: ([one, other] = []) => ofParts(partsBy([0, 0, one!, other!], 1e-8, 0.04)),
      inputs: 2,
      // the push's end by 98 % of the speed bends with the sign of a shift there
      reaches: ["releaseSpeed"],
    },
  ],
  shutter: [
    {
      of: "the time its rows take",
      session: ofCamera({ readoutS: { value: 4e-3, u: 3e-3 } }),
      draw: ([z] = []) => ofCamera({ readoutS: { value: 4e-3 + 3e-3 * z!, u: 3e-3 } }),
      inputs: 1,
      reaches: ["releaseSpeed"],
    },
  ],
  camera: [
    {
      of: "a camera whose movement was taken out by the background",
      session: ofShot({ movement: driftingBy(0, 0) }),
      draw: ([right, down] = []) => ofShot({ movement: driftingBy(right!, down!) }),
      inputs: 2,
      reaches: ["releaseSpeed", "launchAngle"],
    },
  ],
  "centre of gravity": [
    {
      of: "its place along the line",
      session: ofAxis({ alongM: { ...AXIS.alongM, u: 0.01 } }),
      draw: ([z] = []) => ofAxis({ alongM: by({ ...AXIS.alongM, u: 0.01 }, z!) }),
      inputs: 1,
      beside: true,
      reaches: ["launchAngle"],
    },
    {
      of: "its place above the line",
      session: ofAxis({ aboveM: { ...AXIS.aboveM, u: 0.01 } }),
      draw: ([z] = []) => ofAxis({ aboveM: by({ ...AXIS.aboveM, u: 0.01 }, z!) }),
      inputs: 1,
      beside: true,
      reaches: ["releaseSpeed"],
    },
  ],
  marks: [
    {
      of: "the hand marks that a follower's marks hang on",
      session: ofShot({ ...BESIDE, marks: [...FOLLOWED] }),
      draw: (z) =>
        ofShot({
          ...BESIDE,
          marks: FOLLOWED.map((mark) => {
            if (mark.by === "hand") return mark;
            const at = mark.pointId === "nose" ? 0 : 2;
            const u = HAND_U[mark.pointId]!;
            return { ...mark, x: mark.x + u * z[at]!, y: mark.y + u * z[at + 1]! };
          }),
        }),
      inputs: 4,
      beside: true,
      reaches: ["pitchAtRelease"],
    },
  ],
};

/** Rows of the 16 × 16 Hadamard matrix without its first column: sixteen draws of up to fifteen inputs. */
const ROWS = Array.from({ length: 16 }, (_, row) =>
  Array.from({ length: 15 }, (_, input) => (bits(row & (input + 1)) % 2 === 0 ? 1 : -1)),
);
function bits(n: number): number {
  return n === 0 ? 0 : (n & 1) + bits(n >> 1);
}

function setUpOf(session: Session): MeasuringSetUp {
  const { setUp, notices } = measuringSetUp(filmedShot(session, session.shots[0]!), FACTS);
  if (setUp === null) throw new RangeError(JSON.stringify(notices));
  return setUp;
}

/** Standard deviation of each result over the drawn documents. */
function drawnU({ session, draw, inputs }: Case): ReadonlyMap<QuantityName, number> {
  const { marks, axis } = setUpOf(session);
  const fit = unwrap(fitMotion({ marks, axis, release: { by: "change-point" } }, null));
  const body = bodyOf(firstOf(session).airframe);
  const draws = ROWS.map((row) => {
    const drawn = setUpOf(draw(row.slice(0, inputs)));
    return resultNumbers(refit(fit, drawn.marks, drawn.axis)!, body);
  });
  const names = Object.keys(draws[0]!) as QuantityName[];
  return new Map(
    names.map((name) => {
      const values = draws.map((one) => one[name]!);
      const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
      return [name, Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length)];
    }),
  );
}

const lineOf = (session: Session, name: QuantityName, source: BudgetLine["source"]): number =>
  measured(session).budget[name]!.find((line) => line.source === source)?.u ?? 0;
const results = new Map<Session, NonNullable<ReturnType<typeof measureShot>["measurement"]>>();
function measured(session: Session) {
  const known = results.get(session) ?? measureShot(session, FIRST.id, FACTS).measurement!;
  results.set(session, known);
  return known;
}

describe("a line of the budget is what drawing its input gives", () => {
  const cases = Object.entries(CASES).flatMap(([source, list]) =>
    list.map((one) => [source as keyof typeof CASES, one.of, one] as const),
  );
  it.each(cases)("%s: %s", (source, _, one) => {
    const drawn = drawnU(one);
    for (const name of one.reaches) {
      const line = lineOf(one.session, name, source);
      // The marks' line holds their own scatter too, which is the same where a hand placed every mark.
      const scatter = source === "marks" ? lineOf(handPlaced(one.session), name, source) : 0;
      const shared = Math.sqrt(line ** 2 - scatter ** 2);
      expect(Math.abs(shared / drawn.get(name)! - 1), name).toBeLessThan(LINEAR);
    }
  });

  it("is there for nothing but what is doubtful", () => {
    for (const [source, list] of Object.entries(CASES)) {
      for (const { session, reaches } of list.filter(({ beside }) => beside === undefined)) {
        const lines = reaches.flatMap((name) => measured(session).budget[name]!.map((line) => line.source));
        expect([...new Set(lines)].sort()).toEqual([...new Set(["marks", source])].sort());
      }
    }
  });
});

function handPlaced(session: Session): Session {
  return {
    ...session,
    shots: session.shots.map((shot) => ({
      ...shot,
      marks: shot.marks.map((mark) => ({ ...mark, by: "hand" as const })),
    })),
  };
}

describe("what the airframe brings to forces", () => {
  const airframe = (patch: Partial<Airframe>): Session =>
    oneOfEach({
      ...SURE_SESSION,
      airframe: { ...firstOf(SURE_SESSION).airframe, ...patch },
    });
  const massKg = { value: 0.62, u: 0.03 };
  const pitchInertiaKgM2 = { value: 0.012, u: 0.002 };
  const SMALL = 0.02; // of u: the push line's offset goes with 1/mass
  const BY_MASS = ["peakForce", "meanForce", "impulse", "pushWork", "peakPower", "pushLineOffset"];

  it.each([
    ["mass", "massKg", massKg],
    ["pitch inertia", "pitchInertiaKgM2", pitchInertiaKgM2],
  ] as const)("%s: in every result as much as it moves that result, and no more", (source, key, input) => {
    const whole = airframe({ massKg, pitchInertiaKgM2, [key]: input });
    const low = measured(airframe({ massKg, pitchInertiaKgM2, [key]: by(input, -SMALL) })).quantities;
    const names = Object.keys(measured(whole).budget) as QuantityName[]; // stall and lift keep none
    const high = measured(airframe({ massKg, pitchInertiaKgM2, [key]: by(input, SMALL) })).quantities;
    const moves = names.map((name) => {
      const moved = Math.abs(high[name]!.value - low[name]!.value) / (2 * SMALL);
      return [name, moved] as const;
    });
    const moving = moves.filter(([, moved]) => moved > 0).map(([name]) => name);
    expect(moving).toEqual(key === "massKg" ? BY_MASS : ["pushLineOffset"]);
    for (const [name, moved] of moves) {
      const line = lineOf(whole, name, source);
      expect([name, moved === 0 ? line : line / moved]).toEqual([
        name,
        expect.closeTo(moved === 0 ? 0 : 1, 4),
      ]);
    }
  });
});

describe("the band of a curve", () => {
  /**
   * Of a curve's u at release, what the systematic parts add: its u with them less, in squares, its u
   * without.
   */
  function added(session: Session, curve: "position" | "speed" | "pitch" | "pitchRate"): number {
    const at = (one: Session) => {
      const { curves } = measured(one);
      const i = curves.timeS.findIndex((timeS) => timeS >= 0);
      return curves[curve].u[i]!;
    };
    return Math.sqrt(at(session) ** 2 - at(SURE_SESSION) ** 2);
  }

  it("holds the plumb's part of the pitch, at every instant alike", () => {
    const session = ofShot({ plumb: LEANING });
    expect(added(session, "pitch") / lineOf(session, "pitchAtRelease", "plumb")).toBeCloseTo(1, 2);
  });

  it("is at release as wide as what is said of release itself", () => {
    const { curves, quantities } = measured(SURE_SESSION);
    const i = curves.timeS.findIndex((timeS) => timeS >= 0);
    for (const [curve, name] of [
      ["pitch", "pitchAtRelease"],
      ["speed", "releaseSpeed"],
    ] as const) {
      const ratio = curves[curve].u[i]! / quantities[name]!.u;
      // The instant is fixed in the one and doubtful in the other, and lies up to one
      // step of the curve later.
      expect(ratio, curve).toBeGreaterThan(0.5);
      expect(ratio, curve).toBeLessThan(1.5);
    }
  });

  it("holds the scale's part of speed and travel", () => {
    const session = ofShot({ scale: LONG_ROD });
    expect(added(session, "speed") / lineOf(session, "releaseSpeed", "scale")).toBeCloseTo(1, 1);
    expect(added(session, "position") / lineOf(session, "stroke", "scale")).toBeCloseTo(1, 1);
  });

  it("holds the clock's part of the pitch rate", () => {
    const session = ofShot({ clock: { kind: "capture-rate", captureRateHz: { value: 960, u: 300 } } });
    const line = lineOf(session, "pitchRateAtRelease", "clock");
    expect(added(session, "pitchRate") / line).toBeCloseTo(1, 0);
  });
});

it("has a line for every headline of a shot in which everything is doubtful", () => {
  for (const name of HEADLINES) {
    const { budget, quantities } = measureShot(EXAMPLE, FIRST.id, null).measurement!;
    expect(Math.hypot(...budget[name]!.map(({ u }) => u))).toBeCloseTo(quantities[name]!.u, 12);
  }
});
