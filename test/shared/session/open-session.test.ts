import { describe, expect, it } from "vitest";
import { migrateDocument, openSession } from "../../../src/shared/session/open-session.ts";
import { sampleSession } from "./sample-session.ts";

// biome-ignore lint/suspicious/noExplicitAny: the tests break documents at places the types forbid
type Loose = any;

function broken(change: (document: Loose) => void): unknown {
  const document = JSON.parse(JSON.stringify(sampleSession()));
  change(document);
  return document;
}

function faultOf(json: unknown) {
  const opened = openSession(json);
  if (opened.ok) throw new Error("was opened");
  return opened.fault;
}

describe("openSession", () => {
  it("opens a session of this version", () => {
    expect(openSession(broken(() => {}))).toEqual({ ok: true, session: sampleSession(), fromVersion: 3 });
  });

  it.each([
    ["null", null],
    ["a list", []],
    ["a text", "loftmark-session"],
    ["an object of another kind", { name: "loftmark", version: 1 }],
    ["a version that is no whole number", { format: "loftmark-session", version: "1" }],
    ["version 0", { format: "loftmark-session", version: 0 }],
  ])("refuses %s as not a session", (_, json) => {
    expect(faultOf(json)).toMatchObject({ code: "not-a-session" });
  });

  it("refuses a later version, saying that a newer Loftmark made it and what to do", () => {
    const fault = faultOf({ format: "loftmark-session", version: 7, anything: true });
    expect(fault.code).toBe("newer-session");
    expect(fault.cause).toBe(
      "This session was made by a newer Loftmark (session version 7; this one reads up to 3).",
    );
    expect(fault.remedy).toContain("Update Loftmark");
  });

  it.each<[string, (document: Loose) => void, string]>([
    [
      "a negative mass",
      (d) => {
        d.airframes[0].massKg.value = -0.6;
      },
      "airframes[0].massKg.value (kg, all-up mass as launched): got -0.6, wanted a number above 0",
    ],
    [
      "a negative uncertainty",
      (d) => {
        d.shots[0].scale.rodM.u = -1;
      },
      "shots[0].scale.rodM.u (standard uncertainty of: m, length of the rod between the two picked ends): got -1, wanted a number of at least 0",
    ],
    [
      "a text for a number",
      (d) => {
        d.shots[0].marks[2].x = "310";
      },
      'shots[0].marks[2].x (px, from the left edge of the upright picture): got "310", wanted a number',
    ],
    [
      "a field left out",
      (d) => {
        delete d.airframes[0].wingAreaM2;
      },
      "airframes[0].wingAreaM2 (m², reference wing area): got nothing, wanted an object",
    ],
    [
      "a field too many",
      (d) => {
        d.airframes[0].span = 2;
      },
      'airframes[0] (what was thrown): has no field "span"; wanted only known fields',
    ],
    [
      "a choice that is not one",
      (d) => {
        d.shots[1].direction = "up";
      },
      'got "up", wanted "right" or "left"',
    ],
    [
      "a fraction for a frame",
      (d) => {
        d.shots[0].marks[0].frame = 1.5;
      },
      "shots[0].marks[0].frame (frame index, from 0 in order of presentation): got 1.5, wanted a whole number",
    ],
    [
      "a clock of an unknown kind",
      (d) => {
        d.shots[0].clock.kind = "sundial";
      },
      "shots[0].clock.kind",
    ],
    [
      "an empty name",
      (d) => {
        d.shots[0].name = "";
      },
      'shots[0].name (what the person calls the shot): got "", wanted a text of at least 1 characters',
    ],
    [
      "an id with a slash",
      (d) => {
        d.shots[0].id = "../x";
      },
      'got "../x", wanted lower-case letters, digits and hyphens',
    ],
    [
      "a point that is not there",
      (d) => {
        d.shots[0].marks[0].pointId = "wing";
      },
      'shots[0].marks[0]: no point "wing"',
    ],
  ])("words %s by path, meaning, what was found and what is wanted", (_, change, wording) => {
    const fault = faultOf(broken(change));
    expect(fault.code).toBe("bad-session");
    expect(fault.cause).toContain(wording);
    expect(fault.remedy).toContain("last good state");
  });

  it("names five failures and counts the rest", () => {
    const fault = faultOf(
      broken((d) => {
        for (let i = 0; i < 9; i++)
          d.shots[0].marks.push({ pointId: "nose", frame: 20 + i, x: null, y: 0, u: 1, by: "hand" });
      }),
    );
    expect(fault.cause.match(/got null, wanted a number/g)).toHaveLength(5);
    expect(fault.cause).toContain("and 4 more");
  });
});

describe("migrateDocument", () => {
  const chain = {
    1: (d: object) => ({ ...d, version: 2, two: true }),
    2: (d: object) => ({ ...d, version: 3, three: true }),
  };

  it("walks one version at a time and leaves the given document as it was", () => {
    const document = Object.freeze({ version: 1, kept: 5 });
    expect(migrateDocument(document, 1, 3, chain)).toEqual({ version: 3, kept: 5, two: true, three: true });
    expect(migrateDocument({ version: 2 }, 2, 3, chain)).toEqual({ version: 3, three: true });
    expect(migrateDocument(document, 1, 1, {})).toBe(document);
  });

  it("throws RangeError when a step is missing or does not raise the version by one", () => {
    expect(() => migrateDocument({ version: 3 }, 3, 4, chain)).toThrow(
      new RangeError("migrateDocument: no step from version 3"),
    );
    expect(() => migrateDocument({ version: 1 }, 1, 2, { 1: (d) => d })).toThrow(
      "migrateDocument: the step from 1 gave version 1",
    );
  });
});
