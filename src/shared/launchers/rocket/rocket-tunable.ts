import { predictRocket } from "../../launch/rocket/predict-rocket.ts";
import { rocketInputProblem } from "../../launch/rocket/rocket-checks.ts";
import type { RocketInputs } from "../../launch/rocket/rocket-inputs.ts";
import { rocketInputsOf, rocketUncertainInputs } from "../../launch/rocket/rocket-measured.ts";
import { ifIntegrable } from "../../numeric/if-integrable.ts";
import type { Measured } from "../../quantity/measured.ts";
import type { Airframe, Conditions, RocketLauncher } from "../../session/schema.ts";
import type { TunableModel } from "../tunable-model.ts";

const REL_TOL = 1e-7;

const READINGS = ["airPressurePa", "temperatureK", "headwindMPerS"];

/**
 * The rocket boost under one shot's conditions, until the cradle is left. Motors of one kind are taken to be
 * identical from shot to shot: what one differs from the next is in the scatter.
 */
export function rocketTunable(
  launcher: RocketLauncher,
  airframe: Airframe,
  massKg: Measured,
  conditions: Omit<Conditions, "gaugePressurePa">,
): TunableModel {
  const rocket = {
    ...launcher,
    ...conditions,
    massKg,
    turnsOnCradle: launcher.turnsOnCradle ?? false,
    dragAreaM2: airframe.dragAreaM2 ?? { value: 0, u: 0 },
    pitchInertiaKgM2: null, // the push along the cradle does not depend on how the airframe turns
    yawInertiaKgM2: null,
  };
  return {
    inputs: rocketUncertainInputs(rocket).map((input) => ({
      ...input,
      of: READINGS.includes(input.name) ? "reading" : "launcher",
      goesOn: input.name.endsWith(".delayS"),
    })),
    predict(values) {
      const stated = rocketInputsOf(rocket, values);
      if (!stated.ok) return null;
      const inputs = fromFirstIgnition(stated.value);
      if (rocketInputProblem(inputs)) return null;
      const result = ifIntegrable(() => predictRocket(inputs, { relTol: REL_TOL }));
      if (!result?.ok) return null;
      const { leaving, at } = result.value;
      return {
        exitS: leaving.timeS,
        exitTravelM: inputs.railM,
        exitSpeedMPerS: leaving.speedMPerS,
        // the motors still burn: for the short flight that is used, as they do here
        slowingMPerS2: -leaving.accelerationMPerS2,
        at(timeS) {
          const { positionM, speedMPerS } = at(timeS);
          return { travelM: positionM, speedMPerS };
        },
      };
    },
  };
}

/**
 * The motors on a clock that begins with the first of them, where one is to light before the others' 0: its
 * curve is the same, only later, and a fit may then find either of two motors the later one without an edge
 * between.
 */
function fromFirstIgnition(inputs: RocketInputs): RocketInputs {
  const firstS = Math.min(0, ...inputs.motors.map(({ delayS }) => delayS));
  if (firstS === 0) return inputs;
  const motors = inputs.motors.map((motor) => ({ ...motor, delayS: motor.delayS - firstS }));
  return { ...inputs, motors };
}
