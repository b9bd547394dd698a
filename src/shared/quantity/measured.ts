/**
 * A value with its standard uncertainty (k = 1), both in the same SI unit. Source of
 * the terms: JCGM 100:2008.
 */
export interface Measured {
  readonly value: number;
  readonly u: number;
  /** The person stated no u: a usual one stands in its place until they do. */
  readonly assumed?: true | undefined;
}

/**
 * A result a person reads: SI value, standard uncertainty, unit symbol, and one
 * sentence on how it was obtained.
 */
export interface Quantity extends Measured {
  readonly unit: Unit;
  readonly how: string;
}

/** SI unit symbols that results carry. Angles are radians. */
export type Unit =
  | "s"
  | "m"
  | "m/s"
  | "m/s²"
  | "m/s³"
  | "N·s"
  | "W"
  | "rad"
  | "rad/s"
  | "rad/s²"
  | "kg"
  | "N"
  | "J"
  | "Pa"
  | "K"
  | "Hz"
  | "m/px"
  | "px"
  | "1";
