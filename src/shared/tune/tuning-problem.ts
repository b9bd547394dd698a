import type { ModelCurve, TunableModel } from "../launchers/tunable-model.ts";
import type { FitProblem } from "../numeric/fit-problem.ts";
import { curveAt } from "./curve-at.ts";
import { aheadOf, NO_TERMS, TERM_NAMES, type TermSizes } from "./shot-terms.ts";
import { modelAt, type ShotToTune, shotRows } from "./tuned-shot.ts";
import { PLACING_SD, type Unknown, unknownsOf, valueAt } from "./unknowns.ts";

// of an input's u: far above the integrator's error, and the model bends over it by a thousandth
const STEP = 0.01;
// a step of a thirtieth of a standard uncertainty at the most; the last step is usually far smaller
const ENOUGH = 0.001;
const FIRST_DAMPING = 1e-9; // what was known before holds every unknown already
// a Jacobian takes as many predictions of each shot as there are inputs, a correction one or two
const CORRECTIONS = 6;
// curves of a shot: a step's best correction is one of the last
const KEPT = 3;

/** The least-squares problem of a set of shots, its unknowns named. */
export interface TuningProblem {
  readonly unknowns: readonly Unknown[];
  readonly fit: FitProblem;
  /** Rows that are data; the rest, one for each unknown, say what was known before. */
  readonly dataRows: number;
}

/** A shot's points as they lie to the model. */
interface Seen {
  readonly fromExitS: Float64Array;
  readonly seenM: Float64Array;
}

/**
 * A model's curves, the latest kept: a Jacobian begins where residuals were taken some corrections before,
 * and what places a shot in its clip leaves its curve as it was.
 */
function latestCurves(model: TunableModel): (values: readonly number[]) => ModelCurve | null {
  const kept: { readonly values: readonly number[]; readonly curve: ModelCurve | null }[] = [];
  return (values) => {
    const known = kept.find((one) => one.values.every((value, i) => value === values[i]));
    if (known !== undefined) return known.curve;
    const curve = curveAt(model, values);
    kept.push({ values, curve });
    if (kept.length > KEPT) kept.shift();
    return curve;
  };
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

  const used = TERM_NAMES.filter((name) => terms[name] > 0);

  const curves = shots.map(({ model }) => latestCurves(model));

  function curveOf(shot: number, z: ArrayLike<number>): ModelCurve | null {
    return curves[shot](valuesOf(shot, z));
  }

  function valuesOf(shot: number, z: ArrayLike<number>): readonly number[] {
    return shots[shot].model.inputs.map((input, i) => {
      const at = inputAt[shot][i];
      return at < 0 ? input.value : valueAt(input, z[at]);
    });
  }

  /** s from the end of the model's push at each point of a shot, and m, the place seen there. */
  function seenIn(shot: number, z: ArrayLike<number>): Seen {
    const { points, shared } = rows[shot];
    const at = placing[shot];
    // The model's clock is set by the end of its push: an input that makes the push longer does not
    // then move the whole curve.
    const endS = shots[shot].track.releaseS + PLACING_SD.start * z[at.start];
    const fromExitS = Float64Array.from(points, ({ timeS }) => timeS - endS);
    const seenM = Float64Array.from(points, ({ travelM }) => travelM - PLACING_SD.rest * z[at.rest]);
    shared.forEach((error, k) => {
      if (error === null) return;
      for (let i = 0; i < points.length; i++) {
        fromExitS[i] += z[commonAt[k]] * error.timeS[i];
        seenM[i] += z[commonAt[k]] * error.travelM[i];
      }
    });
    return { fromExitS, seenM };
  }

  /** What the model says of a shot at each of its points, with what the terms of that shot add. */
  function statesIn(shot: number, z: ArrayLike<number>, curve: ModelCurve, { fromExitS }: Seen) {
    const at = placing[shot];
    return Array.from(fromExitS, (fromS) => {
      let [aheadS, quicker] = [0, 1];
      for (const name of used) {
        const ahead = aheadOf(name, fromS, curve.exitS);
        aheadS += terms[name] * z[at[name]] * ahead.aheadS;
        quicker += terms[name] * z[at[name]] * ahead.quicker;
      }
      const state = modelAt(curve, PLACING_SD.drag * z[at.drag], fromS + curve.exitS + aheadS);
      return { ...state, speedMPerS: quicker * state.speedMPerS };
    });
  }

  function travelsIn(shot: number, z: ArrayLike<number>, curve: ModelCurve, { fromExitS }: Seen) {
    const at = placing[shot];
    const dragMPerS2 = PLACING_SD.drag * z[at.drag];
    return fromExitS.map((fromS) => {
      let timeS = fromS + curve.exitS;
      for (const name of used) {
        timeS += terms[name] * z[at[name]] * aheadOf(name, fromS, curve.exitS).aheadS;
      }
      return modelAt(curve, dragMPerS2, timeS).travelM;
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
    corrections: CORRECTIONS,
    residuals(z, out) {
      shots.forEach((_, shot) => {
        const curve = curveOf(shot, z);
        const raw =
          curve === null
            ? new Float64Array(rows[shot].points.length).fill(Number.NaN)
            : misses(shot, z, curve);
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
        const seen = seenIn(shot, z);
        const at = statesIn(shot, z, here, seen);
        const column = (j: number, of: (place: (typeof at)[number], i: number) => number) =>
          put(out, shot, j, n, Float64Array.from(at, of));
        column(placing[shot].start, ({ speedMPerS }) => PLACING_SD.start * speedMPerS);
        column(placing[shot].rest, () => -PLACING_SD.rest);
        for (const name of used) {
          column(placing[shot][name], ({ speedMPerS }, i) => {
            return -terms[name] * aheadOf(name, seen.fromExitS[i], here.exitS).aheadS * speedMPerS;
          });
        }
        column(placing[shot].drag, ({ flownS }) => (PLACING_SD.drag * flownS * flownS) / 2);
        rows[shot].shared.forEach((error, k) => {
          if (error === null) return;
          column(commonAt[k], ({ speedMPerS }, i) => error.travelM[i] - speedMPerS * error.timeS[i]);
        });
        for (const j of new Set(inputAt[shot].filter((one) => one >= 0))) {
          put(out, shot, j, n, differences(shot, j, z, seen, at));
        }
      });
    },
  };

  function misses(shot: number, z: ArrayLike<number>, curve: ModelCurve): Float64Array {
    const seen = seenIn(shot, z);
    return travelsIn(shot, z, curve, seen).map((travelM, i) => seen.seenM[i] - travelM);
  }

  /** -dx/dz by a difference to one side; to the other where the model has no launch on the first. */
  function differences(
    shot: number,
    j: number,
    z: Float64Array,
    seen: Seen,
    here: readonly { readonly travelM: number }[],
  ): Float64Array {
    for (const step of [STEP, -STEP]) {
      const moved = z.slice();
      moved[j] = z[j] + step;
      const curve = curveAt(shots[shot].model, valuesOf(shot, moved));
      if (curve === null) continue;
      // An input moves neither the place seen nor the time from the end of the push.
      return travelsIn(shot, moved, curve, seen).map((travelM, i) => (here[i].travelM - travelM) / step);
    }
    return new Float64Array(here.length).fill(Number.NaN);
  }

  return { unknowns, fit, dataRows };
}
