import { tablePath } from "../inputs/all-inputs.ts";
import type { LauncherKind } from "../inputs/input.ts";
import { modelInputOrNull } from "../inputs/model-input.ts";
import type { Measured } from "../quantity/measured.ts";
import { freshShot } from "../session/fresh.ts";
import type { Launcher } from "../session/schema.ts";
import { LAUNCHER_MODELS } from "./launcher-models.ts";

/*
 * A number is a guess as long as it stands, value and u, exactly as the program put it there: no field of the
 * document is needed for that, and what a person types, or a tuning finds, is none. Nobody measures one
 * third of a round number as an uncertainty.
 */

/** A number with an uncertainty, and where it stands in what it belongs to. */
interface Found {
  readonly name: string;
  readonly measured: Measured;
}

/** What the program puts in for each number of a launcher, and of the air of a shot, by place. */
const GUESSES: ReadonlyMap<string, Measured> = new Map([
  ...Object.values(LAUNCHER_MODELS).flatMap(({ guessed }) => {
    const whole = guessed();
    return whole === null ? [] : found(whole).map((one) => keyed(whole.kind, `launcher.${one.name}`, one));
  }),
  ...found(freshShot("", "", null).conditions).map((one) =>
    keyed(null, `shots.0.conditions.${one.name}`, one),
  ),
]);

/**
 * Whether a number is what the program put in its place.
 * @param path of the table of inputs, "launcher.boreM"; null for a number that no document holds
 */
export function isGuess(kind: LauncherKind | null, path: string | null, measured: Measured | null): boolean {
  if (path === null || measured === null) return false;
  const guess = GUESSES.get(keyOf(path.startsWith("launcher.") ? kind : null, path));
  return guess !== undefined && guess.value === measured.value && guess.u === measured.u;
}

/** Inputs of a launcher that are guesses still, by their paths in it. */
export function guessesIn(launcher: Launcher): readonly string[] {
  return found(launcher)
    .filter(({ name, measured }) => isGuess(launcher.kind, placeOf(launcher.kind, name), measured))
    .map(({ name }) => name);
}

/** Whether an input of a launch model is a guess; false for one that is none of the launcher's. */
export function isGuessOf(kind: LauncherKind, name: string, measured: Measured): boolean {
  return isGuess(kind, placeOf(kind, name), measured);
}

/** What such inputs are called where they stand alone. */
export function guessWords({ kind }: Launcher, names: readonly string[]): readonly string[] {
  return names.flatMap((name) => modelInputOrNull(kind, name)?.words ?? []);
}

function keyed(kind: LauncherKind | null, path: string, { measured }: Found): readonly [string, Measured] {
  return [keyOf(kind, tablePath(stepsOf(path), kind) ?? path), measured];
}

function placeOf(kind: LauncherKind, name: string): string | null {
  return tablePath(stepsOf(`launcher.${name}`), kind);
}

function stepsOf(path: string): readonly (string | number)[] {
  return path.split(".").map((step) => (/^\d+$/.test(step) ? Number(step) : step));
}

function keyOf(kind: LauncherKind | null, path: string): string {
  return `${kind ?? ""} ${path}`;
}

/** Every number with an uncertainty in a launcher or a shot's conditions; what is exact is no guess. */
function found(node: unknown, at = ""): readonly Found[] {
  if (typeof node !== "object" || node === null) return [];
  const { value, u } = node as Partial<Measured>;
  if (typeof value === "number" && typeof u === "number") {
    return u > 0 ? [{ name: at, measured: node as Measured }] : [];
  }
  return Object.entries(node).flatMap(([key, inside]) => found(inside, at === "" ? key : `${at}.${key}`));
}
