import { predictRamPath } from "../../launch/ram/predict-ram.ts";
import { ramInputProblem } from "../../launch/ram/ram-checks.ts";
import { type MeasuredRam, ramInputsOf, uncertainInputs } from "../../launch/ram/ram-measured.ts";
import { ifIntegrable } from "../../numeric/if-integrable.ts";
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
  const forms = unstatedForms(ram);
  const whole = { ...ram, ...forms };
  return {
    inputs: uncertainInputs(whole).map((input) => ({
      ...input,
      of: input.name in forms ? "form" : (OF[input.name] ?? "launcher"),
    })),
    predict(values) {
      const inputs = ramInputsOf(whole, values);
      if (ramInputProblem(inputs)) return null;
      const result = ifIntegrable(() => predictRamPath(inputs, REL_TOL));
      if (!result?.ok) return null;
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
    },
  };
}

/**
 * A leak past the piston that is not unusual, over what the valve passes: what a ram may have without its
 * being stated, and what shows least of all by itself. Common practice, no source.
 */
const LEAK_SHARE = 0.1;

function unstatedForms({ leak, valve }: MeasuredRam): Pick<MeasuredRam, "leak"> {
  return leak === undefined ? { leak: { value: 0, u: LEAK_SHARE * valve.conductance.value } } : {};
}
