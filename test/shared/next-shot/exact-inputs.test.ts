import { describe, expect, it } from "vitest";
import { exactInputs } from "../../../src/shared/next-shot/exact-inputs.ts";
import { launchInputs } from "../../../src/shared/session/launch-inputs.ts";
import { fullSession, LAUNCHER_KINDS } from "../../stress/full-sessions.ts";
import { firstOf } from "../../support/one-of-each.ts";

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
  const launch = launchInputs(full, stated!);
  const exact = exactInputs(launch);

  it("leaves no input of the model uncertain, and every value, text and list as it was", () => {
    expect(
      us([firstOf(full).airframe, firstOf(full).launcher, stated!.conditions]).filter((u) => u > 0).length,
    ).toBeGreaterThan(8);
    for (const [left, before] of [
      [exact.airframe, firstOf(full).airframe],
      [exact.launcher, firstOf(full).launcher],
      [exact.tuning ?? null, firstOf(full).tuning ?? null],
      [exact.conditions, stated!.conditions],
    ]) {
      expect(JSON.parse(JSON.stringify(left))).toEqual(withU(before, () => 0));
    }
  });

  it("touches nothing else: points and units stay, and so does what it was made from", () => {
    expect(exact).toMatchObject({ points: full.points, units: full.units, at: launch.at });
    expect(launch).toEqual(launchInputs(full, stated!));
  });
});
