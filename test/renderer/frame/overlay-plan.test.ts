import { expect, it } from "vitest";
import { type OverlayInput, overlayPlan } from "../../../src/renderer/frame/overlay-plan.ts";

const points = [
  { id: "nose", name: "nose", on: "airframe", airframeId: "airframe-1", body: null },
  { id: "tail", name: "tail", on: "airframe", airframeId: "airframe-1", body: null },
] as const;
const mark = (pointId: string, frame: number, x: number, y: number) =>
  ({ pointId, frame, x, y, u: 0.4, by: "hand" }) as const;
const bare: OverlayInput = {
  viewport: { scale: 2, x: 10, y: 20 },
  frame: 5,
  points: [...points],
  marks: [],
  pointId: "nose",
  selected: null,
  scaleA: null,
  scaleB: null,
  scaleText: "",
  plumb: null,
  plumbTop: null,
  showEnds: false,
};

it("draws nothing for a shot without anything picked", () => {
  expect(overlayPlan(bare)).toEqual([]);
});

it("draws this frame's marks each with shape and letter, the current point's heavier, none of later frames", () => {
  const plan = overlayPlan({
    ...bare,
    marks: [mark("nose", 5, 100, 50), mark("tail", 5, 60, 70), mark("nose", 6, 1, 1)],
  });
  expect(plan.map(({ key }) => key)).toEqual(["mark-nose", "letter-nose", "mark-tail", "letter-tail"]);
  const nose = plan[0] as Extract<(typeof plan)[0], { kind: "lines" }>;
  const centre = [0, 1].map(
    (axis) => nose.lines[0]!.reduce((sum, p) => sum + p[axis as 0 | 1], 0) / nose.lines[0]!.length,
  );
  expect(centre[0]).toBeCloseTo(210, 6);
  expect(centre[1]).toBeCloseTo(120, 6);
  expect(nose.width).toBeGreaterThan((plan[2] as typeof nose).width);
});

it("draws a mark of the follower as pieces of the outline, one by hand whole", () => {
  const marks = [mark("nose", 5, 100, 50), { ...mark("tail", 5, 60, 70), by: "follower" as const }];
  const dashes = overlayPlan({ ...bare, marks }).flatMap((item) =>
    item.kind === "lines" ? [[item.key, item.dash !== undefined]] : [],
  );
  expect(dashes).toEqual([
    ["mark-nose", false],
    ["mark-tail", true],
  ]);
});

it("draws the trail of earlier marks as dots that stand apart, the newest kept", () => {
  const marks = [0, 1, 2, 3, 4].map((frame) => mark("nose", frame, 100 + frame * 3, 50)); // 6 css px apart
  const [trail] = overlayPlan({ ...bare, marks });
  expect(trail).toMatchObject({
    kind: "dots",
    key: "trail-nose",
    at: [
      [234, 120],
      [222, 120],
      [210, 120],
    ],
  });
});

it("draws the rod with its length on its upper side whichever end was picked first", () => {
  for (const [scaleA, scaleB] of [
    [
      [0, 100],
      [300, 100],
    ],
    [
      [300, 100],
      [0, 100],
    ],
  ] as const) {
    const plan = overlayPlan({ ...bare, scaleA, scaleB, scaleText: "1.000 ± 0.001 m" });
    const label = plan.find(({ key }) => key === "scale-label");
    expect(label).toMatchObject({ text: "1.000 ± 0.001 m", at: [310, 186] }); // clear of a board on the line
  }
});

it("shows ends to grab in the step of the scale, and a selected end always", () => {
  const scale = { scaleA: [0, 0], scaleB: [100, 0], scaleText: "" } as const;
  const ends = (input: OverlayInput) =>
    overlayPlan(input)
      .map(({ key }) => key)
      .filter((key) => /^scale-[ab]$/.test(key));
  expect(ends({ ...bare, ...scale })).toEqual([]);
  expect(ends({ ...bare, ...scale, showEnds: true })).toEqual(["scale-a", "scale-b"]);
  expect(ends({ ...bare, ...scale, selected: { kind: "scale", end: "b" } })).toEqual(["scale-b"]);
});
