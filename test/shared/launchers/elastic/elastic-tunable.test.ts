import { expect, it } from "vitest";
import { tunableOfShot } from "../../../../src/shared/tune/tunable-of-shot.ts";
import { fullSession } from "../../../stress/full-sessions.ts";

it("gives no launch where a fit tries what its equations cannot follow, and does not end the fit", () => {
  const { launchers, airframes, shots } = fullSession("elastic-line");
  const told = tunableOfShot(launchers[0]!, airframes[0]!, shots[0]!);
  if (!told.ok) throw new Error(told.fault.cause);
  const { inputs, predict } = told.model;
  const at = (name: string, value: number) => inputs.map((one) => (one.name === name ? value : one.value));
  expect(inputs.map(({ name }) => name)).toContain("temperatureK");
  expect(predict(at("temperatureK", 288))?.exitSpeedMPerS).toBeGreaterThan(1);
  expect(predict(at("temperatureK", 3e-7))).toBeNull(); // air a thousand million times as dense
});
