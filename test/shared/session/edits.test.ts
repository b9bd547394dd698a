import { describe, expect, it } from "vitest";
import { applyEdit, type Edit } from "../../../src/shared/session/edits.ts";
import { freshShot } from "../../../src/shared/session/fresh.ts";
import { type Mark, type Session, SessionSchema } from "../../../src/shared/session/schema.ts";
import fc from "../../support/drawn-inputs.ts";
import { firstOf } from "../../support/one-of-each.ts";
import { anyEdit, mark, markEdit, sampleSession } from "./sample-session.ts";

const marksOf = (session: Session, shotId: string) => session.shots.find((shot) => shot.id === shotId)!.marks;

function deepFrozen<T>(value: T): T {
  if (typeof value === "object" && value !== null) {
    Object.values(value).forEach(deepFrozen);
    Object.freeze(value);
  }
  return value;
}

describe("applyEdit", () => {
  it("leaves the given session as it was and gives one that fits the format", () => {
    fc.assert(
      fc.property(fc.array(anyEdit, { maxLength: 20 }), (edits) => {
        const before = deepFrozen(sampleSession());
        const text = JSON.stringify(before);
        const after = edits.reduce((session, edit) => deepFrozen(applyEdit(session, edit)), before);
        expect(JSON.stringify(before)).toBe(text);
        expect(SessionSchema.safeParse(after).error?.issues).toBeUndefined();
      }),
    );
  });

  it("keeps the very objects that an edit does not touch", () => {
    const before = sampleSession();
    const after = applyEdit(before, { kind: "set-mark", shotId: "shot-2", mark: mark("nose", 5, 1, 2) });
    expect(after.shots[0]).toBe(before.shots[0]);
    expect(firstOf(after).airframe).toBe(firstOf(before).airframe);
    expect(after.shots[1]).not.toBe(before.shots[1]);
  });

  it("keeps marks ordered by frame, then point, one for each, the last set", () => {
    fc.assert(
      fc.property(fc.array(markEdit, { maxLength: 40 }), (edits) => {
        const after = edits.reduce(applyEdit, sampleSession());
        for (const shot of after.shots) {
          const slots = shot.marks.map((one) => `${String(one.frame).padStart(3, "0")} ${one.pointId}`);
          expect(slots).toEqual([...new Set(slots)].sort());
        }
        const last = edits.at(-1);
        if (last?.kind === "set-mark") expect(marksOf(after, last.shotId)).toContainEqual(last.mark);
      }),
    );
  });

  it("gives the session back when a mark that was not there is set and removed", () => {
    const before = sampleSession();
    const set = applyEdit(before, { kind: "set-mark", shotId: "shot-1", mark: mark("tail", 9, 7, 8) });
    expect(set).not.toEqual(before);
    const removed = applyEdit(set, { kind: "remove-mark", shotId: "shot-1", pointId: "tail", frame: 9 });
    expect(removed).toEqual(before);
  });

  it("sets many marks at once, in place of those of the same point and frame, in order", () => {
    const before = sampleSession();
    const marks = [mark("tail", 9, 7, 8), mark("nose", 3, 1, 2)];
    const one = marks.reduce(
      (session, each) => applyEdit(session, { kind: "set-mark", shotId: "shot-1", mark: each }),
      before,
    );
    expect(applyEdit(before, { kind: "set-marks", shotId: "shot-1", marks })).toEqual(one);
  });

  it("swaps two points where they are marked for each other: the places stay, with their ± and who placed them", () => {
    const before = sampleSession();
    const swaps = [{ frame: 3, pointIds: ["nose", "tail"] as const }];
    const after = applyEdit(before, { kind: "swap-marks", shotId: "shot-1", swaps });
    const [nose, tail, other] = before.shots[0]!.marks as [Mark, Mark, Mark];
    expect(marksOf(after, "shot-1")).toEqual([
      { ...tail, pointId: "nose" },
      { ...nose, pointId: "tail" },
      other,
    ]);
    expect(applyEdit(after, { kind: "swap-marks", shotId: "shot-1", swaps })).toEqual(before);
  });

  it("removes the follower's marks of one point, and no other", () => {
    const before = sampleSession();
    const followed = [5, 6].map((frame) => ({ ...mark("tail", frame, 7, 8), by: "follower" as const }));
    const other = { ...mark("nose", 7, 7, 8), by: "follower" as const };
    const set = applyEdit(before, { kind: "set-marks", shotId: "shot-1", marks: [...followed, other] });
    const removed = applyEdit(set, {
      kind: "remove-marks",
      shotId: "shot-1",
      pointId: "tail",
      by: "follower",
    });
    expect(removed).toEqual(applyEdit(before, { kind: "set-mark", shotId: "shot-1", mark: other }));
  });

  it("removes with a point its marks and the centre of gravity that refers to it", () => {
    const after = applyEdit(sampleSession(), { kind: "remove-point", pointId: "tail" });
    expect(after.points.map((point) => point.id)).toEqual(["nose"]);
    expect(firstOf(after).airframe.centreOfGravity).toBeNull();
    expect(marksOf(after, "shot-1").map((one) => [one.pointId, one.frame])).toEqual([
      ["nose", 3],
      ["nose", 4],
    ]);
    expect(SessionSchema.safeParse(after).success).toBe(true);
  });

  it("keeps the centre of gravity when a point it does not refer to is removed", () => {
    const before = applyEdit(sampleSession(), {
      kind: "add-point",
      point: { id: "fin", name: "fin", on: "airframe", airframeId: "airframe-1", body: null },
    });
    const after = applyEdit(before, { kind: "remove-point", pointId: "fin" });
    expect(after).toEqual(sampleSession());
  });

  it("adds and removes shots and cameras, and replaces only the patched fields", () => {
    const added = applyEdit(sampleSession(), { kind: "add-shot", shot: freshShot("third", "third", null) });
    expect(added.shots.map((shot) => shot.id)).toEqual(["shot-1", "shot-2", "third"]);
    expect(applyEdit(added, { kind: "remove-shot", shotId: "third" })).toEqual(sampleSession());
    const camera = { id: "top", name: "top", captureRateHz: { value: 240, u: 1 }, exposureS: null };
    expect(applyEdit(sampleSession(), { kind: "add-camera", camera }).cameras[1]).toEqual(camera);
    const patched = applyEdit(sampleSession(), {
      kind: "update-shot",
      shotId: "shot-2",
      patch: { direction: "left" },
    });
    expect(patched.shots[1]).toEqual({ ...sampleSession().shots[1], direction: "left" });
  });

  const bugs: readonly [string, Edit, string][] = [
    ["a shot that is not there", { kind: "remove-shot", shotId: "nine" }, 'no entry with the id "nine"'],
    [
      "a mark of a point that is not there",
      { kind: "set-mark", shotId: "shot-1", mark: mark("wing", 1, 2, 3) },
      'no entry with the id "wing"',
    ],
    [
      "marks of a point that is not there",
      { kind: "set-marks", shotId: "shot-1", marks: [mark("wing", 1, 2, 3)] },
      'no entry with the id "wing"',
    ],
    [
      "a mark that is not there",
      { kind: "remove-mark", shotId: "shot-1", pointId: "nose", frame: 99 },
      'no mark of "nose" in frame 99',
    ],
    [
      "a swap with a mark that is not there",
      { kind: "swap-marks", shotId: "shot-1", swaps: [{ frame: 4, pointIds: ["nose", "tail"] }] },
      'no mark of "tail" in frame 4',
    ],
    [
      "a mark to be swapped twice",
      {
        kind: "swap-marks",
        shotId: "shot-1",
        swaps: [
          { frame: 3, pointIds: ["nose", "tail"] },
          { frame: 3, pointIds: ["tail", "nose"] },
        ],
      },
      'the mark of "tail" in frame 3 is swapped twice',
    ],
    [
      "a second point with the same id",
      { kind: "add-point", point: { id: "nose", name: "n", on: "rod", airframeId: null, body: null } },
      'already an entry with the id "nose"',
    ],
    ["a second shot with the same id", { kind: "add-shot", shot: freshShot("shot-1", "x", null) }, "already"],
    ["a point that is not there", { kind: "remove-point", pointId: "wing" }, 'no entry with the id "wing"'],
    [
      "a camera that is not there",
      { kind: "update-camera", cameraId: "top", patch: { name: "top" } },
      'no entry with the id "top"',
    ],
  ];
  it.each(bugs)("throws RangeError for %s, naming it", (_, edit, message) => {
    expect(() => applyEdit(sampleSession(), edit)).toThrow(RangeError);
    expect(() => applyEdit(sampleSession(), edit)).toThrow(message);
  });
});

it("says where the field is, and forgets it again", () => {
  const site = { latitudeRad: 0.8, heightM: 320 };
  const there = applyEdit(sampleSession(), { kind: "set-site", site });
  expect(there.site).toEqual(site);
  expect("site" in applyEdit(there, { kind: "set-site", site: null })).toBe(false);
});
