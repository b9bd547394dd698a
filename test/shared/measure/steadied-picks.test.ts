import { describe, expect, it } from "vitest";
import { exampleCamera } from "../../../src/main/example/example-camera.ts";
import {
  type PostId,
  TRUE_PLUMB,
  TRUE_POSTS,
  TRUE_SCALE_ROD,
  worldToPixel,
} from "../../../src/main/example/example-scene.ts";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { exampleTruth } from "../../../src/main/example/example-truth.ts";
import type { ExampleVariant } from "../../../src/main/example/example-variant.ts";
import { measureShot } from "../../../src/shared/measure/measure-shot.ts";
import { lensOutOf } from "../../../src/shared/measure/picture-map-of.ts";
import { steadiedPicks } from "../../../src/shared/measure/steadied-picks.ts";
import { steadying } from "../../../src/shared/measure/steadying.ts";
import { filmedShot } from "../../../src/shared/session/filmed-shot.ts";
import { type Session, SessionSchema, type Shot } from "../../../src/shared/session/schema.ts";
import { variantFacts } from "../../main/example/variant-facts.ts";
import { ofShot } from "../../support/notice-codes.ts";

const variant: ExampleVariant = "shake";
const camera = exampleCamera(variant);
const DRAWN = exampleSession(1, variant);
/** Posts marked without error, though said to be good to 0.4 px: then what is left is the method's own. */
const SHOT: Shot = {
  ...DRAWN.shots[0]!,
  marks: DRAWN.shots[0]!.marks.map((mark) => {
    if (!(mark.pointId in TRUE_POSTS)) return mark;
    const [x, y] = seen(TRUE_POSTS[mark.pointId as PostId], mark.frame);
    return { ...mark, x, y };
  }),
};
const SESSION: Session = { ...DRAWN, shots: [SHOT] };
const LENS = lensOutOf(filmedShot(SESSION, SHOT).camera?.lens);
const SHAKE = steadying(filmedShot(SESSION, SHOT), LENS, null).posts!;
const FRAMES = [...new Set(SHOT.marks.map((mark) => mark.frame))];
const truth = exampleTruth().shots[0]!.quantities.launchAngle!.value;

/** A place of the flight plane as it is seen in a frame. */
function seen(place: readonly [number, number], frame: number): [number, number] {
  const [x, y] = camera.seen(worldToPixel(place), camera.timeOf(frame));
  return [x, y];
}
/** The marked frame in which the camera is turned farthest from the first. */
const far = FRAMES.reduce((best, frame) =>
  Math.abs(SHAKE.at(frame)!.turnRad) > Math.abs(SHAKE.at(best)!.turnRad) ? frame : best,
);
const TURN = Math.abs(SHAKE.at(far)!.turnRad);
/** Scale and plumb as picked, without error, in one frame each. */
function pickedAt(rod: number, plumb: number): Pick<Shot, "scale" | "plumb"> {
  return {
    scale: {
      ...SHOT.scale!,
      a: seen(TRUE_SCALE_ROD.a, rod),
      b: seen(TRUE_SCALE_ROD.b, rod),
      aFrame: rod,
      bFrame: rod,
    },
    plumb: {
      ...SHOT.plumb!,
      top: seen(TRUE_PLUMB.top, plumb),
      bottom: seen(TRUE_PLUMB.bottom, plumb),
      topFrame: plumb,
      bottomFrame: plumb,
    },
  };
}
const withShot = (patch: Partial<Shot>): Session => ({ ...SESSION, shots: [{ ...SHOT, ...patch }] });
function angleOf(patch: Partial<Shot>): number {
  const { measurement } = measureShot(withShot(patch), SHOT.id, variantFacts(variant));
  return measurement!.quantities.launchAngle!.value;
}

it("is kept in the document, and documents without it stay as they are", () => {
  const session = withShot(pickedAt(far, far));
  expect(SessionSchema.parse(session)).toEqual(session);
  expect(SessionSchema.parse(SESSION).shots[0]!.scale).not.toHaveProperty("aFrame");
});

describe("steadiedPicks", () => {
  it("brings each pick from its own frame to the one the shake is taken out to", () => {
    const { shot, notices } = steadiedPicks({ ...SHOT, ...pickedAt(far, far) }, LENS, SHAKE);
    expect(notices).toEqual([]);
    const home = SHAKE.referenceFrame;
    const moved = (from: readonly number[], to: readonly number[]) =>
      Math.hypot(from[0]! - to[0]!, from[1]! - to[1]!);
    const places = [
      [shot.scale!.a, TRUE_SCALE_ROD.a],
      [shot.scale!.b, TRUE_SCALE_ROD.b],
      [shot.plumb!.top, TRUE_PLUMB.top],
      [shot.plumb!.bottom, TRUE_PLUMB.bottom],
    ] as const;
    for (const [at, place] of places) {
      expect(moved(at, seen(place, home))).toBeLessThan(0.01);
      expect(moved(seen(place, far), seen(place, home))).toBeGreaterThan(1);
    }
    expect(shot.scale!.uPx).toBeGreaterThan(SHOT.scale!.uPx); // the posts' own doubt comes on top
    expect(shot.scale).not.toHaveProperty("aFrame");
  });

  it("leaves a pick of the reference frame, or of no stated frame, or without a shake", () => {
    const home = { ...SHOT, ...pickedAt(SHAKE.referenceFrame, SHAKE.referenceFrame) };
    expect(steadiedPicks(home, LENS, SHAKE).shot.scale!.a).toEqual(home.scale!.a);
    expect(steadiedPicks(SHOT, LENS, SHAKE).shot).toEqual(SHOT);
    const unshaken = { ...SHOT, ...pickedAt(far, far) };
    expect(steadiedPicks(unshaken, LENS, null).shot).toBe(unshaken);
  });

  it("names a frame that no post ties to the others, and leaves its pick where it is", () => {
    const lost = { ...SHOT, ...pickedAt(0, far) };
    expect(FRAMES).not.toContain(0);
    const { shot, notices } = steadiedPicks(lost, LENS, SHAKE);
    expect(shot.scale!.a).toEqual(lost.scale!.a);
    expect(notices).toMatchObject([{ level: "warning", code: ofShot("pick-without-post") }]);
    expect(notices[0]!.cause).toContain("in frame 0,");
  });

  it("does the same for further rods, the level and known points", () => {
    const { scale, plumb } = pickedAt(far, far);
    const level = {
      left: scale!.a,
      right: scale!.b,
      leftFrame: far,
      rightFrame: far,
      uPx: 0.5,
      tiltRad: 0.003,
    };
    const control = {
      uPx: 0.5,
      uM: 0.001,
      points: [
        { at: scale!.a, frame: far, xM: 0, yM: 0 },
        { at: plumb!.top, xM: -1, yM: 1 },
      ],
    };
    const { shot } = steadiedPicks({ ...SHOT, scale, plumb, rods: [scale!], level, control }, LENS, SHAKE);
    expect(shot.rods![0]).toEqual(shot.scale);
    expect([shot.level!.left, shot.level!.right]).toEqual([shot.scale!.a, shot.scale!.b]);
    expect(shot.control!.points.map(({ at }) => at)).toEqual([shot.scale!.a, plumb!.top]);
  });
});

it("gives the launch angle of picks in the first frame, whichever frame they are made in, and is needed for it", () => {
  const first = angleOf(pickedAt(SHAKE.referenceFrame, SHAKE.referenceFrame));
  const elsewhere = angleOf(pickedAt(far, far));
  const { topFrame: _, bottomFrame: __, ...unknown } = pickedAt(far, far).plumb!;
  const unsaid = angleOf({ ...pickedAt(far, far), plumb: unknown });
  expect(TURN).toBeGreaterThan(1e-3);
  expect(Math.abs(elsewhere - first)).toBeLessThan(1e-5);
  // the plumb seems to lean by what the camera turned
  expect(Math.abs(unsaid - first) / TURN).toBeCloseTo(1, 1);
  expect(Math.abs(elsewhere - truth)).toBeLessThan(0.004);
});
