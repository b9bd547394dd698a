import { AIRFRAME_INPUTS } from "./airframe-inputs.ts";
import { CAMERA_INPUTS } from "./camera-inputs.ts";
import { ELASTIC_INPUTS } from "./elastic-inputs.ts";
import type { Input, LauncherKind } from "./input.ts";
import { PICTURE_INPUTS } from "./picture-inputs.ts";
import { RAM_INPUTS } from "./ram-inputs.ts";
import { ROCKET_INPUTS } from "./rocket-inputs.ts";
import { SHOT_INPUTS } from "./shot-inputs.ts";

/** Every number that a person can type into the document. */
export const INPUTS: readonly Input[] = [
  ...AIRFRAME_INPUTS,
  ...RAM_INPUTS,
  ...ROCKET_INPUTS,
  ...ELASTIC_INPUTS,
  ...CAMERA_INPUTS,
  ...PICTURE_INPUTS,
  ...SHOT_INPUTS,
];

const BY_PATH = new Map(INPUTS.map((input) => [keyOf(input.path, input.of), input]));

/**
 * The input at a path of the table.
 * @param kind of the session's launcher: only its own inputs are found below "launcher"
 * @returns null where the table has none, as for a text or a choice
 */
export function inputAtPath(path: string, kind: LauncherKind | null): Input | null {
  return BY_PATH.get(keyOf(path, path.startsWith("launcher.") ? kind : null)) ?? null;
}

/**
 * The path of the table that a place in a document has: "shots", 0, "marks", 3, "x"
 * is at "shots[].marks[].x".
 */
export function tablePath(path: readonly (string | number)[], kind: LauncherKind | null): string | null {
  const text = path.reduce<string>(
    (at, step) => (typeof step === "number" ? `${at}[]` : at === "" ? step : `${at}.${step}`),
    "",
  );
  const ofPair = path.at(-1) === undefined ? text : text.replace(/\[\]$/, `[${path.at(-1)}]`);
  return [text, ofPair].find((one) => inputAtPath(one, kind) !== null) ?? null;
}

function keyOf(path: string, of: LauncherKind | null): string {
  return `${of ?? ""} ${path}`;
}
