import { afterAll, describe, expect, it, vi } from "vitest";
import { applyEdit } from "../../../src/shared/session/edits.ts";
import { copiedAirframe } from "../../../src/shared/session/fresh.ts";
import { applyPatch, type Json, type Patch, type PatchOp } from "../../../src/shared/session/patch.ts";
import { type Session, SessionSchema, type Shot, ShotSchema } from "../../../src/shared/session/schema.ts";
import { isValidChange } from "../../../src/shared/session/valid-change.ts";
import fc from "../../support/drawn-inputs.ts";
import { firstOf } from "../../support/one-of-each.ts";
import { anyEdit, mark, sampleLauncher, sampleSession } from "./sample-session.ts";

const wholly = (after: unknown) => SessionSchema.safeParse(after).success;

const POST = { id: "post", name: "post", on: "post", airframeId: null, body: null } as const;

/** Two of each, and a shot of the second ones. */
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
  const copy = copiedAirframe(session, session.airframes[0]!);
  const nose = copy.points[0]!.id;
  const third = {
    ...{ ...session.shots[1]!, id: "shot-3", clip: null, launcherId: "launcher-2" },
    ...{ airframeId: copy.airframe.id, marks: [mark(nose, 2, 5, 6)] },
  };
  const tuning = { parameters: ["slidingN"], shotIds: [], heldOutShotIds: [], tuned: null, use: false };
  return {
    ...session,
    cameras: [...session.cameras, camera],
    airframes: [...session.airframes, copy.airframe],
    points: [...session.points, ...copy.points, { ...POST }],
    launchers: [...session.launchers, { ...sampleLauncher, id: "launcher-2" }],
    tunings: [{ ...tuning, launcherId: "launcher-2" }],
    shots: [...shots, third],
    clips,
    shelved: [
      { of: "camera", id: "top", shelfId: "camera-a", edition: 2 },
      { of: "launcher", id: "launcher-2", shelfId: "launcher-a", edition: 1 },
    ],
  };
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

const LISTS = ["points", "cameras", "clips", "airframes", "launchers", "tunings", "shelved"];

/** One change somewhere in a document, with values that other places of it have, or odd ones. */
function opOf(document: unknown, pick: () => number): PatchOp {
  const places = placesIn(document);
  const any = <T>(list: readonly T[]) => list[Math.floor(pick() * list.length)] as T;
  const named = any([...LISTS, "shots", "marks", "airframeId", "launcherId", "", "", ""]);
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
  const [one, two, three] = before.shots as [Shot, Shot, Shot];
  const withShots = (shots: readonly unknown[] | object): unknown => ({
    ...before,
    shots: Array.isArray(shots) ? [...shots, three] : shots,
  });
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
        airframes: [{ ...firstOf(before).airframe, centreOfGravity: null }, before.airframes[1]!],
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
    ["a shot of an airframe that is not there", withShots([{ ...one, airframeId: "other" }, two])],
    ["a shot of a launcher that is not there", withShots([{ ...one, launcherId: "other" }, two])],
    ["marks of another airframe than the shot's", withShots([{ ...one, airframeId: "airframe-2" }, two])],
    [
      "an airframe that is gone but thrown by a shot that is not touched",
      { ...before, airframes: before.airframes.slice(0, 1), points: before.points.slice(0, 2) },
    ],
    [
      "a launcher that is gone but named by a shot that is not touched",
      { ...before, launchers: before.launchers.slice(0, 1), tunings: [] },
    ],
    ["a tuning of a launcher that is gone", { ...before, launchers: [], shots: [] }],
    [
      "a point that is put on another airframe while a shot that is not touched is marked by it",
      {
        ...before,
        points: before.points.map((point) =>
          point.id === "tail" ? { ...point, airframeId: "airframe-2" } : point,
        ),
      },
    ],
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
    const many = { ...before, shots: [{ ...one, marks }, two, three] };
    const after = applyEdit(many, { kind: "set-mark", shotId: one.id, mark: mark("tail", 12_345, 5, 6) });
    const whole = vi.spyOn(SessionSchema, "safeParse");
    const ofShot = vi.spyOn(ShotSchema, "safeParse");
    try {
      expect(isValidChange(many, after)).toBe(true);
      expect(whole).not.toHaveBeenCalled();
      expect(ofShot.mock.calls.map(([shot]) => (shot as Shot).marks)).toEqual([[mark("tail", 12_345, 5, 6)]]);
    } finally {
      vi.restoreAllMocks();
    }
  });
});
