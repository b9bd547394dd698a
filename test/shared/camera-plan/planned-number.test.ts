import { expect, it } from "vitest";
import { plannedNumber, threeDigits } from "../../../src/shared/camera-plan/planned-number.ts";

it("gives three digits and the unit of the person's set", () => {
  expect(plannedNumber(2.3336, "m", "SI")).toBe("2.33 m");
  expect(plannedNumber(2.3336, "m", "field")).toBe("7.66 ft"); // 2.3336 / 0.3048 = 7.6562
  expect(plannedNumber(98.0665, "m/s²", "field")).toBe("10 g");
});

it("rounds up or down in the unit that is shown, and leaves what is round already", () => {
  expect(plannedNumber(2.3336, "m", "field", "down")).toBe("7.65 ft");
  expect(plannedNumber(2.3336, "m", "SI", "up")).toBe("2.34 m");
  expect([threeDigits(0.3, "up"), threeDigits(0.3, "down"), threeDigits(0)]).toEqual(["0.3", "0.3", "0"]);
});
