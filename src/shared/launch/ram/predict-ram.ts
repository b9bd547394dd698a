import { denseAt } from "../../numeric/dormand-prince.ts";
import { IntegrationError, integrate } from "../../numeric/integrate.ts";
import { lastOf } from "../../quantity/known-element.ts";
import { ok, type Result, refuse } from "../../quantity/result.ts";
import { peakAcceleration } from "./peak-acceleration.ts";
import { ramInputProblem } from "./ram-checks.ts";
import type { RamInputs, RamPrediction, RamState } from "./ram-inputs.ts";
import {
  DROP,
  PASSED,
  type RamModel,
  type RamRun,
  ramModel,
  SPEED,
  TANK,
  TRAVEL,
  WORK,
} from "./ram-model.ts";

export type RamRefusal = "never-moves" | "stalls" | "no-pressure";

const DEFAULT_REL_TOL = 1e-8; // keeps 7 digits in the six published cases, 8 in speed and energy
const LONGEST_S = 10; // a push slower than this is no launch
// of one push; a smooth one takes 50 to 500, a stiff one at the edge of what exists some thousand
const MOST_STEPS = 20_000;

/**
 * The push of a compressed-air ram from t = 0 (the first valve starting to open, unless it is delayed;
 * everything at air pressure but the tank) until the piston has travelled the stroke. Equations and source:
 * see `ramModel`. Integrated piecewise smoothly: a new run begins at break-away, where a valve starts or ends
 * to open, and where a flow chokes, unchokes or reverses.
 * @returns the prediction; or a refusal: "no-pressure" when the tank is not above the air outside ({
 *   gaugePa }); "never-moves" when even with tank and chamber at one pressure the force stays below
 *   break-away ({ forceN, neededN }); "stalls" when the piston stops, or has not left after 10 s ({
 *   positionM, strokeM, timeS })
 * @throws RangeError naming the field, on an impossible input or relTol outside (0, 1e-3]
 * @throws IntegrationError when the equations are too stiff for 20 000 steps (a vast
 *   valve on a tiny dead volume)
 */
export function predictRam(
  inputs: RamInputs,
  options: { readonly relTol?: number } = {},
): Result<RamPrediction, RamRefusal> {
  const problem = ramInputProblem(inputs);
  if (problem) {
    throw new RangeError(`predictRam: ${problem.field} must be ${problem.need}; got ${problem.value}`);
  }
  const relTol = options.relTol ?? DEFAULT_REL_TOL;
  if (!(relTol > 0 && relTol <= 1e-3))
    throw new RangeError(`predictRam: relTol ${relTol} is not in (0, 1e-3]`);
  if (!(inputs.gaugePressurePa > 0)) return refuse("no-pressure", { gaugePa: inputs.gaugePressurePa });
  const model = ramModel(inputs, relTol);
  const most = greatestStaticForce(inputs, model);
  if (!(most > model.breakaway)) return refuse("never-moves", { forceN: most, neededN: model.breakaway });
  const pushed = integratePush(inputs, model, relTol);
  return pushed.ok ? ok(describe(model, pushed.value)) : pushed;
}

interface Push {
  readonly runs: readonly RamRun[];
  readonly startS: number;
}

function integratePush(inputs: RamInputs, model: RamModel, relTol: number): Result<Push, "stalls"> {
  const runs: RamRun[] = [];
  const lastS = (inputs.delayS ?? 0) + LONGEST_S;
  let t = 0;
  let y = model.start;
  // Free of friction, the piston is in motion from the first instant even where its first acceleration is 0.
  // A force short of break-away by rounding only counts as there: its event would be over
  // before the first step ends.
  const spare = model.netForce(y) - model.breakaway;
  let moving = spare > -model.forceRounding;
  let startS = moving ? (spare > model.forceRounding ? 0 : (inputs.delayS ?? 0)) : Number.NaN;
  let firstH: number | undefined;
  let left = MOST_STEPS;
  for (;;) {
    if (left <= 0) throw new IntegrationError("too-many-steps", t);
    const { phases, untilS } = model.valvesFrom(t);
    const phase = { moving, valves: phases };
    const problem = {
      rhs: model.rhs(phase),
      relTol,
      absTol: model.absTol,
      events: model.events(phase),
      maxSteps: left,
    };
    const run = integrate(problem, t, y, Math.min(untilS, lastS), firstH);
    if (run.steps.length > 0) runs.push({ phase, t0: t, run });
    left -= Math.max(1, run.steps.length + run.rejected);
    ({ t, y } = run);
    firstH = undefined;
    if (run.event === "exit") return ok({ runs, startS });
    if (run.event === "stall" || t >= lastS) {
      return refuse("stalls", { positionM: y[TRAVEL], strokeM: inputs.strokeM, timeS: t });
    }
    if (run.event === "start") {
      moving = true;
      startS = t;
      // a flow law changed form, little else did
    } else if (run.event !== null) firstH = Math.max(run.nextH / 10, 1e-12);
  }
}

/**
 * N, net force once tank and chamber have come to one pressure: p V is kept, with or without heat exchange.
 */
function greatestStaticForce(inputs: RamInputs, model: RamModel): number {
  const { tankVolumeM3: vt, deadVolumeM3: vd } = inputs;
  const y = Float64Array.from(model.start);
  y[TANK] = y[TANK] - (y[DROP] * vd) / (vt + vd);
  y[DROP] = 0;
  return model.netForce(y);
}

function describe(model: RamModel, { runs, startS }: Push): RamPrediction {
  const last = lastOf(runs);
  const { t: exitS, y } = last.run;
  const slope = new Float64Array(y.length);
  model.rhs(last.phase)(exitS, y, slope);
  const peak = peakAcceleration(model, runs);
  const gas = model.gas(y);
  return {
    startS,
    exitS,
    exitSpeedMPerS: y[SPEED],
    peakAccelerationMPerS2: peak.value,
    peakAccelerationS: peak.timeS,
    exitAccelerationMPerS2: slope[SPEED],
    tankPaAtExit: gas.tankPa,
    chamberPaAtExit: gas.chamberPa,
    tankKAtExit: gas.tankK,
    chamberKAtExit: gas.chamberK,
    rodChamberPaAtExit: gas.rodChamberPa,
    airPassedKg: y[PASSED],
    leakedKg: gas.leakedKg,
    pistonWorkJ: y[WORK],
    steps: {
      taken: runs.reduce((sum, { run }) => sum + run.steps.length, 0),
      rejected: runs.reduce((sum, { run }) => sum + run.rejected, 0),
    },
    stepEnds: () => [
      0,
      ...runs.flatMap(({ run }) =>
        run.steps
          .slice(1)
          .map(({ t0 }) => t0)
          .concat(run.t),
      ),
    ],
    at: (timeS) => stateAt(model, runs, timeS),
  };
}

function stateAt(model: RamModel, runs: readonly RamRun[], timeS: number): RamState {
  const exitS = lastOf(runs).run.t;
  if (Number.isNaN(timeS)) throw new RangeError("RamPrediction.at: time is not a number");
  const t = Math.min(exitS, Math.max(0, timeS));
  const { phase, run } = runs.findLast(({ t0 }) => t0 <= t)!;
  let [low, high] = [0, run.steps.length - 1];
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (run.steps[middle].t0 <= t) low = middle;
    else high = middle - 1;
  }
  const y = t === exitS ? run.y : denseAt(run.steps[low], t);
  const slope = new Float64Array(y.length);
  model.rhs(phase)(t, y, slope);
  const gas = model.gas(y);
  return {
    timeS: t,
    positionM: y[TRAVEL],
    speedMPerS: y[SPEED],
    accelerationMPerS2: slope[SPEED],
    tankPa: gas.tankPa,
    tankK: gas.tankK,
    chamberPa: gas.chamberPa,
    chamberK: gas.chamberK,
    rodChamberPa: gas.rodChamberPa,
  };
}
