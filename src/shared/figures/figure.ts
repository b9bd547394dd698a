/**
 * A figure as data: what is drawn, in the units a person reads, with no pixels and no colours. The same
 * specification makes the screen, the SVG file and the print.
 */
export interface Figure {
  /** Unique among the figures of one write-up, e.g. shot-3-speed; also the name of its file. */
  readonly id: string;
  readonly kind: FigureKind;
  /** The one accessible name, e.g. "Speed of shot-3 against time". */
  readonly title: string;
  /** What is seen, in sentences, for whoever does not see it. */
  readonly description: string;
  /** What the marks mean and how wide the band is; stands under the figure. */
  readonly caption: string;
  /** Time axis; x of every point below is in its unit, 0 is release. */
  readonly time: { readonly unit: "ms"; readonly from: number; readonly to: number };
  readonly main: Panel;
  /** Predicted - measured, in the unit of the main panel; null when there is no prediction. */
  readonly residual: Panel | null;
  readonly washes: readonly Wash[];
  /** Release at x = 0 with its standard uncertainty in ms (0 when not known). */
  readonly release: { readonly u: number };
}

export type FigureKind = "position" | "speed" | "acceleration" | "pitch" | "pitch-rate";

/** [time, value], in display units. */
export type XY = readonly [number, number];

export interface Panel {
  /** e.g. "Speed" */
  readonly quantity: string;
  /** e.g. "v"; set in italics after the quantity; empty for none. */
  readonly symbol: string;
  readonly unit: string;
  readonly lines: readonly Line[];
  readonly bands: readonly Band[];
  readonly dots: readonly XY[];
  readonly callouts: readonly Callout[];
}

/** A curve named at its end. A point that is not finite is a gap. */
export interface Line {
  readonly role: "measured" | "predicted" | "difference";
  /** Empty: not named. */
  readonly label: string;
  readonly points: readonly XY[];
}

/** [time, low, high] of a band of uncertainty. */
export interface Band {
  readonly points: readonly (readonly [number, number, number])[];
}

/** A headline result shown at its place on the curve. */
export interface Callout {
  readonly at: XY;
  readonly text: string;
}

export interface Wash {
  readonly kind: "push" | "free-flight";
  readonly label: string;
  readonly from: number;
  readonly to: number;
}
