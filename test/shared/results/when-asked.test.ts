import { expect, it } from "vitest";
import { whenAsked } from "../../../src/shared/results/when-asked.ts";

interface Curves {
  readonly timeS: readonly number[];
  readonly speed: readonly number[];
  readonly pitch?: readonly number[];
}

it("works its parts out once, when one is asked for, and gives them to spreads, copies and text as they are", () => {
  let made = 0;
  const whole = { timeS: [0, 1], speed: [3, 4] };
  const curves = whenAsked<Curves>(["timeS", "speed"], () => {
    made++;
    return whole;
  });
  const prediction = { ...{ curves, storedEnergyJ: null } };
  expect(made).toBe(0);
  expect(prediction.curves.speed).toBe(whole.speed);
  expect(structuredClone(prediction.curves)).toEqual(whole);
  expect(JSON.parse(JSON.stringify(prediction.curves))).toEqual(whole);
  expect(made).toBe(1);
  expect("pitch" in curves).toBe(false);
});
