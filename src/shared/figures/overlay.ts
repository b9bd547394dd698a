import type { ChartAxis } from "./chart.ts";
import type { XY } from "./figure.ts";

/**
 * Curves of several shots over one level axis, as data in the units a person reads: laid over each other, or
 * each in a small panel of its own. One shot is the reference, drawn heaviest.
 */
export interface Overlay {
  readonly id: string;
  readonly kind: "overlay";
  readonly title: string;
  readonly description: string;
  readonly caption: string;
  readonly x: ChartAxis;
  readonly arrangement: "over" | "beside";
  /** One below the other; beside each other only the first is drawn. */
  readonly panels: readonly OverlayPanel[];
}

export interface OverlayPanel {
  readonly quantity: string;
  readonly symbol: string;
  readonly unit: string;
  readonly curves: readonly OverlayCurve[];
}

export interface OverlayCurve {
  readonly label: string;
  readonly isReference: boolean;
  /** A point that is not finite is a gap. */
  readonly points: readonly XY[];
  /** [x, low, high] at k = 2. */
  readonly band: readonly (readonly [number, number, number])[];
}
