import type { ModelCurve } from "../launchers/tunable-model.ts";
import type { FitProblem } from "../numeric/levenberg-marquardt.ts";
import { curveAt } from "./curve-at.ts";
import { aheadOf, NO_TERMS, TERM_NAMES, type TermSizes } from "./shot-terms.ts";
import { modelAt, type ShotToTune, shotRows } from "./tuned-shot.ts";
import { PLACING_SD, type Unknown, unknownsOf, valueAt } from "./unknowns.ts";

// of an input's u: far above the integrator's error, and the model bends over it by a thousandth
const STEP = 0.01;
// a step of a tenth of a standard uncertainty at the most; the last step is usually far smaller
const ENOUGH = 0.01;
const FIRST_DAMPING = 1e-9; // what was known before holds every unknown already

/** The least-squares problem of a set of shots, its unknowns named. */
export interface TuningProblem {
  readonly unknowns: readonly Unknown[];
  readonly fit: FitProblem;
  /** Rows that are data; the rest, one for each unknown, say what was known before. */
  readonly dataRows: number;
}

/**
 * Residuals of every track point of every shot, whitened, then of every unknown from what was known of it:
 * r = C^-1/2 [travel + Σ z Δtravel - rest - x(time + Σ z Δtime - start; inputs)], and z for each unknown in
 * units of its own u. The least-squares point is the most probable one; the inverse of JᵀJ its covariance.
 * @param held names of launcher inputs that stay as stated
 * @param noise factor on the stated noise of the tracks
 */
export function tuningProblem(
  shots: readonly ShotToTune[],
  held: ReadonlySet<string>,
  noise: number,
  terms: TermSizes = NO_TERMS,
): TuningProblem {
  const { unknowns, sharedKeys } = unknownsOf(shots, held);
  const rows = shots.map(({ track }) => shotRows(track, sharedKeys));
  const offsets: number[] = [];
  let dataRows = 0;
  for (const { points } of rows) {
    offsets.push(dataRows);
    dataRows += points.length;
  }
  const n = unknowns.length;
  const indexOf = (match: (unknown: Unknown) => boolean) => unknowns.findIndex(match);
  const placing = shots.map((_, shot) => ({
    start: indexOf((one) => one.kind === "start" && one.shot === shot),
    rest: indexOf((one) => one.kind === "rest" && one.shot === shot),
    drag: indexOf((one) => one.kind === "drag" && one.shot === shot),
    speed: indexOf((one) => one.kind === "speed" && one.shot === shot),
    early: indexOf((one) => one.kind === "early" && one.shot === shot),
  }));
  const commonAt = sharedKeys.map((key) => indexOf((one) => one.kind === "common" && one.key === key));
  /** For each shot, the unknown behind each of its model's inputs; -1 where it stays as stated. */
  const inputAt = shots.map(({ model }, shot) =>
    model.inputs.map((input) =>
      indexOf((one) => one.kind === "input" && one.name === input.name && one.shots.includes(shot)),
    ),
  );

  function curveOf(shot: number, z: ArrayLike<number>): ModelCurve | null {
    const { model } = shots[shot];
    return curveAt(
      model,
      model.inputs.map((input, i) => {
        const at = inputAt[shot][i];
        return at < 0 ? input.value : valueAt(input, z[at]);
      }),
    );
  }

  /**
   * Model and data at each point of a shot: travel the model says, travel seen, the
   * model's speed, time flown.
   */
  function places(shot: number, z: ArrayLike<number>, curve: ModelCurve) {
    const { points, shared } = rows[shot];
    const at = placing[shot];
    // The model's clock is set by the end of its push: an input that makes the push longer does not
    // then move the whole curve.
    const startS = shots[shot].track.releaseS + PLACING_SD.start * z[at.start] - curve.exitS;
    return points.map((point, i) => {
      let [timeS, seenM] = [point.timeS - startS, point.travelM - PLACING_SD.rest * z[at.rest]];
      shared.forEach((error, k) => {
        if (error === null) return;
        timeS += z[commonAt[k]] * error.timeS[i];
        seenM += z[commonAt[k]] * error.travelM[i];
      });
      const fromExitS = timeS - curve.exitS;
      const ahead = TERM_NAMES.map((name) => aheadOf(name, fromExitS, curve.exitS));
      let [aheadS, quicker] = [0, 1];
      TERM_NAMES.forEach((name, k) => {
        aheadS += terms[name] * z[at[name]] * ahead[k].aheadS;
        quicker += terms[name] * z[at[name]] * ahead[k].quicker;
      });
      const state = modelAt(curve, PLACING_SD.drag * z[at.drag], timeS + aheadS);
      return { ...state, speedMPerS: quicker * state.speedMPerS, ahead, seenM };
    });
  }

  function put(out: Float64Array, shot: number, column: number, width: number, values: Float64Array): void {
    const whitened = rows[shot].whiten(values);
    for (let i = 0; i < whitened.length; i++) {
      out[(offsets[shot] + i) * width + column] = whitened[i] / noise;
    }
  }

  const fit: FitProblem = {
    count: dataRows + n,
    start: new Float64Array(n),
    typical: new Float64Array(n).fill(1),
    enough: ENOUGH,
    firstDamping: FIRST_DAMPING,
    residuals(z, out) {
      shots.forEach((_, shot) => {
        const curve = curveOf(shot, z);
        const raw =
          curve === null
            ? new Float64Array(rows[shot].points.length).fill(Number.NaN)
            : Float64Array.from(places(shot, z, curve), ({ seenM, travelM }) => seenM - travelM);
        put(out, shot, 0, 1, raw);
      });
      for (let j = 0; j < n; j++) out[dataRows + j] = z[j];
    },
    jacobian(z, out) {
      for (let j = 0; j < n; j++) out[(dataRows + j) * n + j] = 1;
      shots.forEach((_, shot) => {
        const here = curveOf(shot, z);
        if (here === null) {
          out.fill(Number.NaN);
          return;
        }
        const at = places(shot, z, here);
        const column = (j: number, of: (place: (typeof at)[number], i: number) => number) =>
          put(out, shot, j, n, Float64Array.from(at, of));
        column(placing[shot].start, ({ speedMPerS }) => PLACING_SD.start * speedMPerS);
        column(placing[shot].rest, () => -PLACING_SD.rest);
        TERM_NAMES.forEach((name, k) => {
          column(placing[shot][name], ({ speedMPerS, ahead }) => -terms[name] * ahead[k].aheadS * speedMPerS);
        });
        column(placing[shot].drag, ({ flownS }) => (PLACING_SD.drag * flownS * flownS) / 2);
        rows[shot].shared.forEach((error, k) => {
          if (error === null) return;
          column(commonAt[k], ({ speedMPerS }, i) => error.travelM[i] - speedMPerS * error.timeS[i]);
        });
        for (const j of new Set(inputAt[shot].filter((one) => one >= 0))) {
          put(out, shot, j, n, differences(shot, j, z, at));
        }
      });
    },
  };

  /** -dx/dz by a difference to one side; to the other where the model has no launch on the first. */
  function differences(
    shot: number,
    j: number,
    z: Float64Array,
    here: readonly { readonly travelM: number }[],
  ): Float64Array {
    for (const step of [STEP, -STEP]) {
      const moved = z.slice();
      moved[j] = z[j] + step;
      const curve = curveOf(shot, moved);
      if (curve === null) continue;
      return Float64Array.from(
        places(shot, z, curve),
        ({ travelM }, i) => (here[i].travelM - travelM) / step,
      );
    }
    return new Float64Array(here.length).fill(Number.NaN);
  }

  return { unknowns, fit, dataRows };
}
