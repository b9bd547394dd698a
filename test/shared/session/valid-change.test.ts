import fc from "fast-check";
import { afterAll, describe, expect, it, vi } from "vitest";
import { applyEdit } from "../../../src/shared/session/edits.ts";
import { applyPatch, type Json, type Patch, type PatchOp } from "../../../src/shared/session/patch.ts";
import { type Session, SessionSchema, ShotSchema } from "../../../src/shared/session/schema.ts";
import { isValidChange } from "../../../src/shared/session/valid-change.ts";
import { anyEdit, mark, sampleSession } from "./sample-session.ts";

const wholly = (after: unknown) => SessionSchema.safeParse(after).success;

function richSession(): Session {
  const session = sampleSession();
  const clips = ["one.mp4", "two.mov"].map((name, i) => ({
    name,
    bytes: 10 + i,
    fingerprint: `sha256-${String(i).repeat(64)}`,
  }));
  const camera = { ...session.cameras[0]!, id: "top" };
  const shots = session.shots.map((shot, i) =>
    i === 1 ? { ...shot, cameraId: "top", marks: [mark("tail", 7, 1, 2), mark("nose", 9, 3, 4)] } : shot,
  );
  return { ...session, cameras: [...session.cameras, camera], shots, clips };
}

/** Every place of a document, with the value there. */
function placesIn(value: unknown, at: PatchOp["at"] = []): { at: PatchOp["at"]; value: Json }[] {
  const below =
    typeof value !== "object" || value === null
      ? []
      : Array.isArray(value)
        ? value.flatMap((one, i) => placesIn(one, [...at, i]))
        : Object.entries(value).flatMap(([key, one]) => placesIn(one, [...at, key]));
  return [{ at, value: value as Json }, ...below];
}

const ODD: readonly Json[] = [
  null,
  -1,
  0,
  1.5,
  4,
  1e300,
  "",
  "nose",
  "top",
  "side",
  "shot-2",
  "x y",
  [],
  {},
  true,
];

/** One change somewhere in a document, with values that other places of it have, or odd ones. */
function opOf(document: unknown, pick: () => number): PatchOp {
  const places = placesIn(document);
  const any = <T>(list: readonly T[]) => list[Math.floor(pick() * list.length)] as T;
  const named = any(["points", "cameras", "clips", "shots", "marks", "airframe", "", "", ""]);
  const there = places.filter(({ at }) => named === "" || at.includes(named));
  const { at, value } = any(there.length === 0 ? places : there);
  // Often a value from a place that is called the same: only then it has a chance to be right.
  const key = at.at(-1);
  const parent = at.at(-2);
  const alike = places.filter((one) => one.at.at(-1) === key || one.at.at(-2) === parent);
  const other = () => (pick() < 0.25 ? any(ODD) : any(alike).value);
  if (Array.isArray(value) && pick() < 0.8) {
    const from = Math.floor(pick() * (value.length + 1));
    const count = Math.floor(pick() * (value.length - from + 1));
    const put = Array.from({ length: Math.floor(pick() * 3) }, () =>
      value.length > 0 && pick() < 0.7 ? (any(value) as Json) : other(),
    );
    return { at, cut: [from, count], put };
  }
  if (typeof key === "string" && pick() < 0.25) return { at, drop: true };
  if (typeof key === "string" && pick() < 0.1)
    return { at: [...at.slice(0, -1), any(["notes", "clip", "zz"])], set: other() };
  return { at, set: other() };
}

describe("isValidChange", () => {
  const seen = { valid: 0, invalid: 0 };
  afterAll(() => {
    // Otherwise the property below would say nothing of one of the two answers.
    expect(seen.valid).toBeGreaterThan(300);
    expect(seen.invalid).toBeGreaterThan(300);
  });

  it.each([true, false])(
    "accepts after any changes in a row exactly what the whole schema accepts; sent as JSON: %s",
    (sent) => {
      fc.assert(
        fc.property(fc.infiniteStream(fc.double({ min: 0, max: 0.999999, noNaN: true })), (numbers) => {
          const pick = () => numbers.next().value as number;
          let before = richSession();
          for (let step = 0; step < 12; step++) {
            let after: unknown = before;
            const count = 1 + Math.floor(pick() * 2);
            for (let i = 0; i < count; i++) {
              const op = opOf(after, pick);
              const patch: Patch = [sent ? (JSON.parse(JSON.stringify(op)) as PatchOp) : op];
              after = applyPatch(after, patch);
            }
            const valid = wholly(after);
            seen[valid ? "valid" : "invalid"]++;
            expect(isValidChange(before, after)).toBe(valid);
            if (valid) before = after as Session;
          }
        }),
        { numRuns: 400 },
      );
    },
  );

  it("accepts every edit of the window", () => {
    fc.assert(
      fc.property(fc.array(anyEdit, { maxLength: 8 }), (edits) => {
        let before = richSession();
        for (const edit of edits) {
          const after = applyEdit(before, edit);
          expect(isValidChange(before, after)).toBe(wholly(after));
          before = after;
        }
      }),
    );
  });

  const before = richSession();
  const [one, two] = before.shots as [Session["shots"][number], Session["shots"][number]];
  const withShots = (shots: unknown): unknown => ({ ...before, shots });
  it.each<[string, unknown]>([
    ["the same mark object twice", withShots([{ ...one, marks: [...one.marks, one.marks[0]] }, two])],
    [
      "the same mark object moved and doubled",
      withShots([{ ...one, marks: [one.marks[1], one.marks[1], one.marks[2]] }, two]),
    ],
    [
      "a second mark of a point in a frame",
      withShots([{ ...one, marks: [...one.marks, mark("tail", 3, 9, 9)] }, two]),
    ],
    ["the same shot object twice", withShots([one, two, two])],
    ["another shot of the same id", withShots([one, { ...two, id: one.id }])],
    [
      "a point that is gone but marked in a shot that is not touched",
      {
        ...before,
        points: before.points.filter(({ id }) => id !== "tail"),
        airframe: { ...before.airframe, centreOfGravity: null },
      },
    ],
    [
      "a camera that is gone but used by a shot that is not touched",
      { ...before, cameras: before.cameras.slice(0, 1) },
    ],
    [
      "a balance from a point that is gone",
      { ...before, points: before.points.filter(({ id }) => id !== "nose"), shots: [] },
    ],
    ["two points of one id", { ...before, points: [...before.points, { ...before.points[0] }] }],
    ["two cameras of one id", { ...before, cameras: [...before.cameras, { ...before.cameras[0] }] }],
    ["a clip noted twice", { ...before, clips: [...before.clips!, { ...before.clips![0] }] }],
    ["a mark of a point that is not there", withShots([{ ...one, marks: [mark("fin", 1, 1, 1)] }, two])],
    ["a shot of a camera that is not there", withShots([{ ...one, cameraId: "other" }, two])],
    ["shots that are no list", withShots({ 0: one })],
    ["marks that are no list", withShots([{ ...one, marks: {} }, two])],
    ["a key that no session has", { ...before, more: 1 }],
    ["nothing", null],
  ])("refuses %s", (_, after) => {
    expect(wholly(after)).toBe(false);
    expect(isValidChange(before, after)).toBe(false);
  });

  it("accepts the same marks in another order, and shots that changed places", () => {
    const after = withShots([two, { ...one, marks: [...one.marks].reverse() }]);
    expect(wholly(after)).toBe(true);
    expect(isValidChange(before, after)).toBe(true);
  });

  it("gives the schema only the mark that was set, whatever the number of marks", () => {
    const marks = Array.from({ length: 20_000 }, (_, i) => mark("nose", 2 * i, i, i));
    const many = { ...before, shots: [{ ...one, marks }, two] };
    const after = applyEdit(many, { kind: "set-mark", shotId: one.id, mark: mark("tail", 12_345, 5, 6) });
    const whole = vi.spyOn(SessionSchema, "safeParse");
    const ofShot = vi.spyOn(ShotSchema, "safeParse");
    try {
      expect(isValidChange(many, after)).toBe(true);
      expect(whole).not.toHaveBeenCalled();
      expect(ofShot.mock.calls.map(([shot]) => (shot as Session["shots"][number]).marks)).toEqual([
        [mark("tail", 12_345, 5, 6)],
      ]);
    } finally {
      vi.restoreAllMocks();
    }
  });
});
