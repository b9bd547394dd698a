import { expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { changedInput } from "../../../src/renderer/actions/changed-input.ts";
import type { Session } from "../../../src/shared/session/schema.ts";

// As a page gets it: no part of it is the same object as another.
const session: Session = JSON.parse(JSON.stringify(exampleSession(1)));
const [shot] = session.shots;

/** A copy with something else at a path. */
function changed(before: Session, path: string, value: unknown): Session {
  const copy = JSON.parse(JSON.stringify(before));
  const steps = path.split(".");
  let at: Record<string, unknown> = copy;
  for (const step of steps.slice(0, -1)) at = at[step] as Record<string, unknown>;
  at[steps.at(-1)!] = value;
  return copy;
}

it.each([
  ["launchers.0.valve.conductance.value", 15660, "the valve's sonic conductance"],
  ["launchers.0.boreM", { value: 0.07, u: 0.001 }, "the bore"],
  ["airframes.0.massKg.u", 1, "the airframe's mass"],
  ["shots.0.clock.captureRateHz.value", 1, `the capture rate of ${shot!.name}`],
  ["shots.0.conditions.gaugePressurePa.value", 1, `the tank's gauge pressure of ${shot!.name}`],
])("names what was changed at %s", (path, value, words) => {
  expect(changedInput(session, changed(session, path, value))).toBe(words);
});

it("has no name for what is no typed value: marks, several things at once, nothing", () => {
  expect(changedInput(session, session)).toBeNull();
  expect(changedInput(session, changed(session, "shots.0.marks.0.x", 1))).toBeNull();
  const bore = changed(session, "launchers.0.boreM.value", 1);
  expect(changedInput(session, changed(bore, "airframes.0.massKg.value", 1))).toBeNull();
  expect(changedInput(session, changed(session, "launchers", []))).toBeNull();
});
