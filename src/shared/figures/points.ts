import type { ChartAxis, MeasuredPoint, ModelCurve } from "./chart.ts";

/**
 * Results of many shots as single points over what was set before each, with what the model says over the
 * same range; data in the units a person reads.
 */
export interface Points {
  readonly id: string;
  readonly kind: "points";
  readonly title: string;
  readonly description: string;
  readonly caption: string;
  readonly x: ChartAxis;
  readonly y: Omit<ChartAxis, "from" | "to">;
  readonly kinds: readonly PointKind[];
}

/** Shots of one kind, told from the others by the shape of their marks, by dashes and by name. */
export interface PointKind {
  readonly label: string;
  readonly shape: Shape;
  readonly points: readonly NamedPoint[];
  readonly model: readonly ModelCurve[];
}

export interface NamedPoint extends MeasuredPoint {
  readonly name: string;
  /** value ± u with its unit */
  readonly text: string;
}

/** Marks of measured shots, in the order they are given out. */
export const SHAPES = [
  "ring",
  "square",
  "triangle",
  "diamond",
  "disc",
  "full square",
  "full triangle",
  "full diamond",
] as const;
export type Shape = (typeof SHAPES)[number];
