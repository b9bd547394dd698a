import { modelInput } from "../../inputs/model-input.ts";
import { measuredFillTime } from "../../launch/ram/fill-tank.ts";
import { baseCaution, baseLoads, endStopCautions } from "../../launch/ram/load-cautions.ts";
import { predictRam, type RamRefusal } from "../../launch/ram/predict-ram.ts";
import { ramInputProblem } from "../../launch/ram/ram-checks.ts";
import type { RamInputs } from "../../launch/ram/ram-inputs.ts";
import { loadedRam, type MeasuredRam, ramInputsOf, uncertainInputs } from "../../launch/ram/ram-measured.ts";
import { measuredStoredEnergy } from "../../launch/ram/stored-energy.ts";
import { pressureCautions, RAM_CAUTIONS } from "../../launch/ram/tank-cautions.ts";
import { IntegrationError } from "../../numeric/integrate.ts";
import { showExact, showMeasured, type UnitSet } from "../../quantity/display.ts";
import type { Measured, Quantity, Unit } from "../../quantity/measured.ts";
import type { Refusal } from "../../quantity/result.ts";
import { LEFT_OUT_NOTICES, MODEL_NOTICES } from "../../results/notices/model-notices.ts";
import { FILL_NOTICES, PUSH_NOTICES } from "../../results/notices/push-notices.ts";
import type { ShotNotice } from "../../results/notices/shot-notices.ts";
import type { PredictionCurves, ShotPrediction } from "../../results/shot-result.ts";
import { whenAsked } from "../../results/when-asked.ts";
import type { LaunchedShot } from "../../session/launch-inputs.ts";
import type { Conditions, RamLauncher } from "../../session/schema.ts";
import type { JointInputs } from "../../uncertainty/joint-inputs.ts";
import { dragLeftOut } from "../drag-left-out.ts";
import type { PredictedExtent } from "../launcher-kind-model.ts";
import { marginNotices } from "../margin-notices.ts";
import { impossibleInput, refusedPrediction } from "../refused-prediction.ts";
import { CURVES_OF_PUSH, sampledCurves, sampledStates } from "../sampled-curves.ts";
import { pitchInputs } from "./ram-pitch.ts";
import { launched, type PredictedNumbers, predictedQuantities } from "./ram-quantities.ts";

/**
 * What the ram model says of one shot: the launcher and the airframe under the shot's conditions.
 * Uncertainties are those of the inputs to first order, independent but for those given as joint; none is
 * added for the model itself. Curves are on the clock with 0 at the model's exit, from the valve starting to
 * open; positions from rest.
 * @returns prediction null with a refusal notice when an input is missing or impossible or the ram does not
 *   complete its stroke; dangers and cautions come with or without a prediction
 */
export function predictRamShot(
  launcher: RamLauncher,
  shot: LaunchedShot,
  joint: JointInputs | null = null,
  extent: PredictedExtent = "whole",
): ShotPrediction {
  const { airframe, conditions, units } = shot;
  const { gaugePressurePa: gauge } = conditions;
  const energy = energyOf(launcher, conditions);
  const cautions = ramShotCautions(launcher, shot);
  if (airframe.massKg === null) {
    return refusedPrediction(cautions, MODEL_NOTICES["no-airframe-mass"]());
  }
  if (gauge === null) {
    return refusedPrediction(cautions, MODEL_NOTICES["no-gauge-pressure"]());
  }
  const ram = loadedRam(launcher, airframe, airframe.massKg, gauge, conditions);
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
    if (error instanceof IntegrationError) return refusedPrediction(cautions, PUSH_NOTICES["too-stiff"]());
    throw error;
  }
  if (!result.ok) return notLaunched(cautions, result, units);
  const numbers = predictedQuantities(ram, shot, result.value, joint, extent);
  if (!numbers.ok) {
    return refusedPrediction(
      cautions,
      MODEL_NOTICES["uncertainty-unknown"](
        `a small change of ${modelInput(launcher.kind, numbers.input).words} keeps the ram from launching`,
        "The launcher is at the edge of what it can push",
      ),
    );
  }
  const { at, exitS, exitTravelM, leavesEarly } = result.value;
  const filling = fillOf(ram, units);
  const { peakBaseReaction } = numbers.quantities;
  const onBase = peakBaseReaction
    ? baseLoads(peakBaseReaction, numbers.basePullN, ram.baseRatedLoadN ?? null)
    : [];
  const speed = numbers.quantities.releaseSpeed!;
  const releaseSpeed = extent === "whole" ? withTankWarmth(speed, inputs) : speed;
  const quantities = { ...numbers.quantities, releaseSpeed, ...(filling.time && { fillTime: filling.time }) };
  return {
    prediction: {
      quantities,
      curves: whenAsked<PredictionCurves>(CURVES_OF_PUSH, () =>
        sampledCurves(sampledStates(at, exitS), exitS, exitTravelM),
      ),
      storedEnergyJ: energy,
      baseLoads: onBase,
    },
    speedCovariances: numbers.speedCovariances,
    notices: [
      ...marginNotices("predicted", quantities, airframe.loadLimitG),
      ...(leavesEarly ? [leavesEarlyNotice(ram, quantities, units)] : []),
      ...endStopNotices(ram, numbers, units),
      ...onBase.flatMap((load) => baseCaution(load, units) ?? []),
      ...filling.notices,
      ...pitchLeftOut(ram, airframe),
      ...dragLeftOut(shot, exitTravelM, inputs.totalMassKg),
      ...cautions,
    ],
  };
}

/**
 * What a shot of this ram calls for whether it can be predicted or not: its tank, the end
 * stop, the people down range.
 */
export function ramShotCautions(
  launcher: RamLauncher,
  { conditions, units }: LaunchedShot,
): readonly ShotNotice[] {
  const { gaugePressurePa } = conditions;
  const facts = { ...launcher, gaugePressurePa, storedEnergyJ: energyOf(launcher, conditions) };
  return [...pressureCautions(facts, units), ...RAM_CAUTIONS];
}

/** J in the filled tank. An impossible volume or air pressure has none; the model's check names it. */
function energyOf(
  { tankVolumeM3 }: RamLauncher,
  { gaugePressurePa, airPressurePa }: Conditions,
): Measured | null {
  if (gaugePressurePa === null || !(tankVolumeM3.value > 0 && airPressurePa.value > 0)) return null;
  return measuredStoredEnergy(gaugePressurePa, tankVolumeM3, airPressurePa);
}

const WARMER_K = 10; // a tank that was just filled, or shot from, is off by about so much

/**
 * The release speed with what a tank that is not at the air's temperature would make of it, where none is
 * stated.
 */
function withTankWarmth(speed: Quantity, inputs: RamInputs): Quantity {
  if (inputs.tankTemperatureK !== undefined) return speed;
  const warm = launched({ ...inputs, tankTemperatureK: inputs.temperatureK + WARMER_K });
  if (warm === null) return speed;
  const percent = (100 * Math.abs(warm.exitSpeedMPerS / speed.value - 1)).toPrecision(1);
  const how = `${speed.how}; tank taken at the air's temperature, ${WARMER_K} K off would be ${percent} %`;
  return { ...speed, how };
}

/** Why the pitch rate is not predicted, where it is not. */
function pitchLeftOut(ram: MeasuredRam, airframe: LaunchedShot["airframe"]): readonly ShotNotice[] {
  const pitch = pitchInputs(ram, airframe);
  return pitch.known ? [] : [LEFT_OUT_NOTICES["ram-no-pitch"](pitch.missing)];
}

/** Where the airframe leaves while the ram has travel left: nothing pushes it from there on. */
function leavesEarlyNotice(
  { strokeM, rodChamber }: MeasuredRam,
  { stroke, releaseSpeed }: PredictedNumbers["quantities"],
  units: UnitSet,
): ShotNotice {
  return PUSH_NOTICES["leaves-early"](
    showMeasured(stroke!, "m", units).text,
    showExact(strokeM.value, "m", units, 3),
    showMeasured(releaseSpeed!, "m/s", units).text,
    rodChamber !== null,
  );
}

/** The end stop held against the rating of its weakest joint, where its buffer is known. */
function endStopNotices(
  ram: MeasuredRam,
  { quantities }: PredictedNumbers,
  units: UnitSet,
): readonly ShotNotice[] {
  const { endStopEnergy, endStopMeanForce, endStopPeakForce } = quantities;
  if (!ram.endStop || !endStopEnergy || !endStopMeanForce || !endStopPeakForce) return [];
  const facts = {
    energyJ: endStopEnergy,
    meanN: endStopMeanForce,
    peakN: endStopPeakForce,
    ratedLoadN: ram.endStop.ratedLoadN,
  };
  return endStopCautions(facts, units);
}

/** Time to fill the tank for the shot, where it is said what fills it. */
function fillOf(
  ram: MeasuredRam,
  units: UnitSet,
): { readonly time: Quantity | null; readonly notices: readonly ShotNotice[] } {
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
  return { time: null, notices: [FILL_NOTICES["pump-cannot-reach"](most)] };
}

function notLaunched(
  cautions: readonly ShotNotice[],
  { code, numbers }: Refusal<RamRefusal>,
  units: UnitSet,
): ShotPrediction {
  const told = (value: number, unit: Unit) => showExact(value, unit, units, 3);
  switch (code) {
    case "no-pressure":
      return refusedPrediction(cautions, PUSH_NOTICES[code](told(numbers.gaugePa!, "Pa")));
    case "never-moves":
      return refusedPrediction(
        cautions,
        PUSH_NOTICES[code]("ram", told(numbers.forceN!, "N"), told(numbers.neededN!, "N")),
      );
    case "stalls":
      return refusedPrediction(
        cautions,
        PUSH_NOTICES[code](
          numbers.positionM === 0
            ? { by: "ram", afterS: told(numbers.timeS!, "s") }
            : { by: "ram", at: told(numbers.positionM!, "m"), of: told(numbers.strokeM!, "m") },
        ),
      );
  }
}
