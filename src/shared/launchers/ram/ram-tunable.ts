import { predictRam } from "../../launch/ram/predict-ram.ts";
import { ramInputProblem } from "../../launch/ram/ram-checks.ts";
import { type MeasuredRam, ramInputsOf, uncertainInputs } from "../../launch/ram/ram-measured.ts";
import { IntegrationError } from "../../numeric/integrate.ts";
import { STANDARD_GRAVITY } from "../../quantity/gravity.ts";
import type { TunableInput, TunableModel } from "../tunable-model.ts";

// travel good to 1e-9 m: differences of a hundredth of an input's u are then good to a ten-thousandth
const REL_TOL = 1e-7;

const OF: Readonly<Record<string, TunableInput["of"]>> = {
  gaugePressurePa: "own",
  temperatureK: "reading",
  airPressurePa: "reading",
  headwindMPerS: "reading",
  tankTemperatureK: "own",
};

/** The compressed-air ram under one shot's conditions. */
export function ramTunable(ram: MeasuredRam): TunableModel {
  return {
    inputs: uncertainInputs(ram).map((input) => ({ ...input, of: OF[input.name] ?? "launcher" })),
    predict(values) {
      const inputs = ramInputsOf(ram, values);
      if (ramInputProblem(inputs)) return null;
      try {
        const result = predictRam(inputs, { relTol: REL_TOL });
        if (!result.ok) return null;
        const push = result.value;
        return {
          exitS: push.exitS,
          exitTravelM: push.exitTravelM,
          exitSpeedMPerS: push.exitSpeedMPerS,
          slowingMPerS2: STANDARD_GRAVITY * Math.sin(inputs.angleRad),
          at(timeS) {
            const { positionM, speedMPerS } = push.at(timeS);
            return { travelM: positionM, speedMPerS };
          },
        };
      } catch (error) {
        if (error instanceof IntegrationError) return null;
        throw error;
      }
    },
  };
}
