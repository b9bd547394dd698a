import { backSubstitute, choleskyInPlace, forwardSubstitute } from "../numeric/cholesky.ts";

/*
 * The first steps of a filter whose value, rate and acceleration start from a flat prior: the state is
 * m + A d, with d the three unknowns at the first step; what the samples say of d adds up in S and s until it
 * is settled. A has four rows (value, rate, acceleration, error) and three columns.
 */

/** The unknowns settled. */
export interface SettledStart {
  /** How many steps it took. */
  readonly steps: number;
  /** [14]: the state after the last of them: mean 4; covariance 00 01 02 11 12 22 0e 1e 2e ee. */
  readonly state: readonly number[];
  /** log det S, and by how much the unknowns lessen the sum of squares. */
  readonly logInformation: number;
  readonly explained: number;
}

export interface FlatStart {
  move(interval: number, memory: number): void;
  /** A step that has no sample. */
  pass(): void;
  /**
   * @param kept [16], the step's state before its sample, its surprise and its size, as the filter keeps them
   */
  see(kept: Float64Array, errorSize: number): void;
  /**
   * @param given [14], the state for unknowns of 0; @param soon whether three samples will do wherever they
   *   lie
   */
  settled(given: ArrayLike<number>, soon: boolean): SettledStart | null;
}

/** det S over the cube of its first entry: 0.037 for three even samples; crowded ones wait for others. */
const CLEAR_DETERMINANT = 1e-3;
/** det S with its diagonal brought to 1. */
const LEAST_DETERMINANT = 1e-12;

export function flatStart(): FlatStart {
  const a = new Float64Array(12);
  a[0] = a[4] = a[8] = 1;
  const information = new Float64Array(9);
  const moment = new Float64Array(3);
  let [steps, samples] = [0, 0];
  return {
    move(h, memory) {
      for (let j = 0; j < 3; j++) {
        a[j] = a[j] + h * a[3 + j] + ((h * h) / 2) * a[6 + j];
        a[3 + j] = a[3 + j] + h * a[6 + j];
        a[9 + j] = memory * a[9 + j];
      }
    },
    pass() {
      steps++;
    },
    see(kept, s) {
      const [surprise, size] = [kept[14], kept[15]];
      const gain = [
        kept[4] + s * kept[10],
        kept[5] + s * kept[11],
        kept[6] + s * kept[12],
        kept[10] + s * kept[13],
      ];
      steps++;
      samples++;
      const seen = [0, 1, 2].map((j) => a[j] + s * a[9 + j]);
      for (let i = 0; i < 3; i++) {
        moment[i] = moment[i] + (seen[i] * surprise) / size;
        for (let j = 0; j < 3; j++) information[3 * i + j] += (seen[i] * seen[j]) / size;
        for (let row = 0; row < 4; row++) a[3 * row + i] -= (gain[row] * seen[i]) / size;
      }
    },
    settled(given, soon) {
      if (samples < 3) return null;
      const scale = [0, 4, 8].map((i) => 1 / Math.sqrt(information[i]));
      const factor = information.map((x, i) => x * scale[Math.floor(i / 3)] * scale[i % 3]);
      const logDet = choleskyInPlace(factor, 3);
      if (logDet === null || logDet < Math.log(LEAST_DETERMINANT)) return null;
      const logInformation = logDet - 2 * scale.reduce((sum, one) => sum + Math.log(one), 0);
      if (!soon && logInformation - 3 * Math.log(information[0]) < Math.log(CLEAR_DETERMINANT)) return null;
      const solve = (b: ArrayLike<number>) => {
        const scaled = scale.map((one, i) => one * b[i]);
        return backSubstitute(factor, 3, forwardSubstitute(factor, 3, scaled)).map((x, i) => x * scale[i]);
      };
      const unknowns = solve(moment);
      const rows = [0, 1, 2, 3].map((row) => a.slice(3 * row, 3 * row + 3));
      const solved = rows.map(solve);
      const between = (i: number, j: number) => dot(rows[i], solved[j]);
      return {
        steps,
        state: [
          ...rows.map((row, i) => given[i] + dot(row, unknowns)),
          ...PAIRS.map(([i, j], at) => given[4 + at] + between(i, j)),
        ],
        logInformation,
        explained: dot(moment, unknowns),
      };
    },
  };
}

/** The entries of a symmetric matrix of four in the order the filter keeps them. */
const PAIRS = [
  [0, 0],
  [0, 1],
  [0, 2],
  [1, 1],
  [1, 2],
  [2, 2],
  [0, 3],
  [1, 3],
  [2, 3],
  [3, 3],
] as const;

function dot(a: ArrayLike<number>, b: ArrayLike<number>): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}
