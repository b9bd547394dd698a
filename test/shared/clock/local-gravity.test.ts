import { expect, it } from "vitest";
import { localGravity } from "../../../src/shared/clock/local-gravity.ts";

it("localGravity is the same north and south, and its u stands for the ground's own", () => {
  expect(localGravity(-0.6, 120)).toEqual(localGravity(0.6, 120));
  expect(localGravity(0.6, 120).u).toBe(5e-4);
});

it("localGravity throws on degrees given for radians, and on heights that are not on the ground", () => {
  expect(() => localGravity(52, 0)).toThrow(/52 rad/);
  expect(() => localGravity(0.9, 20_000)).toThrow(/20000 m/);
});
