import { inputAtPath, tablePath } from "./all-inputs.ts";
import { type EntryUnit, entryUnit } from "./entry-unit.ts";
import type { Input, LauncherKind } from "./input.ts";
import { wordsAt } from "./judge-input.ts";

/** What a number of a launch model is called. */
export interface ModelInput {
  /** Its row in the table; null for one that the model works out of others. */
  readonly input: Input | null;
  /** In the middle of a sentence, with its article: "the bore". */
  readonly words: string;
  /** The same where it stands alone: "bore". */
  readonly bare: string;
  /** The unit that it is read and typed in. */
  readonly unit: EntryUnit;
}

/** The airframe's mass goes by a name that tells it from masses of the launcher. */
const AIRFRAME_MASS = "airframeMassKg";
/** Where a name may lie: the first that has it counts. */
const PLACES: readonly (readonly (string | number)[])[] = [
  ["launcher"],
  ["airframe"],
  ["shots", 0, "conditions"],
];

/** What a model works out of several inputs before it runs. */
const WORKED_OUT: Readonly<Record<string, readonly [words: string, symbol: string]>> = {
  totalMassKg: ["the mass of airframe and moving parts", "kg"],
  delayS: ["the valve's delay", "s"],
  airDensity: ["the density of the air", "kg/m³"],
  motors: ["the number of motors", ""],
};

/**
 * What an input of a launch model is. Its name is its path within the launcher
 * ("moreValves.0.delayS"), within the airframe ("wingAreaM2"; the mass is "airframeMassKg") or within
 * the conditions of a shot ("headwindMPerS").
 * @throws RangeError for a name that no model of this kind of launcher has
 */
export function modelInput(kind: LauncherKind, name: string): ModelInput {
  const found = modelInputOrNull(kind, name);
  if (found === null) throw new RangeError(`modelInput: a ${kind} has no input "${name}"`);
  return found;
}

/** The same; null for a name that no model of this kind of launcher has. */
export function modelInputOrNull(kind: LauncherKind, name: string): ModelInput | null {
  const steps = name.split(".").map((step) => (/^\d+$/.test(step) ? Number(step) : step));
  const paths =
    name === AIRFRAME_MASS ? [["airframe", "massKg"]] : PLACES.map((place) => [...place, ...steps]);
  for (const path of paths) {
    const input = inputAtPath(tablePath(path, kind) ?? "", kind);
    if (input !== null) return named(input, wordsAt(input, path), entryUnit(input.kind, "SI"));
  }
  const workedOut = WORKED_OUT[name];
  if (workedOut === undefined) return null;
  const [words, symbol] = workedOut;
  return named(null, words, { symbol, factor: 1, offset: 0 });
}

function named(input: Input | null, words: string, unit: EntryUnit): ModelInput {
  return { input, words, bare: words.replace(/^the /, ""), unit };
}
