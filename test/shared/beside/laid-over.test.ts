import { describe, expect, it } from "vitest";
import { laidOver, mapped } from "../../../src/shared/beside/laid-over.ts";
import type { ShotOnPlane } from "../../../src/shared/beside/shot-on-plane.ts";
import type { PxPoint } from "../../../src/shared/quantity/point.ts";
import { refuse, unwrap } from "../../../src/shared/quantity/result.ts";
import type { PlanePlace } from "../../../src/shared/scale/picture-map.ts";
import { UnseenPlaceError } from "../../../src/shared/scale/unseen-place.ts";

type Plane = (px: PxPoint) => PlanePlace;

/** A shot by its map to the plane alone. */
function shot(shotId: string, toMetres: Plane, part: Partial<ShotOnPlane> = {}): ShotOnPlane {
  return {
    ...{ shotId, picturePx: [800, 600], bends: false, moves: false, view: "square", upright: true },
    lens: { straighten: (px) => px, bend: (px) => px },
    mapOf: () => toMetres,
    seenNear: () => [300, 200],
    scale: { value: 0.002, u: 0 },
    ...{ direction: "right", pointNames: [] },
    airframeAt: () => refuse("no-marks"),
    rod: () => refuse("no-rod"),
    ...part,
  };
}

/** 2 mm/px, level. */
const FIRST = shot("a", ([x, y]) => [0.002 * x, -0.002 * y], { scale: { value: 0.002, u: 6e-6 } });
const at = (x: number, y: number, u = 0) => ({ at: [x, y] as const, u });
const lay = (second: ShotOnPlane, places = [at(0, 0), at(0, 0)] as const, first = FIRST) =>
  laidOver([first, second], { places }, [0, 0]);
const PLACES: readonly PxPoint[] = [
  [0, 0],
  [799, 3],
  [120, 410],
];

describe("laidOver", () => {
  it("turns, resizes and moves the second picture so that one place of both falls together", () => {
    // 5 mm/px, its upright 3 by 4 out of true
    const second = shot("b", ([x, y]) => [0.001 * (4 * x + 3 * y), 0.001 * (3 * x - 4 * y)], {
      scale: { value: 0.005, u: 20e-6 },
    });
    const { matrix, enlarged, placeUPx, bendPx } = unwrap(
      lay(second, [at(0.5, -0.3, 0.003), at(0.1, 0.2, 0.004)]),
    );
    for (const [x, y] of PLACES) {
      const [forward, up] = [0.001 * (4 * x + 3 * y) + 0.4, 0.001 * (3 * x - 4 * y) - 0.5];
      const found = mapped(matrix, [x, y]);
      expect(found.at[0]).toBeCloseTo(forward / 0.002, 6);
      expect(found.at[1]).toBeCloseTo(-up / 0.002, 6);
      expect(found.depth).toBeGreaterThan(0);
    }
    expect(enlarged.value).toBeCloseTo(2.5, 9);
    expect(enlarged.u).toBeCloseTo(2.5 * Math.hypot(0.003, 0.004), 9);
    expect(placeUPx).toBeCloseTo(0.005 / 0.002, 9);
    expect(bendPx).toBe(0);
  });

  it("mirrors a flight the other way, forward to forward", () => {
    const second = shot("b", ([x, y]) => [-0.002 * x, -0.002 * y]);
    const { matrix } = unwrap(lay(second, [at(1, 0), at(0, 0)]));
    const found = mapped(matrix, [100, 70]).at;
    expect(found[0]).toBeCloseTo(400, 6); // 0.2 m back from the place at 500 px
    expect(found[1]).toBeCloseTo(70, 6);
  });

  it("takes out the perspective that either plane is known to be seen in", () => {
    const seen: Plane = ([x, y]) => [x / (1000 - y / 2), -y / (1000 - y / 2)];
    const ahead = unwrap(lay(shot("b", seen)));
    for (const px of PLACES) {
      const [forward, up] = seen(px);
      const found = mapped(ahead.matrix, px);
      expect(found.at[0]).toBeCloseTo(forward / 0.002, 6);
      expect(found.at[1]).toBeCloseTo(-up / 0.002, 6);
      const back = unwrap(lay(FIRST, undefined, shot("b", seen)));
      expect(mapped(back.matrix, found.at).at[0]).toBeCloseTo(px[0], 6);
      expect(mapped(back.matrix, found.at).at[1]).toBeCloseTo(px[1], 6);
    }
    // At the place that falls together, (0, 0): half the first's pixels a pixel there.
    expect(ahead.enlarged.value).toBeCloseTo(0.5, 9);
  });

  it("lays a bent picture as near as a straight map can, and says how far that is off", () => {
    const bent = (by: number): ShotOnPlane["lens"] => {
      const out = ([x, y]: PxPoint, k: number): PxPoint => {
        const [dx, dy] = [x - 400, y - 300];
        const times = 1 + (k * (dx ** 2 + dy ** 2)) / 500 ** 2;
        return [400 + dx * times, 300 + dy * times];
      };
      return { straighten: (px) => out(px, by), bend: (px) => out(px, -by) };
    };
    const map: Plane = ([x, y]) => [0.002 * x, -0.002 * y];
    const off = (by: number) => unwrap(lay(shot("b", map, { bends: true, lens: bent(by) }))).bendPx;
    expect(off(0)).toBeLessThan(1e-6);
    expect(off(0.002)).toBeGreaterThan(0.1);
    expect(off(0.004) / off(0.002)).toBeCloseTo(2, 1);
    expect(off(0.004)).toBeLessThan(0.004 * 500); // what leaving the lens in would be at a corner
  });

  it("lays a shot over itself without error", () => {
    const { matrix, enlarged, placeUPx } = unwrap(lay(FIRST, [at(0.1, 0.1, 0.01), at(0.1, 0.1, 0.01)]));
    expect(mapped(matrix, [123, 45]).at[0]).toBeCloseTo(123, 6);
    expect(enlarged).toEqual({ value: expect.closeTo(1, 9), u: 0 });
    expect(placeUPx).toBe(0);
  });

  it("refuses frames that nothing ties to the others, planes seen edge on, and pictures that do not meet", () => {
    const code = (found: ReturnType<typeof lay>) => (found.ok ? "ok" : found.code);
    const untied = shot("b", ([x, y]) => [x, -y], { mapOf: () => null });
    expect(code(lay(untied))).toBe("untied-second");
    expect(code(lay(FIRST, undefined, untied))).toBe("untied-first");
    const edgeOn = shot("b", (px) => {
      throw new UnseenPlaceError(px, "beyond the horizon");
    });
    expect(code(lay(edgeOn))).toBe("unseen");
    const second = shot("b", ([x, y]) => [0.002 * x, -0.002 * y]);
    expect(code(lay(second, [at(1.5, 0), at(0, 0)]))).toBe("ok");
    expect(code(lay(second, [at(1.7, 0), at(0, 0)]))).toBe("apart"); // 850 px aside of 800
  });
});
