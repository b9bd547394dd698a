import type { Panel } from "./figure.ts";

/**
 * Panels one below the other over one level axis, as data in the units a person reads, drawn by the same
 * writer as the figures over time.
 */
export interface Stack {
  readonly id: string;
  readonly kind: "stack";
  readonly title: string;
  readonly description: string;
  readonly caption: string;
  readonly x: {
    readonly quantity: string;
    readonly symbol: string;
    readonly unit: string;
    readonly from: number;
    readonly to: number;
  };
  readonly panels: readonly Panel[];
  /** Instants marked through all panels, with half the width of what is open about each. */
  readonly instants: readonly { readonly at: number; readonly half: number }[];
}
