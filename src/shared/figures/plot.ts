import type { Axis } from "./axis.ts";

/** A panel of a drawn figure as a pointer finds it: its box in px, and the level axis it is read by. */
export interface Plot {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  readonly x: Axis;
  /** The one curve the panel is of, by its label; null where it shows all. */
  readonly only: string | null;
}

/** The value of the level axis at a place, px; held inside the axis. */
export function valueAtPx({ left, right, x }: Plot, px: number): number {
  const part = Math.max(0, Math.min(1, (px - left) / (right - left)));
  return x.low + part * (x.high - x.low);
}
