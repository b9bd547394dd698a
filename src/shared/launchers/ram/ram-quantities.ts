import { AIR_GAS_CONSTANT, airDensity } from "../../launch/air.ts";
import { endStopLoad } from "../../launch/end-stop.ts";
import { predictRam } from "../../launch/ram/predict-ram.ts";
import { ramInputProblem } from "../../launch/ram/ram-checks.ts";
import { ramFeed } from "../../launch/ram/ram-feed.ts";
import type { RamInputs, RamPrediction } from "../../launch/ram/ram-inputs.ts";
import { leftInRam, peakBaseReaction } from "../../launch/ram/ram-loads.ts";
import { type MeasuredRam, ramInputsOf, uncertainInputs } from "../../launch/ram/ram-measured.ts";
import { shotsPerFill } from "../../launch/ram/shots-per-fill.ts";
import { airspeed, speedAtAirspeed, stallSpeed } from "../../launch/stall.ts";
import { ifIntegrable } from "../../numeric/if-integrable.ts";
import { STANDARD_GRAVITY } from "../../quantity/gravity.ts";
import { elementAt } from "../../quantity/known-element.ts";
import type { Measured, Quantity, Unit } from "../../quantity/measured.ts";
import { pushInterval } from "../../quantity/push-interval.ts";
import { CUSTOMARY_MARGIN } from "../../results/notices/verdict-notices.ts";
import type { QuantityName } from "../../results/shot-result.ts";
import type { LaunchedShot } from "../../session/launch-inputs.ts";
import { covariancesWith } from "../../uncertainty/covariances-with.ts";
import type { JointInputs } from "../../uncertainty/joint-inputs.ts";
import { aboveZero, propagate, type UncertainInput } from "../../uncertainty/propagate.ts";
import type { PredictedExtent } from "../launcher-kind-model.ts";
import { pitchInputs, pitchRateAtRelease } from "./ram-pitch.ts";

export type PredictedQuantities = Readonly<Partial<Record<QuantityName, Quantity>>>;

/** What the ram model says of a shot in numbers. */
export interface PredictedNumbers {
  readonly quantities: PredictedQuantities;
  /**
   * N, greatest pull forward on the base, while gas slows the moving parts or the end stop, where described,
   * takes them; null where nothing pulls it.
   */
  readonly basePullN: Measured | null;
  /** As in ShotPrediction. */
  readonly speedCovariances: Readonly<Record<string, number>>;
}

const NEIGHBOUR_TOL = 1e-7; // a u found with it is good to 5e-8 of the result, far below any u worth stating
const CHAIN_TOL = 1e-6; // the later shots of a fill: their count is good to 1e-5
const LEAST_SHARE = 0.9; // of the first shot's speed, where no wing is known to say what is too slow
const BASIS = "compressed-air ram model; u from the inputs, none for the model itself";
const HELD = "gas force held at its value at the end of the stroke, friction left out";

const HEADWIND = "headwindMPerS";

type Result = readonly [name: QuantityName | "basePull", unit: Unit, how: string];

/** The results every ram gives, in the order `ramResults` returns them. */
const RAM_RESULTS: readonly Result[] = [
  ["releaseTime", "s", `from the valve starting to open to the airframe leaving the ram; ${BASIS}`],
  ["releaseSpeed", "m/s", `speed on leaving the ram; ${BASIS}`],
  ["peakAcceleration", "m/s²", `greatest acceleration along the push; ${BASIS}`],
  ["launchAngle", "rad", "the angle of the launcher: the ram pushes along it"],
  ["pushTime", "s", `from 2 to 98 % of the release speed; ${BASIS}`],
  ["stroke", "m", "travel until the airframe leaves the ram, at most the stroke of the launcher"],
  ["meanPushAcceleration", "m/s²", `speed gained in the push time; ${BASIS}`],
  ["loadFactor", "1", `(peak acceleration + g sin θ)/g, felt along the push; ${BASIS}`],
  [
    "peakBaseReaction",
    "N",
    `moving mass times (peak acceleration + g sin θ), against the push: gas on the cylinder's end less friction; ${BASIS}`,
  ],
];
const KINETIC_RESULTS: readonly Result[] = [
  [
    "endStopEnergy",
    "J",
    `½ m v² of piston, rod and cradle at the end of the stroke, without what the gas adds over a buffer's travel; ${BASIS}`,
  ],
];
const END_STOP_RESULTS: readonly Result[] = [
  [
    "endStopEnergy",
    "J",
    `½ m v² of piston, rod and cradle at the end of the stroke and the gas still driving them over the buffer's travel; ${HELD}; ${BASIS}`,
  ],
  [
    "endStopMeanForce",
    "N",
    `energy over the buffer's travel, as a buffer of constant force takes it; ${HELD}`,
  ],
  ["endStopPeakForce", "N", `twice the mean, as a linear spring ends; ${HELD}`],
];
const BASE_PULL: Result = ["basePull", "N", ""];
const STALL_RESULTS: readonly Result[] = [
  ["stallSpeed", "m/s", "√(2 m g/(ρ S C_L)), air density from pressure and temperature"],
  ["stallMargin", "1", `airspeed at release, headwind included, over stall speed; ${BASIS}`],
];

/**
 * The predicted results of a shot with first-order standard uncertainties: two runs of the ram model an
 * uncertain input, and the later shots of a fill. The pitch rate needs to be told how the airframe sits, and
 * its inertia. Stall speed and margin need wing area and lift coefficient; with them a fill lasts until the
 * airspeed at release is under 1.2 times the stall speed, else until the release speed is under 90 % of the
 * first.
 * @param base the prediction at the inputs' values
 * @param extent "shot" leaves the later shots of a fill uncounted
 * @returns the quantities; or the name of an input about which the model gives no prediction
 */
export function predictedQuantities(
  ram: MeasuredRam,
  { airframe, conditions }: LaunchedShot,
  base: RamPrediction,
  joint: JointInputs | null = null,
  extent: PredictedExtent = "whole",
): ({ readonly ok: true } & PredictedNumbers) | { readonly ok: false; readonly input: string } {
  const { wingAreaM2: wing, liftCoefficientMax: lift } = airframe;
  const ramList = uncertainInputs(ram);
  const travel = ram.endStop?.bufferTravelM;
  const travelList: UncertainInput[] = travel ? [aboveZero("endStop.bufferTravelM", travel)] : [];
  const wingList: UncertainInput[] =
    wing && lift
      ? [
          aboveZero("wingAreaM2", wing),
          aboveZero("liftCoefficientMax", lift),
          // The drag feels the same wind: it is one input.
          ...(ramList.some(({ name }) => name === HEADWIND)
            ? []
            : [{ name: HEADWIND, ...conditions.headwindMPerS }]),
        ]
      : [];
  const pitch = pitchInputs(ram, airframe);
  const pitchList = pitch.known ? pitch.list : [];
  const stated = ramInputsOf(
    ram,
    ramList.map(({ value }) => value),
  );
  // A tank that is fed has no fill to count by.
  const counted = extent === "whole" && ramFeed(stated) === null;
  const list = [...ramList, ...travelList, ...wingList, ...pitchList];
  const results: readonly Result[] = [
    ...RAM_RESULTS,
    ...(travel ? END_STOP_RESULTS : KINETIC_RESULTS),
    BASE_PULL,
    ...(wing && lift ? STALL_RESULTS : []),
    ...(pitch.known ? [pitchResult(pitch.tipsOff)] : []),
    ...(counted ? [["shotsPerFill", "1", fillWords(stated, base, wingList.length > 0)] as const] : []),
  ];
  const [airframeAt, movingAt] = ["airframeMassKg", "movingMassKg"].map((wanted) =>
    ramList.findIndex(({ name }) => name === wanted),
  ) as [number, number];

  const model = (values: readonly number[]): readonly number[] | null => {
    const ramValues = values.slice(0, ramList.length);
    const inputs = ramInputsOf(ram, ramValues);
    // Buffer, wing and wind do not touch the ram: its prediction stands.
    const untouched = ramValues.every((value, i) => value === elementAt(ramList, i).value);
    const run = untouched ? base : launched(inputs);
    if (run === null) return null;
    const left = leftInRam(inputs, run, elementAt(ramValues, movingAt));
    const at = (name: string) => values[list.findIndex((one) => one.name === name)];
    const travelM = travel ? at("endStop.bufferTravelM") : undefined;
    const stop = travelM === undefined ? null : endStopLoad(left, travelM);
    const wingValues = [at("wingAreaM2"), at("liftCoefficientMax"), at(HEADWIND)];
    const stall = stallAt(inputs, run, elementAt(ramValues, airframeAt), wingValues);
    const least = stall?.leastMPerS ?? LEAST_SHARE * run.exitSpeedMPerS;
    return [
      ...ramResults(inputs, run),
      ...(stop ? [stop.energyJ, stop.meanN, stop.peakN] : [left.kineticJ]),
      Math.max(run.peakPullN, stop ? stop.peakN - left.drivingN : 0),
      ...(stall ? [stall.speedMPerS, stall.margin] : []),
      ...(pitch.known
        ? [pitchRateAtRelease(inputs, run, elementAt(ramValues, airframeAt), values.slice(-pitchList.length))]
        : []),
      ...(counted ? [shotsPerFill(inputs, run, least, CHAIN_TOL)] : []),
    ];
  };
  const result = propagate(model, list, joint);
  if (!result.ok) return { ok: false, input: elementAt(list, result.numbers.input ?? 0).name };
  const { values, u } = result.value;
  const entries = results.map(([name, unit, how], i): [string, Quantity] => [
    name,
    { value: elementAt(values, i), u: elementAt(u, i), unit, how },
  ]);
  const speed = results.findIndex(([name]) => name === "releaseSpeed");
  const speedCovariances = covariancesWith(result.value, list, joint, speed);
  const { basePull, ...quantities } = Object.fromEntries(entries) as Record<string, Quantity>;
  return {
    ok: true,
    quantities,
    basePullN: basePull && basePull.value > 0 ? basePull : null,
    speedCovariances,
  };
}

/** The prediction for neighbouring inputs, a little less exact; null where there is no launch. */
export function launched(inputs: RamInputs): RamPrediction | null {
  if (ramInputProblem(inputs)) return null;
  const result = ifIntegrable(() => predictRam(inputs, { relTol: NEIGHBOUR_TOL }));
  return result?.ok ? result.value : null;
}

function ramResults(inputs: RamInputs, ram: RamPrediction): readonly number[] {
  const { angleRad } = inputs;
  const push = pushInterval((timeS) => ram.motionAt(timeS).speedMPerS, ram.startS, ram.exitS);
  return [
    ram.exitS,
    ram.exitSpeedMPerS,
    ram.peakAccelerationMPerS2,
    angleRad,
    push.pushS,
    ram.exitTravelM,
    push.meanMPerS2,
    ram.peakAccelerationMPerS2 / STANDARD_GRAVITY + Math.sin(angleRad),
    peakBaseReaction(inputs, ram),
  ];
}

/**
 * Stall speed, margin, and the least release speed that keeps the customary margin; null without wing data.
 */
function stallAt(
  { airPressurePa, temperatureK, angleRad }: RamInputs,
  { exitSpeedMPerS }: RamPrediction,
  massKg: number,
  [wingAreaM2, liftCoefficientMax, headwind]: readonly (number | undefined)[],
): { readonly speedMPerS: number; readonly margin: number; readonly leastMPerS: number } | null {
  if (wingAreaM2 === undefined || liftCoefficientMax === undefined || headwind === undefined) return null;
  const speedMPerS = stallSpeed({
    massKg,
    wingAreaM2,
    liftCoefficientMax,
    airDensity: airDensity(airPressurePa, temperatureK),
  });
  return {
    speedMPerS,
    margin: airspeed(exitSpeedMPerS, angleRad, headwind) / speedMPerS,
    leastMPerS: speedAtAirspeed(CUSTOMARY_MARGIN * speedMPerS, angleRad, headwind),
  };
}

function pitchResult(tipsOff: boolean): Result {
  const how = `push off the balance point against the cradle's stiffness and damping${tipsOff ? ", then tipping off its last support" : "; all supports taken to let go at once"}; nose up positive; ${BASIS}`;
  return ["pitchRateAtRelease", "rad/s", how];
}

/** What a fill is counted by, and the air the first shot takes. */
function fillWords(inputs: RamInputs, base: RamPrediction, winged: boolean): string {
  const held =
    ((inputs.gaugePressurePa + inputs.airPressurePa) * inputs.tankVolumeM3) /
    (AIR_GAS_CONSTANT * (inputs.tankTemperatureK ?? inputs.temperatureK));
  const until = winged
    ? `airspeed at release under ${CUSTOMARY_MARGIN} times the stall speed`
    : "release speed under 90 % of the first";
  return (
    `shots in a row until ${until}, the part counted by speed; valves shut at the end of the stroke, tank back at air temperature between shots; ` +
    `the first takes ${grams(base.ramEnd.airPassedKg)} of the ${grams(held)} of air in the tank; ${BASIS}`
  );
}

function grams(kg: number): string {
  return `${(1000 * kg).toPrecision(3)} g`;
}
