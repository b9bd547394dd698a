import { INPUTS } from "./all-inputs.ts";
import type { Input } from "./input.ts";

/** A number that a document holds, with the row of the table it belongs to. */
export interface FoundInput {
  readonly input: Input;
  /** Place in the document; of a measured number, the place of value and u. */
  readonly path: readonly (string | number)[];
  readonly value: number;
  /** Standard uncertainty, SI; null for a number without one of its own. */
  readonly u: number | null;
}

/**
 * Every number of a document that the table knows, in the table's order. Numbers that are left out
 * or null are passed over.
 */
export function foundInputs(document: unknown, kind: Input["of"]): readonly FoundInput[] {
  const found: FoundInput[] = [];
  for (const [input, steps] of PATTERNS) {
    if (input.of === null || input.of === kind) collect(input, document, steps, 0, [], found);
  }
  return found;
}

const EVERY = Symbol("every entry of a list");
type Step = string | number | typeof EVERY;

/** Each input with its path taken apart once. */
const PATTERNS: readonly (readonly [Input, readonly Step[]])[] = INPUTS.map((input) => [
  input,
  [...input.path.matchAll(/\[(\d*)\]|([^.[\]]+)/g)].map(([, index, name]) =>
    name !== undefined ? name : index === "" ? EVERY : Number(index),
  ),
]);

function collect(
  input: Input,
  node: unknown,
  steps: readonly Step[],
  at: number,
  path: readonly (string | number)[],
  into: FoundInput[],
): void {
  const step = steps[at];
  if (step === undefined) {
    const { value, u } = numbersOf(node);
    if (value !== null) into.push({ input, path, value, u });
  } else if (typeof node !== "object" || node === null) {
    return;
  } else if (step === EVERY) {
    if (!Array.isArray(node)) return;
    node.forEach((entry, i) => {
      collect(input, entry, steps, at + 1, [...path, i], into);
    });
  } else {
    const inside = (node as Record<string | number, unknown>)[step];
    if (inside !== undefined) collect(input, inside, steps, at + 1, [...path, step], into);
  }
}

function numbersOf(node: unknown): { readonly value: number | null; readonly u: number | null } {
  if (typeof node === "number") return { value: node, u: null };
  if (typeof node !== "object" || node === null) return { value: null, u: null };
  const { value, u } = node as { readonly value?: unknown; readonly u?: unknown };
  if (typeof value !== "number") return { value: null, u: null };
  return { value, u: typeof u === "number" ? u : null };
}
