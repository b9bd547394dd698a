import { describe, expect, it } from "vitest";
import {
  createBackgroundFollower,
  type FrameView,
} from "../../../src/shared/background/follow-background.ts";
import type { PxPoint } from "../../../src/shared/quantity/point.ts";
import { project } from "../../../src/shared/scale/homography-map.ts";
import { DRAWN, drawn } from "./drawn-scene.ts";

const { width, height } = DRAWN;
const MIDDLE: PxPoint = [width / 2, height / 2];
const FOCAL = 600;

interface Pose {
  readonly turnRad?: number;
  readonly zoom?: number;
  readonly shift?: PxPoint;
  /** rad, of a camera swung to the right about its centre */
  readonly swingRad?: number;
}

/** Where a pixel of a posed camera lies in the first picture: the swing out last. */
function sceneOf({ turnRad = 0, zoom = 1, shift = [0, 0], swingRad = 0 }: Pose) {
  return ([x, y]: PxPoint): PxPoint => {
    const [dx, dy] = [x - MIDDLE[0] - shift[0], y - MIDDLE[1] - shift[1]];
    const [c, s] = [Math.cos(turnRad) / zoom, Math.sin(turnRad) / zoom];
    const [u, v] = [c * dx + s * dy, c * dy - s * dx];
    const [cos, sin] = [Math.cos(swingRad), Math.sin(swingRad)];
    const depth = cos * FOCAL - sin * u;
    return [MIDDLE[0] + (FOCAL * (cos * u + sin * FOCAL)) / depth, MIDDLE[1] + (FOCAL * v) / depth];
  };
}

/** px, how far a view's map puts the scene from where a posed camera truly shows it, at a pixel. */
function offAt(view: FrameView, pose: Pose, px: PxPoint): number {
  const [x, y] = project(view.map, sceneOf(pose)(px)).at;
  return Math.hypot(x - px[0], y - px[1]);
}

describe("a followed background", () => {
  const first = drawn((px) => px, 1);

  it("gives shift, turn and zoom of a shaken camera to a few hundredths of a pixel", () => {
    const follower = createBackgroundFollower(first, 0);
    const poses: readonly Pose[] = [
      { shift: [1.3, -2.7], turnRad: 0.004, zoom: 1.003 },
      { shift: [-4.1, 0.6], turnRad: -0.006, zoom: 0.996 },
    ];
    poses.forEach((pose, i) => {
      const view = follower.see(i + 1, drawn(sceneOf(pose), i + 2))!;
      expect(offAt(view, pose, MIDDLE)).toBeLessThan(3 * view.uMiddlePx);
      expect(offAt(view, pose, [20, 20])).toBeLessThan(3 * view.uCornerPx);
      expect(view.uMiddlePx).toBeLessThan(0.06);
    });
  });

  it("says of a still camera that it stood still, though something large crosses the picture", () => {
    const follower = createBackgroundFollower(first, 0);
    for (let frame = 1; frame <= 4; frame++) {
      const left = 40 * frame;
      const crossing = ([x, y]: PxPoint) =>
        x > left && x < left + 150 && y > 90 && y < 260
          ? 128 + 90 * Math.sin((x - left) / 5) * Math.cos(y / 6)
          : null;
      const view = follower.see(
        frame,
        drawn((px) => px, 20 + frame, crossing),
      )!;
      expect(offAt(view, {}, MIDDLE)).toBeLessThan(3 * view.uMiddlePx);
    }
  });

  it("follows a swing of the camera by corners that come into the picture, and says what that adds", () => {
    const follower = createBackgroundFollower(first, 0);
    let view: FrameView | null = null;
    const swing = (frame: number) => 0.012 * frame;
    for (let frame = 1; frame <= 18; frame++) {
      view = follower.see(frame, drawn(sceneOf({ swingRad: swing(frame) }), 40 + frame));
      expect(view, `frame ${frame}`).not.toBeNull();
    }
    const pose = { swingRad: swing(18) };
    expect(offAt(view!, pose, MIDDLE)).toBeLessThan(3 * Math.hypot(view!.uMiddlePx, view!.inheritedPx));
    expect(offAt(view!, pose, [60, 330])).toBeLessThan(3 * Math.hypot(view!.uCornerPx, view!.inheritedPx));
    expect(view!.inheritedPx).toBeGreaterThan(0);
    // the picture has moved by a quarter of its width
    expect(Math.abs(sceneOf(pose)(MIDDLE)[0] - MIDDLE[0])).toBeGreaterThan(width / 4);
  });

  it("finds the scene again after a jump that it could not expect", () => {
    const follower = createBackgroundFollower(first, 0);
    const pose = { shift: [61.4, -38.2] as const };
    const view = follower.see(30, drawn(sceneOf(pose), 90))!;
    expect(offAt(view, pose, MIDDLE)).toBeLessThan(3 * view.uMiddlePx);
  });

  it("gives no view where the picture shows something else, or nothing", () => {
    const follower = createBackgroundFollower(first, 0);
    expect(
      follower.see(
        1,
        drawn(([x, y]) => [y - 150, x + 40], 7),
      ),
    ).toBeNull();
    expect(
      follower.see(
        2,
        drawn(
          () => [0, 0],
          8,
          () => 90,
        ),
      ),
    ).toBeNull();
    const plain = createBackgroundFollower(
      drawn(
        () => [0, 0],
        9,
        () => 90,
      ),
      0,
    );
    expect(plain.places).toBe(0);
  });
});
