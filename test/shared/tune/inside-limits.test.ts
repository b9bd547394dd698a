import { expect, it } from "vitest";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { tuneLauncher } from "../../../src/shared/tune/tune-launcher.ts";
import { madeShots, STATED } from "./made-shots.ts";

it("settles where the shots draw a friction stated as none below it, and leaves of its u what lies above", () => {
  const pressures = [2.5e5, 3.5e5, 4.5e5];
  const none = { ...STATED, viscousNsPerM: { value: 0, u: 0 } };
  const { shots, truth } = madeShots(createChance(504), pressures, { stated: none });
  const doubted = shots.map(({ track, model }) => ({
    track,
    model: {
      ...model,
      inputs: model.inputs.map((one) => (one.name === "viscousNsPerM" ? { ...one, u: 1 } : one)),
    },
  }));
  // Before, the fit went to and fro at the edge for 96 steps and gave up, as in two of six such launchers.
  const { inputs } = unwrap(tuneLauncher(doubted, ["valve.conductance", "openingS", "viscousNsPerM"]));
  const tuned = (name: string) => inputs.find((one) => one.name === name)!;
  const viscous = tuned("viscousNsPerM");
  expect(viscous.tuned.value).toBe(0);
  expect(viscous.moved).toBe(true);
  expect(viscous.left).toBeLessThan(0.7);
  expect(viscous.tuned.u).toBeGreaterThan(0.1);
  expect(viscous.tuned.u).toBeCloseTo(viscous.left, 1);
  for (const name of ["valve.conductance", "openingS", "slidingN"]) {
    const { value, u } = tuned(name).tuned;
    expect(Math.abs(value - truth.get(name)!), name).toBeLessThan(2.5 * u);
  }
});
