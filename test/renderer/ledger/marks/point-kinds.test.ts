import { expect, it } from "vitest";
import { KIND_SAYS, POINT_KINDS, shakeSays } from "../../../../src/renderer/ledger/marks/point-kinds.ts";
import { freshSession, freshShot } from "../../../../src/shared/session/fresh.ts";
import type { Mark, Session } from "../../../../src/shared/session/schema.ts";
import { PointSchema } from "../../../../src/shared/session/thing-schemas.ts";

const shot = {
  ...freshShot("shot-1", "one", null),
  scale: { a: [100, 300], b: [600, 300], uPx: 0.5, rodM: { value: 1, u: 0.001 } } as const,
  plumb: { top: [50, 20], bottom: [50, 320], uPx: 0.5, hangRad: 0.001 } as const,
};
const session: Session = {
  ...freshSession("t"),
  points: [
    { id: "nose", name: "nose", on: "airframe", airframeId: "airframe-1", body: null },
    { id: "post", name: "post", on: "post", airframeId: null, body: null },
  ],
};
const mark = (pointId: string, frame: number, x: number, y: number): Mark => ({
  pointId,
  frame,
  x,
  y,
  u: 0.3,
  by: "hand",
});

it("offers every kind that a point can be, each with a sentence", () => {
  expect(POINT_KINDS).toEqual(PointSchema.shape.on.options);
  expect(POINT_KINDS.filter((kind) => !KIND_SAYS[kind].endsWith("."))).toEqual([]);
});

it("says how far the camera moved by the marked posts: 3 px across and 4 px down are 5 px", () => {
  const marks = [
    mark("post", 0, 400, 200),
    mark("post", 1, 403, 204),
    mark("nose", 0, 10, 10),
    mark("nose", 1, 20, 10),
  ];
  const said = shakeSays(session, {
    ...shot,
    scale: { ...shot.scale, a: [100, 300], b: [600, 300] },
    plumb: { ...shot.plumb, top: [50, 20], bottom: [50, 320] },
    marks,
  });
  expect(said).toBe("One post, seen in 2 frames: the camera moved by up to 5.0 px, which is taken out.");
});

it("says nothing without marked posts", () => {
  expect(shakeSays(session, freshShot("shot-1", "one", null))).toBeNull();
});
