import { describe, expect, it } from "vitest";
import { exactInputs } from "../../../src/shared/next-shot/exact-inputs.ts";
import { fullSession, LAUNCHER_KINDS } from "../../stress/full-sessions.ts";

/** A part of a document with every u of a { value, u } written over. */
function withU(part: unknown, u: (own: number) => number): unknown {
  const text = JSON.stringify(part, (_, one) =>
    typeof one?.value === "number" && typeof one.u === "number" ? { ...one, u: u(one.u) } : one,
  );
  return JSON.parse(text);
}
const us = (part: unknown) => [...JSON.stringify(part).matchAll(/"u":([^,}]+)/g)].map(([, u]) => Number(u));

describe.each(LAUNCHER_KINDS)("exactInputs of a %s", (kind) => {
  const full = fullSession(kind);
  const [stated] = full.shots;
  const { session, shot } = exactInputs(full, stated!);

  it("leaves no input of the model uncertain, and every value, text and list as it was", () => {
    expect(
      us([full.airframe, full.launcher, stated!.conditions]).filter((u) => u > 0).length,
    ).toBeGreaterThan(8);
    for (const [exact, before] of [
      [session.airframe, full.airframe],
      [session.launcher, full.launcher],
      [session.tuning ?? null, full.tuning ?? null],
      [shot.conditions, stated!.conditions],
    ]) {
      expect(JSON.parse(JSON.stringify(exact))).toEqual(withU(before, () => 0));
    }
  });

  it("touches nothing that the model does not read: marks, cameras and scale keep their u", () => {
    expect(session).toMatchObject({ cameras: full.cameras, shots: full.shots, points: full.points });
    expect({ ...shot, conditions: null }).toEqual({ ...stated, conditions: null });
    expect("tuning" in session).toBe("tuning" in full);
  });
});
