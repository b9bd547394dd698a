import { denseAt } from "../../numeric/dormand-prince.ts";
import { lastOf } from "../../quantity/known-element.ts";
import { ok, type Result, refuse } from "../../quantity/result.ts";
import { peakAcceleration } from "./peak-acceleration.ts";
import { ramInputProblem } from "./ram-checks.ts";
import type { RamEnd, RamInputs, RamMotion, RamPrediction, RamState } from "./ram-inputs.ts";
import { type RamModel, ramModel } from "./ram-model.ts";
import type { RamPhase, RamRun } from "./ram-phase.ts";
import { integratePush, type RamPush } from "./ram-push.ts";
import { DROP, PASSED, SPEED, TANK, TRAVEL, WORK } from "./ram-state.ts";

export type RamRefusal = "never-moves" | "stalls" | "no-pressure";

const DEFAULT_REL_TOL = 1e-8; // keeps 7 digits in the six published cases, 8 in speed and energy
/**
 * The push of a compressed-air ram from t = 0 (the first valve starting to open, unless it is delayed;
 * everything at air pressure but the tank) until the airframe leaves: at the end of the stroke, or where the
 * ram ceases to push it; the ram then goes on to the end, or until it stops. Equations and source: see
 * `ramModel`. Integrated piecewise smoothly: a new run begins at break-away, where a valve starts or ends
 * to open or passes a point of its opening, where a flow chokes, unchokes or reverses, and where the
 * airframe parts from the ram.
 * @returns the prediction; or a refusal: "no-pressure" when the tank is not above the air outside ({
 *   gaugePa }); "never-moves" when even with tank and chamber at one pressure the force stays below
 *   break-away ({ forceN, neededN }); "stalls" when the piston stops, or has not left after 10 s ({
 *   positionM, strokeM, timeS }), and no airframe has gone on beyond the stroke without it
 * @throws RangeError naming the field, on an impossible input or relTol outside (0, 1e-3]
 * @throws IntegrationError when the equations are too stiff for 20 000 steps (a vast
 *   valve on a tiny dead volume)
 */
export function predictRam(
  inputs: RamInputs,
  options: { readonly relTol?: number } = {},
): Result<RamPrediction, RamRefusal> {
  const pushed = followPush(inputs, options.relTol ?? DEFAULT_REL_TOL);
  return pushed.ok ? ok(describe(pushed.value.model, inputs.strokeM, pushed.value.push)) : pushed;
}

/** The push of `predictRam`, of which nothing is told but where the airframe is and how fast it moves. */
export interface RamPath {
  readonly exitS: number;
  readonly exitTravelM: number;
  readonly exitSpeedMPerS: number;
  /** At a time of the push; at its ends for a time beyond them. @throws RangeError for no time */
  at(timeS: number): { readonly positionM: number; readonly speedMPerS: number };
}

/**
 * What `predictRam` says of place and speed, in less time, for whoever asks for very many pushes.
 * @returns and throws as `predictRam`
 */
export function predictRamPath(inputs: RamInputs, relTol: number): Result<RamPath, RamRefusal> {
  const pushed = followPush(inputs, relTol);
  if (!pushed.ok) return pushed;
  const { model, push } = pushed.value;
  const { t, y } = lastOf(push.runs).run;
  return ok({
    exitS: t,
    exitTravelM: exitTravel(push, inputs.strokeM),
    exitSpeedMPerS: y[SPEED],
    at: (timeS) => placeOf(model, placeIn(push.runs, timeS)),
  });
}

function followPush(
  inputs: RamInputs,
  relTol: number,
): Result<{ readonly model: RamModel; readonly push: RamPush }, RamRefusal> {
  const problem = ramInputProblem(inputs);
  if (problem) {
    throw new RangeError(`predictRam: ${problem.field} must be ${problem.need}; got ${problem.value}`);
  }
  if (!(relTol > 0 && relTol <= 1e-3))
    throw new RangeError(`predictRam: relTol ${relTol} is not in (0, 1e-3]`);
  if (!(inputs.gaugePressurePa > 0)) return refuse("no-pressure", { gaugePa: inputs.gaugePressurePa });
  const model = ramModel(inputs, relTol);
  const most = greatestStaticForce(inputs, model);
  if (!(most > model.breakaway)) return refuse("never-moves", { forceN: most, neededN: model.breakaway });
  const pushed = integratePush(inputs, model, relTol);
  return pushed.ok ? ok({ model, push: pushed.value }) : pushed;
}

/**
 * N, net force once tank and chamber have come to one pressure: p V is kept, with or without heat exchange; a
 * supply lifts both to its own.
 */
function greatestStaticForce(inputs: RamInputs, model: RamModel): number {
  const { tankVolumeM3: vt, deadVolumeM3: vd } = inputs;
  const y = Float64Array.from(model.start);
  y[TANK] = y[TANK] - (y[DROP] * vd) / (vt + vd);
  y[DROP] = 0;
  y[TANK] = Math.max(y[TANK], model.supplyPa ?? 0);
  return model.netForce(y);
}

function describe(model: RamModel, strokeM: number, push: RamPush): RamPrediction {
  const { runs, startS, alone } = push;
  const last = lastOf(runs);
  const { t: exitS, y } = last.run;
  const slope = new Float64Array(y.length);
  model.rhs(last.phase)(exitS, y, slope);
  const room = { y: new Float64Array(y.length), slope: new Float64Array(y.length) };
  // The ram may have caught up with an airframe that had parted before: between the two it was alone.
  const peak = peakAcceleration(
    model,
    runs.filter(({ phase }) => phase.parted === null),
  );
  const gas = model.gas(y);
  const all = [...runs, ...(alone?.runs ?? [])];
  return {
    startS,
    exitS,
    exitSpeedMPerS: y[SPEED],
    exitTravelM: exitTravel(push, strokeM),
    leavesEarly: alone !== null,
    ramEnd: ramEndOf(model, lastOf(all), alone),
    peakAccelerationMPerS2: peak.value,
    peakAccelerationS: peak.timeS,
    peakPullN: peakPull(model, all),
    peakDragN: model.drag(stateAt(model, runs, peak.timeS).speedMPerS),
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
      taken: all.reduce((sum, { run }) => sum + run.steps.length, 0),
      rejected: all.reduce((sum, { run }) => sum + run.rejected, 0),
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
    motionAt: (timeS) => motionOf(model, placeIn(runs, timeS, room.y), room.slope),
  };
}

/**
 * N, greatest pull forward on the base while ram and airframe, or the ram alone, slow down: −R by
 * `peakBaseReaction`. It is looked at where steps begin and end, for the gas that slows them works up to it.
 */
function peakPull(model: RamModel, runs: readonly RamRun[]): number {
  let most = 0;
  for (const { phase, run } of runs) {
    if (!phase.moving) continue;
    const rhs = model.rhs(phase);
    const slope = new Float64Array(run.y.length);
    const size = run.y.length;
    const states = run.steps.map(({ t0, terms }) => ({ t: t0, y: Float64Array.from(terms.slice(0, size)) }));
    for (const { t, y } of [...states, { t: run.t, y: run.y }]) {
      rhs(t, y, slope);
      most = Math.max(most, -model.baseReaction(phase, y, slope));
    }
  }
  return most;
}

function ramEndOf(model: RamModel, { run }: RamRun, alone: RamPush["alone"]): RamEnd {
  const gas = model.gas(run.y);
  return {
    timeS: run.t,
    positionM: run.y[TRAVEL],
    speedMPerS: alone?.stopsShort ? 0 : run.y[SPEED],
    chamberPa: gas.chamberPa,
    rodChamberPa: gas.rodChamberPa,
    airPassedKg: run.y[PASSED],
    airFedKg: gas.fedKg,
    peakAloneMPerS2:
      alone === null || alone.runs.length === 0 ? null : peakAcceleration(model, alone.runs).value,
  };
}

function exitTravel({ runs, alone }: RamPush, strokeM: number): number {
  return alone === null ? strokeM : lastOf(runs).run.y[TRAVEL];
}

/** Where a push stands at a time. */
interface Instant {
  readonly t: number;
  readonly phase: RamPhase;
  readonly y: Float64Array;
}

/** @param room where the state is written; a fresh array by default */
function placeIn(runs: readonly RamRun[], timeS: number, room?: Float64Array): Instant {
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
  return { t, phase, y: t === exitS ? run.y : denseAt(run.steps[low], t, room) };
}

/** Of the airframe, which coasts once it has parted. */
function placeOf(model: RamModel, { t, phase, y }: Instant) {
  if (phase.parted === null) return { positionM: y[TRAVEL], speedMPerS: y[SPEED] };
  const { travelM, speedMPerS } = model.coasting(phase.parted, t);
  return { positionM: travelM, speedMPerS };
}

/** With its acceleration. @param slope where the slope of the state is written */
function motionOf(model: RamModel, instant: Instant, slope: Float64Array): RamMotion {
  const { t, phase, y } = instant;
  if (phase.parted === null) model.rhs(phase)(t, y, slope);
  const accelerationMPerS2 =
    phase.parted === null ? slope[SPEED] : model.coasting(phase.parted, t).accelerationMPerS2;
  return { timeS: t, ...placeOf(model, instant), accelerationMPerS2 };
}

function stateAt(model: RamModel, runs: readonly RamRun[], timeS: number): RamState {
  const instant = placeIn(runs, timeS);
  const { tankPa, tankK, chamberPa, chamberK, rodChamberPa } = model.gas(instant.y);
  const motion = motionOf(model, instant, new Float64Array(instant.y.length));
  return { ...motion, tankPa, tankK, chamberPa, chamberK, rodChamberPa };
}
