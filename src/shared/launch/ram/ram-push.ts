import { IntegrationError, integrate, type OdeRun } from "../../numeric/integrate.ts";
import { ok, type Result, refuse } from "../../quantity/result.ts";
import type { RamInputs } from "./ram-inputs.ts";
import type { RamModel } from "./ram-model.ts";
import type { Parting, RamRun } from "./ram-phase.ts";
import { SPEED, TRAVEL } from "./ram-state.ts";

const LONGEST_S = 10; // a push slower than this is no launch
const LONGEST_ALONE_S = 1; // a ram that has not reached its stop by then only creeps
// of one push; a smooth one takes 50 to 500, a stiff one at the edge of what exists some thousand
const MOST_STEPS = 20_000;
// of all that moves: a ram lighter than this follows its gas at once and has nothing left for the end stop
const TOO_LIGHT = 1e-4;

export interface RamPush {
  /** Until the airframe leaves the ram. */
  readonly runs: readonly RamRun[];
  readonly startS: number;
  /** Of the ram alone, after an airframe that left before the end of the stroke; null where it did not. */
  readonly alone: { readonly runs: readonly RamRun[]; readonly stopsShort: boolean } | null;
}

/** Between two runs. */
interface Now {
  readonly t: number;
  readonly y: Float64Array;
  readonly moving: boolean;
  readonly startS: number;
  /** An airframe that has left, and how many runs it took; null while it moves with the ram. */
  readonly left: { readonly parting: Parting; readonly runs: number } | null;
  readonly firstH: number | undefined;
}

/**
 * Follows the equations of `ramModel` from rest, run by run, until the piston is at the end of the stroke. An
 * airframe that parts from it is followed as a body that coasts, as long as the ram may catch up with it.
 * @returns the runs; or "stalls" as `predictRam` says it
 * @throws IntegrationError when the equations are too stiff before the airframe leaves
 */
export function integratePush(inputs: RamInputs, model: RamModel, relTol: number): Result<RamPush, "stalls"> {
  const runs: RamRun[] = [];
  let stepsLeft = MOST_STEPS;
  let now = beginning(inputs, model);
  for (;;) {
    if (stepsLeft <= 0) throw new IntegrationError("too-many-steps", now.t);
    const lastS =
      now.left === null ? (inputs.delayS ?? 0) + LONGEST_S : now.left.parting.timeS + LONGEST_ALONE_S;
    const { phases, untilS } = model.valvesFrom(now.t);
    const phase = { moving: now.moving, parted: now.left?.parting ?? null, valves: phases };
    const problem = {
      rhs: model.rhs(phase),
      relTol,
      absTol: model.absTol,
      events: model.events(phase),
      maxSteps: stepsLeft,
    };
    let run: OdeRun;
    try {
      run = integrate(problem, now.t, now.y, Math.min(untilS, lastS), now.firstH);
    } catch (error) {
      // The airframe is gone: what the ram alone does after that keeps no speed from being told.
      if (error instanceof IntegrationError && now.left !== null) return ok(ended(runs, now, false));
      throw error;
    }
    if (run.steps.length > 0) runs.push({ phase, t0: now.t, run });
    stepsLeft -= Math.max(1, run.steps.length + run.rejected);
    if (run.event === "stall" || run.t >= lastS) {
      return goesOn(inputs, model, now)
        ? ok(ended(runs, now, true))
        : refuse("stalls", { positionM: run.y[TRAVEL], strokeM: inputs.strokeM, timeS: run.t });
    }
    now = afterRun(inputs, model, now, run, runs.length);
    const followed = run.event === "part" && !(model.aloneKg > TOO_LIGHT * inputs.totalMassKg);
    if (run.event === "exit" || followed) return ok(ended(runs, now, false));
  }
}

function beginning({ delayS = 0 }: RamInputs, model: RamModel): Now {
  // Free of friction, the piston is in motion from the first instant even where its first acceleration is 0.
  // A force short of break-away by rounding only counts as there: its event would be over
  // before the first step ends.
  const spare = model.netForce(model.start) - model.breakaway;
  const moving = spare > -model.forceRounding;
  const startS = moving ? (spare > model.forceRounding ? 0 : delayS) : Number.NaN;
  return { t: 0, y: model.start, moving, startS, left: null, firstH: undefined };
}

function afterRun(inputs: RamInputs, model: RamModel, now: Now, run: OdeRun, runs: number): Now {
  const { t, y, event } = run;
  const next: Now = { ...now, t, y, firstH: undefined };
  if (event === null) return next;
  if (event === "start") return { ...next, moving: true, startS: t };
  if (event === "part") return { ...next, left: leaving(t, y, runs) };
  if (event === "catch" && now.left !== null) {
    const together = caughtUp(inputs, model, now.left.parting, t, y);
    // A ram that has nothing left to push with only knocks the airframe on.
    const left = model.contact(together) > 0 ? null : leaving(t, together, runs);
    return { ...next, y: together, left };
  }
  // a flow law changed form, little else did
  return { ...next, firstH: Math.max(run.nextH / 10, 1e-12) };
}

function ended(runs: readonly RamRun[], { startS, left }: Now, stopsShort: boolean): RamPush {
  if (left === null) return { runs, startS, alone: null };
  return { runs: runs.slice(0, left.runs), startS, alone: { runs: runs.slice(left.runs), stopsShort } };
}

function leaving(timeS: number, y: Float64Array, runs: number): NonNullable<Now["left"]> {
  return { parting: { timeS, travelM: y[TRAVEL], speedMPerS: y[SPEED] }, runs };
}

/** The state after the ram has caught up with the airframe: one speed, by their momentum. */
function caughtUp(
  { totalMassKg }: RamInputs,
  { coasting, aloneKg }: RamModel,
  parting: Parting,
  t: number,
  y: Float64Array,
): Float64Array {
  const after = Float64Array.from(y);
  const airframe = (totalMassKg - aloneKg) * coasting(parting, t).speedMPerS;
  after[SPEED] = (aloneKg * y[SPEED] + airframe) / totalMassKg;
  return after;
}

/** Whether an airframe has left a ram that stops short, and comes to the end of the stroke without it. */
function goesOn({ strokeM }: RamInputs, { coasting }: RamModel, { left }: Now): boolean {
  if (left === null) return false;
  const { timeS, travelM, speedMPerS } = left.parting;
  const slowing = -coasting(left.parting, timeS).accelerationMPerS2;
  return !(slowing > 0 && travelM + speedMPerS ** 2 / (2 * slowing) < strokeM);
}
