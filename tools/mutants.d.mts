export type Kind = "arithmetic" | "comparison" | "constant" | "function" | "guard" | "logic" | "sign";

/**
 * One small fault that can be put into a source file: what stands from `start` to before `end` becomes
 * `text`.
 */
export interface Mutant {
  readonly file: string;
  readonly start: number;
  readonly end: number;
  readonly text: string;
  readonly kind: Kind;
}

export function allMutants(root: string, folder: string): Mutant[];
export function mutantsOf(file: string, source: string): Mutant[];
export function faultFrom(text: string | undefined): Mutant | null;
