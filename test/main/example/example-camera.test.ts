import { describe, expect, it } from "vitest";
import {
  exampleCamera,
  TICKS_PER_S,
  TRUE_LENS,
  TRUE_READOUT_S,
  TRUE_TURN,
} from "../../../src/main/example/example-camera.ts";
import { exampleMotion, examplePixel, examplePose } from "../../../src/main/example/example-motion.ts";
import {
  bodyToWorld,
  PICTURE,
  type Pixel,
  pixelToWorld,
  TRUE_AIRFRAME,
  TRUE_CAMERA,
  TRUE_SCALE_ROD,
  type World,
  worldToPixel,
} from "../../../src/main/example/example-scene.ts";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { pictureOnPlane } from "../../../src/shared/measure/picture-map-of.ts";
import { filmedShot } from "../../../src/shared/session/filmed-shot.ts";
import type { Session, Shot } from "../../../src/shared/session/schema.ts";

const distance = (a: Pixel, b: Pixel) => Math.hypot(a[0] - b[0], a[1] - b[1]);
const PLACES: readonly World[] = [
  [-0.7, 0.6],
  [0.1, 0.05],
  [0.72, 0.31],
  [1.3, 0.7],
];

it("worldToPixel and pixelToWorld undo each other", () => {
  for (const [x, y] of PLACES) {
    const back = pixelToWorld(worldToPixel([x, y]));
    expect(back[0]).toBeCloseTo(x, 12);
    expect(back[1]).toBeCloseTo(y, 12);
  }
});

describe("a variant sees the flight otherwise than the plain camera", () => {
  it("by up to tens of pixels through the lens, nothing at its centre, inwards elsewhere", () => {
    const { seen } = exampleCamera("lens");
    expect(seen(TRUE_LENS.centre, 0)).toEqual(TRUE_LENS.centre);
    // By hand: 950 px to the right r² = 0.25, 1 - 0.12/4 + 0.03/16 = 0.971875.
    expect(seen([966 + 950, 535], 0)[0]).toBeCloseTo(966 + 950 * 0.971875, 9);
    expect(seen([0, 0], 0)[0]).toBeGreaterThan(15);
  });
  it("foreshortened by cos 15° at the scale board, smaller to the right of it and larger to the left", () => {
    const { view } = exampleCamera("turned");
    const { a, b } = TRUE_SCALE_ROD;
    const pivot: World = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
    expect(distance(view!(worldToPixel(pivot)), worldToPixel(pivot))).toBeLessThan(
      1e-3 * distance(worldToPixel(a), worldToPixel(b)),
    );
    const stretch = (x: number, across: World) =>
      distance(view!(worldToPixel([x, 0.2])), view!(worldToPixel([x + across[0], 0.2 + across[1]]))) /
      distance(worldToPixel([x, 0.2]), worldToPixel([x + across[0], 0.2 + across[1]]));
    expect(stretch(pivot[0], [0, 0.01])).toBeCloseTo(1, 3);
    expect(stretch(pivot[0] + 0.5, [0, 0.01])).toBeCloseTo(9 / (9 + 0.5 * Math.sin(TRUE_TURN.turnRad)), 3);
    expect(stretch(pivot[0] - 1.5, [0, 0.01])).toBeGreaterThan(1.04);
    expect(stretch(pivot[0], [0.01, 0])).toBeGreaterThan(Math.cos(TRUE_TURN.turnRad) - 0.03);
    expect(stretch(pivot[0], [0.01, 0])).toBeLessThan(Math.cos(TRUE_TURN.turnRad) + 0.01);
  });
  it("by the row's own time with the shutter: where the target is when its row is read", () => {
    for (const frame of [60, 124, 170]) {
      const [x, y] = examplePixel("nose", frame, "shutter");
      const timeS = frame / TRUE_CAMERA.captureRateHz + (y / PICTURE.height - 0.5) * TRUE_READOUT_S;
      const there = worldToPixel(bodyToWorld(examplePose(timeS), TRUE_AIRFRAME.targets.nose));
      expect(distance([x, y], there)).toBeLessThan(1e-6);
    }
    // In the upper third of the picture at some 10 px a millisecond: clearly earlier.
    expect(examplePixel("nose", 170)[0] - examplePixel("nose", 170, "shutter")[0]).toBeGreaterThan(8);
  });
  it("shifted by up to 3 px and more than 1 px with the shake, otherwise in every frame", () => {
    const { seen, timeOf, frames } = exampleCamera("shake");
    const middle: Pixel = [PICTURE.width / 2, PICTURE.height / 2];
    const shifts = Array.from({ length: frames }, (_, k) => distance(seen(middle, timeOf(k)), middle));
    expect(Math.max(...shifts)).toBeGreaterThan(2);
    expect(Math.max(...shifts)).toBeLessThan(3 * Math.SQRT2);
    expect(new Set(shifts).size).toBe(frames);
  });
  it("one frame late in every seventh frame with repeats", () => {
    const { repeated, shows, timeOf } = exampleCamera("repeats");
    expect(repeated.slice(0, 3)).toEqual([6, 13, 20]);
    expect([shows(5), shows(6), shows(7)]).toEqual([5, 5, 7]);
    expect(timeOf(6)).toBe(timeOf(5));
    expect(examplePixel("tail", 139, "repeats")).toEqual(examplePixel("tail", 138));
  });
  it("at uneven, increasing times of the file when irregular, with some frames lost", () => {
    const { ticks, frames, timeOf } = exampleCamera("irregular");
    const steps = ticks!.slice(1).map((tick, i) => (tick - ticks![i]!) / (TICKS_PER_S / 960));
    expect(ticks![0]).toBe(0);
    expect(Math.min(...steps)).toBeGreaterThan(0.45);
    expect(steps.filter((step) => step > 1.55).length).toBeGreaterThan(3);
    expect(new Set(steps.map((step) => step.toFixed(2))).size).toBeGreaterThan(30);
    expect(frames).toBe(ticks!.length);
    expect(frames).toBeLessThan(TRUE_CAMERA.frames);
    expect(timeOf(100)).toBe(ticks![100]! / TICKS_PER_S);
    expect(timeOf(frames - 1)).toBeGreaterThan(exampleMotion().releaseS + 0.04);
  });
});

it("steadied and straightened undo seen, everywhere in the picture", () => {
  const { seen, straightened, steadied } = exampleCamera("all");
  for (const place of [
    [3, 1077],
    [961, 541],
    [1917, 4],
    [400, 700],
  ] as const) {
    expect(distance(seen(steadied(straightened(place), 0.07), 0.07), place)).toBeLessThan(1e-9);
  }
});

describe("measuring undoes exactly what the camera did, when everything about it is known exactly", () => {
  for (const variant of ["plain", "lens", "turned", "all"] as const) {
    it(`lengths in the flight plane of "${variant}", to a millionth`, () => {
      const camera = exampleCamera(variant);
      // Only the lens and the turn: a shake is taken out frame by frame before.
      const seen = (flat: Pixel) => {
        const ideal = camera.view?.(flat) ?? flat;
        return variant === "all" ? exampleCamera("lens").seen(ideal, 0) : camera.seen(ideal, 0);
      };
      const still = (place: World): [number, number] => {
        const ideal = worldToPixel(place);
        const [x, y] = variant === "all" ? exampleCamera("lens").seen(ideal, 0) : camera.seen(ideal, 0);
        return [x, y];
      };
      const session = exampleSession(1, variant);
      const exact = exactly(
        session,
        still,
        [...seen(worldToPixel([-0.655, 0.675]))],
        [...seen(worldToPixel([-0.655, 0.012]))],
      );
      const filmed = filmedShot(exact, exact.shots[0] as Shot);
      const { plane, notices } = pictureOnPlane(filmed.shot, filmed.camera?.lens, [
        PICTURE.width,
        PICTURE.height,
      ]);
      // The flight's place is not said where the camera is square to it; nothing else is in doubt.
      const isSaid = filmed.shot.setting !== undefined;
      expect(notices.map(({ code }) => code)).toEqual(isSaid ? [] : ["off-plane-assumed"]);
      const metres = PLACES.map((place) => plane!.map.toMetres(plane!.straighten(seen(worldToPixel(place)))));
      for (let i = 1; i < PLACES.length; i++) {
        for (const axis of [0, 1] as const) {
          const found = metres[i]![axis] - metres[0]![axis];
          expect(Math.abs(found - (PLACES[i]![axis] - PLACES[0]![axis]))).toBeLessThan(1e-6);
        }
      }
    });
  }
});

/**
 * A session with the truth in place of every pick and input that the map from picture to plane is made of.
 */
function exactly(
  session: Session,
  still: (place: World) => [number, number],
  top: [number, number],
  bottom: [number, number],
): Session {
  const [camera] = session.cameras;
  const [shot] = session.shots;
  const { setting } = shot!;
  const { focalPx: _, centre, k1, k2 } = TRUE_LENS;
  return {
    ...session,
    cameras: [
      { ...camera!, ...(camera!.lens && { lens: { ...camera!.lens, centrePx: [...centre], k1, k2 } }) },
    ],
    shots: [
      {
        ...shot!,
        scale: {
          ...shot!.scale!,
          a: still(TRUE_SCALE_ROD.a),
          b: still(TRUE_SCALE_ROD.b),
          rodM: { value: 1, u: 0.0005 },
        },
        plumb: { ...shot!.plumb!, top, bottom },
        ...(setting && {
          setting: {
            distanceM: { ...setting.distanceM, value: TRUE_TURN.distanceM },
            nearerM: { ...setting.nearerM, value: 0 },
            turnRad: { ...setting.turnRad, value: TRUE_TURN.turnRad },
          },
        }),
      },
    ],
  };
}
