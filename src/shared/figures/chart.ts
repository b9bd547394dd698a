import type { XY } from "./figure.ts";

/**
 * A figure of release speed over what is set before the shot, as data in the units a person reads, drawn by
 * the same writer as the figures over time.
 */
export interface Chart {
  readonly id: string;
  readonly kind: "chart";
  readonly title: string;
  readonly description: string;
  readonly caption: string;
  readonly x: ChartAxis;
  readonly y: Omit<ChartAxis, "from" | "to">;
  /** The model's curves, one a stretch of the setting in which it launches, with their band. */
  readonly model: readonly ModelCurve[];
  readonly shots: readonly MeasuredPoint[];
  /** Speeds to meet: the wanted one with its tolerance, the least one for the stall margin. */
  readonly levels: readonly Level[];
  /** Stretches of the setting that a limit forbids. */
  readonly ends: readonly ForbiddenEnd[];
  /** The answer, on the model's curve. */
  readonly answer: { readonly at: XY; readonly text: string } | null;
}

export interface ChartAxis {
  readonly quantity: string;
  readonly symbol: string;
  readonly unit: string;
  readonly from: number;
  readonly to: number;
}

/** [x, value, low, high] */
export interface ModelCurve {
  readonly points: readonly (readonly [number, number, number, number])[];
}

/** A measured shot: half widths of its error bars. */
export interface MeasuredPoint {
  readonly at: XY;
  readonly halfX: number;
  readonly halfY: number;
}

export interface Level {
  readonly kind: "wanted" | "stall";
  readonly label: string;
  readonly points: readonly XY[];
  /** Half width of what is still as wanted; 0 for a bare line. */
  readonly half: number;
}

export interface ForbiddenEnd {
  readonly label: string;
  readonly from: number;
  readonly to: number;
}
