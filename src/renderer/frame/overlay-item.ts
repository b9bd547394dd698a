import type { Place } from "../viewport/viewport.ts";
import { outlineOf } from "./mark-shapes.ts";

/**
 * How an item is drawn; every one is a light line on a dark halo, so that it reads on
 * bright sky and dark grass.
 */
export type Tone = "mark" | "chosen" | "trail" | "scale" | "plumb";

/** One thing drawn over the picture, css px of the view. */
export type OverlayItem =
  | {
      readonly kind: "lines";
      readonly key: string;
      readonly tone: Tone;
      readonly lines: readonly (readonly Place[])[];
      readonly closed: boolean;
      readonly width: number;
      readonly dash?: readonly number[];
    }
  | {
      readonly kind: "dots";
      readonly key: string;
      readonly tone: Tone;
      readonly at: readonly Place[];
      readonly r: number;
    }
  | {
      readonly kind: "label";
      readonly key: string;
      readonly tone: Tone;
      readonly at: Place;
      readonly text: string;
    };

/** css px: the ring around an end that can be grabbed. */
export const END_R = 6;

/** An open ring around a place of the view. */
export function ring(key: string, [x, y]: Place, tone: Tone): OverlayItem {
  const { lines, closed } = outlineOf("ring", END_R);
  return {
    kind: "lines",
    key,
    tone,
    closed,
    width: 1.5,
    lines: lines.map((line) => line.map(([dx, dy]): Place => [x + dx, y + dy])),
  };
}
