import { pressureCautions, RAM_CAUTIONS } from "../launch/cautions.ts";
import { IntegrationError } from "../launch/integrate.ts";
import { type MeasuredRam, ramInputsOf, uncertainInputs } from "../launch/launcher-inputs.ts";
import { predictRam, type RamRefusal } from "../launch/predict-ram.ts";
import { type RamInputProblem, ramInputProblem } from "../launch/ram-checks.ts";
import type { RamInputs, RamPrediction } from "../launch/ram-inputs.ts";
import { measuredStoredEnergy } from "../launch/stored-energy.ts";
import { showMeasured } from "../quantity/display.ts";
import type { Notice } from "../quantity/notice.ts";
import type { Refusal } from "../quantity/result.ts";
import type { Session, Shot } from "../session/schema.ts";
import { marginNotices } from "./margin-notices.ts";
import { predictedQuantities } from "./predicted-quantities.ts";
import type { Prediction, PredictionCurves } from "./shot-result.ts";

export interface ShotPrediction {
  readonly prediction: Prediction | null;
  readonly notices: readonly Notice[];
}

const CURVE_STEPS = 400; // linear interpolation between samples then errs by a few micrometres at 300 m/s²

/**
 * What the launch model says of one shot: the session's launcher and airframe under the shot's conditions.
 * Uncertainties are those of the inputs, taken as independent, to first order; none is added for the model itself.
 * Curves are on the clock with 0 at the model's exit, from the valve starting to open; positions from rest.
 * @returns prediction null with a refusal notice when an input is missing or impossible or the ram does not complete
 * its stroke; dangers and cautions come with or without a prediction
 */
export function predictShot(session: Session, shot: Shot): ShotPrediction {
  const { launcher, airframe } = session;
  if (launcher === null) {
    return refused(
      [],
      "no-launcher",
      "There is no launcher in the session.",
      "Describe the launcher under Model.",
    );
  }
  const gauge = shot.conditions.gaugePressurePa;
  const energy = gauge
    ? measuredStoredEnergy(gauge, launcher.tankVolumeM3, shot.conditions.airPressurePa)
    : null;
  const facts = { ...launcher, gaugePressurePa: gauge, storedEnergyJ: energy };
  const cautions = [...pressureCautions(facts, session.units), ...RAM_CAUTIONS];
  if (airframe.massKg === null) {
    return refused(
      cautions,
      "no-airframe-mass",
      "The mass of the airframe is not known.",
      "Weigh it ready to fly and enter the mass.",
    );
  }
  if (gauge === null || energy === null) {
    return refused(
      cautions,
      "no-gauge-pressure",
      "The tank's pressure before this shot is not known.",
      "Enter what the gauge read just before the shot.",
    );
  }
  const { temperatureK, airPressurePa } = shot.conditions;
  const ram: MeasuredRam = {
    ...launcher,
    airframeMassKg: airframe.massKg,
    gaugePressurePa: gauge,
    temperatureK,
    airPressurePa,
  };
  const list = uncertainInputs(ram);
  const inputs = ramInputsOf(
    ram,
    list.map(({ value }) => value),
  );
  const problem = ramInputProblem(inputs);
  if (problem) return impossible(cautions, problem);
  let result: ReturnType<typeof predictRam>;
  try {
    result = predictRam(inputs);
  } catch (error) {
    if (error instanceof IntegrationError) return tooStiff(cautions);
    throw error;
  }
  if (!result.ok) return notLaunched(cautions, result);
  const quantities = predictedQuantities(session, shot, ram, result.value);
  if (!quantities.ok) {
    return refused(
      cautions,
      "uncertainty-unknown",
      `The uncertainty of the prediction cannot be found: a small change of ${quantities.input} keeps the ram from launching.`,
      "The launcher is at the edge of what it can push; check that input.",
    );
  }
  return {
    prediction: {
      quantities: quantities.value,
      curves: curvesOf(inputs, result.value),
      storedEnergyJ: energy,
    },
    notices: [...marginNotices("predicted", quantities.value, airframe.loadLimitG), ...cautions],
  };
}

function curvesOf({ strokeM }: RamInputs, ram: RamPrediction): PredictionCurves {
  const states = Array.from({ length: CURVE_STEPS + 1 }, (_, i) => ram.at((ram.exitS * i) / CURVE_STEPS));
  return {
    timeS: states.map((_, i) => (ram.exitS * i) / CURVE_STEPS - ram.exitS),
    position: states.map(({ positionM }) => Math.min(positionM, strokeM)),
    speed: states.map(({ speedMPerS }) => speedMPerS),
    acceleration: states.map(({ accelerationMPerS2 }) => accelerationMPerS2),
  };
}

function refused(cautions: readonly Notice[], code: string, cause: string, remedy: string): ShotPrediction {
  return { prediction: null, notices: [{ level: "refusal", code, cause, remedy }, ...cautions] };
}

function impossible(cautions: readonly Notice[], { field, value, need }: RamInputProblem): ShotPrediction {
  return refused(
    cautions,
    "impossible-input",
    `The model cannot take ${value} for ${field}.`,
    `Enter a value that is ${need}.`,
  );
}

function tooStiff(cautions: readonly Notice[]): ShotPrediction {
  return refused(
    cautions,
    "too-stiff",
    "The valve is so large for the dead volume that the model cannot follow the filling in reasonable time.",
    "Check the valve's conductance and the dead volume.",
  );
}

function notLaunched(cautions: readonly Notice[], { code, numbers }: Refusal<RamRefusal>): ShotPrediction {
  if (code === "no-pressure") {
    return refused(
      cautions,
      code,
      "The tank is not above the pressure of the air outside.",
      "Enter the gauge pressure before the shot.",
    );
  }
  const exact = (value: number, unit: "N" | "m") => showMeasured({ value: round(value), u: 0 }, unit);
  if (code === "never-moves") {
    return refused(
      cautions,
      code,
      `The ram never starts: the push reaches ${exact(numbers.forceN!, "N").value} N and break-away needs ${exact(numbers.neededN!, "N").value} N.`,
      "Check gauge pressure, bore, angle and break-away friction.",
    );
  }
  return refused(
    cautions,
    code,
    `The ram stops after ${exact(numbers.positionM!, "m").value} m of its ${exact(numbers.strokeM!, "m").value} m stroke.`,
    "Check gauge pressure, valve, friction and the rod side's vent.",
  );
}

function round(value: number): number {
  return Number(value.toPrecision(3));
}
