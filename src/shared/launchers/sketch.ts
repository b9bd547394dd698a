import type { Range } from "../inputs/input.ts";

/** In a sketch along the launcher: x along the push, y to its upper side. */
export type Place = readonly [x: number, y: number];

/** What a part is drawn with; every form has its places, so that all are turned and fitted alike. */
export type Shape =
  | {
      /** A closed outline, its inside covering what is below; a line, open. */
      readonly form: "area" | "line";
      readonly points: readonly Place[];
    }
  | {
      /** A length from end to end, or a direction from the first to the second. */
      readonly form: "measure" | "arrow";
      readonly points: readonly [Place, Place];
    }
  | { readonly form: "disc"; readonly points: readonly [centre: Place]; readonly radius: number }
  | {
      /**
       * Written upright, beside its place on the side to which `out`, of length 1, leads; on it for [0, 0].
       */
      readonly form: "label";
      readonly points: readonly [Place];
      readonly text: string;
      readonly out: Place;
    };

/** One part of a launcher that fields of its form speak of. */
export interface SketchPart {
  /** What it is called, with its article. */
  readonly words: string;
  /**
   * Inputs it stands for, by their names in the launcher: "boreM", "motors.0.aheadM"; a name stands for all
   * below it too. A press leads to the first that the form has.
   */
  readonly names: readonly string[];
  /** Names of the numbers that it is drawn from: a guess among them shows. */
  readonly from: readonly string[];
  /** Whether what it is drawn from is not stated at all. */
  readonly missing?: boolean;
  readonly shapes: readonly Shape[];
}

/** A small drawing that stands upright beside the launcher, whose lower left is [0, 0]. */
export interface SketchInset {
  readonly width: number;
  readonly height: number;
  readonly parts: readonly SketchPart[];
}

/**
 * How a launcher looks from the side: lengths follow its numbers, are not to scale, and about as
 * long as pixels; its direction is true.
 */
export interface Sketch {
  /** From the back to the front: a later part is drawn over an earlier one. */
  readonly parts: readonly SketchPart[];
  /** The launcher's direction: turned about the pivot, with an arrow along the push. */
  readonly direction: {
    readonly words: string;
    readonly name: string;
    /** rad above the horizontal */
    readonly angleRad: number;
    readonly pivot: Place;
    readonly arrow: readonly [Place, Place];
  };
  readonly inset?: SketchInset;
}

/**
 * A length of the drawing for a number of the launcher: from `least` to `most` as the number goes through
 * the plausible range of its input, by its logarithm, and no shorter or longer outside that.
 * @param range SI; a range from 0 counts from a thousandth of its end
 * @param value SI; the sign is left out
 */
export function grown([from, to]: Range, value: number, least: number, most: number): number {
  const low = from > 0 ? from : to / 1000;
  const share = Math.log(Math.max(Math.abs(value), low) / low) / Math.log(to / low);
  return least + (most - least) * Math.min(1, share);
}

/** A rectangle with its sides along the launcher. */
export function box([x0, y0]: Place, [x1, y1]: Place): Shape {
  return {
    form: "area",
    points: [
      [x0, y0],
      [x1, y0],
      [x1, y1],
      [x0, y1],
    ],
  };
}

export function area(...points: readonly Place[]): Shape {
  return { form: "area", points };
}

export function line(...points: readonly Place[]): Shape {
  return { form: "line", points };
}

export function measure(from: Place, to: Place): Shape {
  return { form: "measure", points: [from, to] };
}

export function arrow(from: Place, to: Place): Shape {
  return { form: "arrow", points: [from, to] };
}

export function disc(centre: Place, radius: number): Shape {
  return { form: "disc", points: [centre], radius };
}

/** @param out as Shape's */
export function label(text: string, at: Place, out: Place = [0, 0]): Shape {
  return { form: "label", points: [at], text, out };
}
