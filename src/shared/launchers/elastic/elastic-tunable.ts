import {
  elasticInputProblem,
  elasticInputsOf,
  type MeasuredElastic,
  uncertainElastic,
} from "../../launch/elastic/elastic-inputs.ts";
import { predictElastic } from "../../launch/elastic/predict-elastic.ts";
import { ifIntegrable } from "../../numeric/if-integrable.ts";
import { STANDARD_GRAVITY } from "../../quantity/gravity.ts";
import type { TunableModel } from "../tunable-model.ts";

const REL_TOL = 1e-8;

const READINGS = ["airPressurePa", "temperatureK", "headwindMPerS"];

/** The elastic line under one shot's conditions. The draw is set for each shot, with an error of its own. */
export function elasticTunable(line: MeasuredElastic): TunableModel {
  return {
    inputs: uncertainElastic(line).map((input) => ({
      ...input,
      of: input.name === "drawM" ? "own" : READINGS.includes(input.name) ? "reading" : "launcher",
    })),
    predict(values) {
      const inputs = elasticInputsOf(line, values);
      if (elasticInputProblem(inputs)) return null;
      const result = ifIntegrable(() => predictElastic(inputs, { relTol: REL_TOL }));
      if (!result?.ok) return null;
      const pull = result.value;
      return {
        exitS: pull.pushS,
        exitTravelM: pull.travelM,
        exitSpeedMPerS: pull.releaseSpeedMPerS,
        slowingMPerS2: STANDARD_GRAVITY * Math.sin(inputs.angleRad),
        at(timeS) {
          const { positionM, speedMPerS } = pull.at(timeS);
          return { travelM: positionM, speedMPerS };
        },
      };
    },
  };
}
