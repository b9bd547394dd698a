import type { Measured } from "../quantity/measured.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import type { JointInputs } from "./joint-inputs.ts";

/** An input of a model with its standard uncertainty, and the limits within which the model may be asked. */
export interface UncertainInput<N extends string = string> {
  readonly name: N;
  readonly value: number;
  readonly u: number;
  readonly low?: number;
  readonly high?: number;
}

/**
 * An input that means nothing at 0 or below. A step of one u may pass 0 where it is poorly known; a hundredth
 * of its value is as near as the model is asked.
 */
export function aboveZero<N extends string>(name: N, measured: Measured): UncertainInput<N> {
  return { name, ...measured, low: measured.value / 100 };
}

/** An input that means nothing below 0. */
export function zeroOrMore<N extends string>(name: N, measured: Measured): UncertainInput<N> {
  return { name, ...measured, low: 0 };
}

/**
 * Outputs [m], their u [m], and for each input [n] the signed part c_i u_i it has in each output [m];
 * correlated inputs have none of their own, their directions' parts follow after all inputs.
 */
export interface Propagated {
  readonly values: readonly number[];
  readonly u: readonly number[];
  readonly parts: readonly (readonly number[])[];
}

/**
 * First-order propagation through a model of independent inputs: u² = Σ (c_i u_i)², with c_i = [f(x_i + u_i)
 * − f(x_i − u_i)]/(2u_i). Source: JCGM 100:2008, 5.1.2 and 5.1.3 note 2. Correlated inputs are moved along
 * independent directions of their covariance instead (5.2.2, its double sum written as one of squares). Where
 * a neighbour is outside the limits or the model has no value there, the limit or the centre takes its place;
 * where both neighbours fail, the step is shortened to a tenth, twice.
 * @param model outputs [m] for inputs [n], or null where it has none
 * @param joint inputs, by name, whose errors are correlated: their own u is then not used
 * @returns values and uncertainties; "no-value" when the model has none at the inputs; "no-neighbour" with
 *   the index of the input ({ input }) about which it has none
 * @throws RangeError when an input or u is not finite, u < 0, or a value is outside its own limits
 */
export function propagate(
  model: (inputs: readonly number[]) => readonly number[] | null,
  inputs: readonly UncertainInput[],
  joint: JointInputs | null = null,
): Result<Propagated, "no-value" | "no-neighbour"> {
  for (const { name, value, u, low = -Infinity, high = Infinity } of inputs) {
    if (!(Number.isFinite(value) && Number.isFinite(u) && u >= 0 && value >= low && value <= high)) {
      throw new RangeError(`propagate: ${name} = ${value}, u = ${u}, limits ${low} to ${high}`);
    }
  }
  const centre = inputs.map(({ value }) => value);
  const values = model(centre);
  if (values === null) return refuse("no-value");
  const parts: number[][] = [];
  for (const [i, input] of inputs.entries()) {
    // A u below the last digit of its value moves nothing.
    const still = input.value + input.u === input.value || joint?.names.includes(input.name);
    const part = still ? values.map(() => 0) : partOf(model, centre, values, i, input);
    if (part === null) return refuse("no-neighbour", { input: i });
    parts.push(part);
  }
  for (const direction of joint?.directions ?? []) {
    const shift = inputs.map(({ name }) => direction[joint!.names.indexOf(name)] ?? 0);
    if (shift.every((by) => by === 0)) continue;
    const part = partAlong(model, values, inputs, shift);
    if (part === null) return refuse("no-neighbour", { input: shift.findIndex((by) => by !== 0) });
    parts.push(part);
  }
  const u = values.map((_, j) => Math.hypot(...parts.map((part) => part[j])));
  return ok({ values, u, parts });
}

function partOf(
  model: (inputs: readonly number[]) => readonly number[] | null,
  centre: readonly number[],
  values: readonly number[],
  i: number,
  { value, u, low = -Infinity, high = Infinity }: UncertainInput,
): number[] | null {
  const at = (x: number) => model(centre.with(i, x));
  for (const step of [u, u / 10, u / 100]) {
    const [below, above] = [Math.max(low, value - step), Math.min(high, value + step)];
    const [fBelow, fAbove] = [below < value ? at(below) : null, above > value ? at(above) : null];
    const from = fBelow ? below : value;
    const to = fAbove ? above : value;
    if (from === to) continue;
    return values.map((_, j) => (((fAbove ?? values)[j] - (fBelow ?? values)[j]) / (to - from)) * u);
  }
  return null;
}

/**
 * The part of one direction, several inputs moved together; steps that leave the limits, or
 * the model, are shortened.
 */
function partAlong(
  model: (inputs: readonly number[]) => readonly number[] | null,
  values: readonly number[],
  inputs: readonly UncertainInput[],
  shift: readonly number[],
): number[] | null {
  const at = (step: number) => {
    const moved = inputs.map(({ value }, i) => value + step * shift[i]);
    const inside = inputs.every(
      ({ low = -Infinity, high = Infinity }, i) => shift[i] === 0 || (moved[i] >= low && moved[i] <= high),
    );
    return inside ? model(moved) : null;
  };
  for (const step of [1, 0.1, 0.01]) {
    const [below, above] = [at(-step), at(step)];
    const width = (below ? step : 0) + (above ? step : 0);
    if (width === 0) continue;
    return values.map((_, j) => ((above ?? values)[j] - (below ?? values)[j]) / width);
  }
  return null;
}
