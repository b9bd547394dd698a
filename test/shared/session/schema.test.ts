import { describe, expect, it } from "vitest";
import { timestampsS } from "../../../src/shared/session/clip-facts.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";
import { SessionSchema } from "../../../src/shared/session/schema.ts";
import fc from "../../support/drawn-inputs.ts";
import { firstOf } from "../../support/one-of-each.ts";
import { mark, sampleSession } from "./sample-session.ts";

const messages = (session: unknown) =>
  SessionSchema.safeParse(session).error?.issues.map(
    (issue) => `${issue.path.join(".")}: ${issue.message}`,
  ) ?? [];

describe("SessionSchema", () => {
  it("takes a fresh session, a fresh shot and the full sample, and reads them back from JSON unchanged", () => {
    const fresh = freshSession("Day one");
    for (const session of [
      fresh,
      { ...fresh, shots: [freshShot("a", "a", null), freshShot("b", "b", "b.mp4")] },
      sampleSession(),
    ]) {
      expect(SessionSchema.parse(JSON.parse(JSON.stringify(session)))).toEqual(session);
    }
  });

  it("refuses two points, cameras or shots with one id", () => {
    const s = sampleSession();
    expect(messages({ ...s, points: [...s.points, s.points[0]] })).toEqual([
      'points: two entries with the id "nose"',
    ]);
    expect(messages({ ...s, cameras: [...s.cameras, s.cameras[0]] })).toEqual([
      'cameras: two entries with the id "side"',
    ]);
    expect(messages({ ...s, shots: [...s.shots, s.shots[1]] })).toEqual([
      'shots: two entries with the id "shot-2"',
    ]);
  });

  it("refuses references to points and cameras that are not there", () => {
    const s = sampleSession();
    const shot = s.shots[1]!;
    expect(messages({ ...s, cameras: [] })).toEqual(['shots.0.cameraId: no camera "side"']);
    expect(messages({ ...s, shots: [{ ...shot, marks: [mark("wing", 0, 1, 2)] }] })).toEqual([
      'shots.0.marks.0: no point "wing"',
    ]);
    expect(messages({ ...s, points: s.points.slice(0, 1), shots: [] })).toEqual([
      'airframes.0.centreOfGravity: no point "tail"',
    ]);
  });

  it("refuses a second mark of one point in one frame", () => {
    const s = sampleSession();
    const shot = { ...s.shots[1]!, marks: [mark("nose", 2, 1, 2), mark("nose", 2, 3, 4)] };
    expect(messages({ ...s, shots: [shot] })).toEqual(['shots.0.marks.1: second mark of "nose" in frame 2']);
  });

  it("refuses numbers that are not finite and uncertainties below zero", () => {
    const s = sampleSession();
    for (const massKg of [
      { value: Number.NaN, u: 1 },
      { value: Number.POSITIVE_INFINITY, u: 1 },
      { value: 0, u: 1 },
      { value: 1, u: -1e-9 },
    ]) {
      expect(
        messages({ ...s, airframes: [{ ...firstOf(s).airframe, massKg }] }),
        JSON.stringify(massKg),
      ).toHaveLength(1);
    }
  });

  it("takes ids of lower-case letters, digits and hyphens only, so that no id can be a path", () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 8 }), (id) => {
        const taken = SessionSchema.safeParse({
          ...freshSession("t"),
          shots: [freshShot(id, "n", null)],
        }).success;
        expect(taken).toBe(/^[a-z0-9][a-z0-9-]*$/.test(id));
      }),
    );
  });
});

describe("timestampsS", () => {
  it("multiplies exact ticks by the time base", () => {
    expect(timestampsS({ pts: [0, 1001, 3003], timeBase: [1, 30000] })).toEqual([0, 1001 / 30000, 0.1001]);
  });
});
