import { pressureCautions, RAM_CAUTIONS } from "../launch/cautions.ts";
import { measuredFillTime } from "../launch/fill-tank.ts";
import { IntegrationError } from "../launch/integrate.ts";
import type { JointInputs } from "../launch/joint-inputs.ts";
import { type MeasuredRam, ramInputsOf, uncertainInputs } from "../launch/launcher-inputs.ts";
import { baseCautions, endStopCautions } from "../launch/load-cautions.ts";
import { predictRam, type RamRefusal } from "../launch/predict-ram.ts";
import { type RamInputProblem, ramInputProblem } from "../launch/ram-checks.ts";
import type { RamInputs, RamPrediction } from "../launch/ram-inputs.ts";
import { measuredStoredEnergy } from "../launch/stored-energy.ts";
import { showMeasured, type UnitSet } from "../quantity/display.ts";
import type { Quantity } from "../quantity/measured.ts";
import type { Notice } from "../quantity/notice.ts";
import type { Refusal } from "../quantity/result.ts";
import type { RamLauncher, Session, Shot } from "../session/schema.ts";
import { marginNotices } from "./margin-notices.ts";
import { type PredictedNumbers, predictedQuantities } from "./predicted-quantities.ts";
import { ramInputWords } from "./ram-words.ts";
import type { PredictionCurves, ShotPrediction } from "./shot-result.ts";

const CURVE_STEPS = 400; // linear interpolation between samples then errs by a few micrometres at 300 m/s²

/**
 * What the ram model says of one shot: the launcher and the session's airframe under the shot's conditions.
 * Uncertainties are those of the inputs to first order, independent but for those given as joint; none is added for the model itself.
 * Curves are on the clock with 0 at the model's exit, from the valve starting to open; positions from rest.
 * @returns prediction null with a refusal notice when an input is missing or impossible or the ram does not complete
 * its stroke; dangers and cautions come with or without a prediction
 */
export function predictRamShot(
  session: Session,
  shot: Shot,
  launcher: RamLauncher,
  joint: JointInputs | null = null,
): ShotPrediction {
  const { airframe } = session;
  const gauge = shot.conditions.gaugePressurePa;
  const { temperatureK, airPressurePa } = shot.conditions;
  // An impossible volume or air pressure has no energy; the model's check names it below.
  const possible = launcher.tankVolumeM3.value > 0 && airPressurePa.value > 0;
  const energy = gauge && possible ? measuredStoredEnergy(gauge, launcher.tankVolumeM3, airPressurePa) : null;
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
  if (gauge === null) {
    return refused(
      cautions,
      "no-gauge-pressure",
      "The tank's pressure before this shot is not known.",
      "Enter what the gauge read just before the shot.",
    );
  }
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
  const numbers = predictedQuantities(session, shot, ram, result.value, joint);
  if (!numbers.ok) {
    return refused(
      cautions,
      "uncertainty-unknown",
      `The uncertainty of the prediction cannot be found: a small change of the ${ramInputWords(numbers.input).words} keeps the ram from launching.`,
      "The launcher is at the edge of what it can push; check that input.",
    );
  }
  const filling = fillOf(ram, session.units);
  const quantities = { ...numbers.quantities, ...(filling.time && { fillTime: filling.time }) };
  return {
    prediction: { quantities, curves: curvesOf(inputs, result.value), storedEnergyJ: energy },
    notices: [
      ...marginNotices("predicted", quantities, airframe.loadLimitG),
      ...loadNotices(ram, numbers, session.units),
      ...filling.notices,
      ...cautions,
    ],
  };
}

/** The end stop and the base's fixings, held against their ratings where those are stated. */
function loadNotices(ram: MeasuredRam, numbers: PredictedNumbers, units: UnitSet): readonly Notice[] {
  const { endStopEnergy, endStopMeanForce, endStopPeakForce, peakBaseReaction } = numbers.quantities;
  const stop =
    ram.endStop && endStopEnergy && endStopMeanForce && endStopPeakForce
      ? endStopCautions(
          {
            energyJ: endStopEnergy,
            meanN: endStopMeanForce,
            peakN: endStopPeakForce,
            ratedLoadN: ram.endStop.ratedLoadN,
          },
          units,
        )
      : [];
  const base = peakBaseReaction
    ? baseCautions(peakBaseReaction, numbers.basePullN, ram.baseRatedLoadN ?? null, units)
    : [];
  return [...stop, ...base];
}

/** Time to fill the tank for the shot, where it is said what fills it. */
function fillOf(
  ram: MeasuredRam,
  units: UnitSet,
): { readonly time: Quantity | null; readonly notices: readonly Notice[] } {
  if (!ram.fill) return { time: null, notices: [] };
  const result = measuredFillTime(ram, ram.fill);
  if (result.ok) {
    const how =
      ram.fill.by === "compressor"
        ? "free air of the compressor, from an empty tank to the gauge pressure of the shot, at air temperature; that delivery falls with pressure is left out"
        : "stroke by stroke of the hand pump, what its clearance holds back counted, from an empty tank to the gauge pressure of the shot, at air temperature";
    return { time: { ...result.value, unit: "s", how }, notices: [] };
  }
  const most = showMeasured({ value: round(result.numbers.mostPa!), u: 0 }, "Pa", units);
  return {
    time: null,
    notices: [
      {
        level: "warning",
        code: "pump-cannot-reach",
        cause: `The hand pump cannot fill the tank to the pressure of this shot: with its clearance it ends at about ${most.value} ${most.symbol} gauge.`,
        remedy: "Check the stroke's volume and the clearance, or fill by other means.",
      },
    ],
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
  const { words, unit } = ramInputWords(field);
  const got = Number.isFinite(value)
    ? `${showMeasured({ value, u: 0 }, "1").value}${unit === "" ? "" : ` ${unit}`}`
    : "no number";
  return refused(
    cautions,
    "impossible-input",
    `The model cannot take ${got} for the ${words}.`,
    `Enter a ${words} that is ${need}.`,
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
  if (numbers.positionM === 0) {
    return refused(
      cautions,
      code,
      `The ram has not started after ${showMeasured({ value: round(numbers.timeS!), u: 0 }, "1").value} s: the drive chamber does not come to break-away.`,
      "Check the leak, the valve, gauge pressure and break-away friction.",
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
