import type { SoughtPick } from "../../../src/shared/carry/find-pick.ts";
import type { GreyImage } from "../../../src/shared/follow/grey-image.ts";
import type { PxPoint } from "../../../src/shared/quantity/point.ts";
import { DRAWN, drawn, sceneAt } from "../background/drawn-scene.ts";

/** How a camera stands: its picture moved and turned about the middle, and zoomed, from the first one. */
export interface Stand {
  readonly shift?: PxPoint;
  readonly turnRad?: number;
  readonly zoom?: number;
}

export interface DrawnSetUp {
  readonly stand?: Stand;
  /** px that the body lies off where it lay. */
  readonly body?: PxPoint;
  /** px that the rod was moved by against the scene. */
  readonly rod?: PxPoint;
  /** Nothing hangs there. */
  readonly unhung?: true;
  /** px from the nose to another thing that looks like it. */
  readonly twin?: PxPoint;
  /** Grey levels are gain times what they were, plus bias. */
  readonly light?: readonly [gain: number, bias: number];
  readonly seed?: number;
}

const ROD = { a: [88.3, 301.6], b: [392.7, 296.2] } as const;
const PLUMB = { top: [58.4, 62.7], bottom: [61.2, 262.4] } as const;
const NOSE: PxPoint = [302.6, 188.7];
const TAIL: PxPoint = [201.3, 200.4];
const MIDDLE: PxPoint = [DRAWN.width / 2, DRAWN.height / 2];

/** What a person picked in the first picture, each by so much off as a hand is. */
export const SOUGHT: readonly SoughtPick[] = [
  { id: "scale.a", frame: 3, at: off(ROD.a, 0.3, -0.2), kind: "place" },
  { id: "scale.b", frame: 3, at: off(ROD.b, -0.4, 0.1), kind: "place" },
  { id: "plumb.top", frame: 3, at: [...PLUMB.top], kind: "line", otherEnd: PLUMB.bottom },
  { id: "plumb.bottom", frame: 3, at: [...PLUMB.bottom], kind: "line", otherEnd: PLUMB.top },
  { id: "point.nose", frame: 3, at: off(NOSE, 0.2, 0.3), kind: "body" },
  { id: "point.tail", frame: 3, at: off(TAIL, -0.1, -0.3), kind: "body" },
];

/** Where a picture shows a place of the first one. */
export function seenFrom({ shift = [0, 0], turnRad = 0, zoom = 1 }: Stand, [x, y]: PxPoint): PxPoint {
  const [dx, dy] = [x - MIDDLE[0], y - MIDDLE[1]];
  const [c, s] = [zoom * Math.cos(turnRad), zoom * Math.sin(turnRad)];
  return [MIDDLE[0] + c * dx - s * dy + shift[0], MIDDLE[1] + s * dx + c * dy + shift[1]];
}

/** A rod on the ground, a hanging line, and a bar with a dark spot at either end, before a scene of blobs. */
export function drawnSetUp(setUp: DrawnSetUp = {}): GreyImage {
  const { stand = {}, body = [0, 0], rod = [0, 0], unhung, twin, light = [1, 0], seed = 31 } = setUp;
  const sceneOf = (px: PxPoint) => backFrom(stand, px);
  const nose = off(NOSE, ...body);
  const tail = off(TAIL, ...body);
  const things: readonly (readonly [PxPoint, PxPoint, number, number])[] = [
    [off(ROD.a, ...rod), off(ROD.b, ...rod), 3, 225],
    ...(unhung ? [] : [[PLUMB.top, PLUMB.bottom, 0.8, 20] as const]),
    [nose, tail, 8, 205],
    [nose, nose, 4, 30],
    [tail, tail, 3, 30],
    ...(twin === undefined ? [] : ([...spot(off(nose, ...twin))] as const)),
  ];
  const picture = drawn(sceneOf, seed, (px) => {
    const at = sceneOf(px);
    return things.reduce((level, [from, to, radius, grey]) => {
      const cover = Math.min(1, Math.max(0, radius + 0.5 - distanceTo(at, from, to)));
      return level + cover * (grey - level);
    }, sceneAt(at));
  });
  const data = picture.data as Uint8Array;
  return {
    ...picture,
    data: data.map((grey) => Math.max(0, Math.min(255, Math.round(light[0] * grey + light[1])))),
  };
}

function spot(at: PxPoint): readonly (readonly [PxPoint, PxPoint, number, number])[] {
  return [
    [at, off(at, -40, 4.6), 8, 205],
    [at, at, 4, 30],
  ];
}

function backFrom({ shift = [0, 0], turnRad = 0, zoom = 1 }: Stand, [x, y]: PxPoint): PxPoint {
  const [dx, dy] = [x - MIDDLE[0] - shift[0], y - MIDDLE[1] - shift[1]];
  const [c, s] = [Math.cos(turnRad) / zoom, Math.sin(turnRad) / zoom];
  return [MIDDLE[0] + c * dx + s * dy, MIDDLE[1] - s * dx + c * dy];
}

function off([x, y]: PxPoint, dx: number, dy: number): PxPoint {
  return [x + dx, y + dy];
}

function distanceTo([x, y]: PxPoint, [ax, ay]: PxPoint, [bx, by]: PxPoint): number {
  const [dx, dy] = [bx - ax, by - ay];
  const square = dx * dx + dy * dy;
  const along = square === 0 ? 0 : Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / square));
  return Math.hypot(x - ax - along * dx, y - ay - along * dy);
}
