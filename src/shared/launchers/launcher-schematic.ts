import type { Measured } from "../quantity/measured.ts";
import type { Launcher } from "../session/schema.ts";
import { guessesIn } from "./guesses.ts";
import { launcherModel } from "./launcher-models.ts";
import type { SketchPart } from "./sketch.ts";
import { layOut } from "./sketch-layout.ts";

/**
 * How sure a part's numbers are: stated; one of them a guess of the program, or with a ± that is assumed;
 * not stated at all.
 */
export type PartStanding = "stated" | "guess" | "missing";

export interface SchematicPart extends Pick<SketchPart, "words" | "names" | "shapes"> {
  readonly standing: PartStanding;
}

/** A launcher from the side, as its numbers have it: px, x to the right and y down. */
export interface Schematic {
  readonly width: number;
  readonly height: number;
  /** From the back to the front. */
  readonly parts: readonly SchematicPart[];
}

/**
 * The schematic of a launcher; null for one that has no model, and so nothing to draw it from.
 * @param width px, that it takes
 */
export function launcherSchematic(launcher: Launcher, width: number): Schematic | null {
  const sketch = launcherModel(launcher).sketch(launcher);
  if (sketch === null) return null;
  const guesses = guessesIn(launcher);
  const { parts, ...size } = layOut(sketch, width);
  return {
    ...size,
    parts: parts.map(({ words, names, from, missing = false, shapes }) => ({
      words,
      names,
      shapes,
      standing: missing
        ? "missing"
        : from.some((name) => guesses.includes(name) || assumedIn(launcher, name))
          ? "guess"
          : "stated",
    })),
  };
}

/**
 * Whether a part stands for an input of the launcher: for it or for what it is in.
 * @param name as in the launcher, "boreM", "motors.0.aheadM"; [] for a place in a list that is not known
 */
export function speaksOf({ names }: Pick<SketchPart, "names">, name: string): boolean {
  return names.some((one) => name === one || name.startsWith(`${one}.`) || name.startsWith(`${one}[`));
}

function assumedIn(launcher: Launcher, name: string): boolean {
  const found = name
    .split(".")
    .reduce<unknown>((at, step) => (at as Record<string, unknown> | undefined)?.[step], launcher);
  return (found as Measured | undefined)?.assumed === true;
}
