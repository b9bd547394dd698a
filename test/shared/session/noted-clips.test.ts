import { describe, expect, it } from "vitest";
import { editsToUse, noteInHistory } from "../../../src/shared/session/clip-edits.ts";
import { applyEdit } from "../../../src/shared/session/edits.ts";
import { redone, startHistory, undone } from "../../../src/shared/session/history.ts";
import { clipStanding, type NotedClip, notedClip } from "../../../src/shared/session/noted-clips.ts";
import { SessionSchema } from "../../../src/shared/session/schema.ts";
import fc from "../../support/drawn-inputs.ts";
import { edited } from "./edited.ts";
import { anyEdit, sampleSession } from "./sample-session.ts";

const print = (digit: string) => `sha256-${digit.repeat(64)}`;
const one: NotedClip = { name: "one.mp4", bytes: 1200, fingerprint: print("1") };
const noted = () => applyEdit(sampleSession(), { kind: "note-clip", clip: one });

describe("clipStanding", () => {
  it("tells another content by its length before the file is read, and by its fingerprint after", () => {
    expect(clipStanding(null, { bytes: 1200, fingerprint: print("1") })).toBe("first");
    expect(clipStanding(one, { bytes: 1201, fingerprint: null })).toBe("other");
    expect(clipStanding(one, { bytes: 1200, fingerprint: null })).toBe("unread");
    expect(clipStanding(one, { bytes: 1200, fingerprint: print("1") })).toBe("same");
    expect(clipStanding(one, { bytes: 1200, fingerprint: print("2") })).toBe("other");
  });
});

describe("the edit note-clip", () => {
  it("notes a clip that a shot uses, in place of what was noted of that name, in a document that fits its schema", () => {
    const other = { ...one, bytes: 7, fingerprint: print("a") };
    const twice = applyEdit(noted(), { kind: "note-clip", clip: other });
    expect(twice.clips).toEqual([other]);
    expect(SessionSchema.parse(JSON.parse(JSON.stringify(twice)))).toEqual(twice);
    expect(notedClip(twice, "one.mp4")).toEqual(other);
    expect(notedClip(twice, "two.mov")).toBeNull();
  });

  it("throws RangeError for a clip that no shot uses", () => {
    expect(() => applyEdit(sampleSession(), { kind: "note-clip", clip: { ...one, name: "x.mp4" } })).toThrow(
      new RangeError('no shot uses the clip "x.mp4"'),
    );
  });

  it("is forgotten with the last shot that uses the clip, and not before", () => {
    const second = applyEdit(noted(), { kind: "update-shot", shotId: "shot-2", patch: { clip: "one.mp4" } });
    const first = applyEdit(second, { kind: "remove-shot", shotId: "shot-1" });
    expect(first.clips).toEqual([one]);
    const neither = applyEdit(first, { kind: "update-shot", shotId: "shot-2", patch: { clip: null } });
    expect("clips" in neither).toBe(false);
  });

  it("refuses two notes of one name, and a fingerprint of another kind", () => {
    const issues = (clips: unknown) =>
      SessionSchema.safeParse({ ...sampleSession(), clips }).error?.issues.map(({ message }) => message);
    expect(issues([one, one])).toEqual(['two entries with the id "one.mp4"']);
    expect(issues([{ ...one, fingerprint: "md5-1" }])).toHaveLength(1);
  });
});

describe("noteInHistory", () => {
  it("is no step of undo, and undo and redo keep it, whatever was edited before and after", () => {
    fc.assert(
      fc.property(
        fc.array(anyEdit, { maxLength: 8 }),
        fc.array(anyEdit, { maxLength: 8 }),
        (before, after) => {
          const start = before.reduce(edited, startHistory(sampleSession()));
          const back = before.length > 0 ? undone(start) : start;
          const withNote = noteInHistory(back, one);
          expect(withNote.past).toHaveLength(back.past.length);
          expect(withNote.future).toHaveLength(back.future.length);
          let history = after.reduce(edited, before.length > 0 ? redone(withNote) : withNote);
          for (let i = 0; i < 30; i++) {
            expect(notedClip(history.present, "one.mp4")).toEqual(one);
            history = undone(history);
          }
          for (let i = 0; i < 30; i++) {
            expect(notedClip(history.present, "one.mp4")).toEqual(one);
            history = redone(history);
          }
        },
      ),
      { numRuns: 50 },
    );
  });

  it("leaves documents as they are that noted something else, or whose shots do not use the clip", () => {
    const STEP = {
      says: "Did something",
      place: { shotId: null, frame: null, heading: null },
      at: "2026-05-01T10:00:00.000Z",
    };
    const accepted = { ...one, fingerprint: print("b") };
    const without = applyEdit(noted(), { kind: "remove-shot", shotId: "shot-1" });
    const history = {
      past: [{ ...STEP, session: applyEdit(noted(), { kind: "note-clip", clip: accepted }) }],
      present: without,
      future: [],
    };
    const after = noteInHistory(history, one);
    expect(after.past[0]!.session).toBe(history.past[0]!.session);
    expect(after.past[0]).toEqual(history.past[0]);
    expect(after.present).toBe(without);
  });
});

describe("editsToUse", () => {
  it("has every shot of a clip use the file that was found, and keeps what was said of its frames", () => {
    const found = { ...one, name: "renamed.mp4" };
    const both = applyEdit(noted(), { kind: "update-shot", shotId: "shot-2", patch: { clip: "one.mp4" } });
    const after = editsToUse(both, "one.mp4", found).reduce(applyEdit, both);
    expect(after.shots.map(({ clip }) => clip)).toEqual(["renamed.mp4", "renamed.mp4"]);
    expect(after.shots[0]).toEqual({ ...both.shots[0], clip: "renamed.mp4" });
    expect(after.clips).toEqual([found]);
    expect(editsToUse(both, "none.mp4", found)).toEqual([]);
  });
});
