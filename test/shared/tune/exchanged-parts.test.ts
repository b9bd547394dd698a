import { expect, it } from "vitest";
import { exchangedParts } from "../../../src/shared/tune/exchanged-parts.ts";

it("exchanges two entries of a list and leaves what stands alone", () => {
  const names = [
    "slidingN",
    "motors.0.delayS",
    "motors.0.thrustScale",
    "motors.1.delayS",
    "motors.1.thrustScale",
  ];
  expect(exchangedParts(names)).toEqual([[0, 3, 4, 1, 2]]);
});

it("exchanges neither entries of two lists nor those of which other inputs are uncertain", () => {
  expect(exchangedParts(["motors.0.delayS", "moreValves.0.delayS"])).toEqual([]);
  expect(exchangedParts(["motors.0.delayS", "motors.1.delayS", "motors.1.thrustScale"])).toEqual([]);
});

it("exchanges each two of three", () => {
  expect(exchangedParts(["motors.0.delayS", "motors.1.delayS", "motors.2.delayS"])).toHaveLength(3);
});
