import { describe, expect, it } from "vitest";
import { foundInputs } from "../../../src/shared/inputs/found-inputs.ts";
import type { Session } from "../../../src/shared/session/schema.ts";
import { FULL_FACTS, fullSession, LAUNCHER_KINDS } from "../../stress/full-sessions.ts";
import { firstOf } from "../../support/one-of-each.ts";
import { sampleSession } from "../session/sample-session.ts";

/** A document with its airframe, launcher and tuning as the table has them. */
const oneThing = (session: Session) => ({ ...session, ...firstOf(session) });

describe("foundInputs", () => {
  it("gives each number with its place, value and u, null where it has no uncertainty of its own", () => {
    const found = foundInputs(oneThing(sampleSession()), "compressed-air-ram");
    const at = (path: string) => found.filter((one) => one.input.path === path);
    expect(at("launcher.boreM")).toMatchObject([{ path: ["launcher", "boreM"], value: 0.05, u: 0.0001 }]);
    expect(at("shots[].scale.a[1]")).toMatchObject([
      { path: ["shots", 0, "scale", "a", 1], value: 610.2, u: null },
    ]);
    expect(at("shots[].marks[].x").map(({ value }) => value)).toEqual([310.2, 214.9, 312.8]);
    expect(at("shots[].conditions.gaugePressurePa")).toHaveLength(1); // null for the second shot
  });

  it("passes over parts that are left out, null or of another kind of launcher", () => {
    expect(foundInputs({ launcher: null, shots: [null] }, null)).toEqual([]);
    expect(foundInputs({ launcher: { boreM: { value: 1, u: 0 } } }, "rocket-boost")).toEqual([]);
    expect(foundInputs("no document", null)).toEqual([]);
  });

  it("reaches every row of the table in the full sessions but those of a compressor and of parts that exclude each other", () => {
    const reached = LAUNCHER_KINDS.flatMap((kind) =>
      foundInputs(oneThing(fullSession(kind)), kind).map(({ input }) => input),
    );
    expect(FULL_FACTS.pts.length).toBeGreaterThan(100);
    expect(new Set(reached).size).toBe(181);
  });
});
