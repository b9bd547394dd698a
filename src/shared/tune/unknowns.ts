import { isAtLimit, type TunableInput } from "../launchers/tunable-model.ts";
import type { TermName } from "./shot-terms.ts";
import { errorsThatMatter, type ShotToTune } from "./tuned-shot.ts";

/**
 * One unknown of the fit, in units of what was known of it before: 0 is the value as stated, 1
 * is one standard uncertainty away. Inputs that cannot be negative move by their logarithm, so
 * that no step makes them so.
 */
export type Unknown =
  | {
      readonly kind: "input";
      readonly name: string;
      readonly input: TunableInput;
      /** Shots it is the same number for. */
      readonly shots: readonly number[];
    }
  | { readonly kind: "common"; readonly key: string }
  | { readonly kind: "start" | "rest" | "drag"; readonly shot: number }
  | { readonly kind: TermName; readonly shot: number };

/**
 * Weak on purpose: a clip tells these far better. s, m; and what drag may be after release, as where
 * the motion is fitted, m/s².
 */
export const PLACING_SD = { start: 0.1, rest: 0.1, drag: 10 } as const;

/**
 * Every unknown of a set of shots.
 * @param held names of launcher inputs that stay as stated
 */
export function unknownsOf(
  shots: readonly ShotToTune[],
  held: ReadonlySet<string>,
): { readonly unknowns: readonly Unknown[]; readonly sharedKeys: readonly string[] } {
  const inputs = new Map<string, Extract<Unknown, { kind: "input" }>>();
  shots.forEach(({ model }, shot) => {
    for (const input of model.inputs) {
      if (input.u === 0 || held.has(input.name)) continue;
      const key = inputKey(input, shot);
      const known = inputs.get(key);
      inputs.set(key, { kind: "input", name: input.name, input, shots: [...(known?.shots ?? []), shot] });
    }
  });
  const sharedKeys = sharedErrors(shots);
  return {
    sharedKeys,
    unknowns: [
      ...inputs.values(),
      ...sharedKeys.map((key): Unknown => ({ kind: "common", key })),
      ...shots.flatMap((_, shot): Unknown[] => [
        { kind: "start", shot },
        { kind: "rest", shot },
        { kind: "drag", shot },
        { kind: "speed", shot },
        { kind: "early", shot },
      ]),
    ],
  };
}

/** The value an input has at a place of its unknown. */
export function valueAt(input: TunableInput, z: number): number {
  const { value, u, low = -Infinity, high = Infinity } = input;
  // beyond a limit at which it was stated the model goes on as its mirror image: see `curveAt`
  if (isAtLimit(input)) return value + z * u;
  if (value > 0 && low >= 0) return Math.min(high, value * Math.exp((z * u) / value));
  return Math.min(high, Math.max(low, value + z * u));
}

/** What one unit of an input's unknown is worth at a place, in the input's own unit. */
export function unitAt(input: TunableInput, z: number): number {
  const { value, u, low = -Infinity } = input;
  return !isAtLimit(input) && value > 0 && low >= 0 ? (u * valueAt(input, z)) / value : u;
}

/** Places of the unknowns of one problem in another; 0, as stated, for those it does not know. */
export function startFrom(from: readonly Unknown[], z: Float64Array, to: readonly Unknown[]): Float64Array {
  const places = new Map(from.map((unknown, at) => [nameOf(unknown), z[at]]));
  return Float64Array.from(to, (unknown) => places.get(nameOf(unknown)) ?? 0);
}

/** What tells an unknown from the others, in any problem of the same shots. */
export function nameOf(unknown: Unknown): string {
  if (unknown.kind === "input") return `input ${unknown.name} ${unknown.shots.join(" ")}`;
  return unknown.kind === "common" ? `common ${unknown.key}` : `${unknown.kind} ${unknown.shot}`;
}

function inputKey(input: TunableInput, shot: number): string {
  if (input.of === "launcher" || input.of === "form") return input.name;
  if (input.of === "own") return `${input.name} of shot ${shot}`;
  return `${input.name} ${input.value} ${input.u}`;
}

/** Errors that two shots or more have in common. */
function sharedErrors(shots: readonly ShotToTune[]): readonly string[] {
  const count = new Map<string, number>();
  for (const { track } of shots) {
    for (const key of new Set(errorsThatMatter(track).map((error) => error.key))) {
      count.set(key, (count.get(key) ?? 0) + 1);
    }
  }
  return [...count].filter(([, times]) => times > 1).map(([key]) => key);
}
