import { expect, it } from "vitest";
import { findSetUp } from "../../../src/shared/carry/find-set-up.ts";
import type { PxPoint } from "../../../src/shared/quantity/point.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { drawn } from "../background/drawn-scene.ts";
import { type DrawnSetUp, drawnSetUp, SOUGHT, type Stand, seenFrom } from "./drawn-set-up.ts";

const PLAIN = { straighten: (px: PxPoint) => px, bend: (px: PxPoint) => px };
const FORMER = [{ frame: 3, image: drawnSetUp() }];
const NUDGED: Stand = { shift: [3.2, -2.4], turnRad: (0.2 * Math.PI) / 180 };

function foundIn(...setUps: DrawnSetUp[]) {
  const pictures = setUps.map((setUp, i) => ({
    frame: 10 * i,
    image: drawnSetUp({ seed: 77 + i, ...setUp }),
  }));
  return findSetUp(SOUGHT, FORMER, pictures, PLAIN);
}

/** px that each pick is found off where it truly lies, a line's across it, over the u that is stated. */
function errors(setUp: DrawnSetUp) {
  const { picks } = unwrap(foundIn(setUp));
  return picks.map(({ id, at, uPx }, i) => {
    const { at: picked, kind, otherEnd } = SOUGHT[i]!;
    const [bx, by] = kind === "body" ? (setUp.body ?? [0, 0]) : [0, 0];
    const true_ = seenFrom(setUp.stand ?? {}, [picked[0] + bx, picked[1] + by]);
    const [dx, dy] = [at[0] - true_[0], at[1] - true_[1]];
    if (otherEnd === undefined) return { id, px: Math.hypot(dx, dy), uPx };
    const along = Math.atan2(otherEnd[1] - picked[1], otherEnd[0] - picked[0]) + (setUp.stand?.turnRad ?? 0);
    return { id, px: Math.abs(dy * Math.cos(along) - dx * Math.sin(along)), uPx };
  });
}

it("finds every pick of a nudged camera again to a tenth of a pixel, and says how it moved", () => {
  const setUp = { stand: NUDGED, body: [5, 1] as const };
  const { camera, picks, frame } = unwrap(foundIn(setUp));
  expect(frame).toBe(0);
  expect(picks.map(({ id, doubt }) => [id, doubt])).toEqual(SOUGHT.map(({ id }) => [id, null]));
  for (const [k, true_] of NUDGED.shift!.entries()) {
    expect(Math.abs(camera.shiftPx[k]! - true_)).toBeLessThan(4 * camera.uShiftPx);
  }
  expect(Math.abs(camera.turnRad - NUDGED.turnRad!)).toBeLessThan(4 * camera.uTurnRad + 1e-5);
  expect(camera.uTurnRad).toBeLessThan(0.05 * NUDGED.turnRad!);
  expect(Math.abs(camera.zoom - 1)).toBeLessThan(1e-3);
  for (const { id, px, uPx } of errors(setUp)) {
    expect.soft(px, id).toBeLessThan(0.12);
    expect.soft(px / uPx, id).toBeLessThan(3.5);
  }
});

it("finds them in another light", () => {
  const setUp = { stand: NUDGED, light: [0.7, 12] as const };
  expect(unwrap(foundIn(setUp)).picks.every(({ doubt }) => doubt === null)).toBe(true);
  for (const { id, px } of errors(setUp)) expect.soft(px, id).toBeLessThan(0.12);
});

it("takes the last picture in which the airframe still lies as it first lay", () => {
  const lies = { stand: NUDGED, body: [5, 1] as const };
  const flies = { stand: NUDGED, body: [15, -3] as const };
  expect(unwrap(foundIn(lies, lies, flies, lies)).frame).toBe(10);
  // not yet put into the launcher in the first
  const away = { stand: NUDGED, body: [500, 500] as const };
  expect(unwrap(foundIn(away, lies, flies)).frame).toBe(10);
});

it("is not sure of what was moved, taken away or has a twin, and says which and why", () => {
  const doubts = (setUp: DrawnSetUp) =>
    Object.fromEntries(
      unwrap(foundIn(setUp)).picks.flatMap(({ id, doubt }) => (doubt === null ? [] : [[id, doubt.why]])),
    );
  expect(doubts({ stand: NUDGED, rod: [7, 4] })).toEqual({ "scale.a": "moved", "scale.b": "moved" });
  expect(doubts({ stand: NUDGED, rod: [500, 500] })).toEqual({
    "scale.a": "not-found",
    "scale.b": "not-found",
  });
  expect(doubts({ stand: NUDGED, unhung: true })).toMatchObject({ "plumb.top": "not-found" });
  expect(doubts({ stand: NUDGED, body: [500, 500] })).toEqual({
    "point.nose": "not-found",
    "point.tail": "not-found",
  });
  expect(doubts({ stand: NUDGED, body: [20, 2], twin: [0, 40] })).toMatchObject({
    "point.nose": "two-alike",
  });
});

it("refuses another scene, another zoom and another size of picture", () => {
  const refused = (image: ReturnType<typeof drawn>) => {
    const found = findSetUp(SOUGHT, FORMER, [{ frame: 0, image }], PLAIN);
    return found.ok ? "found" : found.code;
  };
  expect(refused(drawn(([x, y]) => [y + 300, x - 140], 5))).toBe("other-scene");
  expect(refused(drawnSetUp({ stand: { zoom: 1.02 } }))).toBe("other-zoom");
  expect(refused(drawnSetUp({ stand: { zoom: 1.2 } }))).toBe("other-scene");
  expect(refused({ width: 240, height: 180, data: new Uint8Array(240 * 180) })).toBe("other-size");
});
