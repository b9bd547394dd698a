import { modelInput } from "../inputs/model-input.ts";
import { pressureCautions, RAM_CAUTIONS } from "../launch/cautions.ts";
import { measuredFillTime } from "../launch/fill-tank.ts";
import { IntegrationError } from "../launch/integrate.ts";
import type { JointInputs } from "../launch/joint-inputs.ts";
import { type MeasuredRam, ramInputsOf, uncertainInputs } from "../launch/launcher-inputs.ts";
import { baseCautions, endStopCautions } from "../launch/load-cautions.ts";
import { predictRam, type RamRefusal } from "../launch/predict-ram.ts";
import { ramInputProblem } from "../launch/ram-checks.ts";
import { measuredStoredEnergy } from "../launch/stored-energy.ts";
import { showExact, type UnitSet } from "../quantity/display.ts";
import type { Measured, Quantity, Unit } from "../quantity/measured.ts";
import type { Notice } from "../quantity/notice.ts";
import type { Refusal } from "../quantity/result.ts";
import type { RamLauncher, Session, Shot } from "../session/schema.ts";
import { marginNotices } from "./margin-notices.ts";
import { type PredictedNumbers, predictedQuantities } from "./predicted-quantities.ts";
import { impossibleInput, refusedPrediction } from "./refused-prediction.ts";
import { sampledCurves, sampledStates } from "./sampled-curves.ts";
import type { ShotPrediction } from "./shot-result.ts";

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
  const { gaugePressurePa: gauge, temperatureK, airPressurePa } = shot.conditions;
  const energy = energyOf(shot, launcher);
  const cautions = ramShotCautions(session, shot, launcher);
  if (airframe.massKg === null) {
    return refusedPrediction(
      cautions,
      "no-airframe-mass",
      "The mass of the airframe is not known.",
      "Weigh it ready to fly and enter the mass.",
    );
  }
  if (gauge === null) {
    return refusedPrediction(
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
  if (problem) return impossibleInput(cautions, launcher.kind, problem);
  let result: ReturnType<typeof predictRam>;
  try {
    result = predictRam(inputs);
  } catch (error) {
    if (error instanceof IntegrationError) return tooStiff(cautions);
    throw error;
  }
  if (!result.ok) return notLaunched(cautions, result, session.units);
  const numbers = predictedQuantities(session, shot, ram, result.value, joint);
  if (!numbers.ok) {
    return refusedPrediction(
      cautions,
      "uncertainty-unknown",
      `The uncertainty of the prediction cannot be found: a small change of ${modelInput(launcher.kind, numbers.input).words} keeps the ram from launching.`,
      "The launcher is at the edge of what it can push; check that input.",
    );
  }
  const { at, exitS } = result.value;
  const filling = fillOf(ram, session.units);
  const quantities = { ...numbers.quantities, ...(filling.time && { fillTime: filling.time }) };
  return {
    prediction: {
      quantities,
      curves: sampledCurves(sampledStates(at, exitS), exitS, inputs.strokeM),
      storedEnergyJ: energy,
    },
    notices: [
      ...marginNotices("predicted", quantities, airframe.loadLimitG),
      ...loadNotices(ram, numbers, session.units),
      ...filling.notices,
      ...cautions,
    ],
  };
}

/** What a shot of this ram calls for whether it can be predicted or not: its tank, the end stop, the people down range. */
export function ramShotCautions(session: Session, shot: Shot, launcher: RamLauncher): readonly Notice[] {
  const { gaugePressurePa } = shot.conditions;
  const facts = { ...launcher, gaugePressurePa, storedEnergyJ: energyOf(shot, launcher) };
  return [...pressureCautions(facts, session.units), ...RAM_CAUTIONS];
}

/** J in the filled tank. An impossible volume or air pressure has none; the model's check names it. */
function energyOf({ conditions }: Shot, { tankVolumeM3 }: RamLauncher): Measured | null {
  const { gaugePressurePa, airPressurePa } = conditions;
  if (gaugePressurePa === null || !(tankVolumeM3.value > 0 && airPressurePa.value > 0)) return null;
  return measuredStoredEnergy(gaugePressurePa, tankVolumeM3, airPressurePa);
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
  const most = showExact(result.numbers.mostPa!, "Pa", units, 3);
  return {
    time: null,
    notices: [
      {
        level: "warning",
        code: "pump-cannot-reach",
        cause: `The hand pump cannot fill the tank to the pressure of this shot: with its clearance it ends at about ${most} gauge.`,
        remedy: "Check the stroke's volume and the clearance, or fill by other means.",
      },
    ],
  };
}

function tooStiff(cautions: readonly Notice[]): ShotPrediction {
  return refusedPrediction(
    cautions,
    "too-stiff",
    "The valve is so large for the dead volume that the model cannot follow the filling in reasonable time.",
    "Check the valve's conductance and the dead volume.",
  );
}

function notLaunched(
  cautions: readonly Notice[],
  { code, numbers }: Refusal<RamRefusal>,
  units: UnitSet,
): ShotPrediction {
  const told = (value: number, unit: Unit) => showExact(value, unit, units, 3);
  if (code === "no-pressure") {
    return refusedPrediction(
      cautions,
      code,
      `The tank's gauge pressure of ${told(numbers.gaugePa!, "Pa")} is not above that of the air outside.`,
      "Enter what the gauge read just before the shot, above 0.",
    );
  }
  if (code === "never-moves") {
    return refusedPrediction(
      cautions,
      code,
      `The ram never starts: the push reaches ${told(numbers.forceN!, "N")} and break-away needs ${told(numbers.neededN!, "N")}.`,
      "Check gauge pressure, bore, angle and break-away friction.",
    );
  }
  if (numbers.positionM === 0) {
    return refusedPrediction(
      cautions,
      code,
      `The ram has not started after ${told(numbers.timeS!, "s")}: the drive chamber does not come to break-away.`,
      "Check the leak, the valve, gauge pressure and break-away friction.",
    );
  }
  return refusedPrediction(
    cautions,
    code,
    `The ram stops after ${told(numbers.positionM!, "m")} of its ${told(numbers.strokeM!, "m")} stroke.`,
    "Check gauge pressure, valve, friction and the rod side's vent.",
  );
}
