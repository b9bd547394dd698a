import type { TunableInput } from "../launchers/tunable-model.ts";
import type { Fit } from "../numeric/levenberg-marquardt.ts";
import { isBeyond } from "./curve-at.ts";
import { DETERMINED } from "./determination.ts";
import { squareAboveZero } from "./one-sided.ts";
import { settle } from "./settle.ts";
import type { TuningProblem } from "./tuning-problem.ts";
import { nameOf, startFrom, type Unknown, valueAt } from "./unknowns.ts";

/** A fit in which no input that a person stated at a limit lies beyond it. */
export interface InsideLimits {
  /** Places of the first problem's unknowns; 0, at the limit, for those it drew beyond. */
  readonly z: Float64Array;
  /** Of each unknown of the first problem, standard uncertainty after over before. */
  readonly left: readonly number[];
  /** Those held at their limit, with what is left of their variance inside. */
  readonly atLimit: readonly { readonly at: number; readonly name: string; readonly variance: number }[];
}

/**
 * Inputs stated at a limit (no delay, no friction) that the shots draw beyond it are held there, and the
 * others fitted again: what they made up for is theirs then. Of such an input's uncertainty what lies inside
 * the limit is left, about the limit; one of which that leaves most stays to the others' rule.
 * @param again the problem without some inputs, by name
 * @returns null where the fit does not settle
 */
export function insideLimits(
  { unknowns }: TuningProblem,
  fit: Fit & { readonly covariance: Float64Array },
  again: (held: ReadonlySet<string>) => TuningProblem,
): InsideLimits | null {
  const n = unknowns.length;
  const left = unknowns.map((_, at) => Math.sqrt(fit.covariance[at * n + at]));
  const atLimit = unknowns.flatMap((unknown, at) => {
    if (unknown.kind !== "input" || unknown.input.of !== "launcher") return [];
    const { input, name } = unknown;
    if (!isBeyond(input, valueAt(input, fit.parameters[at]))) return [];
    const variance = squareAboveZero(inward(input, fit.parameters[at]), left[at]);
    return Math.sqrt(variance) <= DETERMINED ? [{ at, name, variance }] : [];
  });
  if (atLimit.length === 0) return { z: fit.parameters, left, atLimit };
  const inner = again(new Set(atLimit.map(({ name }) => name)));
  const settled = settle({ ...inner.fit, start: startFrom(unknowns, fit.parameters, inner.unknowns) });
  const { covariance } = settled;
  if (!settled.converged || covariance === null) return null;
  const m = inner.unknowns.length;
  const leftInside = new Map(
    inner.unknowns.map((one, i) => [nameOf(one), Math.sqrt(covariance[i * m + i])] as const),
  );
  const leftOf = (unknown: Unknown, at: number) =>
    leftInside.get(nameOf(unknown)) ?? Math.sqrt(atLimit.find((one) => one.at === at)!.variance);
  return { z: startFrom(inner.unknowns, settled.parameters, unknowns), left: unknowns.map(leftOf), atLimit };
}

/** How far from the limit at which an input was stated its unknown lies inside. */
function inward({ value, high = Infinity }: TunableInput, z: number): number {
  return value >= high ? -z : z;
}
